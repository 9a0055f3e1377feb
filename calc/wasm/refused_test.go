package wasm_test

import (
	"fmt"
	"strings"
	"testing"

	"benchleaf/calc/wasm"
)

// refused are programs that are not in the subset. The place that the problem
// names stands between ‹ and ›; statement stands in a function F(x, y float64, n
// int, ok bool) float64 with the local variable s of the struct S; declarations
// stand before it.
var refused = []struct{ declarations, statement, message, hint string }{
	{``, `s.A = float64(‹uint8›(x))`, "a value of type uint8 is not in the subset", "use int"},
	{``, `s.A = float64(‹int32›(x))`, "a value of type int32 is not in the subset", "use int"},
	{``, `s.A = float64(int(‹int32›(n)))`, "a value of type int32 is not in the subset", "use int"},
	{``, `s.N = ‹n & 3›`, "the operator & (on bits) is not in the subset", "multiply, divide or use % with a constant"},
	{``, `s.N = ‹n ^ 3›`, "the operator ^ (on bits) is not in the subset", "for a power use the function Pow of the elementary functions"},
	{``, `s.N = ‹n << 2›`, "the operator << (on bits) is not in the subset", "multiply, divide or use % with a constant"},
	{``, `‹n <<= 2›`, "the operator << (on bits) is not in the subset", "multiply, divide or use % with a constant"},
	{``, `s.A = x * (‹1 / 2›)`, "1/2 is a division of whole numbers and gives 0", "write 1.0/2"},
	{`const half = ‹1 / 2›`, `s.A = x * half`, "1/2 is a division of whole numbers and gives 0", "write 1.0/2"},
	{`const a, b = 7, 2; const c = ‹a / b›`, `s.N = c`, "7/2 is a division of whole numbers and gives 3", "write 7.0/2"},
	{``, `p := ‹&s›; _ = p`, "taking the address of a value is not in the subset", "use the value itself"},
	{``, `var q ‹*float64›; _ = q`, "a value of type *float64 is not in the subset", "use the value itself"},
	{``, `f := ‹func() float64 { return x }›; _ = f()`, "a function without a name is not in the subset", ""},
	{``, `a := ‹[]float64{x}›; _ = a`, "a value of type []float64 is not in the subset", "declare a constant array at package level and index it"},
	{``, `a := ‹[3]float64{x}›; _ = a`, "a value of type [3]float64 is not in the subset here", "declare a constant array at package level and index it, or use the fields of a struct"},
	{``, `m := ‹map[int]float64{}›; _ = m`, "a value of type map[int]float64 is not in the subset", "use float64, int, bool or a struct of them"},
	{``, `t := ‹"hot"›; _ = t`, "a value of type string is not in the subset", "return a named int; its words belong to the messages"},
	{``, `var e ‹any›; _ = e`, "a value of type any is not in the subset", "use float64, int, bool or a struct of them"},
	{``, `var e ‹float32›; _ = e`, "a value of type float32 is not in the subset", "use float64"},
	{``, `e := ‹'a'›; _ = e`, "a value of type rune is not in the subset", "use int"},
	{``, `e := ‹1i›; _ = e`, "a value of type complex128 is not in the subset", "use float64, int, bool or a struct of them"},
	{``, `‹defer F(x, y, n, ok)›`, "defer is not in the subset", "calculate with assignments, if, for and switch"},
	{``, `‹go F(x, y, n, ok)›`, "go is not in the subset", "calculate with assignments, if, for and switch"},
	{``, `s.A = ‹F›(x, y, n, ok)`, "F calls itself, directly or through another function", "write a loop with a bound instead"},
	{`func G(x float64) float64 { return H(x) }; func H(x float64) float64 { return ‹G›(x) }`, `s.A = G(x)`, "G calls itself, directly or through another function", "write a loop with a bound instead"},
	{`func (s S) ‹G›(x ...float64) float64 { return 1 }`, `s.A = s.G(x)`, "a function with any number of arguments (...) is not in the subset", "name each parameter"},
	{`func ‹G›[T float64](x T) T { return x }`, `s.A = G(x)`, "a function with type parameters is not in the subset", "write it for float64"},
	{`func ‹G›(x ...float64) float64 { return 1 }`, `s.A = G(x)`, "a function with any number of arguments (...) is not in the subset", "name each parameter"},
	{`func G(p ‹*S›) float64 { return 1 }`, `s.A = G(&s)`, "a value of type *p.S is not in the subset", "use the value itself"},
	{`func (p *S) Up() { p.A++ }`, `‹s.Up›()`, "a method of a pointer is not in the subset", "declare it on the value and return what changes"},
	{`var total float64`, `s.A = ‹total›`, "total is a variable of the package, which is not in the subset", "make it a constant, or a parameter"},
	{`var total float64`, `‹total› = x`, "only a local variable or a field of one can be assigned to", "assign to a local variable and return it"},
	{`var table = [2]float64{1, 2}; func g() { ‹table›[0] = 3 }`, `s.A = table[n]`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, 2}`, `b := ‹table›; _ = b`, "an array can only be indexed, or counted with len", ""},
	{`var table = [2]float64{1, 2}; func g() { ‹table›[0]++ }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, 2}; func g() *float64 { return &‹table›[0] }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, 2}; func g() { ‹table› = [2]float64{} }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, 2}; func g() { (‹table›)[0], _ = 1, 2 }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]int{1, 2}; func g() { for ‹table›[0] = range 3 { } }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`type T float64; func (t *T) set() { *t = 1 }; var table = [2]T{1, 2}; func g() { ‹table›[0].set() }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, 2}; func g() []float64 { return ‹table›[:] }`, `s.A = float64(table[n])`, "table may change here; a calculator's arrays are constant", "read single elements only"},
	{`var table = [2]float64{1, ‹f()›}; func f() float64 { return 2 }`, `s.A = table[n]`, "the element is no constant", "write a number or a constant expression"},
	{`var table = ‹f()›; func f() [2]float64 { return [2]float64{} }`, `s.A = table[n]`, "table has a value that is not written out", "write [...]float64{...}"},
	{`var table [2000]float64`, `s.A = ‹table[n]›`, "table has more than 1000 elements", ""},
	{`var table [2]struct{ x, y float64 }`, `s.A = ‹table›[n].x`, "an array of structs is not in the subset", "declare an array for each field"},
	{`var table = []float64{1, 2}`, `s.A = ‹table›[n]`, "a value of type []float64 cannot be indexed in the subset", "declare an array: [...]float64{...}"},
	{``, `for _, v := range ‹[2]float64{1, 2}› { s.A += v }`, "range runs over an int only", "write for i := range len(a) and index the array a"},
	{`var table [2]float64`, `for i := range ‹table› { s.N += i }`, "range runs over an int only", "write for i := range len(a) and index the array a"},
	{``, `switch n { case 1: ‹fallthrough›; default: s.A++ }`, "fallthrough is not in the subset", "list the values in one case: case 1, 2:"},
	{``, `‹goto end›; end: s.A++`, "goto is not in the subset", "write a loop with break and continue"},
	{``, `ok = ‹s == S{}›`, "comparing structs is not in the subset", "compare field by field"},
	{`type One struct{ a float64 }`, `one := One{x}; ok = ‹one == one›`, "comparing structs is not in the subset", "compare field by field"},
	{`type One struct{ a float64 }`, `switch one := (One{x}); ‹one› { case One{}: s.A++ }`, "a switch over a struct is not in the subset", "compare field by field"},
	{``, `switch ‹s› { case S{}: s.A++ }`, "a switch over a struct is not in the subset", "compare field by field"},
	{``, `f := ‹F›; _ = f`, "a function as a value is not in the subset", "call it by its name"},
	{`func (s S) T() float64 { return s.A }`, `f := ‹s.T›; _ = f`, "a method as a value is not in the subset", "call it"},
	{`func (s S) T() float64 { return s.A }`, `s.A = ‹S.T›(s)`, "a method as a function is not in the subset", "call it on a value"},
	{``, `‹println›(x)`, "the builtin println is not in the subset", ""},
	{``, `‹panic›(1)`, "the builtin panic is not in the subset", "where there is no result, return NaN"},
	{`import ‹"math"›`, `s.A = math.Exp(x)`, "package \"math\" may not be imported by a calculator", "the functions of \"benchleaf/calc/elementary\" are there"},
	{``, `s.A = ‹z›`, "undefined: z", ""},
	{``, `‹z› := x`, "declared and not used: z", ""},
	{`func ‹init›() {}`, ``, "an init function is not in the subset", "write the values where they are declared"},
	{``, `s.N = int(‹"x"›[n])`, "only a constant array of a package can be indexed", "declare it with var at package level"},
	{``, `var w ‹struct{ a [2]int }›; _ = w`, "a value of type [2]int is not in the subset here", "declare a constant array at package level and index it, or use the fields of a struct"},
	{``, `s.N = ‹len("abc")›`, "len is for arrays", ""},
}

// problems returns what is wrong with a source.
func problemsOf(source wasm.Source) []wasm.Problem {
	program, problems := wasm.Check(source)
	if problems == nil {
		_, problems = program.Compile("F")
	}
	return problems
}

// around puts declarations and a statement into a source.
func around(declarations, statement string) string {
	return "package p\n" + declarations + `
type S struct { A, B float64; N int }
func F(x, y float64, n int, ok bool) float64 {
	s := S{A: x}
	` + statement + `
	return s.A
}
`
}

func TestRefused(t *testing.T) {
	for _, c := range refused {
		marked := around(c.declarations, c.statement)
		before, rest, _ := strings.Cut(marked, "‹")
		inside, after, found := strings.Cut(rest, "›")
		if !found {
			t.Errorf("no marks in %q", c.declarations+c.statement)
			continue
		}
		want := wasm.Problem{File: "calculator.go", Offset: len(before), End: len(before) + len(inside), Message: c.message, Hint: c.hint}
		got := problemsOf(sourceOf(before + inside + after))
		if len(got) != 1 || got[0] != want {
			t.Errorf("%s\n have %s\n want %s", c.declarations+c.statement, show(got...), show(want))
		}
	}
}

func show(problems ...wasm.Problem) string {
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "%s:%d-%d %q, %q\n", p.File, p.Offset, p.End, p.Message, p.Hint)
	}
	return b.String()
}

// Syntax errors and several problems at once are reported at their places.
func TestSeveralProblems(t *testing.T) {
	got := problemsOf(sourceOf(around("", "n = n & 1; ok = s == s; z := 'a'; _ = z")))
	if len(got) != 3 || got[0].Offset >= got[1].Offset || got[1].Offset >= got[2].Offset {
		t.Errorf("want three problems in order, have %s", show(got...))
	}
	got = problemsOf(sourceOf("package p\nfunc F( {"))
	want := wasm.Problem{File: "calculator.go", Offset: 18, End: 19, Message: "expected ')', found '{'"}
	if len(got) == 0 || got[0] != want {
		t.Errorf("have %s want %s", show(got...), show(want))
	}
}

// What is wrong with the source as a whole.
func TestSources(t *testing.T) {
	inner := sourceOf("package p\nimport \"inner\"\nfunc F(x float64) float64 { return inner.G(x) }")
	inner.Imports["inner"] = map[string][]byte{"g.go": []byte("package inner\nfunc G(x float64) float64 { return float64(uint(x)) }")}
	cycle := sourceOf("package p\nimport \"inner\"\nfunc F(x float64) float64 { return inner.G(x) }")
	cycle.Imports["inner"] = map[string][]byte{"g.go": []byte("package inner\nimport \"inner\"\nfunc G(x float64) float64 { return inner.G(x) }")}
	broken := sourceOf("package p\nimport \"inner\"\nfunc F(x float64) float64 { return inner.G(x) }")
	broken.Imports["inner"] = map[string][]byte{"g.go": []byte("package inner\nfunc G(x float64) float64 { return y }")}
	for name, c := range map[string]struct {
		source wasm.Source
		want   wasm.Problem
	}{
		"no files":    {wasm.Source{Path: "a/b"}, wasm.Problem{Message: `package "a/b" has no files`}},
		"no function": {sourceOf("package p"), wasm.Problem{Message: `package "example/calculator" has no function F`}},
		"constraint":  {sourceOf("//go:build amd64\n\npackage p"), wasm.Problem{File: "calculator.go", End: 16, Message: "a build constraint is not in the subset", Hint: "remove the line"}},
		"import":      {inner, wasm.Problem{File: "inner/g.go", Offset: 57, End: 61, Message: "a value of type uint is not in the subset", Hint: "use int"}},
		"cycle":       {cycle, wasm.Problem{File: "inner/g.go", Offset: 21, End: 22, Message: "could not import inner (the package has problems or imports itself)"}},
		"broken":      {broken, wasm.Problem{File: "inner/g.go", Offset: 49, End: 50, Message: "undefined: y"}},
		"nothing":     {sourceOf("package p\nfunc F(x float64) {}"), wasm.Problem{File: "calculator.go", Offset: 15, End: 16, Message: "the function returns nothing", Hint: "return the results, in a struct for instance"}},
		"large":       {sourceOf("package p" + strings.Repeat(" ", 1<<20)), wasm.Problem{File: "calculator.go", Message: "the file is larger than 1 MB"}},
		"calls":       {sourceOf(doubling(20)), wasm.Problem{File: "calculator.go", Offset: 791, End: 794, Message: "f16 leads to more than 100000 calls", Hint: "call functions in a loop, or fewer of them"}},
		"slots":       {sourceOf("package p\ntype A struct{ a, b, c, d, e, f float64 }\ntype B struct{ a, b, c, d, e, f A }\ntype C struct{ a, b, c, d, e, f B }\nfunc F(c C) float64 { return 1 }"), wasm.Problem{File: "calculator.go", Offset: 133, End: 134, Message: "the type holds more than 200 numbers"}},
		"deep":        {sourceOf("package p\nfunc F(x float64) float64 { return " + strings.Repeat("-(", 2000) + "x" + strings.Repeat(")", 2000) + " }"), wasm.Problem{File: "calculator.go", Offset: 544, End: 5797, Message: "the function is too long or nested too deep", Hint: "divide it into functions"}},
	} {
		got := problemsOf(c.source)
		if len(got) == 0 || got[0] != c.want {
			t.Errorf("%s:\n have %s\n want %s", name, show(got...), show(c.want))
		}
	}
}

// doubling returns functions each of which calls the one before twice.
func doubling(n int) string {
	var b strings.Builder
	b.WriteString("package p\nfunc f0(x float64) float64 { return x }\n")
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "func f%d(x float64) float64 { return f%d(f%d(x)) }\n", i, i-1, i-1)
	}
	fmt.Fprintf(&b, "func F(x float64) float64 { return f%d(x) }\n", n)
	return b.String()
}
