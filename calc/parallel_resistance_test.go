package calc

import (
	"math"
	"testing"
)

// 10, 15 and 30 Ω: 3/30 + 2/30 + 1/30 = 1/5, at 12 V 1.2 + 0.8 + 0.4 A.
func TestParallelResistanceByHand(t *testing.T) {
	in := ParallelResistanceInputs{First: 10, Second: 15, Third: math.NaN(), Fourth: 30, Supply: 12}
	out := ParallelResistance(in)
	near(t, "resistance", out.Resistance, 5, 1e-14)
	near(t, "current", out.Current, 2.4, 1e-14)
	near(t, "power", out.Power, 28.8, 1e-14)
	near(t, "first-current", out.FirstCurrent, 1.2, 1e-14)
	near(t, "second-current", out.SecondCurrent, 0.8, 1e-14)
	near(t, "fourth-current", out.FourthCurrent, 0.4, 1e-14)
	if !math.IsNaN(out.ThirdCurrent) {
		t.Errorf("current %v through a part that is not there", out.ThirdCurrent)
	}
	alone := ohm(12, 10)
	near(t, "alone", alone.Resistance, 10, 1e-14)
	near(t, "alone", alone.Current, 1.2, 1e-14)
}
