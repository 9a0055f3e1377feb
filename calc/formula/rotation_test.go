package formula

import (
	"slices"
	"testing"
)

// A revolution is 2π rad, so that P = 2π n T: 1 N·m at 60 rpm are 6.28 W, and 1
// rad/s is 9.55 rpm.
func TestRotation(t *testing.T) {
	speed := "rpm counts revolutions: write 2 * pi * speed for the angular speed."
	result := "rpm counts revolutions: divide the angular speed by 2 * pi for `result`."
	cases := []struct {
		formula, symbol string
		mend            string // "" where nothing is wrong, or where that is not known
	}{
		{"speed * torque", "W", speed},
		{"torque * share * speed", "kW", speed},
		{"work_rate", "W", "rpm counts revolutions: write 2 * pi * work_rate."}, // a value that is speed * torque
		{"-work_rate / share", "W", "rpm counts revolutions: write 2 * pi * work_rate."},
		{"pull", "N·m", "rpm counts revolutions: write pull / (2 * pi)."}, // a value that is power / speed
		{"power / speed", "N·m", speed},
		{"speed * torque / power", "%", speed},
		{"power / torque", "rpm", result},
		{"omega", "rpm", result},
		{"speed", "rad/s", speed},
		{"speed * delay", "deg", speed},
		{"angle / speed", "ms", speed},
		{"angle / delay", "rpm", result},
		{"speed * per_turn", "W", speed}, // J/rev is J in 2π rad

		{"2 * pi * speed * torque", "W", ""},
		{"2 * pi * work_rate", "W", ""},
		{"turning * torque", "W", ""},      // a value that is 2 * pi * speed
		{"turn * speed * torque", "W", ""}, // a constant of 1 rev
		{"two_pi * speed * torque", "W", ""},
		{"speed * torque / 0.159155", "W", ""},
		{"omega * torque", "W", ""},
		{"power / omega", "N·m", ""},
		{"torque * angle", "J", ""},
		{"2 * pi * speed", "rad/s", ""},
		{"omega / (2 * pi)", "rpm", ""},
		{"angle / turn / delay", "rpm", ""},
		{"turn * speed * delay", "deg", ""},
		{"speed / 60", "Hz", ""},
		{"speed * teeth", "Hz", ""},
		{"speed * teeth", "rpm", ""}, // a ratio of gears
		{"speed * delay", "", ""},    // revolutions
		{"power / speed", "J", ""},   // of one revolution
		{"speed * length", "m/s", ""},
		{"speed - speed / teeth", "rpm", ""},
		{"pulses / teeth", "rpm", ""},
		{"constant * speed", "V", ""},
		{"max(speed, 0)", "rpm", ""},
	}
	for _, c := range cases {
		problems := rotating(t, c.formula, c.symbol)
		var want []Problem
		if c.mend != "" {
			want = []Problem{{Dimensions, InResults, 0, 0, len(c.formula), "`" + c.formula + "` lacks a factor of 2 * pi; `result` says " + c.symbol, c.mend}}
		}
		if !slices.Equal(problems, want) {
			t.Errorf("%s in %s\n got %+v\nwant %+v", c.formula, c.symbol, problems, want)
		}
	}

	// A result may be the 2π of another, and is what its unit says.
	engine := Definition{
		Inputs: []Input{{"speed", find(t, "rpm"), 1000, 4000, 3000}, {"torque", find(t, "N·m"), 1, 20, 10}},
		Results: []Result{{"factor", find(t, ""), "2 * pi"}, {"power", find(t, "W"), "factor * speed * torque"},
			{"half", find(t, "rpm"), "0.5 * speed"}, {"at-half", find(t, "W"), "half * torque"}},
	}
	want := []Problem{{Dimensions, InResults, 3, 0, 13, "`half * torque` lacks a factor of 2 * pi; `at-half` says W", "rpm counts revolutions: write 2 * pi * half for the angular speed."}}
	if _, got := Compile(engine); !slices.Equal(got, want) {
		t.Errorf("results\n got %+v\nwant %+v", got, want)
	}

	for formula, want := range map[string]string{
		"speed + omega":                      "`speed` and `omega` are apart by a factor of 2 * pi; they cannot be added",
		"choose(omega > speed, speed, 0)":    "`omega` and `speed` are apart by a factor of 2 * pi; they cannot be compared",
		"max(power, speed * torque) / delay": "`power` and `speed * torque` are apart by a factor of 2 * pi; they cannot be compared by max",
	} {
		problems := rotating(t, formula, "rpm")
		if len(problems) != 1 || problems[0].Message != want || problems[0].Mend != speed {
			t.Errorf("%s\n got %+v\nwant %s", formula, problems, want)
		}
	}
}

// rotating returns the problems of a result that is computed from an engine's
// figures, but for what it does not use.
func rotating(t *testing.T, formula, symbol string) []Problem {
	_, problems := Compile(Definition{
		Inputs: []Input{
			{"speed", find(t, "rpm"), 1000, 4000, 3000}, {"omega", find(t, "rad/s"), 10, 400, 300}, {"torque", find(t, "N·m"), 1, 20, 10},
			{"power", find(t, "kW"), 1, 10, 3}, {"share", find(t, "%"), 10, 100, 80}, {"delay", find(t, "ms"), 1, 10, 2}, {"angle", find(t, "deg"), 1, 30, 20},
			{"per-turn", find(t, "J/rev"), 1, 100, 10}, {"length", find(t, "mm"), 1, 100, 50}, {"pulses", find(t, "Hz"), 1, 100, 50}, {"constant", find(t, "V/rpm"), 1, 100, 50},
			{"teeth", find(t, ""), 2, 60, 24},
		},
		Constants: []Constant{{"turn", find(t, "rev"), 1}, {"two-pi", find(t, ""), 6.2832}},
		Values:    []Value{{"work-rate", "speed * torque"}, {"turning", "2 * pi * speed"}, {"pull", "power / speed"}},
		Results:   []Result{{"result", find(t, symbol), formula}},
	})
	return slices.DeleteFunc(problems, func(p Problem) bool { return p.Fault == Unused })
}
