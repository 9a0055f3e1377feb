package calc

import (
	"math"
	"testing"
)

// Two equal layers: κ = 3/2 · Δα · ΔT / h. With Δα = 20e-6 /K the flexivity is
// 30e-6 /K; 50 K on 0.5 mm give 3 /m.
func TestBimetalByHand(t *testing.T) {
	in := BimetalInputs{
		Shape: Cantilever, Length: 0.1, Thickness: 0.5e-3, Change: 50,
		Flexivity: math.NaN(), Expansion: 20e-6, ThicknessRatio: 1, StiffnessRatio: 1,
	}
	out := Bimetal(in)
	near(t, "flexivity-used", out.FlexivityUsed, 30e-6, 1e-14)
	near(t, "curvature", out.Curvature, 3, 1e-14)
	near(t, "deflection", out.Deflection, 0.015, 1e-14) // 3 · 0.1² / 2
	near(t, "rotation", out.Rotation, 0.3, 1e-14)
	in.Shape = SimpleBeam
	near(t, "deflection between supports", Bimetal(in).Deflection, 0.00375, 1e-14) // 3 · 0.1² / 8
	in.Shape = Spiral
	if out := Bimetal(in); !math.IsNaN(out.Deflection) || math.Abs(out.Rotation-0.3) > 1e-14 {
		t.Errorf("spiral: deflection %v, rotation %v", out.Deflection, out.Rotation)
	}
	in.Flexivity = 15e-6 // counts before the layers
	near(t, "curvature by flexivity", Bimetal(in).Curvature, 1.5, 1e-14)
	in.Change = -50
	near(t, "curvature when it cools", Bimetal(in).Curvature, -1.5, 1e-14)
}

// Which of the layers comes first does not matter.
func TestBimetalLayersExchanged(t *testing.T) {
	for _, m := range []float64{0.05, 0.3, 1, 2.5, 20} {
		for _, n := range []float64{0.05, 0.7, 1, 1.6, 20} {
			one := Bimetal(BimetalInputs{Flexivity: math.NaN(), Expansion: 1, ThicknessRatio: m, StiffnessRatio: n})
			other := Bimetal(BimetalInputs{Flexivity: math.NaN(), Expansion: 1, ThicknessRatio: 1 / m, StiffnessRatio: 1 / n})
			near(t, "flexivity", one.FlexivityUsed, other.FlexivityUsed, 1e-12)
			if one.FlexivityUsed > 1.5 {
				t.Errorf("m = %v, n = %v: %v, more than the best pair of layers gives", m, n, one.FlexivityUsed)
			}
		}
	}
}

// Where the ends turn by 20° the parabola gives 1 % more than the arc,
// (1 − cos θ) / κ.
func TestBimetalSmallDeflection(t *testing.T) {
	out := Bimetal(BimetalInputs{Length: 1, Thickness: 1, Change: 1, Flexivity: 20 * math.Pi / 180})
	arc := (1 - math.Cos(out.Rotation)) / out.Curvature
	if over := out.Deflection/arc - 1; math.Abs(over-0.01) > 0.001 {
		t.Errorf("%v too large", over)
	}
}
