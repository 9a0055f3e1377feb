package formula

import (
	"strconv"
	"strings"
)

// typeset returns a formula as a book would print it, in Unicode text.
func typeset(f *formula) string { return (&printer{f}).text(f.tree, 0) }

// printer typesets one formula.
type printer struct{ f *formula }

// What binds how closely in a typeset formula. A power binds closest but for
// what needs no parentheses at all.
const (
	bindsChoice = iota + 1
	bindsOr
	bindsAnd
	bindsNot
	bindsComparison
	bindsSum
	bindsQuotient
	bindsProduct
	bindsSign
	bindsPower
	bindsAtom
)

// infix are the operators between two operands, with what the operands must
// bind. A sum on the right of a + needs no parentheses, one on the right of a −
// does. A stroke is followed by no other one, nor by a product, without
// parentheses (ISO 80000-2).
var infix = map[string]struct {
	text               string
	binds, left, right int
}{
	"||": {" or ", bindsOr, bindsOr, bindsOr},
	"&&": {" and ", bindsAnd, bindsAnd, bindsAnd},
	"==": {" = ", bindsComparison, bindsSum, bindsSum}, "!=": {" ≠ ", bindsComparison, bindsSum, bindsSum},
	"<": {" < ", bindsComparison, bindsSum, bindsSum}, "<=": {" ≤ ", bindsComparison, bindsSum, bindsSum},
	">": {" > ", bindsComparison, bindsSum, bindsSum}, ">=": {" ≥ ", bindsComparison, bindsSum, bindsSum},
	"+": {" + ", bindsSum, bindsSum, bindsSum}, "-": {" − ", bindsSum, bindsSum, bindsQuotient},
	"*": {" · ", bindsProduct, bindsProduct, bindsProduct}, "/": {" / ", bindsQuotient, bindsProduct, bindsSign},
}

// text returns a step, in parentheses if it binds less closely than its place
// wants.
func (p *printer) text(n *node, wanted int) string {
	text, binds := p.bare(n)
	if binds < wanted {
		return "(" + text + ")"
	}
	return text
}

// bare returns a step without parentheses, and how closely it binds.
func (p *printer) bare(n *node) (text string, binds int) {
	if in, ok := infix[n.op]; ok {
		right := in.right
		if n.args[1].leftmost() == "negate" {
			right = bindsAtom // no two signs in a row
		}
		return p.text(n.args[0], in.left) + in.text + p.text(n.args[1], right), in.binds
	}
	switch n.op {
	case "number":
		return p.number(n)
	case "name":
		return n.symbol.name, bindsAtom
	case "negate":
		return "−" + p.text(n.args[0], bindsPower), bindsSign
	case "!":
		return "not " + p.text(n.args[0], bindsComparison), bindsNot
	case "choose":
		return p.text(n.args[1], bindsSum) + " if " + p.text(n.args[0], bindsOr) + ", else " + p.text(n.args[2], bindsChoice), bindsChoice
	case "sqrt":
		return "√" + p.text(n.args[0], bindsAtom), bindsPower
	case "exp":
		return p.raised("e", n.args[0]), bindsPower
	case "pow":
		return p.raised(p.text(n.args[0], bindsAtom), n.args[1]), bindsPower
	case "abs":
		return "|" + p.text(n.args[0], bindsSum) + "|", bindsAtom
	case "floor":
		return "⌊" + p.text(n.args[0], bindsSum) + "⌋", bindsAtom
	case "ceil":
		return "⌈" + p.text(n.args[0], bindsSum) + "⌉", bindsAtom
	}
	called := n.op
	switch n.op {
	case "log":
		called = "ln"
	case "log10":
		called = "log₁₀"
	}
	args := make([]string, len(n.args))
	for i, x := range n.args {
		args[i] = p.text(x, bindsSum)
	}
	return called + "(" + strings.Join(args, ", ") + ")", bindsAtom
}

// leftmost returns the operation whose sign a step begins with.
func (n *node) leftmost() string {
	for infix[n.op].binds != 0 {
		n = n.args[0]
	}
	return n.op
}

// raised returns a power: small whole exponents as superscripts.
func (p *printer) raised(base string, exponent *node) string {
	written := p.f.text[exponent.start:exponent.end]
	if _, err := strconv.Atoi(strings.ReplaceAll(written, " ", "")); err == nil && len(written) <= 4 {
		return base + superscript(written)
	}
	return base + "^" + p.text(exponent, bindsAtom)
}

// number returns a number as the author wrote it, with a power of ten for an
// exponent.
func (p *printer) number(n *node) (text string, binds int) {
	written := p.f.text[n.start:n.end]
	if written == "pi" {
		return "π", bindsAtom
	}
	m, exponent, ok := strings.Cut(strings.ToLower(written), "e")
	if !ok {
		return written, bindsAtom
	}
	power := "10" + superscript(strings.TrimPrefix(exponent, "+"))
	if m == "1" {
		return power, bindsPower
	}
	return m + " · " + power, bindsProduct
}

var superscripts = strings.NewReplacer("-", "⁻", "+", "", " ", "", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func superscript(digits string) string { return superscripts.Replace(digits) }
