package handbook

import (
	"fmt"
	"sync"

	"benchleaf/calc"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
)

// Module is a compiled calculator: the bytes that a page carries, and the means
// to run these very bytes at build time.
type Module struct {
	Bytes []byte // WebAssembly; one export, run

	load func() (*run.Instance, error)
}

// NewModule is the module of these bytes.
func NewModule(bytes []byte) *Module {
	return &Module{bytes, sync.OnceValues(func() (*run.Instance, error) { return run.Load(bytes) })}
}

// Run computes: inputs in SI in, results in SI out, in the calculator's order.
func (m *Module) Run(in []float64) ([]float64, error) {
	instance, err := m.load()
	if err != nil {
		return nil, err
	}
	return instance.Call(in)
}

// program is the type-checked source of all built-in calculators, and modules
// what was compiled of it; both are made when first asked for.
var (
	program = sync.OnceValue(func() *wasm.Program {
		p, problems := wasm.Check(wasm.Source(calc.Subset()))
		if len(problems) > 0 {
			panic(fmt.Sprintf("handbook: a built-in calculator does not compile: %v", problems[0]))
		}
		return p
	})
	modules sync.Map // name -> *Module
)

// BuiltinModule returns the module of a built-in calculator. A built-in that
// does not compile is a fault of this program, which its tests find.
func BuiltinModule(c *calc.Calculator) *Module {
	if m, ok := modules.Load(c.Name); ok {
		return m.(*Module)
	}
	m, problems := program().Compile(c.Func)
	if len(problems) > 0 {
		panic(fmt.Sprintf("handbook: calculator %s does not compile: %v", c.Name, problems[0]))
	}
	known, _ := modules.LoadOrStore(c.Name, NewModule(m.Bytes))
	return known.(*Module)
}
