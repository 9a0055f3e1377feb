package formula

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
	"benchleaf/calc/unit"
)

var formulas = flag.Int("formulas", 300, "random formulas of each test")

// writer writes random formulas. Every expression that it begins is counted; that
// of number wrong has another dimension than its place wants.
type writer struct {
	*rand.Rand
	inputs []Input
	begun  int
	wrong  int // 0 for none
}

// dimensioned are inputs of many dimensions, the base units among them, so that
// any dimension can be written.
func dimensioned(t testing.TB) []Input {
	var inputs []Input
	for name, symbol := range map[string]string{"supply": "V", "current": "A", "resistance": "mΩ", "power": "W", "duration": "min", "length": "mm", "mass": "g", "rise": "Δ°C", "share": "%", "force": "N", "area": "mm²"} {
		inputs = append(inputs, Input{name, find(t, symbol), 1, 3, 2})
	}
	slices.SortFunc(inputs, func(a, b Input) int { return len(a.Name)*256 + int(a.Name[0]) - len(b.Name)*256 - int(b.Name[0]) })
	return inputs
}

var someDimensions = []unit.Dimension{unit.Voltage.Dimension(), unit.Current.Dimension(), unit.Resistance.Dimension(), unit.Power.Dimension(), unit.Time.Dimension(), unit.Length.Dimension(), {}, {}}

// expression writes one of a dimension.
func (w *writer) expression(d unit.Dimension, depth int) string {
	w.begun++
	if w.begun == w.wrong {
		other := d
		for other == d {
			other = someDimensions[w.IntN(len(someDimensions))]
		}
		d = other
	}
	if depth == 0 {
		return w.leaf(d)
	}
	x := func(d unit.Dimension) string { return w.expression(d, depth-1) }
	switch n := w.IntN(13); {
	case n == 0:
		return x(d) + " + " + x(d)
	case n == 1:
		return "(" + x(d) + " - " + x(d) + ")"
	case n == 2:
		return "min(" + x(d) + ", " + x(d) + ", " + x(d) + ")"
	case n == 3:
		return "choose(" + w.condition(depth-1) + ", " + x(d) + ", " + x(d) + ")"
	case n == 4:
		return "-(" + x(d) + ")"
	case n == 5:
		return "abs(" + x(d) + ")"
	case n == 6 && d.IsZero():
		return []string{"exp", "sin", "cos", "atan", "floor", "log"}[w.IntN(6)] + "(" + x(d) + ")"
	case n == 7 && d.IsZero():
		return "pow(" + x(d) + ", " + x(d) + ")"
	case n == 8:
		if half, ok := d.Root(2); ok && !d.IsZero() {
			return "pow(" + x(half) + ", 2)"
		}
		return "sqrt(pow(" + x(d) + ", 2))"
	case n == 9:
		return "sqrt((" + x(d.Power(2)) + "))"
	default:
		by := someDimensions[w.IntN(len(someDimensions))]
		if w.IntN(2) == 0 {
			return "(" + x(d.Over(by)) + ") * (" + x(by) + ")"
		}
		return "(" + x(d.Times(by)) + ") / (" + x(by) + ")"
	}
}

func (w *writer) condition(depth int) string {
	if depth > 0 && w.IntN(3) == 0 {
		return "!(" + w.condition(depth-1) + []string{" && ", " || "}[w.IntN(2)] + w.condition(depth-1) + ")"
	}
	d := someDimensions[w.IntN(len(someDimensions))]
	return w.expression(d, depth) + []string{" < ", " <= ", " > ", " >= ", " == ", " != "}[w.IntN(6)] + w.expression(d, depth)
}

// leaf writes a name, a number, or a product of base units.
func (w *writer) leaf(d unit.Dimension) string {
	var fit []string
	for _, in := range w.inputs {
		if in.Unit.Kind.Dimension() == d {
			fit = append(fit, in.Name)
		}
	}
	if d.IsZero() {
		fit = append(fit, "0.5", "1", "pi", "2e-3", "3")
	}
	if len(fit) > 0 {
		return fit[w.IntN(len(fit))]
	}
	text := "1"
	for _, base := range []struct {
		name     string
		exponent int
	}{{"length", int(d.Length)}, {"mass", int(d.Mass)}, {"duration", int(d.Time)}, {"current", int(d.Current)}, {"rise", int(d.Temperature)}} {
		if base.exponent != 0 {
			text += fmt.Sprintf(" * pow(%s, %d)", base.name, base.exponent)
		}
	}
	return text
}

// Formulas whose dimensions agree are accepted; with one expression of another
// dimension, wherever it stands, they are refused.
func TestRandomDimensions(t *testing.T) {
	inputs := dimensioned(t)
	refused := 0
	compile := func(text string) []Problem {
		_, problems := Compile(Definition{Inputs: inputs, Results: []Result{{"result", find(t, "V"), text}}})
		return slices.DeleteFunc(problems, func(p Problem) bool {
			return p.Fault == Unused || p.Fault == Domain || p.Fault == DomainDoubt
		})
	}
	for seed := range uint64(*formulas) {
		w := &writer{Rand: rand.New(rand.NewPCG(seed, 1)), inputs: inputs}
		text := w.expression(unit.Voltage.Dimension(), 3)
		if len(text) > maxLength {
			continue
		}
		if problems := compile(text); len(problems) > 0 {
			t.Fatalf("%s\n%+v", text, problems)
		}
		broken := &writer{Rand: rand.New(rand.NewPCG(seed, 1)), inputs: inputs, wrong: 1 + w.IntN(w.begun)}
		text = broken.expression(unit.Voltage.Dimension(), 3)
		if broken.begun < broken.wrong || len(text) > maxLength {
			continue // what came before took another way
		}
		refused++
		if problems := compile(text); len(problems) != 1 || problems[0].Fault != Dimensions {
			t.Fatalf("%s (expression %d)\n%+v", text, broken.wrong, problems)
		}
	}
	if refused < *formulas/2 {
		t.Errorf("only %d formulas were broken", refused)
	}
}

// plainFormula writes a formula of plain numbers.
func plainFormula(seed uint64, depth int) (Definition, string) {
	plain, _ := unit.Lookup("")
	inputs := []Input{{"x", plain, -2, 3, 1}, {"y", plain, 0, 5, 1}, {"z", plain, 0.5, 2, 1}}
	w := &writer{Rand: rand.New(rand.NewPCG(seed, 2)), inputs: inputs}
	text := w.plain(depth)
	return Definition{
		Inputs:    inputs,
		Constants: []Constant{{"a", plain, 0.1}, {"b", plain, 3}, {"c", plain, -7e-5}},
		Values:    []Value{{"d", "a * 3 - b / 10 + c"}},
		Results:   []Result{{"result", plain, text}},
	}, text
}

func (w *writer) plain(depth int) string {
	if depth == 0 {
		return []string{"x", "y", "z", "0", "1", "2.5", "0.1", "-3", "pi", "1e2", "a", "b", "c", "d"}[w.IntN(14)]
	}
	x := func() string { return w.plain(w.IntN(depth)) }
	switch n := w.IntN(16); n {
	case 0, 1, 2, 3, 4, 5:
		return "(" + x() + []string{" + ", " - ", " * ", " / ", " - ", " * "}[n] + x() + ")"
	case 6:
		return []string{"exp", "log", "log10", "sqrt", "sin", "cos", "atan", "floor", "ceil", "trunc", "abs"}[w.IntN(11)] + "(" + x() + ")"
	case 7:
		return "pow(" + x() + ", " + []string{"2", "3", "0.5", "-1", x()}[w.IntN(5)] + ")"
	case 8:
		return []string{"min(", "max("}[w.IntN(2)] + x() + ", " + x() + ", " + x() + ")"
	case 9:
		return "copysign(" + x() + ", " + x() + ")"
	case 10, 11:
		return "choose(" + w.plainCondition(depth) + ", " + x() + ", " + x() + ")"
	case 12: // guards
		a, b := x(), x()
		return "choose(" + b + " != 0, " + a + " / " + b + ", 1)"
	case 13:
		a := x()
		return "choose(" + a + " > 0, log(" + a + "), " + x() + ")"
	case 14:
		a, b := x(), x()
		return "choose(" + a + " > " + b + ", sqrt(" + a + " - " + b + "), " + x() + ")"
	}
	return "-(" + x() + ")"
}

func (w *writer) plainCondition(depth int) string {
	x := func() string { return w.plain(w.IntN(depth)) }
	switch w.IntN(5) {
	case 0:
		return "!(" + x() + " < " + x() + ")"
	case 1:
		return "(" + x() + " > " + x() + " && " + x() + " != " + x() + ")"
	case 2:
		return "(" + x() + " <= " + x() + " || " + x() + " == " + x() + ")"
	}
	return x() + []string{" < ", " <= ", " > ", " >= ", " == ", " != "}[w.IntN(6)] + x()
}

// unproven compiles without asking where the result has a value.
func unproven(t *testing.T, d Definition) (*compiler, *Program) {
	t.Helper()
	c := newCompiler(d)
	if !c.sound() {
		t.Fatalf("%s\n%+v", d.Results[0].Formula, c.problems)
	}
	for _, f := range c.formulas {
		lower(f.tree)
	}
	p := &Program{}
	if c.generate(p); !c.sound() {
		t.Fatalf("%s\n%+v", d.Results[0].Formula, c.problems)
	}
	return c, p
}

// A product that is added, or kept for another formula, is rounded first: nothing
// in the code lets a native compiler fuse the two.
func TestRandomProducts(t *testing.T) {
	for seed := range uint64(*formulas) {
		d, text := plainFormula(seed, 5)
		if len(text) > maxLength {
			continue
		}
		_, p := unproven(t, d)
		file, err := parser.ParseFile(token.NewFileSet(), "", "package p\n"+p.Code, 0)
		if err != nil {
			t.Fatalf("%s\n%v", p.Code, err)
		}
		rounded := func(e ast.Expr) {
			for {
				switch x := e.(type) {
				case *ast.ParenExpr:
					e = x.X
					continue
				case *ast.UnaryExpr:
					e = x.X
					continue
				case *ast.BinaryExpr:
					if x.Op == token.MUL && !isConstant(x) {
						t.Fatalf("%s\n%s", text, p.Code)
					}
				}
				return
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.BinaryExpr:
				if n.Op == token.ADD || n.Op == token.SUB {
					rounded(n.X)
					rounded(n.Y)
				}
			case *ast.AssignStmt:
				rounded(n.Rhs[0])
			case *ast.GenDecl:
				return n.Tok != token.CONST // exact
			}
			return true
		})
	}
}

// points are entries at the ends of the ranges and anywhere between.
func points(d Definition, random *rand.Rand, n int) [][]float64 {
	var all [][]float64
	for range n {
		in := make([]float64, len(d.Inputs))
		for i, q := range d.Inputs {
			switch random.IntN(5) {
			case 0:
				in[i] = q.Min
			case 1:
				in[i] = q.Max
			case 2:
				in[i] = math.Max(q.Min, 0)
			default:
				in[i] = q.Min + random.Float64()*(q.Max-q.Min)
			}
		}
		all = append(all, in)
	}
	return all
}

// TestRandomBits holds modules to the formula worked out natively from Go's own
// tree of it, bit for bit; NaNs are a class.
func TestRandomBits(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for seed := range uint64(*formulas) {
		d, text := plainFormula(seed, 5)
		if len(text) > maxLength {
			continue
		}
		_, p := unproven(t, d)
		module, err := run.Load(p.Module)
		if err != nil {
			t.Fatalf("%s\n%v", text, err)
		}
		tree, err := parser.ParseExpr(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, in := range points(d, random, 20) {
			got, err := module.Call(in)
			if err != nil {
				t.Fatal(err)
			}
			worked := working{"x": in[0], "y": in[1], "z": in[2], "pi": math.Pi, "a": 0.1, "b": 3, "c": -7e-5}
			worked["d"] = worked["a"]*3 - worked["b"]/10 + worked["c"]
			want := worked.of(tree)
			if worked[signOfNaN] == 0 && math.Float64bits(got[0]) != math.Float64bits(want) && !(math.IsNaN(got[0]) && math.IsNaN(want)) {
				t.Fatalf("%s with %v\n got %v\nwant %v\n%s", text, in, got[0], want, p.Code)
			}
		}
		_ = module.Close()
	}
}

// working works a formula out, with values by name. It shares nothing with what it
// tests but the elementary functions.
type working map[string]float64

// signOfNaN is noted where the result depends on the sign of a NaN, which is no
// value.
const signOfNaN = "sign of NaN"

func (w working) of(e ast.Expr) float64 {
	value := w.of
	switch e := e.(type) {
	case *ast.ParenExpr:
		return value(e.X)
	case *ast.BasicLit:
		v, _ := strconv.ParseFloat(e.Value, 64)
		return v
	case *ast.Ident:
		return w[e.Name]
	case *ast.UnaryExpr:
		if e.Op == token.NOT {
			return 1 - value(e.X)
		}
		return -value(e.X)
	case *ast.BinaryExpr:
		x, y := value(e.X), value(e.Y)
		holds := map[token.Token]bool{token.LSS: x < y, token.LEQ: x <= y, token.GTR: x > y, token.GEQ: x >= y, token.EQL: x == y, token.NEQ: x != y, token.LAND: x != 0 && y != 0, token.LOR: x != 0 || y != 0}
		switch e.Op {
		case token.ADD:
			return x + y
		case token.SUB:
			return x - y
		case token.MUL:
			return float64(x * y)
		case token.QUO:
			return x / y
		}
		if holds[e.Op] {
			return 1
		}
		return 0
	case *ast.CallExpr:
		var x []float64
		for _, a := range e.Args {
			x = append(x, value(a))
		}
		switch name := e.Fun.(*ast.Ident).Name; name {
		case "choose":
			if x[0] != 0 {
				return x[1]
			}
			return x[2]
		case "min":
			return min(x[0], x[1], x[2])
		case "max":
			return max(x[0], x[1], x[2])
		case "copysign":
			if math.IsNaN(x[1]) {
				w[signOfNaN] = 1
			}
			return elementary.Copysign(x[0], x[1])
		case "pow":
			if isConstant(e.Args[1]) {
				switch x[1] {
				case 2:
					return x[0] * x[0]
				case 3:
					return x[0] * x[0] * x[0]
				case 0.5:
					return elementary.Sqrt(x[0])
				}
			}
			return elementary.Pow(x[0], x[1])
		default:
			return map[string]func(float64) float64{"exp": elementary.Exp, "log": elementary.Log, "log10": elementary.Log10, "sqrt": elementary.Sqrt,
				"sin": elementary.Sin, "cos": elementary.Cos, "atan": elementary.Atan, "floor": elementary.Floor, "ceil": elementary.Ceil, "trunc": elementary.Trunc, "abs": elementary.Abs}[name](x[0])
		}
	}
	panic("no formula")
}

// isConstant reports whether an expression, in a formula or in the code of one,
// has no input and no choice.
func isConstant(e ast.Expr) bool {
	constant := true
	ast.Inspect(e, func(n ast.Node) bool {
		if name, ok := n.(*ast.Ident); ok && (slices.Contains([]string{"x", "y", "z", "choose", "in"}, name.Name) || strings.HasPrefix(name.Name, "chosen") || strings.HasPrefix(name.Name, "base")) {
			constant = false
		}
		return true
	})
	return constant
}

// TestRandomBounds holds intervals to what comes out: every step lies within its
// bounds, and nothing fails that is not in trouble.
func TestRandomBounds(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	clear := 0
	for seed := range uint64(4 * *formulas) {
		d, text := plainFormula(seed, 5)
		if len(text) > maxLength {
			continue
		}
		c, _ := unproven(t, d)
		g := c.newGraph()
		box := make([]interval, len(d.Inputs))
		for i, in := range d.Inputs {
			box[i] = interval{lo: in.Min, hi: in.Max}
		}
		p := &prover{graph: g, box: box, left: maxBounded}
		whole := &scope{memo: map[*step]interval{}}
		p.bound(g.results[0], whole)
		if len(p.trouble.steps) == 0 {
			clear++
		}
		var run trial
		for _, in := range points(d, random, 50) {
			run.run(g, in)
			if len(run.failed) > 0 && len(p.trouble.steps)+len(p.slight.steps) == 0 {
				t.Fatalf("%s with %v: %s fails and is in no trouble", text, in, run.failed[0].op)
			}
			for s, x := range whole.memo {
				if v := run.values[s.id]; run.states[s.id] == hasValue && !x.vague && !x.has(v) {
					t.Fatalf("%s with %v: %s %s gives %v, outside %+v", text, in, s.op, s.formula.text[s.place.start:s.place.end], v, x)
				}
			}
		}
	}
	if clear < *formulas {
		t.Errorf("only %d of %d formulas are without trouble", clear, 4**formulas)
	}
}

// TestRandomVerdicts holds what is said of values to what happens: a formula of
// which nothing is said never fails, and few are left in doubt.
func TestRandomVerdicts(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	doubts, mistakes := 0, 0
	for seed := range uint64(2 * *formulas) {
		d, text := plainFormula(seed, 4)
		if len(text) > maxLength {
			continue
		}
		_, problems := Compile(d)
		said := map[Fault]bool{}
		for _, p := range problems {
			said[p.Fault] = true
		}
		switch {
		case said[Domain]:
			mistakes++
		case said[DomainDoubt]:
			doubts++
		default:
			c, _ := unproven(t, d)
			g := c.newGraph()
			var run trial
			for _, in := range points(d, random, 100) {
				if run.run(g, in); len(run.failed) > 0 {
					t.Fatalf("%s with %v: %s fails, and nothing is said", text, in, run.failed[0].op)
				}
			}
		}
	}
	if doubts > *formulas/50 || mistakes < *formulas/10 {
		t.Errorf("of %d formulas %d are mistakes and %d in doubt", 2**formulas, mistakes, doubts)
	}
}
