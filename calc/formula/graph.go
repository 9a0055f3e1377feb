package formula

import (
	"math"
)

// step is one calculation of a calculator as a whole, with names replaced by
// what they stand for. What is calculated twice is one step.
type step struct {
	id      int
	op      string // as in a tree; an input has "input"
	args    []*step
	value   float64 // of a number
	input   int     // of an input
	depends inputSet
	formula *formula // where it is written first
	place   *node
}

// inputSet is a set of inputs.
type inputSet [(maxNames + 63) / 64]uint64

func (s *inputSet) add(i int)     { s[i/64] |= 1 << (i % 64) }
func (s inputSet) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }

// join adds the inputs of another set.
func (s *inputSet) join(other inputSet) {
	for i := range s {
		s[i] |= other[i]
	}
}

// list returns the inputs in their order.
func (s inputSet) list() []int {
	var inputs []int
	for i := range maxNames {
		if s.has(i) {
			inputs = append(inputs, i)
		}
	}
	return inputs
}

// watched is the operand that decides whether a step has a value: a divisor,
// what stands under a root or a logarithm. It is nil if several do.
func (s *step) watched() *step {
	switch s.op {
	case "/":
		return s.args[1]
	case "log", "log10", "sqrt":
		return s.args[0]
	}
	return nil
}

// key is what makes a step the same as another.
type key struct {
	op      string
	value   uint64
	a, b, c int
}

// graph is the calculator as steps, operands before what uses them.
type graph struct {
	steps   []*step
	results []*step
	byKey   map[key]*step
	roots   map[*formula]*step
}

// newGraph makes the steps of the results, and of what they need.
func (c *compiler) newGraph() *graph {
	g := &graph{byKey: map[key]*step{}, roots: map[*formula]*step{}}
	for _, f := range c.formulas {
		if f.section == InResults {
			g.results = append(g.results, g.root(f))
		}
	}
	return g
}

func (g *graph) root(f *formula) *step {
	if g.roots[f] == nil {
		g.roots[f] = g.of(f, f.tree)
	}
	return g.roots[f]
}

// of returns the step of a node.
func (g *graph) of(f *formula, n *node) *step {
	switch {
	case n.constant && finite(n.value):
		return g.step(f, n, key{op: "number", value: math.Float64bits(n.value)})
	case n.op == "name" && n.symbol.section == InInputs:
		return g.step(f, n, key{op: "input", a: n.symbol.index})
	case n.op == "name":
		return g.root(n.symbol.formula)
	}
	args := make([]*step, len(n.args))
	for i, x := range n.args {
		args[i] = g.of(f, x)
	}
	for len(args) > 2 && n.op != "choose" { // min and max of several
		args = append([]*step{g.step(f, n, key{op: n.op}, args[:2]...)}, args[2:]...)
	}
	return g.step(f, n, key{op: n.op}, args...)
}

// step returns the step of a key and operands, made if it is new.
func (g *graph) step(f *formula, n *node, k key, args ...*step) *step {
	for i, x := range args {
		*[]*int{&k.a, &k.b, &k.c}[i] = x.id + 1
	}
	if s := g.byKey[k]; s != nil {
		return s
	}
	s := &step{id: len(g.steps), op: k.op, args: args, formula: f, place: n}
	switch k.op {
	case "number":
		s.value = math.Float64frombits(k.value)
	case "input":
		s.input = k.a
		s.depends.add(k.a)
	}
	for _, x := range args {
		s.depends.join(x.depends)
	}
	g.steps = append(g.steps, s)
	g.byKey[k] = s
	return s
}

// find returns the step of an operation on two steps, if the calculator has it.
func (g *graph) find(op string, a, b *step) *step {
	return g.byKey[key{op: op, a: a.id + 1, b: b.id + 1}]
}
