// Package wasmtest writes random programs in the calculator subset, so that the
// module of a program can be compared with its native form, and one WebAssembly
// engine with another. A seed comes in, Go source and inputs go out; the same seed
// gives the same bytes. A [Suite] of them is built with the Go toolchain and says
// what they give.
//
// It imports the standard library only.
package wasmtest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// Elementary is the import path of the elementary functions, which programs use.
const Elementary = "benchleaf/calc/elementary"

// InputCount and ResultCount are the numbers of slots of each function.
const (
	InputCount  = 7 // A, B, C float64; N, M int; P, Q bool
	ResultCount = 4 // X, Y float64; K int; T bool
)

// Program returns the source of a package with the functions F0, F1 ..., each of
// the form func(Inputs) Results. Every loop is bounded; an int division by zero or
// an index out of range may happen, and then both forms trap.
func Program(seed uint64, name string, functions int) string {
	return write(seed, name, functions, false)
}

// write writes a program, a portable one with the function cut for conversions
// to int.
func write(seed uint64, name string, functions int, portable bool) string {
	g := &generator{r: rand.New(rand.NewPCG(seed, 0x5eed)), toInt: "int"}
	g.line("package " + name)
	g.line("import \"" + Elementary + "\"")
	g.b.WriteString(prelude)
	if portable {
		g.toInt = "cut"
		g.b.WriteString(cut)
	}
	for i := range 3 {
		g.function(fmt.Sprintf("help%d", i), "a, b float64, n int, p bool", "(float64, int)", i, false)
	}
	g.helpers = 3
	for i := range functions {
		g.function(fmt.Sprintf("F%d", i), "in Inputs", "Results", g.helpers, true)
	}
	return g.b.String()
}

// Inputs returns arguments for a function: whole numbers for ints, 0 and 1 for
// bools, with the values at which numbers behave oddly among them.
func Inputs(seed uint64, count int) [][]float64 {
	r := rand.New(rand.NewPCG(seed, 0x1289))
	odd := []float64{0, math.Copysign(0, -1), 1, -1, 0.5, math.Inf(1), math.Inf(-1), math.NaN(), math.MaxFloat64, -math.MaxFloat64, 5e-324, 0x1p63, -0x1p63, 0x1p53, 1e-310, 3.7}
	out := make([][]float64, count)
	for i := range out {
		in := make([]float64, InputCount)
		for j := range 3 {
			if in[j] = r.NormFloat64() * 10; r.IntN(3) == 0 {
				in[j] = odd[r.IntN(len(odd))]
			}
		}
		for j := 3; j < 5; j++ {
			if in[j] = float64(r.IntN(21) - 10); r.IntN(4) == 0 {
				in[j] = []float64{0, -1, 1 << 40, -(1 << 53), -0x1p63}[r.IntN(5)]
			}
		}
		in[5], in[6] = float64(r.IntN(2)), float64(r.IntN(2))
		out[i] = in
	}
	return out
}

const prelude = `
type Inputs struct {
	A, B, C float64
	N, M    int
	P, Q    bool
}
type Results struct {
	X, Y float64
	K    int
	T    bool
}
type Pair struct {
	U float64
	W int
	V float64
}
type Nest struct {
	Pair
	Flag bool
	Back Pair
}
type Kelvin float64
type Level int

const (
	low Level = iota - 1
	middle
	high
)
const third, seven, least = 1.0 / 3, 7, -1 << 63

var tableF = [...]float64{1.5, -2, 1e300, 0, 3.25, 1.0 / 7, 5e-324}
var tableI = [5]int{3, -1, 3: least, 99}
var tableB = [3]bool{1: true}

func (k Kelvin) Celsius() float64 { return float64(k) - 273.15 }
func (p Pair) Sum() float64       { return p.U + p.V + float64(p.W) }
func (p Pair) Turned() Pair       { p.U, p.V = p.V, p.U; p.W++; return p }
func (n Nest) Deep(x float64) (q Pair) {
	if n.Flag {
		q = n.Back
	}
	q.U += x
	return
}
func (l Level) Above(m Level) bool { return l > m }
func two(x float64, n int) (low float64, count int, ok bool) {
	if x < 0 {
		return x, n, true
	}
	low, count = -x, n+1
	return
}
func join(x float64, n int, ok bool) float64 {
	if ok {
		return x + float64(n)
	}
	return float64(x * 0.5)
}
`

// cut converts what every processor converts alike.
const cut = `func cut(x float64) int {
	if x >= -0x1p63 && x < 0x1p63 {
		return int(x)
	}
	return least
}
`

// kind is the kind of an expression.
type kind int

const (
	float kind = iota
	whole
	truth
	pair
	nest
	level
)

// variable is one that is in scope.
type variable struct {
	name  string
	kind  kind
	fixed bool // the loop's own counter, which must not be assigned to
}

type generator struct {
	r       *rand.Rand
	b       strings.Builder
	indent  int
	names   int
	helpers int
	calls   int // helpers that may be called here: those before this one
	scope   []variable
	loops   int
	budget  int // statements left
	entry   bool
	toInt   string // the conversion of a float64 to an int
}

func (g *generator) line(text string) {
	g.b.WriteString(strings.Repeat("\t", g.indent) + text + "\n")
}

func (g *generator) chance(n int) bool { return g.r.IntN(n) == 0 }

func (g *generator) pick(options ...string) string { return options[g.r.IntN(len(options))] }

func (g *generator) name() string {
	g.names++
	return fmt.Sprintf("v%d", g.names)
}

func (g *generator) function(name, params, results string, calls int, entry bool) {
	g.calls, g.entry, g.loops, g.budget = calls, entry, 0, 10+g.r.IntN(25)
	g.line("func " + name + "(" + params + ") " + results + " {")
	g.indent++
	if entry {
		g.scope = []variable{{"in.A", float, false}, {"in.B", float, false}, {"in.C", float, false}, {"in.N", whole, false}, {"in.M", whole, false}, {"in.P", truth, false}, {"in.Q", truth, false}}
	} else {
		g.budget /= 3
		g.scope = []variable{{"a", float, false}, {"b", float, false}, {"n", whole, false}, {"p", truth, false}}
	}
	g.declare(pair)
	g.declare(nest)
	g.declare(level)
	g.statements(4 + g.r.IntN(6))
	g.returns()
	g.indent--
	g.line("}")
}

func (g *generator) returns() {
	switch {
	case !g.entry:
		g.line("return " + g.expr(float, 3) + ", " + g.expr(whole, 3))
	case g.chance(3):
		g.line("return Results{" + g.expr(float, 3) + ", " + g.expr(float, 3) + ", " + g.expr(whole, 3) + ", " + g.expr(truth, 3) + "}")
	case g.chance(3):
		g.line("return Results{Y: " + g.expr(float, 4) + ", T: " + g.expr(truth, 3) + "}")
	default:
		out := g.name()
		g.line(out + " := Results{X: " + g.expr(float, 4) + ", K: " + g.expr(whole, 3) + "}")
		g.line(out + ".Y, " + out + ".T = " + out + ".X + " + g.expr(float, 3) + ", " + g.expr(truth, 3))
		g.line("return " + out)
	}
}

// declare declares a variable of the kind and returns its name.
func (g *generator) declare(k kind) string {
	v := g.name()
	types := [...]string{"float64", "int", "bool", "Pair", "Nest", "Level"}
	switch {
	case g.chance(4):
		g.line("var " + v + " " + types[k])
	case g.chance(3):
		g.line("var " + v + " " + types[k] + " = " + g.expr(k, 2))
	default:
		g.line(v + " := " + types[k] + "(" + g.expr(k, 3) + ")")
	}
	g.line("_ = " + v)
	g.scope = append(g.scope, variable{v, k, false})
	return v
}

// variable returns a variable or field of the kind, one that may be assigned to
// if wanted so, or an empty string if there is none.
func (g *generator) variable(k kind, assign bool) string {
	var found []string
	for _, v := range g.scope {
		if assign && v.fixed {
			continue
		}
		if v.kind == k {
			found = append(found, v.name)
		}
		switch {
		case v.kind == pair && k == float:
			found = append(found, v.name+".U", v.name+".V")
		case v.kind == pair && k == whole:
			found = append(found, v.name+".W")
		case v.kind == nest && k == float:
			found = append(found, v.name+".U", v.name+".Pair.V", v.name+".Back.U")
		case v.kind == nest && k == whole:
			found = append(found, v.name+".W", v.name+".Back.W")
		case v.kind == nest && k == truth:
			found = append(found, v.name+".Flag")
		case v.kind == nest && k == pair:
			found = append(found, v.name+".Back", "("+v.name+").Pair")
		}
	}
	if len(found) == 0 {
		return ""
	}
	return found[g.r.IntN(len(found))]
}
