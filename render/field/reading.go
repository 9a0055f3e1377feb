package field

import (
	"math"

	"benchleaf/render/record"
)

// readingKey is what readings can be compared by. The limits are those that the
// record has: another edition may have others.
type readingKey struct {
	spec, model, unit string
	min, max          float64 // infinite where there is none
}

// readings counts the values that were read, in bins that follow from the limits.
type readings struct {
	measure                                string // as a record has it
	editions                               map[string]int
	low, within, high, close, none, others int // by verdict
	bins                                   [binCount]int
}

// The bins: as many between the limits as beyond each, so that the limits are
// edges, and one at each end for all that lies farther out.
const (
	binsWithin = 8
	binsBeside = 8
	binCount   = 1 + binsBeside + binsWithin + binsBeside + 1
)

func (s *Sum) reading(r *record.Record, e *record.Entry, sign int) {
	g := e.Reading
	if !s.book.knowsSpec(g.Spec) {
		s.stranger("specification", e.Page, g.Spec, sign)
	}
	key := readingKey{g.Spec, r.Machine.Model, g.Unit, math.Inf(-1), math.Inf(1)}
	if g.Min != nil {
		key.min = *g.Min + 0 // -0 and 0 are one limit
	}
	if g.Max != nil {
		key.max = *g.Max + 0
	}
	c := row(s, s.readings, key, sign)
	if c == nil {
		return
	}
	if c.editions == nil {
		c.editions = map[string]int{}
	}
	if g.Measure != "" {
		c.measure = g.Measure
	}
	bump(s, c.editions, r.Handbook.Edition, sign)
	switch g.Verdict {
	case "low":
		c.low += sign
	case "within":
		c.within += sign
	case "high":
		c.high += sign
	case "close":
		c.close += sign
	case "none":
		c.none += sign
	default:
		c.others += sign
	}
	if g.Value != nil && key.limited() {
		c.bins[key.bin(*g.Value)] += sign
	}
}

func (c *readings) seen() int { return c.low + c.within + c.high + c.close + c.none + c.others }

// limited tells whether there is a limit to hold a value against.
func (k readingKey) limited() bool { return !math.IsInf(k.min, 0) || !math.IsInf(k.max, 0) }

// scale returns where the bins between the limits begin, and how wide a bin is.
// One limit alone has the bins reach from it to 0 and as far beyond; a limit of
// 0 alone has bins of a tenth of the unit.
func (k readingKey) scale() (from, width float64) {
	switch low, high := !math.IsInf(k.min, 0), !math.IsInf(k.max, 0); {
	case low && high && k.max > k.min:
		return k.min, (k.max - k.min) / binsWithin
	case low && k.min != 0:
		return k.min, math.Abs(k.min) / binsWithin
	case high && k.max != 0:
		return k.max - math.Abs(k.max), math.Abs(k.max) / binsWithin
	case low:
		return 0, 0.1
	}
	return -0.1 * binsWithin, 0.1
}

// edge is the lower edge of a bin; the first and the last reach farther than
// theirs.
func (k readingKey) edge(bin int) float64 {
	from, width := k.scale()
	return from + float64(bin-1-binsBeside)*width
}

// bin returns the bin of a value. A value on a limit is within, so the bins up
// to the lower limit hold their lower edge, and those above hold their upper.
func (k readingKey) bin(v float64) int {
	from, width := k.scale()
	at := (v - from) / width
	n := math.Floor(at)
	if at > 0 && n == at {
		n--
	}
	n += 1 + binsBeside
	return int(max(0, min(binCount-1, n)))
}
