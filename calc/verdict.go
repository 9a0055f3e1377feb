package calc

import "benchleaf/calc/elementary"

// Verdict is the finding on a reading against its limits.
type Verdict int

const (
	Within    Verdict = iota // conformity proved
	Outside                  // nonconformity proved
	Close                    // too close to call with this meter
	NoReading                // nothing was measured
	Doubtful                 // the meter may be set for something else
)

// guardFactor turns the accuracy of a meter, a bound a, into the guard of a
// one-sided 95 % decision: 1.65 standard uncertainties of a/√3 each.
// Source: ISO 14253-1:2017; JCGM 100:2008, 4.3.7; JCGM 106:2012.
const guardFactor = 0.95

// judge decides on a deviation from nominal by the rule of ISO 14253-1: within
// or outside only where the meter's accuracy leaves no doubt, on either side.
// A reading on the limit itself, with a meter taken as exact, is within; slack
// is what the conversion of units may have cost.
func judge(deviation, tolerance, accuracy, slack float64) Verdict {
	if elementary.IsNaN(deviation) {
		return NoReading
	}
	distance := elementary.Abs(deviation)
	guard := float64(guardFactor * accuracy)
	if distance <= tolerance-guard+slack {
		return Within
	}
	if distance > tolerance+guard+slack {
		return Outside
	}
	return Close
}
