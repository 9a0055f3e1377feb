package calc

import (
	"math"
	"testing"
)

// 1,000 rpm without load, 900 with it, rated 950: a fall of 100.
func TestGovernorDroopByHand(t *testing.T) {
	in := GovernorDroopInputs{NoLoad: 1000, FullLoad: 900, Rated: 950, Load: 0.25, Wanted: 0.1}
	out := GovernorDroop(in)
	near(t, "on full load", out.OnFullLoad, 1.0/9, 1e-14)
	near(t, "on rated", out.OnRated, 2.0/19, 1e-14)
	near(t, "on no load", out.OnNoLoad, 0.1, 1e-14)
	near(t, "load-speed", out.LoadSpeed, 975, 1e-14)
	near(t, "wanted-no-load", out.WantedNoLoad, 990, 1e-14)
	in.Rated = math.NaN()
	near(t, "on rated, not given", GovernorDroop(in).OnRated, 1.0/9, 1e-14)
}

// Setting the no-load speed for a droop gives that droop.
func TestGovernorDroopThereAndBack(t *testing.T) {
	for wanted := 0.0; wanted <= 0.2; wanted += 0.01 {
		set := GovernorDroop(GovernorDroopInputs{NoLoad: 1, FullLoad: 60, Rated: math.NaN(), Wanted: wanted}).WantedNoLoad
		got := GovernorDroop(GovernorDroopInputs{NoLoad: set, FullLoad: 60, Rated: math.NaN()}).OnFullLoad
		if math.Abs(got-wanted) > 1e-14 {
			t.Errorf("droop %v, wanted %v", got, wanted)
		}
	}
}
