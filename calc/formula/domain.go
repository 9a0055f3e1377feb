package formula

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
)

// Bounds on the work for one definition.
const (
	maxBounded = 20_000    // steps bounded under the conditions of one box
	maxDivided = 100_000   // steps bounded to exclude a doubt
	maxTried   = 1_000_000 // steps run to find samples
)

// domain tells where a result can be without a value. Intervals say where that
// may be; if a sample shows it, it is a mistake, and else a doubt. One place of
// each formula is told.
func (c *compiler) domain() {
	g := c.newGraph()
	whole := make([]interval, len(c.inputs))
	for i, in := range c.definition.Inputs {
		whole[i] = hull(in.Unit.ToSI(in.Min), in.Unit.ToSI(in.Max))
	}
	p := g.prove(whole)
	if len(p.trouble.steps)+len(p.slight.steps) == 0 {
		return
	}
	s := &search{compiler: c, graph: g, found: map[*step][]float64{}, crossings: map[*step][]float64{}, random: rand.New(rand.NewPCG(1, 2)), left: maxTried}
	s.open = slices.Concat(p.trouble.steps, p.slight.steps)
	s.tryEnds()
	doubt := s.divide(whole)
	s.settle(func(st *step) bool { return doubt.in[st] || p.slight.in[st] })
	s.tryRandomly()
	for _, st := range slices.Clone(s.open) {
		s.tryLines(st)
	}
	told := map[*formula]bool{}
	for _, st := range g.steps { // operands first
		if entries := s.found[st]; entries != nil && !told[st.formula] {
			told[st.formula] = true
			first, entries := "with ", s.simplest(st, entries)
			if short := s.short(st, entries); !slices.Equal(short, entries) {
				first, entries = "near ", short
			}
			c.problem(st.formula, Domain, st.place.start, st.place.end, s.with(st, entries, first)+s.quote(st.place, st)+" has no value", s.guard(st))
		}
	}
	for _, st := range doubt.steps {
		if s.found[st] != nil || told[st.formula] {
			continue
		}
		told[st.formula] = true
		message := "it could not be excluded that " + s.quote(st.place, st) + " has no value for some entries"
		if entries := s.crossings[st]; entries != nil {
			message = s.with(st, s.short(st, entries), "near ") + s.quote(st.place.args[1], st) + " passes through 0, and " + s.quote(st.place, st) + " grows beyond all bounds"
		}
		c.problem(st.formula, DomainDoubt, st.place.start, st.place.end, message, s.guard(st))
	}
}

// divide cuts the ranges into parts, in which the bounds are closer, until no
// step is in trouble or the work is done. It returns what still is, in some part,
// and has no sample.
func (s *search) divide(whole []interval) stepSet {
	type part struct {
		box     []interval
		trouble []*step
	}
	var doubt stepSet
	work := maxDivided
	parts := []part{{whole, s.prove(whole).trouble.steps}}
	for n := 0; n < len(parts); n++ {
		p := parts[n]
		p.trouble = slices.DeleteFunc(p.trouble, func(st *step) bool { return s.found[st] != nil })
		cut := widest(p.box, whole, s.decisive(p.trouble), 1.0/1024)
		if cut < 0 && len(p.trouble) > 0 { // another may decide whether it is reached
			cut = widest(p.box, whole, s.used(), 1e-9)
		}
		if cut < 0 || work <= 0 {
			for _, st := range p.trouble {
				doubt.add(st)
			}
			continue
		}
		low, high := slices.Clone(p.box), slices.Clone(p.box)
		middle := p.box[cut].lo/2 + p.box[cut].hi/2
		low[cut].hi, high[cut].lo = middle, middle
		for _, box := range [][]interval{low, high} {
			half := s.prove(box)
			work -= len(s.steps) + maxBounded - half.left
			if len(half.trouble.steps) > 0 {
				parts = append(parts, part{box, half.trouble.steps})
				s.try(s.middle(box))
			}
		}
	}
	return doubt
}

// widest returns the input whose range is the greatest part of its whole, and
// greater than least; or -1.
func widest(box, whole []interval, inputs []int, least float64) int {
	found := -1
	for _, i := range inputs {
		if part := (box[i].hi - box[i].lo) / (whole[i].hi - whole[i].lo); part > least {
			found, least = i, part
		}
	}
	return found
}

// quote is a piece of the formula that a step is written in.
func (s *search) quote(n *node, st *step) string { return quote(st.formula.text[n.start:n.end]) }

// guard says how a step is kept from having no value.
func (s *search) guard(st *step) string {
	operand := func(i int) string { return s.quote(st.place.args[i], st) }
	must := "The value must not be too large for a number"
	switch st.op {
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

// with says a sample behind a first word: "with supply 12 V and resistance 0 Ω ".
// Of many inputs those are named that are not at their start.
func (s *search) with(st *step, entries []float64, first string) string {
	inputs := st.depends.list()
	if len(inputs) == 0 {
		return ""
	}
	rest := ""
	if start := s.start(); len(inputs) > 3 {
		moved := slices.DeleteFunc(slices.Clone(inputs), func(i int) bool { return entries[i] == start[i] })
		if len(moved) < len(inputs) {
			inputs, rest = moved, "the rest at the start"
		}
		if len(moved) == 0 {
			rest = "every input at the start"
		}
	}
	var parts []string
	for _, i := range inputs {
		parts = append(parts, s.inputs[i].name+" "+entry(entries[i], s.inputs[i].unit))
	}
	if rest != "" {
		parts = append(parts, rest)
	}
	last := len(parts) - 1
	if last == 0 {
		return first + parts[0] + " "
	}
	return first + strings.Join(parts[:last], ", ") + " and " + parts[last] + " "
}

// entry prints a value as a reader would enter it.
func entry(v float64, u unit.Unit) string {
	form := byte('g')
	if a := math.Abs(v); a == 0 || 1e-6 <= a && a < 1e9 {
		form = 'f'
	}
	text := strconv.FormatFloat(v+0, form, -1, 64) // -0 is 0
	if u.IsGauge() {
		text = unit.SizeName(v)
	}
	return strings.TrimSpace(text + " " + u.Symbol)
}
