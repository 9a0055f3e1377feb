package formula

import (
	"slices"
	"testing"
)

// trouble compiles a result of bench in W and returns what is said of its value.
func trouble(t *testing.T, formula string) []Problem {
	t.Helper()
	_, problems := Compile(bench(t, formula))
	return slices.DeleteFunc(problems, func(p Problem) bool { return p.Fault == Unused })
}

// What looks like trouble at first sight and is none.
func TestGuards(t *testing.T) {
	for _, formula := range []string{
		"choose(share > 0, loss / share, 0)",
		"choose(share != 0, loss / share, 0)",
		"choose(share == 0, 0, loss / share)",
		"choose(0 == share, 0, loss / share)",
		"choose(!(share <= 0), loss / share, 0)",
		"choose(share <= 0, 0, 10 / share * loss)",
		"choose(share != 0.5, loss / (share - 0.5), 0)",
		"choose(share > 0 && angle > 1, loss * log(share) / log(angle), 0)",
		"choose(share <= 0 || angle <= 1, 0, loss * log(share) / log(angle))",
		"choose(share < 0.2 || share > 0.3, loss / (share - 0.25), 0)",
		"choose(!(share < 0.2) && share <= 0.3, 0, loss / (share - 0.25))",
		"choose(share > 0 && 1 / share > 3, loss, 0)",
		"choose(share <= 0 || 1 / share > 3, loss, 0)",
		"choose(share > angle, loss * sqrt(share - angle), 0)",
		"choose(share > angle, loss / (angle - share), 0)",
		"choose(share != angle, loss / (angle - share), 0)",
		"choose(share - angle > 0, loss * log(share - angle), 0)",
		"choose(share * angle > 0.1, loss / (share * angle), 0)",
		"choose(abs(share - 0.5) > 0.01, loss / (share - 0.5), 0)",
		"choose(share > 0.2, choose(share < 0.8, loss / (share - 0.1) / (share - 0.9), 0), 0)",
		"loss / choose(share > 0, share, 1)",
		"loss / max(share, 1e-3)",
		"loss * sqrt(share * share + angle * angle)",
		"loss * sqrt(share - share)",
		"loss / (share * share - 0.5 * share + 1)",
		"loss * sqrt(pow(share - 0.5, 2))",
		"loss * sqrt(pow(share - 0.5, 4))",
		"loss * sqrt(1 - pow(sin(angle), 2))",
		"loss * sqrt(pow(cos(angle), 2))",
		"loss * log(2 + cos(angle))",
		"loss * pow(share, 1.7)",
		"loss / (share + 1e-3)",
		"loss * exp(-angle / (share + 0.5))",
		"loss / (floor(angle) + 1)",
		"loss / (angle + 1 - 0.5 * angle)", // found by cutting the range
		"pow(supply, 2) / (supply - 5 / 12 * supply) * current",
	} {
		if got := trouble(t, formula); len(got) > 0 {
			t.Errorf("%s\n%+v", formula, got)
		}
	}
}

func TestDoubts(t *testing.T) {
	for formula, want := range map[string]Problem{
		"loss / cos(angle)": {DomainDoubt, InResults, 0, 0, 17,
			"near supply 12 V, current 2 A and angle 90 deg `cos(angle)` passes through 0, and `loss / cos(angle)` grows beyond all bounds",
			"`cos(angle)` must not be 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
		// A jump stays in every part that the range is cut into.
		"loss * exp(1000 * (floor(share * 3.7) - floor(share * 3.7 * 1)))": {DomainDoubt, InResults, 0, 7, 64,
			"it could not be excluded that `exp(1000 * (floor(share * 3.7) - floor(share * 3.7 * 1)))` has no value for some entries",
			"The value must not be too large for a number: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
		"choose(share > 0, loss * log(1.5 + floor(1 / share) - floor(1 / share * 1)), 0)": {DomainDoubt, InResults, 0, 25, 75,
			"it could not be excluded that `log(1.5 + floor(1 / share) - floor(1 / share * 1))` has no value for some entries",
			"`1.5 + floor(1 / share) - floor(1 / share * 1)` must be above 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	} {
		if got := trouble(t, formula); len(got) != 1 || got[0] != want {
			t.Errorf("%s\n got %+v\nwant %+v", formula, got, want)
		}
	}
}

// Samples that a search must find, in words as short as they can be.
func TestSamples(t *testing.T) {
	for formula, want := range map[string]string{
		"loss / (share - angle)":    "with share 0 %, angle 0 deg and the rest at the start `loss / (share - angle)` has no value",
		"loss / (share * 3 - 1.11)": "near supply 12 V, current 2 A and share 37 % `loss / (share * 3 - 1.11)` has no value",
		"loss / (pow(share - 0.3, 2) + pow(length / length + share - 1.3, 2))": "with share 30 % and the rest at the start `loss / (pow(share - 0.3, 2) + pow(length / length + share - 1.3, 2))` has no value",
		"loss * sqrt(pow(share - 0.37, 2) - 1e-6)":                             "with share 37 % `sqrt(pow(share - 0.37, 2) - 1e-6)` has no value",
		"loss * log(0.999 - sin(angle))":                                       "with angle 90 deg `log(0.999 - sin(angle))` has no value",
		"loss * exp(1 / choose(share > 0, share, 1))":                          "with share 0.1 % `exp(1 / choose(share > 0, share, 1))` has no value",
	} {
		if got := trouble(t, formula); len(got) != 1 || got[0].Fault != Domain || got[0].Message != want {
			t.Errorf("%s\n%+v", formula, got)
		}
	}
}

// A guard keeps out what its comparison keeps out, and no more: each is tried with
// the divisor's zero at its bound, in both branches.
func TestGuardBounds(t *testing.T) {
	const quotient = "loss / (share - 0.5)"
	for op, holds := range map[string]bool{"<": false, "<=": true, ">": false, ">=": true, "==": true, "!=": false} {
		for _, bound := range []string{"share " + op + " 0.5", "!(share " + opposite[op] + " 0.5)"} {
			for formula, fails := range map[string]bool{
				"choose(" + bound + ", " + quotient + ", 0)": holds,
				"choose(" + bound + ", 0, " + quotient + ")": !holds,
			} {
				got := trouble(t, formula)
				if fails != (len(got) == 1 && got[0].Fault == Domain) || !fails && len(got) > 0 {
					t.Errorf("%s: %+v", formula, got)
				}
			}
		}
	}
}
