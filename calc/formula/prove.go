package formula

import "math"

// prover bounds every step of a calculator over one box, a range for each input,
// and collects the steps that may have no value there.
//
// It looks at what the results need only, as the module does: of a choose the
// branch that is chosen, and there with the condition's knowledge, so that
// choose(x > 0, log(x), 0) is as sound as it looks.
type prover struct {
	*graph
	box     []interval // of the inputs, in SI
	left    int        // how many more steps may be bounded under conditions
	trouble stepSet    // may have no value
	slight  stepSet    // may be too large, next to the bound of a guard such as x > 0
}

// scope is the knowledge of the conditions that led to a branch.
type scope struct {
	outer  *scope
	bounds map[*step]interval // known from the condition
	memo   map[*step]interval
}

// prove bounds the results over a box.
func (g *graph) prove(box []interval) *prover {
	p := &prover{graph: g, box: box, left: maxBounded}
	whole := &scope{memo: map[*step]interval{}}
	for _, s := range g.results {
		p.bound(s, whole)
	}
	return p
}

// bound returns the bounds of a step where a scope's conditions hold.
func (p *prover) bound(s *step, sc *scope) interval {
	if s.op == "number" {
		return interval{lo: s.value, hi: s.value}
	}
	if x, ok := sc.memo[s]; ok {
		return x
	}
	p.left--
	x := p.fresh(s, sc)
	for o := sc; o != nil; o = o.outer {
		if known, ok := o.bounds[s]; ok {
			x.lo, x.hi = math.Max(x.lo, known.lo), math.Min(x.hi, known.hi)
			if x.lo > x.hi { // by a rounding; the scope holds next to nothing
				x = known
			}
		}
	}
	sc.memo[s] = x
	return x
}

// fresh bounds a step from its operands.
func (p *prover) fresh(s *step, sc *scope) interval {
	switch s.op {
	case "input":
		return p.box[s.input]
	case "choose":
		return p.choose(s, sc)
	}
	args := make([]interval, len(s.args))
	vague, steep := false, false
	for i, a := range s.args {
		args[i] = p.bound(a, sc)
		vague = vague || args[i].vague
		steep = steep || args[i].steep || args[i].nearZero()
	}
	op := s.op
	if len(s.args) == 2 && s.args[0] == s.args[1] {
		switch op {
		case "*":
			op = "square"
		case "-":
			return interval{vague: vague, steep: steep}
		case "/":
			if !args[0].has(0) {
				return interval{lo: 1, hi: 1, vague: vague, steep: steep}
			}
		}
	}
	x, ok := bounds[op](args)
	large := !finite(x.lo) || !finite(x.hi)
	x.lo, x.hi = math.Max(x.lo, all.lo), math.Min(x.hi, all.hi)
	x.vague = vague || !ok || large && !steep
	x.steep = steep
	switch {
	case vague || ok && !large:
	case ok && steep:
		p.slight.add(s)
	default:
		p.trouble.add(s)
	}
	return x
}

// stepSet is a set of steps in the order in which they were added.
type stepSet struct {
	steps []*step
	in    map[*step]bool
}

func (set *stepSet) add(s *step) {
	if set.in == nil {
		set.in = map[*step]bool{}
	}
	if !set.in[s] {
		set.in[s] = true
		set.steps = append(set.steps, s)
	}
}

// choose bounds both branches, each where the condition leads to it.
func (p *prover) choose(s *step, sc *scope) interval {
	p.truth(s.args[0], sc)
	var x interval
	reached := false
	for i, sense := range []bool{true, false} {
		for _, inner := range p.narrow(s.args[0], sense, sc) {
			y := p.bound(s.args[1+i], inner)
			if reached {
				y = y.union(x)
			}
			x, reached = y, true
		}
	}
	if !reached { // the condition rests on a step in trouble
		x = all
		x.vague = true
	}
	return x
}

// truth bounds the operands of a condition as the module comes to them, so that
// trouble in them is seen.
func (p *prover) truth(s *step, sc *scope) {
	switch s.op {
	case "!":
		p.truth(s.args[0], sc)
	case "&&", "||":
		p.truth(s.args[0], sc)
		for _, inner := range p.narrow(s.args[0], s.op == "&&", sc) {
			p.truth(s.args[1], inner)
		}
	default:
		p.bound(s.args[0], sc)
		p.bound(s.args[1], sc)
	}
}

// maxScopes bounds the cases of one condition; with more, its knowledge is left.
const maxScopes = 8

// narrow returns the cases in which a condition is true, or in which it is
// false; none if it cannot be.
func (p *prover) narrow(s *step, sense bool, sc *scope) []*scope {
	switch s.op {
	case "!":
		return p.narrow(s.args[0], !sense, sc)
	case "&&", "||":
		// Both must hold, or one of two cases does.
		stops := sense != (s.op == "&&")
		var cases []*scope
		if stops {
			cases = p.narrow(s.args[0], sense, sc)
		}
		for _, inner := range p.narrow(s.args[0], s.op == "&&", sc) {
			cases = append(cases, p.narrow(s.args[1], sense, inner)...)
			if len(cases) > maxScopes {
				return []*scope{sc}
			}
		}
		return cases
	}
	return p.compare(s, sense, sc)
}

// opposite is the comparison that holds where another does not; no operand is
// NaN, since that is trouble of its own.
var opposite = map[string]string{"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}

// compare returns the cases in which a comparison is true, or false.
func (p *prover) compare(s *step, sense bool, sc *scope) []*scope {
	op, a, b := s.op, s.args[0], s.args[1]
	if !sense {
		op = opposite[op]
	}
	x, y := p.bound(a, sc), p.bound(b, sc)
	if x.vague || y.vague || p.left < 0 {
		return []*scope{sc}
	}
	switch op {
	case ">", ">=":
		a, b, x, y = b, a, y, x
		op = map[string]string{">": "<", ">=": "<="}[op]
	case "!=":
		if x.lo == x.hi {
			a, b, x, y = b, a, y, x
		}
		if y.lo != y.hi && p.find("-", a, b) == nil && p.find("-", b, a) == nil {
			if a == b {
				return nil
			}
			return []*scope{sc}
		}
		return append(p.less(a, b, x, y, true, sc), p.less(b, a, y, x, true, sc)...)
	case "==":
		lo, hi := math.Max(x.lo, y.lo), math.Min(x.hi, y.hi)
		if lo > hi {
			return nil
		}
		return []*scope{sc.know(map[*step]interval{a: {lo: lo, hi: hi}, b: {lo: lo, hi: hi}})}
	}
	return p.less(a, b, x, y, op == "<", sc)
}

// less returns the case in which a is less than b, or not above it.
func (p *prover) less(a, b *step, x, y interval, strict bool, sc *scope) []*scope {
	if x.lo > y.hi || strict && (x.lo >= y.hi || a == b) {
		return nil
	}
	most, least, gap := y.hi, x.lo, 0.0
	if strict {
		most, least = math.Nextafter(most, math.Inf(-1)), math.Nextafter(least, math.Inf(1))
		gap = math.SmallestNonzeroFloat64 // a difference of two numbers is 0 only if they are equal
	}
	x.hi, y.lo = math.Min(x.hi, most), math.Max(y.lo, least)
	known := map[*step]interval{a: x, b: y}
	if d := p.find("-", a, b); d != nil {
		known[d] = interval{lo: all.lo, hi: -gap}
	}
	if d := p.find("-", b, a); d != nil {
		known[d] = interval{lo: gap, hi: all.hi}
	}
	return []*scope{sc.know(known)}
}

func (sc *scope) know(bounds map[*step]interval) *scope {
	return &scope{sc, bounds, map[*step]interval{}}
}
