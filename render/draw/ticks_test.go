package draw

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		want   []float64
		step   float64
	}{
		{0, 240, []float64{0, 50, 100, 150, 200}, 50},
		{0, 0.3, []float64{0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3}, 0.05},
		{-40, 85, []float64{-40, -20, 0, 20, 40, 60, 80}, 20},
		{1800, 3600, []float64{2000, 2500, 3000, 3500}, 500},
		// A step of 2 would make eight, one of 5 three.
		{2, 16, []float64{2.5, 5, 7.5, 10, 12.5, 15}, 2.5},
		{-1e-6, 1e-6, []float64{-1e-6, -5e-7, 0, 5e-7, 1e-6}, 5e-7},
	} {
		got, step := ticks(c.lo, c.hi)
		if !slices.Equal(got, c.want) || step != c.step {
			t.Errorf("%v to %v: %v by %v, want %v by %v", c.lo, c.hi, got, step, c.want, c.step)
		}
		if i := slices.Index(got, 0); i >= 0 && math.Signbit(got[i]) {
			t.Errorf("%v to %v: zero has a sign", c.lo, c.hi)
		}
	}
}

// TestTicksOfAnyRange holds on ranges of any size that there are 4 to 7 ticks
// in it, one step apart, and that a range with nice ends has ticks at both.
func TestTicksOfAnyRange(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 200000 {
		lo := r.NormFloat64() * math.Pow10(r.IntN(40)-20)
		hi := lo + math.Abs(lo)*math.Pow(10, -5+r.Float64()*10)
		if !wide(lo, hi) {
			continue
		}
		values, step := ticks(lo, hi)
		if len(values) < 4 || len(values) > 7 || values[0] < lo || values[len(values)-1] > hi {
			t.Fatalf("%v to %v: %v", lo, hi, values)
		}
		for i, v := range values {
			if k := v / step; math.Abs(k-math.Round(k)) > 1e-5 || i > 0 && math.Abs((v-values[i-1])/step-1) > 1e-5 {
				t.Fatalf("%v to %v by %v: %v", lo, hi, step, values)
			}
		}
		from, to := niceRange(lo, hi)
		all, step := ticks(from, to)
		if len(all) < 4 || len(all) > 7 || all[0] != from || all[len(all)-1] != to || from > lo+step/1e5 || to < hi-step/1e5 || lo-from >= step || to-hi >= step {
			t.Fatalf("%v to %v opens to %v to %v: %v", lo, hi, from, to, all)
		}
	}
}

func TestDecimals(t *testing.T) {
	for step, want := range map[float64]int{1: 0, 2.5: 1, 50: 0, 1e6: 0, 0.2: 1, 0.1 + 0.2: 1, 0.25: 2, 5e-7: 7, 1e-12: 12, 1e-20: 12} {
		if got := Decimals(step); got != want {
			t.Errorf("%v: %d, want %d", step, got, want)
		}
	}
}

// TestUnitsOfAnAxis places ticks of the other system. Sources: 1 ft is 0.3048 m
// (NIST SP 811, B.8); 50 °F is 10 °C, 68 °F is 20 °C (by its definition there).
// 10 AWG is 101.9 mil thick, 5.26 mm², and 20 AWG 32.0 mil, 0.519 mm² (ASTM B258,
// Table 1, from memory). The table rounds to 0.1 mil: half of it in 32.0 is
// 0.16 % of the thickness and 0.32 % of the area.
func TestUnitsOfAnAxis(t *testing.T) {
	of := func(symbol string, convert func(float64) float64) Axis {
		return Axis{Label: "x", Units: []AxisUnit{{Symbol: "first", Format: decimals}, {Symbol: symbol, Convert: convert, Format: decimals}}}
	}
	for _, c := range []struct {
		axis    Axis
		lo, hi  float64
		text    string
		at, tol float64
	}{
		{of("ft", func(m float64) float64 { return m / 0.3048 }), 0, 20, "50", 15.24, 1e-9},
		{of("°F", func(c float64) float64 { return c*1.8 + 32 }), 0, 30, "50", 10, 1e-9},
		{of("°F", func(c float64) float64 { return c*1.8 + 32 }), 0, 30, "70", 21.0 + 1.0/9, 1e-9},
		{of("AWG", gauge), 0.3, 6, "10", 5.26, 0.0032 * 5.26},
		{of("AWG", gauge), 0.3, 6, "20", 0.519, 0.0032 * 0.519},
	} {
		s := c.axis.scales(c.lo, c.hi)[1]
		i := slices.IndexFunc(s.ticks, func(t tick) bool { return t.text == c.text })
		if i < 0 || math.Abs(s.ticks[i].at-c.at) > c.tol {
			t.Errorf("%v: %v, want %s at %v", s.label, s.ticks, c.text, c.at)
		}
	}
}

// TestUnitOutOfReach: a unit that has no value at an end has its label only.
func TestUnitOutOfReach(t *testing.T) {
	a := Axis{Label: "Size", Units: []AxisUnit{{Symbol: "mm²", Format: decimals}, {Symbol: "AWG", Convert: gauge, Format: decimals}}}
	s := a.scales(0, 6)[1]
	if len(s.ticks) != 0 || !slices.Equal(s.label, []string{"Size, AWG"}) {
		t.Errorf("%+v", s)
	}
}
