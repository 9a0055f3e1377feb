package unit

import (
	"strconv"
	"strings"
	"sync"
)

// Dimension holds the exponents of the SI base units that the trade needs:
// metre, kilogram, second, ampere, kelvin. No quantity has one beyond 9; who
// multiplies on must look that it stays an int8.
// Source: BIPM, The International System of Units, 9th ed., 2.3.3.
type Dimension struct {
	Length, Mass, Time, Current, Temperature int8
}

// Times is the dimension of a product.
func (d Dimension) Times(o Dimension) Dimension {
	return Dimension{d.Length + o.Length, d.Mass + o.Mass, d.Time + o.Time, d.Current + o.Current, d.Temperature + o.Temperature}
}

// Over is the dimension of a quotient.
func (d Dimension) Over(o Dimension) Dimension { return d.Times(o.Power(-1)) }

// Power is the dimension of the nth power.
func (d Dimension) Power(n int) Dimension {
	f := int8(n)
	return Dimension{f * d.Length, f * d.Mass, f * d.Time, f * d.Current, f * d.Temperature}
}

// Root is the dimension of the nth root, n at least 1. It is not ok where an
// exponent would be no whole number: no unit has one.
func (d Dimension) Root(n int) (root Dimension, ok bool) {
	f := int8(n)
	root = Dimension{d.Length / f, d.Mass / f, d.Time / f, d.Current / f, d.Temperature / f}
	return root, root.Power(n) == d
}

// IsZero reports whether the dimension is that of a plain number.
func (d Dimension) IsZero() bool { return d == Dimension{} }

// baseSymbols are the base units in the order of Dimension's fields.
var baseSymbols = [...]string{"m", "kg", "s", "A", "K"}

// String is the product of SI base units, "m²·kg·s⁻³·A⁻¹", and "1" for a plain
// number.
func (d Dimension) String() string {
	var factors []string
	for i, exponent := range []int8{d.Length, d.Mass, d.Time, d.Current, d.Temperature} {
		if exponent != 0 {
			factors = append(factors, baseSymbols[i]+superscript(int(exponent)))
		}
	}
	if factors == nil {
		return "1"
	}
	return strings.Join(factors, "·")
}

var raised = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// superscript is an exponent as it is printed; an exponent of 1 is not.
func superscript(exponent int) string {
	if exponent == 1 {
		return ""
	}
	return raised.Replace(strconv.Itoa(exponent))
}

// nature is what tells a product of units from others: its dimension, and how
// often an angle is a factor. An angle has no dimension, but 1 rad/s is not one
// turn a second.
type nature struct {
	Dimension
	angle int8
}

func (n nature) times(o nature) nature { return nature{n.Times(o.Dimension), n.angle + o.angle} }

func (n nature) power(exponent int) nature {
	return nature{n.Power(exponent), n.angle * int8(exponent)}
}

// readable reports whether every exponent is one that a kind's name can hold.
func (n nature) readable() bool {
	for _, exponent := range []int8{n.Length, n.Mass, n.Time, n.Current, n.Temperature, n.angle} {
		if max(exponent, -exponent) > greatest {
			return false
		}
	}
	return true
}

// nature is what products of the kind are told by; it stands in the name of a
// kind that is named by its base units.
func (k Kind) nature() nature {
	if d, ok := dimensions[k]; ok {
		n := nature{Dimension: d}
		if k == Angle || k == AngularTemperatureRate {
			n.angle = 1
		}
		return n
	}
	n := nature{}
	for part := range strings.SplitSeq(string(k), "·") {
		name, exponent, _ := cutExponent(part)
		switch name {
		case "m":
			n.Length = int8(exponent)
		case "kg":
			n.Mass = int8(exponent)
		case "s":
			n.Time = int8(exponent)
		case "A":
			n.Current = int8(exponent)
		case "K":
			n.Temperature = int8(exponent)
		case "rad":
			n.angle = int8(exponent)
		}
	}
	return n
}

// kind is the kind of a product of that nature where there is but one, else one
// that is named by its base units: for energy and torque, for frequency and
// rotation. A temperature counts as a difference.
func (n nature) kind() Kind {
	if kind := kindsByNature()[n]; kind != "" {
		return kind
	}
	return n.bare()
}

// bare is the kind that is named by its base units.
func (n nature) bare() Kind {
	switch angle := "rad" + superscript(int(n.angle)); {
	case n.angle == 0:
		return Kind(n.String())
	case n.IsZero():
		return Kind(angle)
	default:
		return Kind(angle + "·" + n.String())
	}
}

// kindsByNature holds "" where several kinds are of one nature.
var kindsByNature = sync.OnceValue(func() map[nature]Kind {
	kinds := map[nature]Kind{}
	for kind := range dimensions {
		if kind == Temperature {
			continue
		}
		n := kind.nature()
		if _, several := kinds[n]; several {
			kinds[n] = ""
		} else {
			kinds[n] = kind
		}
	}
	return kinds
})

// coherent lists the names of coherent units, one for a dimension, in the way
// that a person says them. The base units are among them: a mass is in kg.
var coherent = []string{
	"", "m", "m²", "m³", "1/m", "kg", "kg/m³", "s", "1/s", "m/s", "m/s²", "m³/s", "kg/s",
	"N", "N/m", "Pa", "J", "J/kg", "W", "W/m²",
	"K", "1/K", "K/W", "W/K", "W/(m·K)", "W/(m²·K)", "J/K", "J/(kg·K)",
	"A", "A·s", "V", "V/m", "V/K", "Ω", "1/Ω", "Ω·m", "farad", "H",
}

// SymbolOf names the coherent SI unit of a dimension as a person would, "W"
// rather than "m²·kg·s⁻³", and by its base units where it has no such name. A
// plain number has the empty symbol.
func SymbolOf(d Dimension) string {
	if symbol, ok := coherentSymbols()[d]; ok {
		return symbol
	}
	return d.String()
}

var coherentSymbols = sync.OnceValue(func() map[Dimension]string {
	symbols := map[Dimension]string{}
	for _, symbol := range coherent {
		u, _ := Lookup(symbol)
		symbols[u.Kind.Dimension()] = symbol
	}
	return symbols
})

// Rotation counts what has no dimension in a quantity of the kind: revolutions,
// as in rpm, and angles, as in rad/s. A torque is a work per angle (N·m/rad):
// torque times angle is work, and times rad/s a power.
func (k Kind) Rotation() (revolutions, angles int) {
	switch k {
	case RotationalFrequency:
		return 1, 0
	case Torque:
		return 0, -1
	}
	return 0, int(k.nature().angle)
}
