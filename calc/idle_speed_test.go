package calc

import (
	"math"
	"testing"
)

// idle runs idle-speed on numbers in rpm.
func idle(measured, nominal, tolerance, accuracy float64) IdleSpeedResults {
	c, _ := Find("idle-speed")
	rpm := c.Inputs[0].ToSI
	return IdleSpeed(IdleSpeedInputs{
		Measured: rpm(measured), Frequency: math.NaN(), Pulses: OnePulse, Specification: GovernedIdle,
		Nominal: rpm(nominal), Tolerance: rpm(tolerance), Accuracy: rpm(accuracy),
	})
}

func TestIdleSpeedVerdict(t *testing.T) {
	for _, c := range []struct {
		measured, nominal, tolerance, accuracy float64
		want                                   Verdict
	}{
		// A meter taken as exact leaves nothing open; the limits are within.
		{1850, 1750, 100, 0, Within}, {1650, 1750, 100, 0, Within},
		{1850.1, 1750, 100, 0, Outside}, {1649.9, 1750, 100, 0, Outside},
		// The guard is 0.95 of the accuracy on either side: 19 rpm of 20.
		{1831, 1750, 100, 20, Within}, {1831.1, 1750, 100, 20, Close}, {1850, 1750, 100, 20, Close},
		{1869, 1750, 100, 20, Close}, {1869.1, 1750, 100, 20, Outside},
		{1669, 1750, 100, 20, Within}, {1668.9, 1750, 100, 20, Close}, {1631, 1750, 100, 20, Close}, {1630.9, 1750, 100, 20, Outside},
		// A meter coarser than the tolerance can condemn and never clear.
		{1750, 1750, 10, 50, Close}, {1800, 1750, 10, 50, Close}, {1808, 1750, 10, 50, Outside},
		{1750, 1750, 0, 0, Within},
	} {
		if got := idle(c.measured, c.nominal, c.tolerance, c.accuracy); got.Verdict != c.want {
			t.Errorf("%v of %v ± %v, accuracy %v: %v, want %v", c.measured, c.nominal, c.tolerance, c.accuracy, got.Verdict, c.want)
		}
	}
}

// Converting rpm to revolutions a second costs no limit its verdict.
func TestIdleSpeedOnTheLimit(t *testing.T) {
	for nominal := 800.0; nominal <= 4000; nominal += 7 {
		for tolerance := 5.0; tolerance < 400; tolerance += 13 {
			for _, measured := range []float64{nominal + tolerance, nominal - tolerance} {
				if got := idle(measured, nominal, tolerance, 0); got.Verdict != Within {
					t.Errorf("%v of %v ± %v: %v, want within", measured, nominal, tolerance, got.Verdict)
				}
			}
		}
	}
}

func TestIdleSpeedHint(t *testing.T) {
	for _, c := range []struct {
		measured, nominal, tolerance float64
		want                         Mismatch
	}{
		{875, 1750, 100, ReadsHalf}, {800, 1750, 100, ReadsHalf}, {960, 1750, 100, ReadsHalf},
		{780, 1750, 100, NoMismatch}, {970, 1750, 100, NoMismatch},
		{3500, 1750, 100, ReadsDouble}, {3200, 1750, 100, ReadsDouble}, {3800, 1750, 100, ReadsDouble},
		{3100, 1750, 100, NoMismatch}, {3900, 1750, 100, NoMismatch},
		{7200, 3600, 100, ReadsDouble},
		{1750, 1750, 100, NoMismatch}, {1900, 1750, 100, NoMismatch}, {0, 1750, 100, NoMismatch},
		{875, 1750, 1000, NoMismatch}, // within so wide a tolerance
	} {
		got := idle(c.measured, c.nominal, c.tolerance, 0)
		if got.Hint != c.want {
			t.Errorf("%v of %v ± %v: hint %v, want %v", c.measured, c.nominal, c.tolerance, got.Hint, c.want)
		}
		if (got.Verdict == Doubtful) != (c.want != NoMismatch) {
			t.Errorf("%v of %v ± %v: verdict %v with hint %v", c.measured, c.nominal, c.tolerance, got.Verdict, got.Hint)
		}
	}
}

func TestIdleSpeedReading(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name                string
		measured, frequency float64 // 1/s
		pulses              Pulses
		speed               float64 // 1/s
		verdict             Verdict
	}{
		{"measured", 30, nan, OnePulse, 30, Within},
		{"measured counts before frequency", 30, 99, TwoPulses, 30, Within},
		{"magneto", nan, 30, OnePulse, 30, Within},
		{"camshaft", nan, 15, HalfPulse, 30, Within},
		{"two pulses", nan, 60, TwoPulses, 30, Within},
		{"stopped", 0, nan, OnePulse, 0, Outside},
		{"nothing", nan, nan, OnePulse, nan, NoReading},
	} {
		for _, specification := range []NoLoadSpeed{ThrottleStop, GovernedIdle, TopNoLoad} {
			out := IdleSpeed(IdleSpeedInputs{
				Measured: c.measured, Frequency: c.frequency, Pulses: c.pulses, Specification: specification, Nominal: 30, Tolerance: 1,
			})
			if out.Speed != c.speed && !(math.IsNaN(out.Speed) && math.IsNaN(c.speed)) || out.Verdict != c.verdict || out.Condition != specification {
				t.Errorf("%s: %+v, want speed %v and verdict %v", c.name, out, c.speed, c.verdict)
			}
		}
	}
}
