package calc

import (
	"math"
	"testing"
)

// One time constant of 200 s, open at 45 % and closed at 5 % of the final rise:
// it opens in 200 · ln(100/55) = 119.6 s and closes in 200 · ln(100/5) = 599.146 s
// from full heat, but in 200 · ln(45/5) = 439.445 s after the run that just opened it.
func TestTimeToCloseAfterARun(t *testing.T) {
	in := TimeToCloseInputs{Hot: 400, Run: math.NaN(), Start: 300, RunTimeConstant: 200, Ambient: 300, CloseAt: 305, TimeConstant: 200}
	near(t, "from full heat", TimeToClose(in).Time, 599.146, 1e-5)
	in.Run = opening(300, 400, 345, 200).Time
	near(t, "run", in.Run, 119.6, 1e-3)
	out := TimeToClose(in)
	near(t, "stop-temperature", out.StopTemperature, 345, 1e-12)
	near(t, "after the run", out.Time, 439.445, 1e-5)
	in.Run = math.Inf(1)
	near(t, "after a run without end", TimeToClose(in).Time, 599.146, 1e-5)
}

// The surroundings and the time constant after stopping are their own.
func TestTimeToCloseHeatSoak(t *testing.T) {
	// From 109 °C down to 60 °C in a bay of 45 °C, 300 s: 300 · ln(64/15).
	in := TimeToCloseInputs{Hot: 382.15, Run: math.NaN(), Start: 253.15, RunTimeConstant: 100, Ambient: 318.15, CloseAt: 333.15, TimeConstant: 300}
	near(t, "time", TimeToClose(in).Time, 300*math.Log(64.0/15), 1e-12)
}

func TestTimeToCloseOutcomes(t *testing.T) {
	for _, c := range []struct {
		name                     string
		hot, run, start, ambient float64
		outcome                  Closing
		time                     float64 // s, NaN for none
	}{
		{"it cools", 380, math.NaN(), 290, 290, Closes, 200 * math.Log(9)},
		{"surroundings at the closing temperature", 380, math.NaN(), 290, 300, NeverCloses, math.NaN()},
		{"surroundings above it", 380, math.NaN(), 290, 320, NeverCloses, math.NaN()},
		{"hardly run", 380, 1, 290, 290, AlreadyClosed, 0},
		{"not run", 380, 0, 290, 290, AlreadyClosed, 0},
		{"at the closing temperature", 300, math.NaN(), 290, 290, AlreadyClosed, 0},
		{"cold coil, warm surroundings", 300, math.NaN(), 290, 320, AlreadyClosed, 0},
		{"just above it", 300 + 1e-6, math.NaN(), 290, 290, Closes, 200 * 1e-7},
	} {
		out := TimeToClose(TimeToCloseInputs{
			Hot: c.hot, Run: c.run, Start: c.start, RunTimeConstant: 200, Ambient: c.ambient, CloseAt: 300, TimeConstant: 200,
		})
		if out.Outcome != c.outcome {
			t.Errorf("%s: outcome %v, want %v", c.name, out.Outcome, c.outcome)
		}
		if math.IsNaN(c.time) != math.IsNaN(out.Time) || math.Abs(out.Time-c.time) > 1e-6*c.time {
			t.Errorf("%s: %v s, want %v", c.name, out.Time, c.time)
		}
	}
}
