package formula

import (
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
)

// name says what a quantity is in the author's unit, or in SI.
func (j *judge) name(q quantity) string {
	if q.declared != "" {
		return q.declared
	}
	return j.called(q.dimension)
}

// called says a dimension as a person would. One without a name of its own is
// made of as few units as can be, first of those that the formula itself is
// about: V²·Ω, 1/V.
func (j *judge) called(d unit.Dimension) string {
	symbol := unit.SymbolOf(d)
	switch {
	case symbol == "":
		return "a plain number"
	case symbol != d.String() || strings.Count(symbol, "·") < 2 && !strings.Contains(symbol, "⁻"):
		return symbol
	}
	units := j.units()
	for _, u := range named {
		if !slices.Contains(units, u) {
			units = append(units, u)
		}
	}
	dimensions := make([]unit.Dimension, len(units))
	for i, u := range units {
		dimensions[i] = dimensionOf(u)
	}
	for factors := 1; factors <= maxFactors; factors++ {
		if made := compose(d, units, dimensions, factors); made != "" {
			return made
		}
	}
	return symbol
}

// named are the units that others are said with.
var named = []string{"V", "A", "W", "Ω", "N", "Pa", "J", "m", "s", "kg", "K"}

// maxFactors is how many units one may be said with, each as often as its
// exponent says.
const maxFactors = 4

// units are the SI units of what the formula names, in its order.
func (j *judge) units() []string {
	var units []string
	var collect func(*node)
	collect = func(n *node) {
		if n.op == "name" {
			symbol := unit.SymbolOf(j.named(n.symbol).dimension)
			if symbol != "" && !strings.ContainsAny(symbol, "·/²³⁻") && !slices.Contains(units, symbol) {
				units = append(units, symbol)
			}
		}
		for _, x := range n.args {
			collect(x)
		}
	}
	collect(j.f.tree)
	return units
}

// compose makes a dimension of so many factors, each one of the units or its
// inverse, "" if that cannot be. Powers of the first units come first.
func compose(d unit.Dimension, units []string, dimensions []unit.Dimension, factors int) string {
	var above, below []string
	var search func(d unit.Dimension, from, left int) bool
	search = func(d unit.Dimension, from, left int) bool {
		if left == 0 {
			return d.IsZero()
		}
		for i := from; i < len(units); i++ {
			above = append(above, units[i])
			if search(d.Over(dimensions[i]), i, left-1) {
				return true
			}
			above = above[:len(above)-1]
			below = append(below, units[i])
			if search(d.Times(dimensions[i]), i, left-1) {
				return true
			}
			below = below[:len(below)-1]
		}
		return false
	}
	if !search(d, 0, factors) {
		return ""
	}
	text, divisor := product(above), product(below)
	if text == "" {
		text = "1"
	}
	switch {
	case divisor == "":
		return text
	case strings.Contains(divisor, "·"):
		return text + "/(" + divisor + ")"
	}
	return text + "/" + divisor
}

// product joins factors, of which the same ones are neighbours, as V²·Ω.
func product(factors []string) string {
	var parts []string
	for i := 0; i < len(factors); {
		n := i
		for n < len(factors) && factors[n] == factors[i] {
			n++
		}
		part := factors[i]
		if n-i > 1 {
			part += superscript(strconv.Itoa(n - i))
		}
		parts = append(parts, part)
		i = n
	}
	return strings.Join(parts, "·")
}

func dimensionOf(symbol string) unit.Dimension {
	u, _ := unit.Lookup(symbol)
	return u.Kind.Dimension()
}
