package calc

import (
	"math"
	"testing"
)

// A pump and its published sizes, ABYC E-11 11.14.2.6: K = 10.75 Ω·cmil/ft is
// copper at 29.3 °C. 16 AWG is named for 1,881 cmil, though 17 AWG, which
// nobody makes as cable, would do; 8 AWG for 16,125 cmil.
func TestWireSizePublished(t *testing.T) {
	for _, c := range []struct{ current, feet, want float64 }{
		{10, 10.5, 1.308695727755263e-06}, {45, 20, 8.365564060081021e-06},
	} {
		out := WireSize(WireSizeInputs{Current: c.current, Length: c.feet * foot, Allowed: 1.2, Temperature: 273.15 + 29.3, Paths: TwoPaths})
		if out.Gauge != c.want {
			t.Errorf("%v A over %v ft: %v m², want %v", c.current, c.feet, out.Gauge, c.want)
		}
	}
}

// What is found holds the drop by voltage-drop's own reckoning, and the next
// thinner size does not.
func TestWireSizeHoldsTheDrop(t *testing.T) {
	for current := 0.5; current < 300; current *= 1.37 {
		for length := 0.3; length < 40; length *= 1.9 {
			in := WireSizeInputs{
				Current: current, Length: length, Allowed: 0.3, Material: Aluminium, Construction: Stranded, Temperature: 330, Paths: TwoPaths,
			}
			drop := func(area float64) float64 {
				return VoltageDrop(VoltageDropInputs{
					Current: current, Length: length, Area: area, Material: Aluminium, Construction: Stranded, Temperature: 330, Paths: TwoPaths, Supply: 12,
				}).Drop
			}
			out := WireSize(in)
			for _, series := range []struct {
				name         string
				sizes        []float64
				chosen, drop float64
			}{{"gauge", gaugeAreas[:], out.Gauge, out.GaugeDrop}, {"metric", metricAreas[:], out.Metric, out.MetricDrop}} {
				thinner := math.NaN()
				for _, area := range series.sizes {
					if math.IsNaN(series.chosen) || area < series.chosen {
						thinner = area
					}
				}
				if !math.IsNaN(series.chosen) {
					near(t, series.name, series.drop, drop(series.chosen), 1e-12)
					if series.drop > in.Allowed*(1+1e-8) {
						t.Errorf("%s: %v A over %v m: drop %v", series.name, current, length, series.drop)
					}
				}
				if drop(thinner) <= in.Allowed {
					t.Errorf("%s: %v A over %v m: %v m² would do", series.name, current, length, thinner)
				}
			}
		}
	}
}

func TestWireSizeOutcomes(t *testing.T) {
	// 1/58 Ω·mm²/m: 58 A over a metre lose A⁻¹ volts with an area of A mm².
	ask := func(allowed float64) WireSizeResults {
		return WireSize(WireSizeInputs{Current: 58, Length: 1, Allowed: allowed, Temperature: 293.15})
	}
	for _, c := range []struct {
		allowed float64
		gauge   float64 // mm²
		metric  float64 // mm²
		outcome Sizing
	}{
		{1 / 1.5, 2.0809077170983776, 1.5, BothSeries},          // a size that is just thick enough is taken
		{1 / 2.0809077173, 2.0809077170983776, 2.5, BothSeries}, // and one that a conversion has made too thin by a trifle
		{1 / 1.501, 2.0809077170983776, 2.5, BothSeries},
		{1 / 107.2, 107.21930257703052, 120, BothSeries},
		{1 / 107.3, math.NaN(), 120, MetricOnly},
		{1 / 120.1, math.NaN(), math.NaN(), NoSize},
	} {
		out := ask(c.allowed)
		near(t, "area", out.Area, 1e-6/c.allowed, 1e-12)
		if out.Outcome != c.outcome {
			t.Errorf("%v V: outcome %v, want %v", c.allowed, out.Outcome, c.outcome)
		}
		for _, v := range [][2]float64{{out.Gauge, c.gauge}, {out.Metric, c.metric}} {
			if math.IsNaN(v[0]) != math.IsNaN(v[1]) || math.Abs(v[0]-v[1]*1e-6) > 1e-15 {
				t.Errorf("%v V: %v m², want %v mm²", c.allowed, v[0], v[1])
			}
		}
		if math.IsNaN(out.GaugeDrop) != math.IsNaN(c.gauge) || math.IsNaN(out.MetricDrop) != math.IsNaN(c.metric) {
			t.Errorf("%v V: drops %v and %v", c.allowed, out.GaugeDrop, out.MetricDrop)
		}
	}
}
