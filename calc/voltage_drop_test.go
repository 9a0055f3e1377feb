package calc

import (
	"math"
	"testing"
)

var twoMetres = VoltageDropInputs{
	Current: 10, Length: 2, Area: 1.5e-6, Temperature: 293.15, Paths: TwoPaths, Supply: 12,
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestVoltageDropByHand(t *testing.T) {
	// 2 · 2 m · (1/58 Ω·mm²/m) / 1.5 mm² = 45.98 mΩ; times 10 A.
	out := VoltageDrop(twoMetres)
	near(t, "resistance", out.Resistance, 4/(58*1.5), 1e-14)
	near(t, "drop", out.Drop, 40/(58*1.5), 1e-14)
	near(t, "percent", out.Percent, 40/(58*1.5)/12, 1e-14)
	near(t, "load-voltage", out.LoadVoltage, 12-40/(58*1.5), 1e-14)
	near(t, "loss", out.Loss, 400/(58*1.5), 1e-14)
}

func TestVoltageDropProportions(t *testing.T) {
	base := VoltageDrop(twoMetres)
	for _, c := range []struct {
		name   string
		change func(*VoltageDropInputs)
		ratio  float64 // of the drop
	}{
		{"current twice", func(in *VoltageDropInputs) { in.Current *= 2 }, 2},
		{"length twice", func(in *VoltageDropInputs) { in.Length *= 2 }, 2},
		{"area twice", func(in *VoltageDropInputs) { in.Area *= 2 }, 0.5},
		{"back through the frame", func(in *VoltageDropInputs) { in.Paths = OnePath }, 0.5},
		{"stranded", func(in *VoltageDropInputs) { in.Construction = Stranded }, 1.02},
		{"aluminium", func(in *VoltageDropInputs) { in.Material = Aluminium }, 1 / 0.61},
		{"80 K warmer", func(in *VoltageDropInputs) { in.Temperature += 80 }, 1 + 80*0.00393},
		{"no current", func(in *VoltageDropInputs) { in.Current = 0 }, 0},
	} {
		in := twoMetres
		c.change(&in)
		near(t, c.name, VoltageDrop(in).Drop, c.ratio*base.Drop, 1e-12)
	}
}

// A cable that would need more than the supply leaves nothing, not less than
// nothing: the square of a negative voltage would heat a choke in a chain.
func TestVoltageDropBeyondSupply(t *testing.T) {
	in := twoMetres
	in.Length = 1000
	if out := VoltageDrop(in); out.LoadVoltage != 0 || out.Percent <= 1 {
		t.Errorf("load voltage %v at a drop of %v of the supply", out.LoadVoltage, out.Percent)
	}
}
