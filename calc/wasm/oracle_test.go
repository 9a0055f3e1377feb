package wasm_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"

	"benchleaf/calc"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

// builtinsMain adds the built-in calculators to the functions of the native
// program.
const builtinsMain = `package main

import "benchleaf/calc"

func init() {
	for _, c := range calc.All() {
		functions[c.Name] = c.Native
	}
}
`

// TestToolchain holds the modules to what the standard toolchain's WebAssembly of
// the same sources gives, bit for bit: every built-in calculator, and random
// programs. That compiler shares nothing with this one but the language and the
// processor.
func TestToolchain(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a program with the toolchain")
	}
	suite := wasmtest.Suite{Seed: 1001, Programs: 10, Functions: 6, Inputs: 12, Portable: true}
	program, err := suite.Build("../..", t.TempDir(), builtinsMain, "GOOS=wasip1", "GOARCH=wasm")
	if err != nil {
		t.Fatal(err)
	}
	type call struct {
		calculator *calc.Calculator
		in         []float64
	}
	var questions strings.Builder
	for _, c := range suite.Calls() {
		questions.WriteString(c.Question())
	}
	var calls []call
	r := rand.New(rand.NewPCG(11, 1))
	for _, c := range calc.All() {
		for range 300 {
			in := builtinInputs(r, c)
			calls = append(calls, call{c, in})
			questions.WriteString(wasmtest.Question(c.Name, in))
		}
	}
	lines := wasmtest.Answers(runToolchain(t, program, questions.String()))
	if want := len(suite.Calls()) + len(calls); len(lines) != want {
		t.Fatalf("%d answers to %d questions", len(lines), want)
	}
	compare(t, suite, lines[:len(suite.Calls())])

	builtins, problems := wasm.Check(wasm.Source(calc.Subset()))
	if problems != nil {
		t.Fatal(show(problems...))
	}
	loaded := map[*calc.Calculator]*run.Instance{}
	for i, line := range lines[len(suite.Calls()):] {
		c := calls[i]
		if loaded[c.calculator] == nil {
			loaded[c.calculator] = loadFunction(t, builtins, c.calculator.Func)
		}
		if got := answer(loaded[c.calculator], c.in); got != line {
			t.Fatalf("%s of %v:\nmodule    %s\ntoolchain %s", c.calculator.Name, c.in, got, line)
		}
	}
	t.Logf("%d calls of %d calculators", len(calls), len(loaded))
}

// builtinInputs returns inputs within their ranges, in SI; one in four calls has
// a number among them that no form would let through.
func builtinInputs(r *rand.Rand, c *calc.Calculator) []float64 {
	in := make([]float64, len(c.Inputs))
	for i, q := range c.Inputs {
		switch {
		case q.Kind == calc.Choice:
			in[i] = float64(r.IntN(len(q.Options)))
		case q.Optional && r.IntN(2) == 0:
			in[i] = math.NaN()
		default:
			in[i] = q.ToSI(q.Min + (q.Max-q.Min)*r.Float64())
		}
	}
	if i := r.IntN(len(in)); r.IntN(4) == 0 && c.Inputs[i].Kind == calc.Number {
		wild := []float64{0, math.Copysign(0, -1), -1, 5e-324, 1e300, math.Inf(1), math.Inf(-1), math.NaN()}
		in[i] = wild[r.IntN(len(wild))]
	}
	return in
}

// runToolchain runs a program for wasip1 with the questions on its standard
// input, and returns what it prints.
func runToolchain(t *testing.T, path, questions string) string {
	t.Helper()
	binary, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	runtime := wazero.NewRuntimeWithConfig(ctx, wazero.NewRuntimeConfigInterpreter())
	defer runtime.Close(ctx)
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, runtime); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	config := wazero.NewModuleConfig().WithStdin(strings.NewReader(questions)).WithStdout(&out).WithStderr(os.Stderr).WithArgs("native")
	if _, err := runtime.InstantiateWithConfig(ctx, binary, config); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
