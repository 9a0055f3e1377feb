package draw

import (
	"math"
	"slices"
	"testing"
)

func TestAreas(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		band   Band
		box    box
		limits string
	}{
		{"across", Band{From: 0.25, To: 0.75}, box{0, 50, 100, 150}, "M0 150L100 150M0 50L100 50"},
		{"upright", Band{From: 0.25, To: 0.75, Upright: true}, box{25, 0, 75, 200}, "M25 0L25 200M75 0L75 200"},
		{"open below", Band{From: -inf, To: 0.75}, box{0, 50, 100, 200}, "M0 50L100 50"},
		{"open to the right", Band{From: 0.25, To: inf, Upright: true}, box{25, 0, 100, 200}, "M25 0L25 200"},
		{"a limit out of the box", Band{From: 0.25, To: 2}, box{0, 0, 100, 150}, "M0 150L100 150"},
		{"all of the box", Band{From: -inf, To: inf}, box{0, 0, 100, 200}, ""},
		{"one value", Band{From: 0.5, To: 0.5}, box{0, 100, 100, 100}, "M0 100L100 100M0 100L100 100"},
	} {
		a, ok := unitFrame.area(c.band)
		if !ok || a.box != c.box || pathOf(a.limits()) != c.limits {
			t.Errorf("%s: %v with %q, want %v with %q", c.name, a.box, pathOf(a.limits()), c.box, c.limits)
		}
	}
	for _, band := range []Band{{From: 1.5, To: 2}, {From: -2, To: -1, Upright: true}, {From: 0.7, To: 0.3}, {From: nan, To: 0.5}, {From: 0.5, To: nan}, {From: inf, To: inf}} {
		if a, ok := unitFrame.area(band); ok {
			t.Errorf("%v is seen at %v", band, a.box)
		}
	}
}

// TestHatch: strokes 9 apart, each in its area and all of them at 45°.
func TestHatch(t *testing.T) {
	a := area{box: box{10, 20, 40, 30}}
	got := numbers(t, a.hatch())
	// x + y is 36, 45, 54, 63 on them; the corners' are 30 and 70.
	if want := []float64{10, 26, 16, 20, 15, 30, 25, 20, 24, 30, 34, 20, 33, 30, 40, 23}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
