package calc

import (
	"math"
	"testing"
)

func TestEngineSpeedByHand(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		name                                 string
		frequency, period, pulses, cylinders float64
		strokes                              Strokes
		rpm, counted, firing                 float64
	}{
		// 60 · f / z; a four-stroke fires half its cylinders each revolution.
		{"magneto on a single", 60, none, 1, 1, FourStroke, 3600, 1, 30},
		{"camshaft trigger", 15, none, 0.5, 1, FourStroke, 1800, 0.5, 15},
		{"firings of a two-stroke", 50, none, none, 1, TwoStroke, 3000, 1, 50},
		{"firings of a four-stroke twin", 50, none, none, 2, FourStroke, 3000, 1, 50},
		{"firings of a four-stroke single", 30, none, none, 1, FourStroke, 3600, 0.5, 30},
		{"by period", none, 0.02, 1, 2, FourStroke, 3000, 1, 50},
		{"frequency counts before the period", 60, 0.02, 1, 1, FourStroke, 3600, 1, 30},
		{"teeth of a flywheel", 2100, none, 42, 1, FourStroke, 3000, 42, 25},
	} {
		out := EngineSpeed(EngineSpeedInputs{c.frequency, c.period, c.pulses, c.cylinders, c.strokes})
		near(t, c.name+": speed", out.Speed*60, c.rpm, 1e-14)
		near(t, c.name+": counted", out.Counted, c.counted, 0)
		near(t, c.name+": firing-frequency", out.Firing, c.firing, 1e-14)
	}
	if out := EngineSpeed(EngineSpeedInputs{none, none, 1, 1, FourStroke}); !math.IsNaN(out.Speed) {
		t.Errorf("speed %v of nothing read", out.Speed)
	}
}
