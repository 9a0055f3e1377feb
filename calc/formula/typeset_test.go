package formula

import "testing"

func TestTypeset(t *testing.T) {
	for formula, want := range map[string]string{
		"supply * current":         "supply · current",
		"supply/resistance*supply": "(supply / resistance) · supply", "loss/share/2": "(loss / share) / 2", "loss*share/2": "loss · share / 2", "loss+loss/share-1/share*loss": "loss + loss / share − (1 / share) · loss",
		"loss / (supply * current) * loss":         "(loss / (supply · current)) · loss",
		"loss * (supply / load_voltage)":           "loss · (supply / load-voltage)",
		"((loss) * (2 * share))":                   "loss · 2 · share",
		"loss + (loss + loss)":                     "loss + loss + loss",
		"loss + (loss - loss)":                     "loss + loss − loss",
		"loss - (loss - loss) - loss":              "loss − (loss − loss) − loss",
		"loss * (1 - share)":                       "loss · (1 − share)",
		"-loss * -2":                               "−loss · (−2)",
		"loss - -loss":                             "loss − (−loss)",
		"-(loss + loss)":                           "−(loss + loss)",
		"-(loss * share)":                          "−(loss · share)",
		"+loss":                                    "loss",
		"pow(supply, 2) / resistance":              "supply² / resistance",
		"loss * pow(share, -2)":                    "loss · share⁻²",
		"loss * pow(1 + share, 12)":                "loss · (1 + share)¹²",
		"loss * pow(-share, 2)":                    "loss · (−share)²",
		"loss * pow(pow(share, 2), 3)":             "loss · (share²)³",
		"loss * pow(share, 0.286)":                 "loss · share^0.286",
		"loss * pow(share, 1/3)":                   "loss · share^(1 / 3)",
		"loss * pow(share, angle)":                 "loss · share^angle",
		"loss * sqrt(share)":                       "loss · √share",
		"loss * sqrt(1 + share)":                   "loss · √(1 + share)",
		"loss * pow(sqrt(share), 2)":               "loss · (√share)²",
		"loss * exp(-share / 2)":                   "loss · e^(−share / 2)",
		"loss * exp(share)":                        "loss · e^share",
		"loss * exp(2)":                            "loss · e²",
		"loss * log(share) + log10(share) * loss":  "loss · ln(share) + log₁₀(share) · loss",
		"loss * abs(1 - share)":                    "loss · |1 − share|",
		"loss * floor(share) + loss * ceil(2)":     "loss · ⌊share⌋ + loss · ⌈2⌉",
		"min(loss, 2 * loss, loss + loss)":         "min(loss, 2 · loss, loss + loss)",
		"loss * sin(angle) * pi * atan(1)":         "loss · sin(angle) · π · atan(1)",
		"loss * copysign(1, share)":                "loss · copysign(1, share)",
		"loss * 1.5e-3 + loss / 2E+6 + loss * 1e3": "loss · 1.5 · 10⁻³ + loss / (2 · 10⁶) + loss · 10³",
		"choose(share > 0.5, loss, 0)":             "loss if share > 0.5, else 0",
		"2 * choose(share >= 0.5, loss, 0)":        "2 · (loss if share ≥ 0.5, else 0)",
		"choose(share <= 0.5, loss, choose(share == 1 || angle != 1, 0, loss + loss))": "loss if share ≤ 0.5, else 0 if share = 1 or angle ≠ 1, else loss + loss",
		"choose(share > 0, choose(share < 1, loss, 0), 0)":                             "(loss if share < 1, else 0) if share > 0, else 0",
		"choose(!(share > 0 && angle > 1) && (share < 1 || angle < 1), loss, 0)":       "loss if not (share > 0 and angle > 1) and (share < 1 or angle < 1), else 0",
		"loss -\n\tloss": "loss − loss",
	} {
		c := newCompiler(bench(t, formula))
		if !c.sound() {
			t.Errorf("%s: %+v", formula, c.problems)
			continue
		}
		if got := typeset(c.formulas[1]); got != want {
			t.Errorf("%s\n got %s\nwant %s", formula, got, want)
		}
	}
}
