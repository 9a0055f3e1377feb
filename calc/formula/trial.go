package formula

import "math"

// trial runs a calculator natively, once for each run, with the operations of
// the module, and notes where it fails.
type trial struct {
	in     []float64 // in SI
	values []float64 // by step
	states []state
	failed []*step // those whose operands have a value, and which have none
}

type state uint8

const (
	notReached state = iota
	hasValue
	hasNone // or rests on a step that has none
)

// run runs what the results need.
func (t *trial) run(g *graph, in []float64) {
	t.in = in
	t.failed = nil
	if t.values == nil {
		t.values, t.states = make([]float64, len(g.steps)), make([]state, len(g.steps))
	}
	clear(t.states)
	for _, s := range g.results {
		t.value(s)
	}
}

// value returns the value of a step, and whether it has one. A condition is 0
// or 1.
func (t *trial) value(s *step) (float64, bool) {
	if t.states[s.id] == notReached {
		v, ok := t.compute(s)
		t.values[s.id], t.states[s.id] = v, hasNone
		if ok && finite(v) {
			t.states[s.id] = hasValue
		} else if ok {
			t.failed = append(t.failed, s)
		}
	}
	return t.values[s.id], t.states[s.id] == hasValue
}

// compute returns what a step gives; not ok if an operand has no value.
func (t *trial) compute(s *step) (float64, bool) {
	switch s.op {
	case "number":
		return s.value, true
	case "input":
		return t.in[s.input], true
	case "choose":
		condition, ok := t.value(s.args[0])
		if !ok {
			return 0, false
		}
		if condition != 0 {
			return t.value(s.args[1])
		}
		return t.value(s.args[2])
	case "&&", "||":
		x, ok := t.value(s.args[0])
		if !ok || (x != 0) == (s.op == "||") {
			return x, ok
		}
		return t.value(s.args[1])
	}
	x, ok := t.value(s.args[0])
	var y float64
	if len(s.args) == 2 {
		var has bool
		y, has = t.value(s.args[1])
		ok = ok && has
	}
	if !ok {
		return 0, false
	}
	switch s.op {
	case "!":
		return 1 - x, true
	case "<":
		return truth(x < y), true
	case "<=":
		return truth(x <= y), true
	case ">":
		return truth(x > y), true
	case ">=":
		return truth(x >= y), true
	case "==":
		return truth(x == y), true
	case "!=":
		return truth(x != y), true
	}
	return apply(s.op, x, y), true
}

func truth(holds bool) float64 {
	if holds {
		return 1
	}
	return 0
}

// margin is the value that decides whether a step has one, NaN if that is
// unknown.
func (t *trial) margin(s *step) float64 {
	if x := s.watched(); x != nil && t.states[x.id] == hasValue {
		return t.values[x.id]
	}
	return math.NaN()
}
