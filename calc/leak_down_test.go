package calc

import (
	"math"
	"testing"
)

func TestLeakDown(t *testing.T) {
	for _, c := range []struct {
		supply, cylinder float64 // kPa
		leakage          float64
		reading          LeakDownReading
	}{
		{550, 550, 0, Possible},
		{550, 495, 0.10, Possible},
		{550, 0, 1, Possible},
		{495, 550, math.NaN(), AboveSupply},
	} {
		out := LeakDown(LeakDownInputs{Supply: c.supply * 1e3, Cylinder: c.cylinder * 1e3, Bore: 0.07})
		if out.Reading != c.reading || !(math.Abs(out.Leakage-c.leakage) < 1e-12) && !(math.IsNaN(out.Leakage) && math.IsNaN(c.leakage)) {
			t.Errorf("%v behind %v: %+v", c.cylinder, c.supply, out)
		}
	}
}

// 690 kPa on 70 mm: 690 000 · 3.1416 / 4 · 0.0049 = 2655.43 N, whatever leaks.
func TestLeakDownForce(t *testing.T) {
	for _, cylinder := range []float64{0, 400e3, 690e3} {
		near(t, "force", LeakDown(LeakDownInputs{Supply: 690e3, Cylinder: cylinder, Bore: 0.07}).Force, 2655.43, 1e-5)
	}
}
