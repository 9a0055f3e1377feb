package formula

import (
	"fmt"
	"go/format"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"benchleaf/calc/elementary"
	"benchleaf/calc/unit"
	"benchleaf/calc/wasm"
)

const elementaryPath = "benchleaf/calc/elementary"

// library is the checked package of the elementary functions, which every
// calculator may use.
var library = sync.OnceValue(func() *wasm.Program {
	program, problems := wasm.Check(wasm.Source{Path: elementaryPath, Files: elementary.Files(), Intrinsics: elementaryPath})
	if len(problems) > 0 {
		panic("the elementary functions do not compile: " + problems[0].Message)
	}
	return program
})

// generate writes the calculator in Go and compiles it.
func (c *compiler) generate(program *Program) {
	g := &generator{compiler: c, function: functionName(c.definition.Name), needed: map[*symbol]int{}}
	code := g.code()
	formatted, err := format.Source([]byte(code))
	if err != nil {
		c.tooLarge(err.Error())
		return
	}
	checked, problems := check(code)
	if len(problems) > 0 {
		c.tooLarge(problems[0].Message)
		return
	}
	module, problems := checked.Compile(g.function)
	if len(problems) > 0 {
		c.tooLarge(problems[0].Message)
		return
	}
	program.Module, program.Code = module.Bytes, strings.TrimSpace(string(formatted))
}

// check type-checks the code, with the elementary functions if it calls any.
func check(code string) (*wasm.Program, []wasm.Problem) {
	const path = "calculator"
	files := func(imports string) map[string][]byte {
		return map[string][]byte{"calculator.go": []byte("package " + path + "\n" + imports + code)}
	}
	if !strings.Contains(code, "elementary.") {
		return wasm.Check(wasm.Source{Path: path, Files: files("")})
	}
	return library().Extend(path, files("import \""+elementaryPath+"\"\n"))
}

// tooLarge tells what the compiler behind this one refuses: a calculator that is
// too large for it.
func (c *compiler) tooLarge(message string) {
	f := c.formulas[len(c.formulas)-1]
	c.problem(f, Limit, 0, len(f.text), "the calculator cannot be compiled: "+message, "Divide it into two; the second can take results of the first.")
}

// generator writes the Go function of a calculator.
type generator struct {
	*compiler
	function string
	needed   map[*symbol]int // how often the code names them
	lines    []string
	extra    int // names given to what has none
}

// code returns the types and the function.
func (g *generator) code() string {
	for _, f := range g.formulas {
		if f.section == InResults {
			g.need(f.tree)
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "// %sInputs is what is entered.\ntype %sInputs struct {\n", g.function, g.function)
	for _, s := range g.inputs {
		fmt.Fprintf(&b, "%s float64%s\n", exported(s.name), comment(s.unit))
	}
	fmt.Fprintf(&b, "}\n\n// %sResults is what comes out.\ntype %sResults struct {\n", g.function, g.function)
	for _, f := range g.formulas {
		if f.section == InResults {
			fmt.Fprintf(&b, "%s float64%s\n", exported(f.name), comment(f.unit))
		}
	}
	fmt.Fprintf(&b, "}\n\n// %s computes in the units of the SI.\nfunc %s(in %sInputs) %sResults {\n", g.function, g.function, g.function, g.function)
	for _, s := range g.constants {
		if g.needed[s] > 0 {
			fmt.Fprintf(&b, "const %s float64 = %s%s\n", local(s.name), literal(s.value), comment(s.unit))
		}
	}
	results := make([]string, len(g.definition.Results))
	for _, f := range g.arranged {
		result := f.section == InResults
		switch {
		case result && g.needed[f.symbol] == 0 && f.tree.op != "choose":
			results[f.index] = g.text(f.tree, 0)
			continue
		case g.needed[f.symbol] == 0 && !result:
			continue
		case f.tree.constant && !finite(f.tree.value):
			continue // in branches only that are never taken
		case f.tree.constant:
			g.line("const %s float64 = %s", local(f.name), g.text(f.tree, 0))
		case f.tree.op == "choose" && !f.tree.constant:
			g.choose(f.tree, local(f.name))
		default:
			g.line("%s := %s", local(f.name), g.guarded(f.tree, 0))
		}
		if result {
			results[f.index] = local(f.name)
		}
	}
	for _, line := range g.lines {
		b.WriteString(line + "\n")
	}
	fmt.Fprintf(&b, "return %sResults{\n", g.function)
	for i, r := range g.definition.Results {
		fmt.Fprintf(&b, "%s: %s,\n", exported(r.Name), results[i])
	}
	b.WriteString("}\n}\n")
	return b.String()
}

// need counts the names that the code of a tree has, those in what they stand
// for included.
func (g *generator) need(n *node) {
	if n.op == "name" {
		g.needed[n.symbol]++
		if f := n.symbol.formula; f != nil && g.needed[n.symbol] == 1 {
			g.need(f.tree)
		}
		return
	}
	if n.constant && !keepsNames(n) {
		return
	}
	for _, x := range n.args {
		g.need(x)
	}
}

// keepsNames reports whether the code of a constant step keeps the names in it:
// arithmetic that Go's compilers fold as the module would, each operation
// rounded to the float64 that its constants are. What they would not, a -0 or a
// call, is folded here.
func keepsNames(n *node) bool {
	if n.op == "name" {
		return finite(n.value)
	}
	if !n.constant || !finite(n.value) || n.value == 0 || !slices.Contains([]string{"+", "-", "*", "/", "negate"}, n.op) {
		return false
	}
	return slices.ContainsFunc(n.args, keepsNames)
}

func (g *generator) line(form string, arguments ...any) {
	g.lines = append(g.lines, fmt.Sprintf(form, arguments...))
}

// choose writes the statement that gives a variable one of two values. Only the
// one that is chosen is computed.
func (g *generator) choose(n *node, variable string) {
	g.line("var %s float64", variable)
	g.branch(n, variable)
}

func (g *generator) branch(n *node, variable string) {
	g.line("if %s {", g.text(n.args[0], 0))
	g.assign(n.args[1], variable)
	g.line("} else {")
	g.assign(n.args[2], variable)
	g.line("}")
}

func (g *generator) assign(n *node, variable string) {
	if n.op == "choose" {
		g.branch(n, variable)
		return
	}
	g.line("%s = %s", variable, g.guarded(n, 0))
}

// precedences of Go's binary operators, of unary ones and of what needs no
// parentheses.
var precedences = map[string]int{
	"||": 1, "&&": 2, "==": 3, "!=": 3, "<": 3, "<=": 3, ">": 3, ">=": 3, "+": 4, "-": 4, "*": 5, "/": 5, "negate": 6, "!": 6,
}

// text returns a step in Go, in parentheses if it binds less than its place
// wants. Statements that must stand before it are added to the lines.
func (g *generator) text(n *node, binds int) string {
	switch {
	case n.op == "name" && n.symbol.section == InInputs:
		return "in." + exported(n.symbol.name)
	case n.op == "name" && (!n.constant || finite(n.value)):
		return local(n.symbol.name)
	case n.constant && !keepsNames(n):
		return literal(n.value)
	case n.op == "choose":
		variable := g.free("chosen")
		g.choose(n, variable)
		return variable
	case n.op == "square" || n.op == "cube":
		base := g.guarded(n.args[0], 0)
		if n.args[0].op != "name" && n.args[0].op != "choose" {
			variable := g.free("base")
			g.line("%s := %s", variable, base)
			base = variable
		}
		text := base + " * " + base
		if n.op == "cube" {
			text += " * " + base
		}
		if precedences["*"] < binds {
			return "(" + text + ")"
		}
		return text
	}
	precedence, ok := precedences[n.op]
	if !ok {
		args := make([]string, len(n.args))
		for i, x := range n.args {
			args[i] = g.text(x, 0)
		}
		return functions[n.op].code + "(" + strings.Join(args, ", ") + ")"
	}
	var text string
	switch {
	case n.op == "negate":
		if text = g.text(n.args[0], precedence); text[0] == '-' {
			text = "(" + text + ")"
		}
		text = "-" + text
	case n.op == "!":
		text = "!" + g.text(n.args[0], precedence)
	case n.op == "+" || n.op == "-":
		text = g.guarded(n.args[0], precedence) + " " + n.op + " " + g.guarded(n.args[1], precedence+1)
	default:
		text = g.text(n.args[0], precedence) + " " + n.op + " " + g.text(n.args[1], precedence+1)
	}
	if precedence < binds {
		return "(" + text + ")"
	}
	return text
}

// guarded is text for what is kept or added: a product is rounded before, since
// a native compiler may fuse it with the sum and a browser never does.
func (g *generator) guarded(n *node, binds int) string {
	product := n
	for product.op == "negate" {
		product = product.args[0]
	}
	if slices.Contains([]string{"*", "square", "cube"}, product.op) && !n.constant {
		return "float64(" + g.text(n, 0) + ")"
	}
	return g.text(n, binds)
}

// free returns a name that nothing has yet.
func (g *generator) free(name string) string {
	for {
		g.extra++
		candidate := name + strconv.Itoa(g.extra)
		if g.symbols[candidate] == nil {
			return candidate
		}
	}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// literal returns the shortest text that Go reads as this number where the other
// operand, or the variable, is a float64. Numbers alone are folded before.
func literal(v float64) string {
	switch {
	case math.IsNaN(v):
		return "elementary.NaN()"
	case math.IsInf(v, 0):
		return fmt.Sprintf("elementary.Inf(%d)", int(math.Copysign(1, v)))
	case v == 0 && math.Signbit(v):
		return "elementary.Copysign(0, -1)"
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// comment names the unit that a quantity has in the code.
func comment(u unit.Unit) string {
	switch symbol := unit.SymbolOf(u.Kind.Dimension()); {
	case u.Kind == unit.Angle:
		return " // rad"
	case symbol != "":
		return " // " + symbol
	}
	return ""
}

// reserved are names that the code uses, or that Go gives a meaning.
var reserved = []string{"in", "elementary", "float64", "int", "bool", "string", "any", "true", "false", "nil", "iota", "len", "cap", "new", "make", "copy", "append", "delete", "clear", "close", "panic", "recover", "print", "println", "real", "imag", "complex", "error", "byte", "rune"}

// local returns the name of a variable: load-voltage is loadVoltage. No two
// names become the same, since a letter after a hyphen alone becomes a capital.
func local(name string) string {
	if slices.Contains(reserved, name) {
		return name + "_"
	}
	first, rest, _ := strings.Cut(name, "-")
	for rest != "" {
		var part string
		part, rest, _ = strings.Cut(rest, "-")
		if isDigit(part[0]) {
			first += "_" + part
		} else {
			first += strings.ToUpper(part[:1]) + part[1:]
		}
	}
	return first
}

// exported returns the name of a field.
func exported(name string) string {
	name = local(name)
	return strings.ToUpper(name[:1]) + name[1:]
}

// functionName returns the name of the calculator's function.
func functionName(name string) string {
	var b strings.Builder
	capital := true
	for i := range len(name) {
		c := name[i]
		switch {
		case isLetter(c) && capital:
			b.WriteString(strings.ToUpper(string(c)))
			capital = false
		case isLetter(c), isDigit(c) && b.Len() > 0:
			b.WriteByte(c)
			capital = isDigit(c)
		default:
			capital = true
		}
	}
	if b.Len() == 0 {
		return "Calculate"
	}
	return b.String()
}
