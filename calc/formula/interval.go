package formula

import (
	"math"

	"benchleaf/calc/elementary"
)

// interval holds every number that a step can give while the inputs keep to
// their ranges.
//
// The bounds are those of the module's own arithmetic, not of real numbers. Sums,
// products, quotients and roots are rounded the same way everywhere, and rounding
// never turns an order round: the value at an end of a range is a bound as it
// is, and a square is not below 0. Only the elementary functions, which are within one
// unit in the last place, want a margin.
type interval struct {
	lo, hi float64
	vague  bool // it rests on a step that may have no value, which is told there
	steep  bool // it rests on a number next to 0, as x is in choose(x > 0, 1 / x, 0)
}

var all = interval{lo: -math.MaxFloat64, hi: math.MaxFloat64}

func (x interval) has(v float64) bool { return x.lo <= v && v <= x.hi }

// nearZero reports whether a bound is so near to 0 as only a guard leaves it.
func (x interval) nearZero() bool {
	const near = 1e-200
	return x.lo != 0 && math.Abs(x.lo) < near || x.hi != 0 && math.Abs(x.hi) < near
}

func (x interval) union(y interval) interval {
	return interval{math.Min(x.lo, y.lo), math.Max(x.hi, y.hi), x.vague || y.vague, x.steep || y.steep}
}

// hull is the least interval with all the values; NaN is left out.
func hull(values ...float64) interval {
	x := interval{lo: math.Inf(1), hi: math.Inf(-1)}
	for _, v := range values {
		if v < x.lo {
			x.lo = v
		}
		if v > x.hi {
			x.hi = v
		}
	}
	return x
}

// wider adds the margin of an elementary function, but not beyond what the
// function can give.
func (x interval) wider(least, most float64) interval {
	for range 3 {
		x.lo, x.hi = math.Nextafter(x.lo, math.Inf(-1)), math.Nextafter(x.hi, math.Inf(1))
	}
	return interval{lo: math.Max(x.lo, least), hi: math.Min(x.hi, most)}
}

// bounds are the operations over intervals. They report whether every value of
// the operands gives one; that a bound is finite is looked at by the caller.
var bounds = map[string]func(x []interval) (interval, bool){
	"negate": func(x []interval) (interval, bool) { return interval{lo: -x[0].hi, hi: -x[0].lo}, true },
	"+": func(x []interval) (interval, bool) {
		return interval{lo: x[0].lo + x[1].lo, hi: x[0].hi + x[1].hi}, true
	},
	"-": func(x []interval) (interval, bool) {
		return interval{lo: x[0].lo - x[1].hi, hi: x[0].hi - x[1].lo}, true
	},
	"*":        func(x []interval) (interval, bool) { return corners("*", x), true },
	"/":        quotient,
	"square":   square,
	"cube":     func(x []interval) (interval, bool) { return corners("cube", x), true },
	"exp":      func(x []interval) (interval, bool) { return corners("exp", x).wider(0, math.Inf(1)), true },
	"log":      func(x []interval) (interval, bool) { return logarithm("log", x[0]) },
	"log10":    func(x []interval) (interval, bool) { return logarithm("log10", x[0]) },
	"pow":      power,
	"sqrt":     root,
	"sin":      func(x []interval) (interval, bool) { return wave(elementary.Sin, x[0], pi/2) },
	"cos":      func(x []interval) (interval, bool) { return wave(elementary.Cos, x[0], 0) },
	"atan":     func(x []interval) (interval, bool) { return corners("atan", x).wider(-2, 2), true },
	"floor":    func(x []interval) (interval, bool) { return corners("floor", x), true },
	"ceil":     func(x []interval) (interval, bool) { return corners("ceil", x), true },
	"trunc":    func(x []interval) (interval, bool) { return corners("trunc", x), true },
	"abs":      func(x []interval) (interval, bool) { return magnitude(x[0]), true },
	"copysign": copysign,
	"min": func(x []interval) (interval, bool) {
		return interval{lo: math.Min(x[0].lo, x[1].lo), hi: math.Min(x[0].hi, x[1].hi)}, true
	},
	"max": func(x []interval) (interval, bool) {
		return interval{lo: math.Max(x[0].lo, x[1].lo), hi: math.Max(x[0].hi, x[1].hi)}, true
	},
}

// corners bounds an operation whose extremes are where its operands have theirs.
func corners(op string, x []interval) interval {
	if len(x) == 1 {
		return hull(apply(op, x[0].lo, 0), apply(op, x[0].hi, 0))
	}
	var values [4]float64
	for i := range values {
		a, b := x[0].lo, x[1].lo
		if i&1 != 0 {
			a = x[0].hi
		}
		if i&2 != 0 {
			b = x[1].hi
		}
		values[i] = apply(op, a, b)
	}
	return hull(values[:]...)
}

func quotient(x []interval) (interval, bool) {
	a, b := x[0], x[1]
	if !b.has(0) {
		return corners("/", x), true
	}
	got := all
	switch {
	case a.lo >= 0 && b.lo >= 0, a.hi <= 0 && b.hi <= 0:
		got.lo = 0
	case a.lo >= 0 && b.hi <= 0, a.hi <= 0 && b.lo >= 0:
		got.hi = 0
	}
	return got, false
}

func square(x []interval) (interval, bool) {
	got := corners("square", x)
	if x[0].has(0) {
		got.lo = 0
	}
	return got, true
}

func magnitude(x interval) interval {
	got := hull(math.Abs(x.lo), math.Abs(x.hi))
	if x.has(0) {
		got.lo = 0
	}
	return got
}

func copysign(x []interval) (interval, bool) {
	m := magnitude(x[0])
	switch {
	case x[1].lo > 0:
		return m, true
	case x[1].hi < 0:
		return interval{lo: -m.hi, hi: -m.lo}, true
	}
	return interval{lo: -m.hi, hi: m.hi}, true
}

func logarithm(op string, x interval) (interval, bool) {
	if x.hi <= 0 {
		return all, false
	}
	ok := x.lo > 0
	if !ok {
		x.lo = math.SmallestNonzeroFloat64
	}
	return corners(op, []interval{x}).wider(math.Inf(-1), math.Inf(1)), ok
}

func root(x []interval) (interval, bool) {
	if x[0].hi < 0 {
		return all, false
	}
	return hull(math.Sqrt(math.Max(x[0].lo, 0)), math.Sqrt(x[0].hi)), x[0].lo >= 0
}

// power bounds pow. For bases above 0 it rises or falls along each operand, so
// that the corners are the extremes.
func power(x []interval) (interval, bool) {
	base, exponent := x[0], x[1]
	if n := exponent.lo; n == exponent.hi && n == math.Trunc(n) {
		if n < 0 && base.has(0) {
			return all, false
		}
		even := n == 2*math.Trunc(n/2)
		got := corners("pow", x)
		if even && base.has(0) {
			got.lo = 0
		}
		if even || base.lo >= 0 {
			return got.wider(0, math.Inf(1)), true
		}
		return got.wider(math.Inf(-1), math.Inf(1)), true
	}
	if base.hi < 0 {
		return all, false
	}
	if base.lo < 0 || base.lo == 0 && exponent.lo < 0 {
		return interval{lo: -math.MaxFloat64, hi: math.MaxFloat64}, false
	}
	return corners("pow", x).wider(0, math.Inf(1)), true
}

// wave bounds the sine or the cosine, of which one crest is given.
func wave(f func(float64) float64, x interval, crest float64) (interval, bool) {
	if x.lo < -1e4 || x.hi > 1e4 {
		return interval{lo: -1, hi: 1}, false
	}
	got := hull(f(x.lo), f(x.hi)).wider(-1, 1)
	if passes(x, crest) {
		got.hi = 1
	}
	if passes(x, crest+pi) {
		got.lo = -1
	}
	return got, true
}

// passes reports whether an interval has, or nearly has, a place that comes
// again with every turn.
func passes(x interval, place float64) bool {
	const near = 1e-9
	return math.Ceil((x.lo-place)/(2*pi)-near) <= math.Floor((x.hi-place)/(2*pi)+near)
}
