package calc

import (
	"math"
	"testing"
)

var oneReading = CompressionInputs{Reading: 700e3, Second: math.NaN(), Ambient: standardPressure, Ratio: 8, Exponent: 1.3}

func TestCompressionAmbient(t *testing.T) {
	in := oneReading
	if out := Compression(in); out.Corrected != in.Reading || out.Shortfall != 0 {
		t.Errorf("in standard air: %+v", out)
	}
	// 84.6 / 101.325 = 0.835: a sound engine reads 16.5 % low.
	in.Ambient = 84.6e3
	in.Reading = 700e3 * 84.6 / 101.325
	out := Compression(in)
	near(t, "corrected", out.Corrected, 700e3, 1e-12)
	near(t, "shortfall", out.Shortfall, 0.16506, 1e-4)
}

func TestCompressionSecond(t *testing.T) {
	for _, c := range []struct {
		name          string
		first, second float64 // kPa
		of            SecondReading
		want          float64
	}{
		{"lower cylinder", 800, 600, OtherCylinder, 0.25},
		{"the other way round", 600, 800, OtherCylinder, 0.25},
		{"alike", 700, 700, OtherCylinder, 0},
		{"one dead", 700, 0, OtherCylinder, 1},
		{"both dead", 0, 0, OtherCylinder, math.NaN()},
		{"oil seals the rings", 500, 750, WetCylinder, 0.5},
		{"oil does nothing", 500, 500, WetCylinder, 0},
		{"lower with oil", 500, 450, WetCylinder, -0.1},
		{"dead, wet alive", 0, 300, WetCylinder, math.NaN()},
		{"no second reading", 700, math.NaN(), OtherCylinder, math.NaN()},
		{"no wet reading", 700, math.NaN(), WetCylinder, math.NaN()},
	} {
		in := oneReading
		in.Reading, in.Second, in.SecondOf = c.first*1e3, c.second*1e3, c.of
		got := Compression(in).Difference
		if !(math.Abs(got-c.want) < 1e-12) && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestCompressionFinding(t *testing.T) {
	// 8^1.3 = 14.929: the gauge would show 101.325 · 13.929 = 1411.3 kPa.
	in := oneReading
	out := Compression(in)
	near(t, "ideal", out.Ideal, 1411.3e3, 1e-4)
	if out.Finding != BelowIdeal {
		t.Errorf("700 kPa: %v", out.Finding)
	}
	in.Reading = 1412e3
	if got := Compression(in).Finding; got != AboveIdeal {
		t.Errorf("1412 kPa: %v", got)
	}
	// At 80 kPa it would show 1114.3 kPa: what is read on the spot is held against that.
	in.Ambient, in.Reading = 80e3, 1110e3
	if got := Compression(in).Finding; got != BelowIdeal {
		t.Errorf("1110 kPa at 80 kPa: %v", got)
	}
	in.Decompressor = DecompressorFitted
	for _, reading := range []float64{0, 700e3, 1412e3} {
		in.Reading = reading
		if out := Compression(in); out.Finding != LimitOnly || !math.IsNaN(out.Ideal) || math.IsNaN(out.Corrected) {
			t.Errorf("with a decompressor, %v Pa: %+v", reading, out)
		}
	}
}
