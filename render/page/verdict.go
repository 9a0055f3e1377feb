package page

import (
	"math"

	"benchleaf/render/handbook"
)

// guardFactor turns a meter's bound a into the guard of a one-sided 95 %
// decision, 1.65 standard uncertainties of a/√3 each.
// Source: ISO 14253-1:2017; JCGM 100:2008, 4.3.7.
const guardFactor = 0.95

// slack is what the conversion of units may cost a reading on a limit, in
// proportion.
const slack = 1e-9

// verdict judges a value against a limit, all in the limit's unit: within or
// outside only where the bound of the meter, or what the bounds of several come
// to, leaves no doubt, else close; "" for no number or no limit. The script has
// the same rule.
func verdict(v float64, l *handbook.Limit, bound float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) || l.Min == nil && l.Max == nil {
		return ""
	}
	beyond, border := math.Inf(-1), 0.0
	if l.Min != nil {
		beyond, border = l.Min.Value-v, l.Min.Value
	}
	if l.Max != nil && v-l.Max.Value > beyond {
		beyond, border = v-l.Max.Value, l.Max.Value
	}
	guard, slack := guardFactor*bound, slack*math.Abs(border)
	switch {
	case beyond <= slack-guard:
		return "within"
	case beyond > slack+guard:
		return "outside"
	}
	return "close"
}
