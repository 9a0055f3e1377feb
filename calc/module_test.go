package calc

import (
	"math"
	"math/rand/v2"
	"testing"

	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
)

// compile compiles one calculator with the in-process compiler.
func compile(t *testing.T, c *Calculator) *wasm.Module {
	t.Helper()
	program, problems := wasm.Check(wasm.Source(Subset()))
	if len(problems) > 0 {
		t.Fatalf("%s: %v", c.Name, problems)
	}
	module, problems := program.Compile(c.Func)
	if len(problems) > 0 {
		t.Fatalf("%s: %v", c.Name, problems)
	}
	return module
}

// Bytes of a module as it ships: 600, but 1,400 with an exponential, a
// logarithm or a cosine, or with the table of wire sizes, whose areas alone take
// 300, and 3,200 with a power. battery-charge takes 700: its two tables and its
// nine outcomes.
func TestModuleSize(t *testing.T) {
	larger := map[string]int{
		"battery-charge": 700,
		"time-to-close":  1400, "time-to-open": 1400, "torque": 1400, "wire-size": 1400,
		"air-density": 3200, "compression": 3200, "power-correction": 3200,
	}
	for _, c := range All() {
		budget := 600
		if b := larger[c.Name]; b != 0 {
			budget = b
		}
		if n := len(compile(t, c).Bytes); n > budget {
			t.Errorf("%s: %d bytes, budget %d", c.Name, n, budget)
		} else {
			t.Logf("%s: %d bytes", c.Name, n)
		}
	}
}

// The module's slots are the catalogue's quantities, in their order.
func TestModuleSlots(t *testing.T) {
	for _, c := range All() {
		module := compile(t, c)
		check := func(side string, quantities []Quantity, slots []wasm.Slot) {
			if len(quantities) != len(slots) {
				t.Fatalf("%s: %d %s, module has %d", c.Name, len(quantities), side, len(slots))
			}
			for i, q := range quantities {
				if want := map[QuantityKind]wasm.SlotType{Number: wasm.Float, Choice: wasm.Int}[q.Kind]; slots[i].Type != want {
					t.Errorf("%s: %s %s is %v in the module, want %v", c.Name, side, q.Name, slots[i].Type, want)
				}
			}
		}
		check("inputs", c.Inputs, module.Inputs)
		check("results", c.Results, module.Results)
	}
}

// Native function and module give the same bits, NaNs as one class: at the ends
// and the middle of every range in all combinations, at random within the
// ranges, and for numbers no form would let through.
func TestModuleAgainstNative(t *testing.T) {
	wild := []float64{0, math.Copysign(0, -1), 1, -1, 0.5, 5e-324, -1e-300, 1e300, -math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()}
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			instance, err := run.Load(compile(t, c).Bytes)
			if err != nil {
				t.Fatal(err)
			}
			defer instance.Close()
			same := func(in []float64) {
				want := c.Native(in)
				got, err := instance.Call(in)
				if err != nil || len(got) != len(want) {
					t.Fatalf("%v: %v, %v", in, got, err)
				}
				for i := range want {
					bothNaN := math.IsNaN(got[i]) && math.IsNaN(want[i])
					if !bothNaN && math.Float64bits(got[i]) != math.Float64bits(want[i]) {
						t.Fatalf("%s of %v: module %v, native %v", c.Results[i].Name, in, got[i], want[i])
					}
				}
			}
			same(c.Starts())
			for n := range int(math.Pow(3, float64(len(c.Inputs)))) {
				in := make([]float64, len(c.Inputs))
				for i, q := range c.Inputs {
					in[i] = q.ToSI([]float64{q.Min, q.Max, (q.Min + q.Max) / 2}[n%3])
					n /= 3
				}
				same(in)
			}
			random := rand.New(rand.NewPCG(1, 2))
			for range 5000 {
				in := make([]float64, len(c.Inputs))
				for i, q := range c.Inputs {
					in[i] = q.ToSI(q.Min + (q.Max-q.Min)*random.Float64())
					if q.Kind == Choice {
						in[i] = float64(random.IntN(len(q.Options)))
					}
					if q.Optional && random.IntN(2) == 0 {
						in[i] = math.NaN()
					}
				}
				same(in)
				in[random.IntN(len(in))] = wild[random.IntN(len(wild))]
				same(in)
			}
			for range 2000 {
				in := make([]float64, len(c.Inputs))
				for i := range in {
					in[i] = wild[random.IntN(len(wild))]
				}
				same(in)
			}
		})
	}
}
