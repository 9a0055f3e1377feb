package calc

import (
	"math"
	"testing"
)

// 12.6 V, 0.2 and 0.1 V along the feed, 0.5 V in the ground, at 0.5 A: 11.8 V
// are left, and the ground has 1 Ω.
func TestCircuitDropByHand(t *testing.T) {
	in := unread
	in.Source, in.Current = 12.6, 0.5
	in.FeedSecond, in.FeedThird, in.GroundSecond = 0.2, 0.1, 0.5
	out := CircuitDrop(in)
	near(t, "feed-drop", out.FeedDrop, 0.3, 1e-14)
	near(t, "ground-drop", out.GroundDrop, 0.5, 1e-14)
	near(t, "load-voltage", out.LoadVoltage, 11.8, 1e-14)
	near(t, "second stretch of the feed", out.FeedSecondOhms, 0.4, 1e-14)
	near(t, "third stretch of the feed", out.FeedThirdOhms, 0.2, 1e-14)
	near(t, "second stretch of the ground", out.GroundSecondOhms, 1, 1e-14)
	if out.Worst != GroundSecond {
		t.Errorf("worst %v", out.Worst)
	}
	for name, v := range map[string]float64{"first of the feed": out.FeedFirstOhms, "first of the ground": out.GroundFirstOhms, "rest": out.Rest} {
		if !math.IsNaN(v) {
			t.Errorf("%s: %v, though it was not read", name, v)
		}
	}
}

func TestCircuitDropWorst(t *testing.T) {
	for _, c := range []struct {
		name     string
		readings [5]float64 // feed, then ground
		load     float64
		want     Joint
	}{
		{"feed 1", [5]float64{0.3, 0.2, 0.1, 0.1, 0.1}, math.NaN(), FeedFirst},
		{"feed 2", [5]float64{0.1, 0.2, 0.1, 0.1, 0.1}, math.NaN(), FeedSecond},
		{"feed 3", [5]float64{0.1, 0.2, 0.3, 0.1, 0.1}, math.NaN(), FeedThird},
		{"ground 1", [5]float64{0.1, 0.2, 0.3, 0.4, 0.1}, math.NaN(), GroundFirst},
		{"ground 2", [5]float64{0.1, 0.2, 0.3, 0.4, 0.5}, math.NaN(), GroundSecond},
		{"equal ones: the first", [5]float64{0.1, 0.1, 0.1, 0.1, 0.1}, math.NaN(), FeedFirst},
		{"half a millivolt", [5]float64{0, 0, 0, 0.0005, 0}, math.NaN(), GroundFirst},
		{"no drop", [5]float64{}, math.NaN(), NoJoint},
		{"as much not found: 12 - 11 - 0.5 V", [5]float64{0.5}, 11, FeedFirst},
		{"all found: 12 - 1.1 = 10.9 V", [5]float64{0.1, 0.2, 0.3, 0.4, 0.1}, 10.9, GroundFirst},
		{"0.5 V not found", [5]float64{0.1, 0.2, 0.3, 0.4, 0.1}, 10.4, Elsewhere},
		{"11 + 1.04 = 12.04 V, within the meters' doubt", [5]float64{1, 0, 0, 0.04, 0}, 11, FeedFirst},
		{"11 + 1.06 = 12.06 V", [5]float64{1, 0, 0, 0.06, 0}, 11, Swapped},
		{"0.1 V more across the load than the source has", [5]float64{}, 12.1, Swapped},
	} {
		in := CircuitDropInputs{
			Source: 12, FeedFirst: c.readings[0], FeedSecond: c.readings[1], FeedThird: c.readings[2],
			GroundFirst: c.readings[3], GroundSecond: c.readings[4], Load: c.load, Current: 1,
		}
		if got := CircuitDrop(in).Worst; got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Nothing read, nothing said: neither a drop nor a voltage at the load.
func TestCircuitDropUnread(t *testing.T) {
	in := unread
	in.Source, in.Current = 12, 1
	out := CircuitDrop(in)
	for name, v := range map[string]float64{"feed-drop": out.FeedDrop, "ground-drop": out.GroundDrop, "load-voltage": out.LoadVoltage, "rest": out.Rest} {
		if !math.IsNaN(v) {
			t.Errorf("%s: %v of nothing read", name, v)
		}
	}
	if out.Worst != NoJoint {
		t.Errorf("worst %v", out.Worst)
	}
}

// The voltage at the load is the one read; the drops give it only where the
// way to the load and the way back have been read.
func TestCircuitDropLoadVoltage(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name               string
		feed, ground, load float64
		want               float64
	}{
		{"by the drops: 12 - 0.5 - 0.25 V", 0.5, 0.25, nan, 11.25},
		{"as read, whatever the drops leave", 0.5, 0.25, 10, 10},
		{"as read, no drop read", nan, nan, 11, 11},
		{"a dead load", nan, nan, 0, 0},
		{"feed only", 0.5, nan, nan, nan},
		{"ground only", nan, 0.25, nan, nan},
	} {
		in := unread
		in.Source, in.FeedSecond, in.GroundSecond, in.Load, in.Current = 12, c.feed, c.ground, c.load, 1
		if got := CircuitDrop(in).LoadVoltage; got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Without current there is no resistance, no infinite one either, and no worst
// stretch, even of readings that do not belong together.
func TestCircuitDropWithoutCurrent(t *testing.T) {
	in := unread
	in.Source, in.FeedFirst, in.Load, in.Current = 12, 0.1, 11, 0
	out := CircuitDrop(in)
	if !math.IsNaN(out.FeedFirstOhms) || !math.IsNaN(out.RestOhms) {
		t.Errorf("resistances %v and %v at no current", out.FeedFirstOhms, out.RestOhms)
	}
	near(t, "rest", out.Rest, 0.9, 1e-14)
	for _, load := range []float64{11, 13, math.NaN()} {
		in.Load = load
		if out := CircuitDrop(in); out.Worst != NoCurrent {
			t.Errorf("load %v: worst %v at no current", load, out.Worst)
		}
	}
}

// In a chain the voltage heats a choke: readings that cannot be right leave
// nothing, not less.
func TestCircuitDropBeyondSource(t *testing.T) {
	in := unread
	in.Source, in.FeedFirst, in.GroundFirst, in.Current = 12, 20, 0, 1
	if out := CircuitDrop(in); out.LoadVoltage != 0 {
		t.Errorf("load voltage %v", out.LoadVoltage)
	}
}
