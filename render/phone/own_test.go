package phone

import (
	"math"
	"math/rand/v2"
	"testing"

	"benchleaf/calc/unit"
)

// TestOwn types into a handbook's own calculators and compares what is shown
// with what their modules give in Go for the same entries: values, digits,
// units and messages.
func TestOwn(t *testing.T) {
	for _, d := range benches(t) {
		p := d.page(t, "bench")
		for _, c := range p.Calculators {
			if c.ID != "calculator-joint" && c.ID != "calculator-fit" && c.ID != "calculator-cable" {
				continue // chained: TestChain
			}
			t.Run(p.Lang+"/"+c.Calc.Name, func(t *testing.T) {
				t.Parallel()
				b := &bench{tab: open(t, ""), d: d, page: p, c: c}
				b.goLive(d.address(p.Path))
				live := eval[shownForm](b.tab, showScript+"("+b.form()+")")
				b.compare("as it opens", live)
				b.entries(live)
			})
		}
	}
}

// formulas are those of testdata/bench, written by hand in SI.
var formulas = map[string]func(in []float64) []float64{
	// Bore and shaft in m, the temperature in K; 20 °C are 293.15 K.
	"fit": func(in []float64) []float64 {
		return []float64{(in[0] - in[1]) * (1 + 0.000011*(in[2]-293.15)), (in[0] - in[1]) / in[1]}
	},
	// Current in A, length in m, area in m²; 0.0178 µΩ·m; below 10 mV no loss.
	"cable": func(in []float64) []float64 {
		resistance := 0.0178e-6 * in[1] / in[2]
		loss := 0.0
		if resistance*in[0] > 0.01 {
			loss = in[0] * in[0] * resistance
		}
		return []float64{resistance * in[0], loss, 2 * math.Sqrt(in[2]/math.Pi)}
	},
	"joint": func(in []float64) []float64 { return []float64{in[1] * in[2], in[0] - in[1]*in[2]} },
}

// TestFormulas holds the modules in the pages against the formulas. A sum of
// powers of the same factors in another order may differ in its last bits.
func TestFormulas(t *testing.T) {
	t.Parallel()
	d := benches(t)[0]
	random := rand.New(rand.NewPCG(11, 1))
	tested := 0
	for _, c := range d.page(t, "bench").Calculators {
		formula := formulas[c.Calc.Name]
		if formula == nil {
			continue
		}
		tested++
		for range 500 {
			in := make([]float64, len(c.Calc.Inputs))
			for i, q := range c.Calc.Inputs {
				in[i] = q.ToSI(q.Min + (q.Max-q.Min)*random.Float64())
			}
			got, err := c.Module.Run(in)
			if err != nil {
				t.Fatal(err)
			}
			for i, want := range formula(in) {
				if scale := math.Max(math.Abs(want), 1e-3); math.Abs(got[i]-want) > 1e-12*scale {
					t.Errorf("%s of %v: %s is %v, want %v", c.Calc.Name, in, c.Calc.Results[i].Name, got[i], want)
				}
			}
		}
	}
	if tested != len(formulas) {
		t.Errorf("%d of %d formulas were tested", tested, len(formulas))
	}
	// A worked case: 2 m of 2.5 mm² at 10 A. 0.0178 µΩ·m · 2 m / 2.5 mm² = 14.24 mΩ;
	// times 10 A 142.4 mV, and 1.424 W.
	mm2, _ := unit.Lookup("mm²")
	got := formulas["cable"]([]float64{10, 2, mm2.ToSI(2.5)})
	if math.Abs(got[0]-0.1424) > 1e-9 || math.Abs(got[1]-1.424) > 1e-9 {
		t.Errorf("the formula by hand gives %v", got)
	}
}
