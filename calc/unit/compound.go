package unit

import (
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// prefixes are the SI prefixes that may stand before a unit of prefixable.
// Source: BIPM, The International System of Units, 9th ed., table 7.
var prefixes = map[string]string{
	"p": "1e-12", "n": "1e-9", "µ": "1e-6", "u": "1e-6", "m": "1e-3", "c": "1e-2", "d": "1e-1", "h": "1e2", "k": "1e3", "M": "1e6", "G": "1e9",
}

// prefixable maps the symbols that take a prefix to the units of the table.
// Behind a prefix F is the farad; alone it is Fahrenheit.
var prefixable = map[string]string{
	"V": "V", "A": "A", "Ω": "Ω", "W": "W", "m": "m", "g": "g", "s": "s", "Hz": "Hz", "N": "N", "Pa": "Pa", "J": "J", "F": "farad", "H": "H", "L": "L", "bar": "bar",
}

// exactly holds the factors that no short decimal gives. Of every other unit
// but those with π, the shortest decimal that reads as its factor is the
// definition.
var exactly = map[string]string{
	"rpm": "1/60", "°F": "5/9", "Δ°F": "5/9",
	"psi":  "44482216152605/6451600000", // 0.45359237 * 9.80665 / 0.0254²
	"hp":   "745.69987158227022",        // 550 * 0.45359237 * 9.80665 * 0.3048
	"ozf":  "0.27801385095378125",       // 0.45359237 * 9.80665 / 16
	"Torr": "101325/760",
}

// exact is the factor of a single unit before it is rounded to a float.
func (u Unit) exact() *big.Rat {
	text, ok := exactly[u.Symbol]
	if !ok {
		text = strconv.FormatFloat(u.Factor, 'g', -1, 64)
	}
	return rational(text)
}

// rational reads a number of this file or one that strconv printed.
func rational(text string) *big.Rat {
	r, _ := new(big.Rat).SetString(text)
	return r
}

// prefixed finds a unit that is an SI prefix and one of prefixable.
func prefixed(symbol string) (Unit, bool) {
	for prefix, power := range prefixes {
		name, ok := strings.CutPrefix(symbol, prefix)
		if !ok || prefixable[name] == "" {
			continue
		}
		if prefix == "u" {
			prefix = "µ"
		}
		u := bySpelling()[prefixable[name]]
		u.Factor, _ = new(big.Rat).Mul(u.exact(), rational(power)).Float64()
		u.Symbol = prefix + name
		return u, true
	}
	return Unit{}, false
}

// factor is a unit of a product with its exponent, below the stroke negative.
type factor struct {
	unit     Unit
	exponent int
}

// product is a compound unit, in the order of its factors. A unit stands once
// above the stroke and once below; what stands on both sides is not cancelled,
// for kg/kg says more than a plain number.
type product []factor

const (
	longest  = 64 // bytes of a compound unit as it is written
	greatest = 9  // exponent
)

// compound reads a product or quotient of units. Its symbol is normalised, its
// factor rounded once, and °C and °F in it are differences.
func compound(text string) (Unit, bool) {
	if len(text) > longest {
		return Unit{}, false
	}
	p, ok := readProduct(text)
	if !ok {
		return Unit{}, false
	}
	symbol := p.symbol()
	if u, known := single(symbol); known {
		if u.Kind == Temperature { // 1/K⁻¹
			u = bySpelling()["Δ"+u.Symbol]
		}
		return u, true
	}
	value, n := big.NewRat(1, 1), nature{}
	for _, f := range p {
		one := f.unit.exact()
		if f.exponent < 0 {
			one.Inv(one)
		}
		for range max(f.exponent, -f.exponent) {
			value.Mul(value, one)
		}
		if n = n.times(f.unit.Kind.nature().power(f.exponent)); !n.readable() {
			return Unit{}, false
		}
	}
	u := Unit{Symbol: symbol, Kind: n.kind()}
	u.Factor, _ = value.Float64()
	return u, u.Factor > 0 && !math.IsInf(u.Factor, 1)
}

// readProduct reads factors joined by · or *, then strokes, each with one
// factor or with a product in parentheses. A product behind a stroke without
// them is refused: some read W/m·K as W/(m·K), others as W·K/m.
func readProduct(text string) (p product, ok bool) {
	above, rest, quotient := strings.Cut(text, "/")
	if strings.TrimSpace(above) != "1" && !(quotient && above == "") {
		if !p.multiply(above, 1) {
			return p, false
		}
	} else if !quotient {
		return p, false
	}
	for quotient {
		var below string
		if inside, grouped := strings.CutPrefix(strings.TrimLeft(rest, " "), "("); grouped {
			var closed bool
			below, rest, closed = strings.Cut(inside, ")")
			if rest = strings.TrimLeft(rest, " "); !closed || rest != "" && rest[0] != '/' {
				return p, false
			}
			rest, quotient = strings.CutPrefix(rest, "/")
		} else if below, rest, quotient = strings.Cut(rest, "/"); strings.ContainsAny(below, "·*") {
			return p, false
		}
		if !p.multiply(below, -1) {
			return p, false
		}
	}
	return p, len(p) > 0
}

// multiply adds the factors of a text such as "kg·m²", to a power.
func (p *product) multiply(text string, power int) bool {
	for part := range strings.SplitSeq(strings.ReplaceAll(text, "*", "·"), "·") {
		name, exponent, ok := cutExponent(strings.TrimSpace(part))
		if !ok {
			return false
		}
		u, known := single(name)
		switch {
		case !known || u.Symbol == "" || u.IsGauge():
			return false
		case strings.ContainsAny(u.Symbol, "·/²³"): // Nm, kWh, lpm
			expanded, _ := readProduct(u.Symbol)
			for _, f := range expanded {
				ok = ok && p.add(f.unit, f.exponent*exponent*power)
			}
		default:
			ok = p.add(u, exponent*power)
		}
		if !ok {
			return false
		}
	}
	return true
}

func (p *product) add(u Unit, exponent int) bool {
	if u.Kind == TemperatureDifference { // W/ΔK
		u = bySpelling()[strings.TrimPrefix(u.Symbol, "Δ")]
	}
	i := slices.IndexFunc(*p, func(f factor) bool { return f.unit == u && (f.exponent < 0) == (exponent < 0) })
	if i < 0 {
		i = len(*p)
		*p = append(*p, factor{unit: u})
	}
	sum := (*p)[i].exponent + exponent
	(*p)[i].exponent = sum
	return max(sum, -sum) <= greatest
}

// symbol prints the product: "kg·m²", "W/(m·K)", "1/Ω".
func (p product) symbol() string {
	var above, below []string
	for _, f := range p {
		if f.exponent > 0 {
			above = append(above, f.unit.Symbol+superscript(f.exponent))
		} else {
			below = append(below, f.unit.Symbol+superscript(-f.exponent))
		}
	}
	if above == nil {
		above = []string{"1"}
	}
	switch len(below) {
	case 0:
		return strings.Join(above, "·")
	case 1:
		return strings.Join(above, "·") + "/" + below[0]
	}
	return strings.Join(above, "·") + "/(" + strings.Join(below, "·") + ")"
}

var lowered = strings.NewReplacer("⁻", "-", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// cutExponent splits "m²", "s⁻¹", "m^2", "s^-1" or "m2". An exponent is one
// digit, not 0; without a caret or raised it is positive.
func cutExponent(text string) (name string, exponent int, ok bool) {
	plain := lowered.Replace(text)
	name, digits, caret := strings.Cut(plain, "^")
	if !caret {
		name = strings.TrimRight(plain, "123456789")
		digits = plain[len(name):]
		if minus := strings.TrimSuffix(name, "-"); digits != "" && minus != name && strings.Contains(text, "⁻") {
			name, digits = minus, "-"+digits
		}
	}
	if digits == "" {
		return text, 1, !caret
	}
	exponent, err := strconv.Atoi(digits)
	return name, exponent, err == nil && exponent != 0 && max(exponent, -exponent) <= greatest && digits[0] != '+'
}
