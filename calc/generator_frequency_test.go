package calc

import (
	"math"
	"testing"
)

// Two poles give one cycle each revolution: 62 Hz at 3,720 rpm, 3.33 % above 60.
func TestGeneratorFrequencyByHand(t *testing.T) {
	out := GeneratorFrequency(GeneratorFrequencyInputs{Speed: 62, Poles: 2, Wanted: 60})
	near(t, "frequency", out.Frequency, 62, 0)
	near(t, "wanted-speed", out.WantedSpeed, 60, 0)
	near(t, "deviation", out.Deviation, 2.0/60, 1e-14)
	out = GeneratorFrequency(GeneratorFrequencyInputs{Speed: 25, Poles: 4, Wanted: 60})
	near(t, "frequency", out.Frequency, 50, 0)
	near(t, "wanted-speed", out.WantedSpeed, 30, 0)
	near(t, "deviation", out.Deviation, -1.0/6, 1e-14)
}

func TestGeneratorFrequencyPolesComeInPairs(t *testing.T) {
	for _, poles := range []float64{1, 3, 2.5, 7} {
		out := GeneratorFrequency(GeneratorFrequencyInputs{Speed: 60, Poles: poles, Wanted: 60})
		if !math.IsNaN(out.Frequency) || !math.IsNaN(out.WantedSpeed) || !math.IsNaN(out.Deviation) {
			t.Errorf("%v poles: %v", poles, out)
		}
	}
}
