package calc

import (
	"math"
	"testing"
)

// The two ends of a blend are its parts, and each fuel by name is its molecule.
func TestMixtureFuels(t *testing.T) {
	near(t, "no ethanol", Mixture(MixtureInputs{Fuel: Gasoline}).Stoichiometric, 14.7, 1e-12)
	near(t, "all ethanol", Mixture(MixtureInputs{Fuel: Gasoline, Share: 1}).Stoichiometric,
		Mixture(MixtureInputs{Fuel: Ethanol}).Stoichiometric, 1e-12)
	for _, c := range []struct {
		fuel    Fuel
		c, h, o float64
	}{{Ethanol, 2, 6, 1}, {Methanol, 1, 4, 1}, {Methane, 1, 4, 0}, {Propane, 3, 8, 0}, {Butane, 4, 10, 0}} {
		byName := Mixture(MixtureInputs{Fuel: c.fuel}).Stoichiometric
		byAtoms := Mixture(MixtureInputs{Fuel: Composition, Carbon: c.c, Hydrogen: c.h, Oxygen: c.o}).Stoichiometric
		near(t, "fuel", byName, byAtoms, 0)
	}
}

// A mixture of 14.7 has λ = 1 on gasoline and is 4.3 % lean on E10. E85 has
// 670.65 kg of ethanol and 111.75 kg of gasoline in a cubic metre, a ratio of
// 9.815: a carburettor for gasoline would run half again as lean.
func TestMixtureBlends(t *testing.T) {
	for _, c := range []struct {
		share, leaner float64
		state         MixtureState
	}{{0, 0, Stoichiometric}, {0.10, 0.0426, Lean}, {0.85, 0.4977, Lean}} {
		out := Mixture(MixtureInputs{Ratio: 14.7, Fuel: Gasoline, Share: c.share, Set: 14.7})
		if math.Abs(out.Leaner-c.leaner) > 5e-4 || out.State != c.state {
			t.Errorf("%v of ethanol: %+v, want %v leaner", c.share, out, c.leaner)
		}
	}
}

func TestMixtureState(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  MixtureState
	}{{9.94, Rich}, {9.96, Stoichiometric}, {10, Stoichiometric}, {10.04, Stoichiometric}, {10.06, Lean}} {
		if got := Mixture(MixtureInputs{Ratio: c.ratio, Fuel: OwnRatio, Own: 10}).State; got != c.want {
			t.Errorf("%v of 10: %v, want %v", c.ratio, got, c.want)
		}
	}
}

// Water, carbon dioxide and nothing at all are no fuels.
func TestMixtureNoFuel(t *testing.T) {
	for _, c := range [][3]float64{{0, 2, 1}, {1, 0, 2}, {0, 0, 0}} {
		out := Mixture(MixtureInputs{Ratio: 14, Fuel: Composition, Carbon: c[0], Hydrogen: c[1], Oxygen: c[2], Set: 14.7})
		if out.State != NoFuel || !math.IsNaN(out.Stoichiometric) || !math.IsNaN(out.Lambda) || !math.IsNaN(out.Leaner) {
			t.Errorf("%v: %+v", c, out)
		}
	}
}
