package formula

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
)

const (
	maxCorners = 7   // inputs whose ends are tried in every combination
	randomly   = 300 // entries tried at random
	gridPoints = 17  // entries tried along the range of one input
)

// search looks for entries with which steps have no value.
type search struct {
	*compiler
	*graph
	open      []*step             // may be in trouble; no sample is known
	found     map[*step][]float64 // entries, in the inputs' units, that show it
	crossings map[*step][]float64 // entries next to which a divisor passes through 0
	random    *rand.Rand
	left      int // steps that may still be run
	trial     trial
}

// try runs the calculator with entries in the inputs' own units.
func (s *search) try(entries []float64) {
	s.run(entries)
	for _, st := range s.trial.failed {
		if s.found[st] == nil {
			s.found[st] = slices.Clone(entries)
		}
	}
}

func (s *search) run(entries []float64) {
	in := make([]float64, len(entries))
	for i, v := range entries {
		in[i] = s.definition.Inputs[i].Unit.ToSI(v)
	}
	s.left -= len(s.steps)
	s.trial.run(s.graph, in)
}

// settle keeps those steps open that have no sample and that it is told to keep.
func (s *search) settle(keep func(*step) bool) {
	s.open = slices.DeleteFunc(s.open, func(st *step) bool { return s.found[st] != nil || !keep(st) })
}

// decisive returns the inputs that decide whether steps have a value.
func (s *search) decisive(steps []*step) []int {
	var all inputSet
	for _, st := range steps {
		if watched := st.watched(); watched != nil {
			st = watched
		}
		all.join(st.depends)
	}
	return all.list()
}

// used returns the inputs that the results depend on: those, too, that only
// decide whether a step is reached.
func (s *search) used() []int {
	var all inputSet
	for _, st := range s.results {
		all.join(st.depends)
	}
	return all.list()
}

// start returns the entries that the calculator starts with.
func (s *search) start() []float64 {
	entries := make([]float64, len(s.inputs))
	for i, in := range s.definition.Inputs {
		if entries[i] = in.Start; !(in.Min <= in.Start && in.Start <= in.Max) {
			entries[i] = s.between(i, 0.5)
		}
	}
	return entries
}

// between returns an entry of an input at a part of its range.
func (s *search) between(i int, part float64) float64 {
	in := s.definition.Inputs[i]
	return s.entry(i, in.Min*(1-part)+in.Max*part)
}

// entry returns the nearest number that can be entered.
func (s *search) entry(i int, v float64) float64 {
	in := s.definition.Inputs[i]
	if in.Unit.IsGauge() { // sizes are whole
		v = math.Round(v)
	}
	return math.Max(in.Min, math.Min(in.Max, v))
}

// special returns entries of an input that often are the trouble: the simplest
// first.
func (s *search) special(i int) []float64 {
	in := s.definition.Inputs[i]
	values := []float64{in.Min, in.Max}
	for _, zero := range []float64{0, in.Unit.FromSI(0)} {
		if in.Min < zero && zero < in.Max {
			values = append(values, zero)
		}
	}
	for _, part := range []float64{0.5, 1e-3, 1 - 1e-3, 1e-6} {
		values = append(values, s.between(i, part))
	}
	return values
}

// tryEnds tries the start, every special entry by itself, and the ends of all
// ranges in combination.
func (s *search) tryEnds() {
	s.try(s.start())
	for _, i := range s.used() {
		for _, v := range s.special(i) {
			if s.left <= 0 {
				return
			}
			entries := s.start()
			entries[i] = v
			s.try(entries)
		}
	}
	inputs := s.decisive(s.open)
	for n := range 1 << min(len(inputs), maxCorners) {
		if s.left <= 0 {
			return
		}
		entries := s.start()
		for k, i := range inputs {
			high := n>>k&1 == 1
			if k >= maxCorners {
				high = s.random.IntN(2) == 1
			}
			if entries[i] = s.definition.Inputs[i].Min; high {
				entries[i] = s.definition.Inputs[i].Max
			}
		}
		s.try(entries)
	}
}

// tryRandomly tries entries anywhere, and special ones mixed with them.
func (s *search) tryRandomly() {
	if len(s.open) == 0 {
		return
	}
	decisive, used := s.decisive(s.open), s.used()
	for n := range randomly {
		if s.left <= 0 {
			break
		}
		if n%3 == 0 {
			s.try(s.somewhere(decisive))
		} else {
			s.try(s.somewhere(used))
		}
	}
	s.settle(func(*step) bool { return true })
}

func (s *search) somewhere(inputs []int) []float64 {
	entries := s.start()
	for _, i := range inputs {
		if special := s.special(i); s.random.IntN(4) == 0 {
			entries[i] = special[s.random.IntN(len(special))]
		} else {
			entries[i] = s.between(i, s.random.Float64())
		}
	}
	return entries
}

// middle returns the entries in the middle of a box.
func (s *search) middle(box []interval) []float64 {
	entries := make([]float64, len(box))
	for i, x := range box {
		entries[i] = s.entry(i, s.definition.Inputs[i].Unit.FromSI(x.lo/2+x.hi/2))
	}
	return entries
}

// tryLines follows the range of one input after the other towards where a step
// loses its value: to the zero of a divisor, the least value under a root.
func (s *search) tryLines(st *step) {
	inputs := s.decisive([]*step{st})
	bases := [][]float64{s.start()}
	for range 4 {
		bases = append(bases, s.somewhere(s.used()))
	}
	for _, entries := range bases {
		for range 2 {
			for _, i := range inputs {
				if s.along(st, entries, i); s.found[st] != nil || s.left <= 0 {
					return
				}
			}
			for digits := 1; digits <= 4; digits++ {
				rounded := slices.Clone(entries)
				for _, i := range inputs {
					rounded[i] = s.rounded(i, entries[i], digits)
				}
				if s.try(rounded); s.found[st] != nil {
					return
				}
			}
		}
	}
}

// along changes one entry to where the step's margin is least. Between entries
// whose margins have different signs it looks for the zero.
func (s *search) along(st *step, entries []float64, i int) {
	margin := func(v float64) float64 {
		entries[i] = v
		s.try(entries)
		return s.trial.margin(st)
	}
	best, least := entries[i], math.Abs(margin(entries[i]))
	consider := func(v, m float64) {
		if a := math.Abs(m); a < least || math.IsNaN(least) {
			best, least = v, a
		}
	}
	var before, beforeMargin float64
	for n := range gridPoints {
		v := s.between(i, float64(n)/(gridPoints-1))
		m := margin(v)
		if n > 0 && beforeMargin*m < 0 {
			s.halve(st, entries, i, before, v, margin)
		}
		consider(v, m)
		before, beforeMargin = v, m
	}
	in := s.definition.Inputs[i]
	for part := 0.5 / (gridPoints - 1); part > 1e-9 && s.found[st] == nil && s.left > 0; part /= 2 {
		width := part * (in.Max - in.Min)
		for _, v := range []float64{s.entry(i, best-width), s.entry(i, best+width)} {
			consider(v, margin(v))
		}
	}
	entries[i] = best
}

// halve closes in on the zero of a margin between two entries of an input. For a
// divisor it notes the place, even if no number gives 0 exactly.
func (s *search) halve(st *step, entries []float64, i int, low, high float64, margin func(float64) float64) {
	atHigh, atLow := margin(high), margin(low)
	scale := math.Max(math.Abs(atLow), math.Abs(atHigh))
	for s.found[st] == nil && s.left > 0 {
		middle := s.entry(i, low/2+high/2)
		m := margin(middle)
		if middle == low || middle == high || math.IsNaN(m) {
			break
		}
		if atLow*m > 0 {
			low, atLow = middle, m
		} else {
			high = middle
		}
	}
	if small := 1e-9 * scale; st.op == "/" && math.Abs(atLow) < small && s.crossings[st] == nil {
		s.crossings[st] = slices.Clone(entries)
	}
}

// rounded returns an entry with few digits.
func (s *search) rounded(i int, v float64, digits int) float64 {
	if s.definition.Inputs[i].Unit.IsGauge() {
		return v
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	return s.entry(i, r)
}

// short returns entries with the six digits that can be read.
func (s *search) short(st *step, entries []float64) []float64 {
	short := slices.Clone(entries)
	for _, i := range st.depends.list() {
		in := s.definition.Inputs[i]
		if short[i] = s.rounded(i, entries[i], 6); math.Abs(short[i]) < 1e-9*(in.Max-in.Min) {
			short[i] = s.entry(i, 0)
		}
	}
	return short
}

// simplest makes the entries of a sample easier to read where the step still
// fails with them: the start, ends and zero first, then few digits.
func (s *search) simplest(st *step, entries []float64) []float64 {
	simple := slices.Clone(entries)
	for _, i := range st.depends.list() {
		candidates := append([]float64{s.start()[i]}, s.special(i)[:3]...)
		for digits := 1; digits <= 6; digits++ {
			candidates = append(candidates, s.rounded(i, entries[i], digits))
		}
		for _, v := range candidates {
			if s.left <= 0 {
				break
			}
			kept := simple[i]
			simple[i] = v
			if s.run(simple); slices.Contains(s.trial.failed, st) {
				break
			}
			simple[i] = kept
		}
	}
	return simple
}
