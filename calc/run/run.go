// Package run runs compiled calculators in the build: a module of calc/wasm comes
// in, numbers go in and out.
//
// It always interprets. wazero's compiler for amd64 has branched wrongly on
// `0 < a&b`, and a build must give the numbers that a phone gives.
//
// It imports wazero only.
package run

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// runtime is shared by all instances: creating one costs more than loading a
// module. It may be used concurrently.
var runtime = sync.OnceValue(func() wazero.Runtime {
	return wazero.NewRuntimeWithConfig(context.Background(), wazero.NewRuntimeConfigInterpreter())
})

// Instance is a loaded module. Its methods may be called concurrently; calls of
// one instance wait for each other, since the module keeps its fuel between them.
type Instance struct {
	compiled wazero.CompiledModule
	run      api.Function
	results  int

	mu     sync.Mutex
	module api.Module // nil when closed
	stack  []uint64   // parameters in, results out
}

// Load validates and instantiates a module as calc/wasm makes it: a function
// exported as run, whose parameters and results are f64, and no import. The
// caller closes the instance. Load is for the compiler's own modules, never for
// bytes from elsewhere: wazero allocates what a module merely declares.
func Load(module []byte) (*Instance, error) {
	ctx := context.Background()
	compiled, err := runtime().CompileModule(ctx, module)
	if err != nil {
		return nil, fmt.Errorf("calculator module: %w", err)
	}
	m := &Instance{compiled: compiled}
	definition := compiled.ExportedFunctions()["run"]
	switch {
	case definition == nil:
		err = errors.New("it exports no function run")
	case len(compiled.ImportedFunctions())+len(compiled.ImportedMemories()) > 0:
		err = errors.New("it has imports")
	case !allFloat(definition.ParamTypes()) || !allFloat(definition.ResultTypes()):
		err = errors.New("a parameter or result of run is no f64")
	default:
		m.module, err = runtime().InstantiateModule(ctx, compiled, wazero.NewModuleConfig().WithName("").WithStartFunctions())
	}
	if err != nil {
		_ = compiled.Close(ctx)
		return nil, fmt.Errorf("calculator module: %w", err)
	}
	m.run = m.module.ExportedFunction("run")
	m.results = len(definition.ResultTypes())
	m.stack = make([]uint64, max(len(definition.ParamTypes()), m.results))
	return m, nil
}

func allFloat(types []api.ValueType) bool {
	for _, t := range types {
		if t != api.ValueTypeF64 {
			return false
		}
	}
	return true
}

// Call runs the calculator. A trap (the loops' fuel spent, a division of an int
// by zero, an index out of range) is an error, and the instance stays usable.
func (m *Instance) Call(in []float64) ([]float64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.module == nil {
		return nil, errors.New("calculator module: closed")
	}
	if want := len(m.run.Definition().ParamTypes()); len(in) != want {
		return nil, fmt.Errorf("calculator module: %d inputs, want %d", len(in), want)
	}
	for i, v := range in {
		m.stack[i] = api.EncodeF64(v)
	}
	if err := m.run.CallWithStack(context.Background(), m.stack); err != nil {
		return nil, fmt.Errorf("calculator module: %w", err)
	}
	out := make([]float64, m.results)
	for i := range out {
		out[i] = api.DecodeF64(m.stack[i])
	}
	return out, nil
}

// Close frees the module; a second Close does nothing.
func (m *Instance) Close() error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.module == nil {
		return nil
	}
	ctx := context.Background()
	err := errors.Join(m.module.Close(ctx), m.compiled.Close(ctx))
	m.module = nil
	return err
}
