package calc

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

// Every calculator has a worked example, worked by hand from its formulas; the
// function gives its results to the last digit written.
func TestExamples(t *testing.T) {
	for _, c := range All() {
		if len(c.Examples) == 0 {
			t.Errorf("%s has no example", c.Name)
		}
		for _, e := range c.Examples {
			in := c.Starts()
			for _, a := range e.Inputs {
				i := slices.IndexFunc(c.Inputs, func(q Quantity) bool { return q.Name == a.Name })
				if i < 0 {
					t.Fatalf("%s has no input %s", c.Name, a.Name)
				}
				in[i] = exampleValue(t, c.Inputs[i], a.Value)
				for j, q := range c.Inputs { // as on a page: it follows until it has a value of its own
					if q.Follows == a.Name && !slices.ContainsFunc(e.Inputs, func(b Assignment) bool { return b.Name == q.Name }) {
						in[j] = in[i]
					}
				}
			}
			out := c.Native(in)
			for _, a := range e.Results {
				i := slices.IndexFunc(c.Results, func(q Quantity) bool { return q.Name == a.Name })
				if i < 0 {
					t.Fatalf("%s has no result %s", c.Name, a.Name)
				}
				q := c.Results[i]
				want := exampleValue(t, q, a.Value)
				got := out[i]
				if q.Kind == Number {
					_, symbol := cutUnit(a.Value)
					u, _ := unit.Lookup(symbol)
					want, got = u.FromSI(want), u.FromSI(got)
				}
				if !(math.Abs(got-want) <= lastPlace(a.Value)*0.5000001) && !(math.IsNaN(got) && math.IsNaN(want)) {
					t.Errorf("%s: %s is %v, the example says %s", c.Name, a.Name, got, a.Value)
				}
			}
		}
	}
}

// exampleValue reads an assignment's value: SI, or the index of an option.
func exampleValue(t *testing.T, q Quantity, text string) float64 {
	t.Helper()
	if q.Kind == Choice {
		i := slices.Index(q.Options, text)
		if i < 0 {
			t.Fatalf("%s has no option %s", q.Name, text)
		}
		return float64(i)
	}
	si, _, err := unit.Parse(text, q.Unit, "en")
	if err != nil {
		t.Fatalf("%s: %v", q.Name, err)
	}
	return si
}

func cutUnit(text string) (number, symbol string) {
	number, symbol, _ = strings.Cut(text, " ")
	return number, symbol
}

// lastPlace is the worth of the last digit written.
func lastPlace(text string) float64 {
	number, _ := cutUnit(text)
	mantissa, exponent, _ := strings.Cut(strings.ToLower(number), "e")
	_, fraction, _ := strings.Cut(mantissa, ".")
	power, _ := strconv.Atoi(exponent)
	return math.Pow10(power - len(fraction))
}
