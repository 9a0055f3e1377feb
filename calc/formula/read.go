package formula

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"strings"
)

// node is one step of a formula: a number, a name, an operation or a call.
type node struct {
	op         string  // "number", "name", an operator, "negate", "!", or a function's name
	args       []*node // operands, in their order
	value      float64 // if constant
	symbol     *symbol // of a name
	start, end int     // in the formula, without parentheses around it
	height     int     // 1 without operands
	constant   bool    // value is known without any input
}

// read turns a formula into its tree. It adds what is wrong to the problems and
// returns nil then.
//
// scan looks at every sign first, so that the author is told what stands at
// which place; the parser of Go, which gives the order of the operations, sees
// only what is a formula already, and what it returns is still held to the few
// kinds of expression that convert knows.
func (c *compiler) read(f *formula) *node {
	words := c.scan(f)
	if words == nil || c.unhyphenate(f, words) {
		return nil
	}
	r := &reader{compiler: c, formula: f, words: words, unknowns: map[string]bool{}}
	var text strings.Builder
	for _, w := range words {
		text.WriteByte(' ')
		r.starts = append(r.starts, text.Len())
		if w.kind == name {
			text.WriteByte('n') // so that no name is a keyword
		}
		text.WriteString(w.text)
		r.ends = append(r.ends, text.Len())
	}
	e, err := parser.ParseExpr(text.String())
	if err != nil {
		c.problem(f, Syntax, 0, len(f.text), "this is no formula", "Write numbers, names and + - * / with parentheses.")
		return nil
	}
	before := len(c.problems)
	n := r.convert(e)
	if n.height > maxDepth {
		c.problem(f, Limit, 0, len(f.text), fmt.Sprintf("more than %d operations stand one within the other", maxDepth), "Move a part of it into a value of its own.")
	}
	if len(c.problems) > before {
		return nil
	}
	return n
}

// reader turns Go's tree of one formula into ours.
type reader struct {
	*compiler
	formula      *formula
	words        []word
	starts, ends []int           // of the words in the text that was parsed
	unknowns     map[string]bool // names that have been told
}

// extent returns the place in the formula of what was parsed.
func (r *reader) extent(e ast.Expr) (start, end int) {
	first, _ := slices.BinarySearch(r.starts, int(e.Pos())-1)
	last, _ := slices.BinarySearch(r.ends, int(e.End())-1)
	first, last = min(first, len(r.words)-1), min(last, len(r.words)-1)
	return r.words[first].start, max(r.words[first].start, r.words[last].end)
}

// convert refuses every expression that it does not know.
func (r *reader) convert(e ast.Expr) *node {
	n := &node{height: 1}
	n.start, n.end = r.extent(e)
	refuse := func(fault Fault, message, mend string) *node {
		r.problem(r.formula, fault, n.start, n.end, message, mend)
		return n
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return r.convert(e.X)
	case *ast.BasicLit:
		if e.Kind != token.INT && e.Kind != token.FLOAT {
			return refuse(Syntax, "this is no number", "Write it in decimal digits.")
		}
		value, err := strconv.ParseFloat(e.Value, 64)
		switch {
		case errors.Is(err, strconv.ErrRange):
			return refuse(Limit, quote(e.Value)+" is too large a number", "Write one below 1e308.")
		case err != nil:
			return refuse(Syntax, "this is no number", "Write it in decimal digits.")
		case value == 0 && strings.ContainsAny(mantissa(e.Value), "123456789"):
			return refuse(Limit, quote(e.Value)+" is too small a number", "Write 0.")
		}
		n.op, n.value = "number", value
	case *ast.Ident:
		return r.name(n, strings.TrimPrefix(e.Name, "n"), refuse)
	case *ast.UnaryExpr:
		x := r.convert(e.X)
		switch e.Op {
		case token.ADD:
			return x
		case token.SUB:
			n.op = "negate"
		case token.NOT:
			n.op = "!"
		default:
			return refuse(Syntax, quote(e.Op.String())+" is no sign of a formula", "Remove it.")
		}
		n.add(x)
	case *ast.BinaryExpr:
		if !slices.Contains(binaryOperators, e.Op.String()) {
			return refuse(Syntax, quote(e.Op.String())+" is no sign of a formula", "Remove it.")
		}
		n.op = e.Op.String()
		n.add(r.convert(e.X))
		n.add(r.convert(e.Y))
	case *ast.CallExpr:
		called, ok := e.Fun.(*ast.Ident)
		if !ok || e.Ellipsis.IsValid() {
			return refuse(Syntax, "this is no formula", "Call a function by its name.")
		}
		return r.call(n, e, strings.TrimPrefix(called.Name, "n"))
	default:
		return refuse(Syntax, "this is no formula", "Write numbers, names and + - * / with parentheses.")
	}
	return n
}

func (n *node) add(operand *node) {
	n.args = append(n.args, operand)
	n.height = max(n.height, operand.height+1)
}

func mantissa(literal string) string {
	m, _, _ := strings.Cut(strings.ToLower(literal), "e")
	return m
}

// name resolves a name; it marks what is used.
func (r *reader) name(n *node, written string, refuse func(Fault, string, string) *node) *node {
	if written == "pi" {
		n.op, n.value = "number", pi
		return n
	}
	if s := r.symbols[written]; s != nil {
		s.used = true
		n.op, n.symbol = "name", s
		return n
	}
	if r.refused[written] {
		r.formula.broken = true // its own problem says it
		n.op = "number"
		return n
	}
	if functions[written].arguments != 0 {
		return refuse(Syntax, quote(written)+" is a function", "Write its arguments in parentheses: "+usage(written)+".")
	}
	if r.unknowns[written] {
		return n // told where it stands first
	}
	r.unknowns[written] = true
	message, mend := r.unknown(written)
	return refuse(Unknown, message, mend)
}

// call converts a call of a known function.
func (r *reader) call(n *node, e *ast.CallExpr, called string) *node {
	start, end := r.extent(e.Fun)
	for _, argument := range e.Args {
		n.add(r.convert(argument))
	}
	n.op = called
	f, ok := functions[called]
	switch count := len(e.Args); {
	case !ok && (r.symbols[called] != nil || r.refused[called] || called == "pi"):
		r.problem(r.formula, Syntax, start, end, quote(called)+" is no function", fmt.Sprintf("Write %s * ( for a product.", called))
	case !ok:
		message, mend := r.unknownFunction(called)
		r.problem(r.formula, Unknown, start, end, message, mend)
	case f.more && count < f.arguments, !f.more && count != f.arguments:
		mend := "Write " + usage(called) + "."
		if comma, ok := r.decimalComma(start); ok {
			mend = "Write a point for a decimal comma: " + comma + "."
		}
		r.problem(r.formula, Syntax, n.start, n.end, fmt.Sprintf("%s takes %s, not %d", called, f.takes(), count), mend)
	}
	return n
}

// decimalComma finds the first "1,5" behind the name of a function, and says how
// to write it.
func (r *reader) decimalComma(start int) (string, bool) {
	for i := 1; i+1 < len(r.words); i++ {
		before, comma, after := r.words[i-1], r.words[i], r.words[i+1]
		if comma.start > start && comma.text == "," && before.kind == number && after.kind == number && before.end == comma.start && comma.end == after.start {
			return before.text + "." + after.text, true
		}
	}
	return "", false
}

// quote puts a piece of a formula into backquotes, shortened in its middle if it
// is long.
func quote(text string) string {
	const most = 72
	text = strings.Join(strings.Fields(strings.ToValidUTF8(text, "�")), " ")
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most*2/3]) + " … " + string(runes[len(runes)-most/4:])
	}
	return "`" + text + "`"
}
