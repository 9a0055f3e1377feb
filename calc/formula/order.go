package formula

import "strings"

// arrange returns the formulas that can be worked out, each behind those that it
// needs and otherwise in the order of the definition. Formulas that need one
// another in a ring are a problem, told once for the ring.
func (c *compiler) arrange() []*formula {
	var order, path []*formula
	var visit func(f *formula) bool
	visit = func(f *formula) bool {
		switch f.state {
		case arranged:
			return true
		case inRing:
			return false
		case underway:
			c.ring(path, f)
			return false
		}
		f.state = underway
		path = append(path, f)
		ok := true
		f.tree.walk(func(n *node) {
			if n.op == "name" && n.symbol.formula != nil {
				ok = visit(n.symbol.formula) && ok
			}
		})
		path = path[:len(path)-1]
		if f.state = arranged; !ok {
			f.state = inRing
			f.gives.bad = true
			return false
		}
		order = append(order, f)
		return true
	}
	for _, f := range c.formulas {
		visit(f)
	}
	return order
}

// The states of a formula in arrange.
const (
	underway = iota + 1
	arranged
	inRing // or in need of one that is
)

// ring tells of formulas that need one another: those of the path from the first
// on, which the last of them needs again.
func (c *compiler) ring(path []*formula, first *formula) {
	for path[0] != first {
		path = path[1:]
	}
	last := path[len(path)-1]
	var needs []string
	for _, f := range path[1:] {
		needs = append(needs, quote(f.name))
	}
	if needs = append(needs, quote(first.name)); len(needs) == 1 {
		needs[0] = "itself"
	}
	told := false
	last.tree.walk(func(n *node) {
		if n.symbol == first.symbol && !told {
			told = true
			c.problem(last, Cycle, n.start, n.end, quote(first.name)+" needs "+strings.Join(needs, ", which needs "), "Take one of them out of the ring: nothing can be computed from itself.")
		}
	})
}

// walk calls visit for every step of the tree, operands first.
func (n *node) walk(visit func(*node)) {
	if n == nil {
		return
	}
	for _, x := range n.args {
		x.walk(visit)
	}
	visit(n)
}

// fold works out what needs no input. What is left of a formula then is what the
// module computes.
func (c *compiler) fold(tree *node) {
	tree.walk(func(n *node) {
		switch {
		case n.op == "number":
			n.constant = true
		case n.op == "name" && n.symbol.section == InConstants:
			n.constant, n.value = true, n.symbol.value
		case n.op == "name" && n.symbol.formula != nil:
			if tree := n.symbol.formula.tree; tree != nil {
				n.constant, n.value = tree.constant, tree.value
			}
		case n.op != "name" && n.isNumber() && n.op != "choose":
			for _, x := range n.args {
				if !x.constant {
					return
				}
			}
			op, args := n.lowered()
			n.constant, n.value = true, args[0].value
			if len(args) == 1 {
				n.value = apply(op, n.value, 0)
			}
			for _, x := range args[1:] {
				n.value = apply(op, n.value, x.value)
			}
		}
	})
}

// lower replaces powers that need no general one.
func lower(tree *node) {
	tree.walk(func(n *node) { n.op, n.args = n.lowered() })
}

// lowered returns the operation that is carried out for a step: for some powers a
// simpler one, which is rounded better and spares the module a kilobyte.
func (n *node) lowered() (op string, args []*node) {
	if n.op == "pow" && n.args[1].constant {
		if op, ok := map[float64]string{0.5: "sqrt", 2: "square", 3: "cube"}[n.args[1].value]; ok {
			return op, n.args[:1]
		}
	}
	return n.op, n.args
}

// isNumber reports whether a step gives a number, and not a condition.
func (n *node) isNumber() bool {
	switch n.op {
	case "<", "<=", ">", ">=", "==", "!=", "&&", "||", "!":
		return false
	}
	return true
}

// apply carries an operation on one number or two out as the module does.
func apply(op string, x, y float64) float64 {
	switch op {
	case "negate":
		return -x
	case "+":
		return x + y
	case "-":
		return x - y
	case "*":
		return x * y
	case "/":
		return x / y
	case "square":
		return x * x
	case "cube":
		return x * x * x
	}
	return functions[op].of(x, y)
}
