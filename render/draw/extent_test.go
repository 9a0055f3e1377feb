package draw

import (
	"math"
	"testing"
)

// TestInSight: what runs off to a pole is cut, and nothing else.
func TestInSight(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64
		y        func(x float64) float64
		lo, hi   float64
	}{
		{"a straight line", 0, 1, func(x float64) float64 { return x }, 0, 1},
		{"the eighth power", 0, 1, func(x float64) float64 { return math.Pow(x, 8) }, 0, 1},
		{"four decades", 0, 4, func(x float64) float64 { return math.Pow(10, x) }, 1, 1e4},
		{"a step for a fifth of it", 0, 1, func(x float64) float64 { return 5 * math.Floor(x+0.2) }, 0, 5},
		{"a step that is nearly level before", 0, 1, func(x float64) float64 { return x/1e4 + 5*math.Floor(x+0.2) }, 0, 5.0001},
		// Quartiles at the 25th places from the ends, x = 0.2575 and 0.7525:
		// 3.8835 and 1.3289; three times their distance beyond: 11.547.
		{"a pole", 0.01, 1, func(x float64) float64 { return 1 / x }, 1, 11.547},
		{"a pole downwards", 0.01, 1, func(x float64) float64 { return -1 / x }, -11.547, -1},
		// The quartiles as above, squared: 15.08 and 1.766, 55.03; nine tenths
		// are up to the eleventh place, x = 0.113125: 78.14.
		{"a double pole", 0.01, 1, func(x float64) float64 { return 1 / x / x }, 1, 78.14},
	} {
		var values []float64
		for _, p := range curve(c.from, c.to, c.y) {
			values = append(values, p.Y)
		}
		lo, hi := inSight(values)
		if math.Abs(lo-c.lo) > 0.006 || math.Abs(hi-c.hi) > 0.006 {
			t.Errorf("%s: %v to %v, want %v to %v", c.name, lo, hi, c.lo, c.hi)
		}
	}
}

// TestWhole: of counts nothing is cut, though one is far above the others.
func TestWhole(t *testing.T) {
	p := Plot{Whole: true}
	for i, y := range []float64{0, 1, 2, 3, 100, 2, 1, 0} {
		p.Points = append(p.Points, Point{float64(i), y})
	}
	if lo, hi := p.yRange(); lo != 0 || hi != 100 {
		t.Errorf("%v to %v", lo, hi)
	}
	p.Whole = false
	if _, hi := p.yRange(); hi >= 100 {
		t.Errorf("to %v: these points try nothing", hi)
	}
}

func TestYRange(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		points []Point
		bands  []Band
		mark   *Point
		lo, hi float64
	}{
		{"nothing", nil, nil, nil, 0, 1},
		{"no value", []Point{{0, nan}, {1, nan}}, nil, &Point{1, nan}, 0, 1},
		{"no value but a limit", []Point{{0, nan}}, []Band{{From: 2, To: 8}}, nil, 2, 8},
		{"one value", []Point{{1, 10}}, nil, nil, 9, 11},
		{"zero", []Point{{0, 0}, {1, 0}}, nil, nil, -1, 1},
		{"the infinite does not count", []Point{{0, 0}, {1, inf}, {2, 6}}, nil, nil, 0, 6},
		{"nice ends", []Point{{0, 0.03}, {1, 0.57}}, nil, nil, 0, 0.6},
		{"a limit that is near", []Point{{0, 0}, {1, 1}}, []Band{{From: -inf, To: 4}}, nil, 0, 4},
		{"a limit five times as far", []Point{{0, 0}, {1, 1}}, []Band{{From: -inf, To: 5}}, nil, 0, 5},
		{"a limit that is too far", []Point{{0, 0}, {1, 1}}, []Band{{From: -inf, To: 5.1}}, nil, 0, 1},
		{"a limit below, just near enough", []Point{{0, 0}, {1, 1}}, []Band{{From: -4, To: inf}}, nil, -4, 1},
		{"a limit too far below", []Point{{0, 0}, {1, 1}}, []Band{{From: -4.1, To: inf}}, nil, 0, 1},
		{"an upright band is of X", []Point{{0, 0}, {1, 1}}, []Band{{From: 2, To: 3, Upright: true}}, nil, 0, 1},
		{"the mark counts", []Point{{0, 0}, {1, 1}}, nil, &Point{1, 2}, 0, 2},
	} {
		lo, hi := Plot{Points: c.points, Bands: c.bands, Mark: c.mark}.yRange()
		if lo != c.lo || hi != c.hi {
			t.Errorf("%s: %v to %v, want %v to %v", c.name, lo, hi, c.lo, c.hi)
		}
	}
}

func TestXRange(t *testing.T) {
	for _, c := range []struct {
		points []Point
		lo, hi float64
	}{
		{nil, 0, 1},
		{[]Point{{math.NaN(), 1}, {math.Inf(1), 2}}, 0, 1},
		{[]Point{{3, 1}, {7.5, math.NaN()}}, 3, 7.5},
		{[]Point{{20, 1}}, 18, 22},
	} {
		if lo, hi := (Plot{Points: c.points}).xRange(); lo != c.lo || hi != c.hi {
			t.Errorf("%v: %v to %v, want %v to %v", c.points, lo, hi, c.lo, c.hi)
		}
	}
}
