package draw

import (
	"math"
	"slices"
)

// What is greater counts as infinite: differences and products of usable
// values are finite.
const greatest = 1e300

func usable(v float64) bool { return math.Abs(v) <= greatest }

// xRange is from the least to the greatest x of the points.
func (p Plot) xRange() (lo, hi float64) {
	var xs []float64
	for _, q := range p.Points {
		if usable(q.X) {
			xs = append(xs, q.X)
		}
	}
	if len(xs) == 0 {
		return 0, 1
	}
	return opened(slices.Min(xs), slices.Max(xs))
}

// yRange has nice ends around the points, the mark, and the bounds of the bands
// across that are near enough.
func (p Plot) yRange() (lo, hi float64) {
	var ys, bounds []float64
	for _, q := range p.Points {
		if usable(q.X) && usable(q.Y) {
			ys = append(ys, q.Y)
		}
	}
	if p.Mark != nil && usable(p.Mark.Y) {
		ys = append(ys, p.Mark.Y)
	}
	for _, b := range p.Bands {
		for _, bound := range [...]float64{b.From, b.To} {
			if !b.Upright && usable(bound) {
				bounds = append(bounds, bound)
			}
		}
	}
	switch {
	case len(ys) > 0 && p.Whole:
		lo, hi = opened(slices.Min(ys), slices.Max(ys))
	case len(ys) > 0:
		lo, hi = opened(inSight(ys))
	case len(bounds) > 0:
		lo, hi = opened(slices.Min(bounds), slices.Max(bounds))
	default:
		lo, hi = 0, 1
	}
	// A limit so far off that it would leave the line less than a fifth of the
	// height is not worth it: the line would say nothing any more.
	low, high := hi-5*(hi-lo), lo+5*(hi-lo)
	for _, bound := range bounds {
		if low <= bound && bound <= high {
			lo, hi = min(lo, bound), max(hi, bound)
		}
	}
	return niceRange(lo, hi)
}

// inSight returns the range of values without what runs off to a pole, as 1/x
// does at 0. A side is cut if it lies more than ten interquartile ranges beyond
// its quartile; then three such ranges are kept, and nine tenths of the values
// in any case. Where the quartiles are the same nothing tells what is far, and
// nothing is cut.
//
// Quartiles as the measure, and three ranges for what is far out, are those of
// J. W. Tukey, Exploratory Data Analysis (1977), from memory. Ten is this
// project's own choice: powers up to the eighth and exponentials over four
// decades stay whole.
func inSight(values []float64) (lo, hi float64) {
	slices.Sort(values)
	at := func(quantile float64) float64 { return values[int(math.Round(quantile*float64(len(values)-1)))] }
	lo, hi = at(0), at(1)
	between := at(0.75) - at(0.25)
	if between == 0 {
		return lo, hi
	}
	if at(0.25)-lo > 10*between {
		lo = min(at(0.1), at(0.25)-3*between)
	}
	if hi-at(0.75) > 10*between {
		hi = max(at(0.9), at(0.75)+3*between)
	}
	return lo, hi
}

// wide tells whether the ends of a range are apart by more than rounding makes
// of one value, and not next to nothing: ticks can be found in it.
func wide(lo, hi float64) bool {
	size := max(math.Abs(lo), math.Abs(hi))
	return size > 1e-280 && hi-lo > 1e-6*size
}

// opened makes a range wide that is not, by a tenth on each side.
func opened(lo, hi float64) (float64, float64) {
	size := max(math.Abs(lo), math.Abs(hi))
	switch {
	case wide(lo, hi):
		return lo, hi
	case size <= 1e-280:
		return -1, 1
	}
	return lo - size/10, hi + size/10
}
