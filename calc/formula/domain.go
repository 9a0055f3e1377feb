package formula

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"benchleaf/calc/unit"
)

// Bounds on the search for entries with which a result has no value.
const (
	maxBounded = 20_000 // steps bounded under the conditions of one box
	maxBoxes   = 256    // parts that the ranges are cut into, to exclude a doubt
	maxWork    = 60_000 // steps bounded in all of them together
	maxCorners = 7      // inputs whose ends are tried in every combination
	randomly   = 300    // entries tried at random
	gridPoints = 17     // entries tried along the range of one input
)

// domain tells where a result can be without a value. Intervals say where that
// may be; if a sample shows it, it is a mistake, and else a doubt. One place of
// each formula is told.
func (c *compiler) domain() {
	g := c.newGraph()
	s := &search{compiler: c, graph: g, found: map[*step][]float64{}, random: rand.New(rand.NewPCG(1, 2))}
	whole := make([]interval, len(c.inputs))
	for i, in := range c.definition.Inputs {
		whole[i] = hull(in.Unit.ToSI(in.Min), in.Unit.ToSI(in.Max))
	}
	p := g.prove(whole)
	if s.open = slices.Concat(p.trouble, p.slight); len(s.open) == 0 {
		return
	}
	s.tryEnds()
	doubt := s.divide(whole)
	s.open = slices.DeleteFunc(s.open, func(st *step) bool { return !slices.Contains(doubt, st) && !slices.Contains(p.slight, st) })
	s.tryRandomly()
	for _, st := range slices.Clone(s.open) {
		s.tryLines(st)
	}
	told := map[*formula]bool{}
	for _, found := range []bool{true, false} {
		for _, st := range g.steps { // operands first
			entries, ok := s.found[st]
			if told[st.formula] || ok != found || !found && !slices.Contains(doubt, st) {
				continue
			}
			told[st.formula] = true
			where := quote(st.formula.text[st.place.start:st.place.end])
			if found {
				c.problem(st.formula, Domain, st.place.start, st.place.end, s.with(st, s.simplest(st, entries))+where+" has no value", c.guard(st))
			} else {
				c.problem(st.formula, DomainDoubt, st.place.start, st.place.end, "it could not be excluded that "+where+" has no value for some entries", c.guard(st))
			}
		}
	}
}

// guard says how a step is kept from having no value.
func (c *compiler) guard(s *step) string {
	operand := func(i int) string {
		n := s.place
		if len(n.args) <= i {
			return "an operand"
		}
		return quote(s.formula.text[n.args[i].start:n.args[i].end])
	}
	must := "The value must not be too large for a number"
	switch s.op {
	case "/":
		must = operand(1) + " must not be 0"
	case "log", "log10":
		must = operand(0) + " must be above 0"
	case "sqrt":
		must = operand(0) + " must not be below 0"
	case "sin", "cos":
		must = operand(0) + " must be from -10000 to 10000 rad"
	case "pow":
		must = operand(0) + " must not be below 0, nor be 0 with an exponent below 0"
	}
	return must + ": narrow the ranges, or say what holds instead with choose(condition, a, b)."
}

// search looks for entries with which steps have no value.
type search struct {
	*compiler
	*graph
	open   []*step             // may be in trouble; no sample is known
	found  map[*step][]float64 // the entries, in the inputs' units, that show it
	random *rand.Rand
	trial  trial
}

// try runs the calculator with entries in the inputs' own units.
func (s *search) try(entries []float64) {
	s.run(entries)
	for _, st := range s.trial.failed {
		if s.found[st] == nil {
			s.found[st] = slices.Clone(entries)
			s.open = slices.DeleteFunc(s.open, func(o *step) bool { return o == st })
		}
	}
}

func (s *search) run(entries []float64) {
	in := make([]float64, len(entries))
	for i, v := range entries {
		in[i] = s.definition.Inputs[i].Unit.ToSI(v)
	}
	s.trial.run(s.graph, in)
}

// relevant returns the inputs that the open steps depend on.
func (s *search) relevant(steps []*step) []int {
	var inputs []int
	for i := range s.inputs {
		if slices.ContainsFunc(steps, func(st *step) bool { return st.depends.has(i) }) {
			inputs = append(inputs, i)
		}
	}
	return inputs
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
	v := in.Min*(1-part) + in.Max*part
	if in.Unit.IsGauge() { // sizes are whole
		v = math.Round(v)
	}
	return math.Max(in.Min, math.Min(in.Max, v))
}

// special returns entries of an input that often are the trouble.
func (s *search) special(i int) []float64 {
	in := s.definition.Inputs[i]
	values := []float64{in.Min, in.Max, s.between(i, 0.5), s.between(i, 1e-3), s.between(i, 1-1e-3), s.between(i, 1e-6)}
	for _, zero := range []float64{0, in.Unit.FromSI(0)} {
		if in.Min < zero && zero < in.Max {
			values = append(values, zero)
		}
	}
	return values
}

// tryEnds tries the start, every special entry by itself, and the ends of all
// ranges in combination.
func (s *search) tryEnds() {
	s.try(s.start())
	inputs := s.relevant(s.open)
	for _, i := range inputs {
		for _, v := range s.special(i) {
			entries := s.start()
			entries[i] = v
			s.try(entries)
		}
	}
	for n := range 1 << min(len(inputs), maxCorners) {
		entries := s.start()
		for k, i := range inputs {
			high := n>>k&1 == 1
			if k >= maxCorners {
				high = s.random.IntN(2) == 1
			}
			entries[i] = s.definition.Inputs[i].Min
			if high {
				entries[i] = s.definition.Inputs[i].Max
			}
		}
		s.try(entries)
	}
}

// tryRandomly tries entries anywhere, and special ones mixed with them.
func (s *search) tryRandomly() {
	for range randomly {
		if len(s.open) == 0 {
			return
		}
		s.try(s.somewhere())
	}
}

func (s *search) somewhere() []float64 {
	entries := s.start()
	for _, i := range s.relevant(s.open) {
		if special := s.special(i); s.random.IntN(4) == 0 {
			entries[i] = special[s.random.IntN(len(special))]
		} else {
			entries[i] = s.between(i, s.random.Float64())
		}
	}
	return entries
}

// divide cuts the ranges into parts, in which the bounds are closer, until no
// step is in trouble or the work is done. It returns what still is, in some part,
// and has no sample.
func (s *search) divide(whole []interval) []*step {
	type part struct {
		box   []interval
		steps []*step // that may be in trouble in it
	}
	unsettled := func(steps []*step) []*step {
		return slices.DeleteFunc(steps, func(st *step) bool { return s.found[st] != nil })
	}
	var doubt stepSet
	parts := []part{{whole, s.prove(whole).trouble}}
	for n := 0; n < len(parts); n++ {
		p := parts[n]
		if p.steps = unsettled(p.steps); len(p.steps) == 0 {
			continue
		}
		widest, most := -1, 1e-9
		for _, i := range s.relevant(p.steps) {
			if w := (p.box[i].hi - p.box[i].lo) / (whole[i].hi - whole[i].lo); w > most {
				widest, most = i, w
			}
		}
		if widest < 0 || len(parts) >= min(maxBoxes, maxWork/len(s.steps)) {
			for _, st := range p.steps {
				doubt.add(st)
			}
			continue
		}
		low, high := slices.Clone(p.box), slices.Clone(p.box)
		middle := p.box[widest].lo/2 + p.box[widest].hi/2
		low[widest].hi, high[widest].lo = middle, middle
		for _, box := range [][]interval{low, high} {
			if steps := unsettled(s.prove(box).trouble); len(steps) > 0 {
				parts = append(parts, part{box, steps})
				s.try(s.middle(box))
			}
		}
	}
	return unsettled(doubt)
}

// middle returns the entries in the middle of a box.
func (s *search) middle(box []interval) []float64 {
	entries := make([]float64, len(box))
	for i, x := range box {
		in := s.definition.Inputs[i]
		v := in.Unit.FromSI(x.lo/2 + x.hi/2)
		if in.Unit.IsGauge() {
			v = math.Round(v)
		}
		entries[i] = math.Max(in.Min, math.Min(in.Max, v))
	}
	return entries
}

// tryLines follows the range of one input after the other towards where a step
// loses its value: to the zero of a divisor, the least value under a root.
func (s *search) tryLines(st *step) {
	inputs := s.relevant([]*step{st})
	bases := [][]float64{s.start()}
	for range 4 {
		bases = append(bases, s.somewhere())
	}
	for _, entries := range bases {
		for range 2 {
			for _, i := range inputs {
				if s.along(st, entries, i); s.found[st] != nil {
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
// whose margins have different signs it looks for the zero by halving.
func (s *search) along(st *step, entries []float64, i int) {
	at := func(v float64) float64 {
		entries[i] = v
		s.try(entries)
		return s.trial.margin(st)
	}
	best, least := entries[i], math.Abs(at(entries[i]))
	var lastV, lastM float64
	for n := range gridPoints {
		v := s.between(i, float64(n)/(gridPoints-1))
		m := at(v)
		if n > 0 && lastM*m < 0 && !s.definition.Inputs[i].Unit.IsGauge() {
			for a, b, ma := lastV, v, lastM; s.found[st] == nil; {
				middle := a/2 + b/2
				mm := at(middle)
				if middle == a || middle == b || math.IsNaN(mm) {
					break
				}
				if ma*mm > 0 {
					a, ma = middle, mm
				} else {
					b = middle
				}
			}
			if s.found[st] != nil {
				return
			}
		}
		if math.Abs(m) < least || math.IsNaN(least) && !math.IsNaN(m) {
			best, least = v, math.Abs(m)
		}
		lastV, lastM = v, m
	}
	for step := 0.5 / (gridPoints - 1); step > 1e-9 && s.found[st] == nil; step /= 2 {
		in := s.definition.Inputs[i]
		for _, v := range []float64{best - step*(in.Max-in.Min), best + step*(in.Max-in.Min)} {
			if in.Min <= v && v <= in.Max && !in.Unit.IsGauge() {
				if m := math.Abs(at(v)); m < least {
					best, least = v, m
				}
			}
		}
	}
	entries[i] = best
}

// rounded returns an entry with few digits, within the range.
func (s *search) rounded(i int, v float64, digits int) float64 {
	in := s.definition.Inputs[i]
	if v == 0 || in.Unit.IsGauge() {
		return v
	}
	scale := math.Pow(10, float64(digits)-1-math.Floor(math.Log10(math.Abs(v))))
	r := math.Round(v*scale) / scale
	return math.Max(in.Min, math.Min(in.Max, r))
}

// simplest makes the entries of a sample easier to read where the step still
// fails with them: the start, ends and zero first, then few digits.
func (s *search) simplest(st *step, entries []float64) []float64 {
	fails := func(i int, v float64) bool {
		changed := slices.Clone(entries)
		changed[i] = v
		s.run(changed)
		return slices.Contains(s.trial.failed, st)
	}
	for _, i := range s.relevant([]*step{st}) {
		candidates := append([]float64{s.start()[i]}, s.special(i)...)
		for digits := 1; digits <= 6; digits++ {
			candidates = append(candidates, s.rounded(i, entries[i], digits))
		}
		for _, v := range candidates {
			if v == entries[i] || fails(i, v) {
				entries[i] = v
				break
			}
		}
	}
	return entries
}

// with says a sample: "with supply 12 V and resistance 0 Ω ". Of many inputs
// those are named that are not at their start.
func (s *search) with(st *step, entries []float64) string {
	inputs := s.relevant([]*step{st})
	rest := ""
	if start := s.start(); len(inputs) > 3 {
		moved := slices.DeleteFunc(slices.Clone(inputs), func(i int) bool { return entries[i] == start[i] })
		if len(moved) < len(inputs) {
			inputs, rest = moved, "the rest at the start"
		}
	}
	var parts []string
	for _, i := range inputs {
		parts = append(parts, s.inputs[i].name+" "+entry(entries[i], s.inputs[i].unit))
	}
	if rest != "" {
		parts = append(parts, rest)
	}
	switch n := len(parts); n {
	case 0:
		return ""
	case 1:
		return "with " + parts[0] + " "
	default:
		return "with " + strings.Join(parts[:n-1], ", ") + " and " + parts[n-1] + " "
	}
}

// entry prints a value as a reader would enter it.
func entry(v float64, u unit.Unit) string {
	text := plainNumeral(v)
	if u.IsGauge() {
		text = unit.SizeName(v)
	}
	return strings.TrimSpace(text + " " + u.Symbol)
}
