package wasm_test

import (
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
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

func TestFirst(t *testing.T) {
	text := `package p
import "benchleaf/calc/elementary"
type In struct { A, B float64; N int; Ok bool }
type Out struct { X float64; N int; Ok bool; Y float64 }
func F(in In) Out {
	s := 0.0
	for i := range in.N { if i == 3 { continue }; s += elementary.Log(in.A+float64(i)) }
	switch { case in.Ok && s > 3: s = 1/3.0 ; default: s *= 2 }
	return Out{X: s, N: in.N/-1, Ok: !in.Ok, Y: elementary.Pow(in.A,in.B)}
}`
	m := compile(t, text)
	t.Log(len(m.Bytes), m.Inputs, m.Results)
	out, err := load(t, text).Call([]float64{2, 10, 5, 0})
	t.Log(out, err)
}
