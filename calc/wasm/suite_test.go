package wasm_test

import (
	"fmt"
	"testing"

	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

// instances compiles and loads every function of a suite, in their order.
func instances(t *testing.T, suite wasmtest.Suite) []*run.Instance {
	t.Helper()
	var list []*run.Instance
	for i := range suite.Programs {
		program, problems := wasm.Check(sourceOf(suite.Source(i)))
		if problems != nil {
			t.Fatalf("p%d: %s", i, show(problems...))
		}
		for f := range suite.Functions {
			list = append(list, loadFunction(t, program, fmt.Sprintf("F%d", f)))
		}
	}
	return list
}

// loadFunction compiles and loads a function of a program.
func loadFunction(t *testing.T, program *wasm.Program, name string) *run.Instance {
	t.Helper()
	module, problems := program.Compile(name)
	if problems != nil {
		t.Fatalf("%s: %s", name, show(problems...))
	}
	instance, err := run.Load(module.Bytes)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	t.Cleanup(func() { instance.Close() })
	return instance
}

// answer is what an instance gives, as the native program writes it.
func answer(instance *run.Instance, in []float64) string {
	results, err := instance.Call(in)
	if err != nil {
		return wasmtest.Trap
	}
	return wasmtest.Line(results)
}

// compare holds the modules of a suite to the answers to its calls.
func compare(t *testing.T, suite wasmtest.Suite, want []string) {
	t.Helper()
	calls := suite.Calls()
	if len(want) != len(calls) {
		t.Fatalf("%d answers to %d calls", len(want), len(calls))
	}
	trapped := 0
	list := instances(t, suite)
	for i, c := range calls {
		got := answer(list[c.Program*suite.Functions+c.Function], c.In)
		if got != want[i] {
			t.Fatalf("seed %d, p%d.F%d, %v:\nmodule %s\nnative %s", suite.Seed, c.Program, c.Function, c.In, got, want[i])
		}
		if got == wasmtest.Trap {
			trapped++
		}
	}
	if trapped*5 > len(calls) {
		t.Errorf("%d of %d calls trapped: the programs say too little", trapped, len(calls))
	}
	t.Logf("%d calls, %d trapped in both", len(calls), trapped)
}
