package field

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// seen counts values as a Sum does.
func seen(k readingKey, values ...float64) *readings {
	c := &readings{power: k.power(), values: map[int64]int{}}
	for _, v := range values {
		c.values[multiple(v, c.power)]++
	}
	return c
}

// TestBins works bins by hand.
func TestBins(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name         string
		min, max     float64
		values       []float64
		first, last  float64 // edges
		counts       []int
		below, above int
	}{
		// A tenth is what the meter shows, and it parts the 0.6 V between the limits.
		{"all below", 13.8, 14.4, []float64{12.9, 12.9, 12.9}, 12.9, 14.5, []int{3, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, 0, 0},
		// Quartiles 0.4 and 0.6, 0.2 apart: 2 · 0.2 / ∛5 = 0.23 is more than a sixth
		// of the 0.5 that are drawn, 0.083; the next width is 0.1. A value on the limit is within,
		// in the bin that ends there. Farther than 0.3 from the quartiles is 90.
		{"an upper limit", -inf, 0.5, []float64{0.1, 0.4, 0.5, 0.6, 90}, 0.1, 0.7, []int{1, 0, 0, 2, 1, 0}, 0, 1},
		// Quartiles 12.40 and 12.50: a sixth of 0.20 is 0.033, the next width 0.05. A
		// value on the limit is within, in the bin that begins there.
		{"a lower limit", 12.45, inf, []float64{12.4, 12.45, 12.5, 12.6}, 12.4, 12.65, []int{1, 1, 1, 0, 1}, 0, 0},
		// Of 1 V a sixth is 0.17, the next width 0.2.
		{"limits that are one", 5, 5, []float64{5, 6}, 4.8, 6.001, []int{0, 1, 0, 0, 0, 0, 1}, 0, 0},
		// The quartiles are the value: five steps of 0.001 are as far as one looks.
		{"a limit of 0", -inf, 0, []float64{0, 0, 0, 0, 7}, -0.001, 0.001, []int{4, 0}, 0, 1},
		// 14.4 for 14,400 mV. Quartiles 14,000 and 14,100: 2 · 100 / ∛8 = 100.
		{"another unit", 13800, 14400, []float64{14.4, 14000, 14000, 14000, 14100, 14100, 14200, 14200}, 13700, 14500, []int{0, 0, 0, 3, 2, 2, 0, 0}, 1, 0},
	} {
		k := readingKey{min: c.min, max: c.max}
		h := k.bins(seen(k, c.values...))
		if h.edges == nil || h.at(0) != c.first || h.at(len(h.edges)-1) != c.last || !reflect.DeepEqual(h.counts, c.counts) || h.below != c.below || h.above != c.above {
			t.Errorf("%s: have %+v", c.name, h)
		}
	}
	if h := (readingKey{min: -inf, max: inf}).bins(seen(readingKey{min: -inf, max: inf}, 1)); h.edges != nil {
		t.Errorf("without a limit: %+v", h)
	}
	if h := (readingKey{min: 1, max: inf}).bins(seen(readingKey{min: 1, max: inf})); h.edges != nil {
		t.Errorf("without a value: %+v", h)
	}
}

// TestBinsHold draws limits and values of all sizes: the limits are edges, every
// value is in one place, on its side of them, and the picture has few bins.
func TestBinsHold(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	rounded := func(v float64) float64 {
		unit := math.Pow10(r.IntN(12) - 8)
		return math.Round(v/unit) * unit
	}
	for range 20_000 {
		size := math.Pow10(r.IntN(12) - 6)
		k := readingKey{min: rounded(size * r.NormFloat64()), max: math.Inf(1)}
		switch r.IntN(3) {
		case 0:
			k.max = k.min + math.Abs(rounded(size*r.NormFloat64()/math.Pow10(r.IntN(4))))
		case 1:
			k.min, k.max = math.Inf(-1), k.min
		}
		var values []float64
		for range 1 + r.IntN(30) {
			values = append(values, rounded(size*r.NormFloat64()*math.Pow10(r.IntN(8)/3)))
		}
		if r.IntN(2) == 0 && k.lower() {
			values = append(values, k.min)
		}
		c := seen(k, values...)
		h := k.bins(c)
		// What lies below the limits, within and above, by the value and by its bin.
		var want, have [3]int
		side := func(below, above bool) int {
			switch {
			case below:
				return 0
			case above:
				return 2
			}
			return 1
		}
		for v, n := range c.values {
			want[side(k.lower() && v < h.lower, k.upper() && v > h.upper)] += n
		}
		have[0] += h.below * b2i(k.lower())
		have[1] += h.below*b2i(!k.lower()) + h.above*b2i(!k.upper())
		have[2] += h.above * b2i(k.upper())
		for i, n := range h.counts {
			if h.edges[i] >= h.edges[i+1] {
				t.Fatalf("%+v: edges %v", k, h.edges)
			}
			have[side(k.lower() && h.edges[i+1] <= h.lower, k.upper() && h.edges[i] >= h.upper)] += n
		}
		if have != want || len(h.counts) > 40 {
			t.Fatalf("%+v %v: %d bins, have %v, want %v\n%+v", k, values, len(h.counts), have, want, h)
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
