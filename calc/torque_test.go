package calc

import (
	"math"
	"testing"
)

func TestTorque(t *testing.T) {
	const degree = math.Pi / 180
	for _, c := range []struct {
		extension, angle float64 // mm, degrees
		setting          float64 // of 20 N·m, with 300 mm
		advice           WrenchSetting
	}{
		{0, 0, 20, SetSame},
		{100, 0, 15, SetLower}, // 300 / 400
		{100, 60, 20 * 300.0 / 350, SetLower},
		{100, 90, 20, SetSame},
		{1000, 90, 20, SetSame},
		{100, 120, 24, SetHigher}, // 300 / 250
		{100, 180, 30, SetHigher}, // 300 / 200
		{300, 180, math.NaN(), NoSetting},
		{400, 180, math.NaN(), NoSetting},
	} {
		out := Torque(TorqueInputs{Torque: 20, Wrench: 0.3, Extension: c.extension / 1000, Angle: c.angle * degree})
		if out.Advice != c.advice {
			t.Errorf("%v mm at %v°: advice %v, want %v", c.extension, c.angle, out.Advice, c.advice)
		}
		if math.IsNaN(c.setting) {
			if !math.IsNaN(out.Setting) || !math.IsNaN(out.Force) || !math.IsNaN(out.Uncorrected) {
				t.Errorf("%v mm at %v°: %+v", c.extension, c.angle, out)
			}
			continue
		}
		near(t, "setting", out.Setting, c.setting, 1e-12)
		near(t, "force", out.Force, c.setting/0.3, 1e-12)
		near(t, "uncorrected", out.Uncorrected*out.Setting, 20*20, 1e-12) // what one takes the other gives
	}
}
