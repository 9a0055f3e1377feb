package wasm_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

const elementaryPath = "benchleaf/calc/elementary"

// sourceOf returns the Source of one file that may import elementary.
func sourceOf(text string) wasm.Source {
	return wasm.Source{
		Path:       "example/calculator",
		Files:      map[string][]byte{"calculator.go": []byte(text)},
		Imports:    map[string]map[string][]byte{elementaryPath: elementary.Files()},
		Intrinsics: elementaryPath,
	}
}

// compile compiles the function F of the text.
func compile(t testing.TB, text string) *wasm.Module {
	t.Helper()
	program, problems := wasm.Check(sourceOf(text))
	if problems != nil {
		t.Fatalf("Check: %+v\n%s", problems, text)
	}
	module, problems := program.Compile("F")
	if problems != nil {
		t.Fatalf("Compile: %+v\n%s", problems, text)
	}
	return module
}

// load compiles and loads the function F of the text.
func load(t testing.TB, text string) *run.Instance {
	t.Helper()
	instance, err := run.Load(compile(t, text).Bytes)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	t.Cleanup(func() { instance.Close() })
	return instance
}

// value is the result of F with the inputs, of which there is one.
func value(t *testing.T, text string, in ...float64) float64 {
	t.Helper()
	out, err := load(t, text).Call(in)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return out[0]
}

// same compares bit for bit, NaNs as a class.
func same(a, b float64) bool {
	return math.Float64bits(a) == math.Float64bits(b) || a != a && b != b
}

// The border: fields in order, ints cut off and kept in range, bools by != 0.
func TestBorder(t *testing.T) {
	text := `package p
type Level int
type Inner struct { U float64; On bool }
type In struct { A float64; N int; Inner Inner; L Level }
func F(in In, factor float64, _ bool) (Out, n int, ok bool, in2 In) { return Out(in.N), in.N, in.Inner.On, in }
type Out = int
`
	text = strings.Replace(text, "(Out, n int", "(first Out, n int", 1)
	module := compile(t, text)
	wantIn := []wasm.Slot{{Name: "A"}, {Name: "N", Type: wasm.Int}, {Name: "Inner.U"}, {Name: "Inner.On", Type: wasm.Bool}, {Name: "L", Type: wasm.Int}, {Name: "factor"}, {Name: "_", Type: wasm.Bool}}
	wantOut := append([]wasm.Slot{{Name: "first", Type: wasm.Int}, {Name: "n", Type: wasm.Int}, {Name: "ok", Type: wasm.Bool}}, wantIn[:5]...)
	if !slices.Equal(module.Inputs, wantIn) || !slices.Equal(module.Results, wantOut) {
		t.Errorf("slots %v\n and %v", module.Inputs, module.Results)
	}
	instance := load(t, text)
	for _, c := range []struct{ in, n, on, truth float64 }{
		{3.9, 3, 5, 1}, {-3.9, -3, math.NaN(), 1}, {math.NaN(), 0, 0, 0}, {math.Inf(1), 0x1p63, math.Copysign(0, -1), 0}, {-1e300, -0x1p63, 1, 1},
	} {
		out, err := instance.Call([]float64{1.5, c.in, 2.5, c.on, c.in, 0, 0})
		want := []float64{c.n, c.n, c.truth, 1.5, c.n, 2.5, c.truth, c.n}
		if err != nil || !slices.Equal(out, want) {
			t.Errorf("%v gives %v (%v), want %v", c, out, err, want)
		}
	}
}

// Sizes of one-line formulas and of the elementary functions, in bytes. They may
// shrink; a calculator may hold 600 without elementary functions, 1,400 with Exp
// or Log and 3,200 with Pow.
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		expression string
		limit      int
	}{
		{"x + y", 41}, {"x*y/2 + 1", 49}, {"elementary.Exp(x)", 450}, {"elementary.Log(x)", 778}, {"elementary.Pow(x, y)", 1332}, {"elementary.Sin(x)", 580}, {"elementary.Atan(x)", 390},
	} {
		text := "package p\nimport \"benchleaf/calc/elementary\"\nvar _ = elementary.Abs\nfunc F(x, y float64) float64 { return " + c.expression + " }"
		if n := len(compile(t, text).Bytes); n > c.limit {
			t.Errorf("%s takes %d bytes, more than %d", c.expression, n, c.limit)
		} else {
			t.Logf("%s: %d bytes", c.expression, n)
		}
	}
}

// The module of x + y by hand from the binary format: type, function, export and
// code section.
func TestBytes(t *testing.T) {
	want := "\x00asm\x01\x00\x00\x00" +
		"\x01\x07\x01\x60\x02\x7c\x7c\x01\x7c" +
		"\x03\x02\x01\x00" +
		"\x07\x07\x01\x03run\x00\x00" +
		"\x0a\x09\x01\x07\x00\x20\x00\x20\x01\xa0\x0b"
	if got := string(compile(t, "package p\nfunc F(x, y float64) float64 { return x + y }").Bytes); got != want {
		t.Errorf("have %x\nwant %x", got, want)
	}
}

// Compile may be called concurrently and gives the same bytes each time.
func TestConcurrentCompile(t *testing.T) {
	program, problems := wasm.Check(sourceOf(wasmtest.Program(3, "p", 4)))
	if problems != nil {
		t.Fatal(problems)
	}
	first, _ := program.Compile("F0")
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			if module, _ := program.Compile("F0"); !slices.Equal(module.Bytes, first.Bytes) {
				t.Error("the bytes differ")
			}
		})
	}
	group.Wait()
}

// Every elementary function compiled gives the native bits.
func TestElementary(t *testing.T) {
	for name, native := range map[string]func(x, y float64) float64{
		"Exp": one(elementary.Exp), "Log": one(elementary.Log), "Log10": one(elementary.Log10), "Sin": one(elementary.Sin), "Cos": one(elementary.Cos),
		"Atan": one(elementary.Atan), "Sqrt": one(elementary.Sqrt), "Floor": one(elementary.Floor), "Ceil": one(elementary.Ceil), "Trunc": one(elementary.Trunc), "Abs": one(elementary.Abs),
		"Pow": elementary.Pow, "Copysign": elementary.Copysign, "Min": elementary.Min, "Max": elementary.Max,
	} {
		call := "elementary." + name + "(x, y)"
		if !slices.Contains([]string{"Pow", "Copysign", "Min", "Max"}, name) {
			call = "elementary." + name + "(x)"
		}
		instance := load(t, "package p\nimport \"benchleaf/calc/elementary\"\nfunc F(x, y float64) float64 { return "+call+" }")
		r := rand.New(rand.NewPCG(7, 7))
		odd := []float64{0, math.Copysign(0, -1), 1, -1, 2, 0.5, math.Inf(1), math.Inf(-1), math.MaxFloat64, 5e-324, 0x1p-1022, 709.7, -745, 1e4, 7.0 / 16}
		for i := range 3000 {
			x, y := math.Ldexp(r.NormFloat64(), r.IntN(20)-10), r.NormFloat64()*8
			switch {
			case i < len(odd)*len(odd):
				x, y = odd[i/len(odd)], odd[i%len(odd)]
			case i%3 == 0:
				x = math.Float64frombits(r.Uint64())
			}
			out, err := instance.Call([]float64{x, y})
			if err != nil || !same(out[0], native(x, y)) {
				t.Fatalf("%s(%v, %v) = %v (%v), natively %v", name, x, y, out, err, native(x, y))
			}
		}
	}
}

func one(f func(float64) float64) func(x, y float64) float64 {
	return func(x, _ float64) float64 { return f(x) }
}

// FuzzCompile holds that no text makes the compiler panic or emit a module that
// does not load.
func FuzzCompile(f *testing.F) {
	f.Add(around("", ""))
	for _, c := range refused {
		f.Add(strings.NewReplacer("‹", "", "›", "").Replace(around(c.declarations, c.statement)))
	}
	f.Add(wasmtest.Program(1, "p", 1))
	f.Fuzz(func(t *testing.T, text string) {
		program, problems := wasm.Check(sourceOf(text))
		if problems == nil {
			var module *wasm.Module
			if module, problems = program.Compile("F"); problems == nil {
				instance, err := run.Load(module.Bytes)
				if err != nil {
					t.Fatal(err)
				}
				_, _ = instance.Call(make([]float64, len(module.Inputs))) // a trap is no fault
				_ = instance.Close()
			}
		}
		for _, p := range problems {
			if p.Message == "" || p.Offset < 0 || p.End < p.Offset || p.File == "calculator.go" && p.End > len(text) {
				t.Errorf("a problem without message or place: %+v", p)
			}
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	source := sourceOf(wasmtest.Program(1, "p", 20))
	for b.Loop() {
		if _, problems := wasm.Check(source); problems != nil {
			b.Fatal(problems)
		}
	}
}

func BenchmarkCompile(b *testing.B) {
	program, problems := wasm.Check(sourceOf("package p\nimport \"benchleaf/calc/elementary\"\nfunc F(x, y float64) float64 { return elementary.Pow(x, y) }"))
	if problems != nil {
		b.Fatal(problems)
	}
	for b.Loop() {
		if _, problems := program.Compile("F"); problems != nil {
			b.Fatal(problems)
		}
	}
}
