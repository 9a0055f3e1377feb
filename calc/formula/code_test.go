package formula

import (
	"go/format"
	"strings"
	"sync"
	"testing"
	"time"

	"benchleaf/calc/elementary"
	"benchleaf/calc/wasm"
)

// heater is a calculator of several lines: the power of a heater that warms up.
func heater(t testing.TB) Definition {
	return Definition{
		Name: "heater-power",
		Inputs: []Input{
			{"supply", find(t, "V"), 6, 16, 12},
			{"cold-resistance", find(t, "mΩ"), 500, 20000, 6000},
			{"temperature", find(t, "°C"), -40, 200, 70},
			{"lead", find(t, "AWG"), 10, 24, 16},
			{"lead-length", find(t, "m"), 0, 10, 2},
			{"duty", find(t, "%"), 0, 100, 50},
		},
		Constants: []Constant{
			{"coefficient", find(t, "1/K"), 0.004},
			{"reference", find(t, "°C"), 20},
			{"resistivity", find(t, "Ω·m"), 1.724e-8},
			{"ways", find(t, ""), 2},
			{"strands", find(t, "%"), 102},
		},
		Values: []Value{
			{"current", "supply / (resistance + lead_resistance)"},
			{"resistance", "cold_resistance * (1 + coefficient * (temperature - reference))"},
			{"lead-resistance", "ways * strands * resistivity * lead_length / lead"},
		},
		Results: []Result{
			{"power", find(t, "W"), "pow(current, 2) * resistance"},
			{"mean-power", find(t, "W"), "choose(duty > 0.1, duty * power, 0) + 0 * power"},
			{"factor", find(t, ""), "1 - exp(-duty)"},
		},
	}
}

func TestCode(t *testing.T) {
	p, problems := Compile(heater(t))
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	const want = `// HeaterPowerInputs is what is entered.
type HeaterPowerInputs struct {
	Supply         float64 // V
	ColdResistance float64 // Ω
	Temperature    float64 // K
	Lead           float64 // m²
	LeadLength     float64 // m
	Duty           float64
}

// HeaterPowerResults is what comes out.
type HeaterPowerResults struct {
	Power     float64 // W
	MeanPower float64 // W
	Factor    float64
}

// HeaterPower computes in the units of the SI.
func HeaterPower(in HeaterPowerInputs) HeaterPowerResults {
	const coefficient float64 = 0.004     // 1/K
	const reference float64 = 293.15      // K
	const resistivity float64 = 1.724e-08 // Ω·m
	const ways float64 = 2
	const strands float64 = 1.02
	resistance := float64(in.ColdResistance * (1 + float64(coefficient*(in.Temperature-reference))))
	leadResistance := ways * strands * resistivity * in.LeadLength / in.Lead
	current := in.Supply / (resistance + leadResistance)
	power := float64(current * current * resistance)
	var chosen1 float64
	if in.Duty > 0.1 {
		chosen1 = float64(in.Duty * power)
	} else {
		chosen1 = 0
	}
	return HeaterPowerResults{
		Power:     power,
		MeanPower: chosen1 + float64(0*power),
		Factor:    1 - elementary.Exp(-in.Duty),
	}
}`
	if p.Code != want {
		t.Errorf("got\n%s\nwant\n%s", p.Code, want)
	}
	if formatted, err := format.Source([]byte(p.Code)); err != nil || string(formatted) != p.Code {
		t.Errorf("the code is not as gofmt formats it: %v", err)
	}
}

func TestFunctionName(t *testing.T) {
	for name, want := range map[string]string{
		"heater-power": "HeaterPower", "heater": "Heater", "": "Calculate", "Widerstand für 12 V": "WiderstandFR12V", "2-stroke": "Stroke", "motor 2t": "Motor2T", "…": "Calculate", "a_b": "AB",
	} {
		if got := functionName(name); got != want {
			t.Errorf("functionName(%q) = %s, want %s", name, got, want)
		}
	}
}

// Bytes of modules: some hundred without elementary functions, and no more than
// those of the functions that are used.
func TestModuleSize(t *testing.T) {
	for formula, budget := range map[string]int{
		"supply * current": 60,
		"pow(supply, 2) / (resistance + supply / (current + area / area * 0 * current + loss / supply))": 120,
		"choose(share > 0.5, loss, choose(share > 0.2, loss / 2, 0))":                                    120,
		"loss * sqrt(pow(share, 3) + min(share, 0.5) + floor(angle))":                                    120,
		"loss * exp(-share)":       520,
		"loss * log(share + 1)":    800,
		"loss * pow(share, 0.286)": 1400,
	} {
		d := bench(t, formula)
		d.Inputs[1].Min, d.Inputs[2].Min = 1, 1
		p, problems := Compile(d)
		if p == nil {
			t.Fatalf("%+v", problems)
		}
		t.Logf("%4d bytes: %s", len(p.Module), formula)
		if len(p.Module) > budget {
			t.Errorf("%s: %d bytes, budget %d", formula, len(p.Module), budget)
		}
	}
	p, _ := Compile(heater(t))
	if t.Logf("%4d bytes: heater", len(p.Module)); len(p.Module) > 700 {
		t.Errorf("heater: %d bytes", len(p.Module))
	}
}

// The same definition gives the same program, whoever compiles beside.
func TestConcurrent(t *testing.T) {
	first, _ := Compile(heater(t))
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 5 {
				p, _ := Compile(heater(t))
				if p.Code != first.Code || string(p.Module) != string(first.Module) || strings.Join(p.Formula, "\n") != strings.Join(first.Formula, "\n") {
					t.Error("another program")
				}
			}
		})
	}
	wait.Wait()
}

func BenchmarkLine(b *testing.B) {
	d := Definition{Name: "power",
		Inputs:  []Input{{"supply", find(b, "V"), 6, 16, 12}, {"resistance", find(b, "Ω"), 0.5, 100, 6}},
		Results: []Result{{"power", find(b, "W"), "pow(supply, 2) / resistance"}},
	}
	benchmark(b, d)
}

func BenchmarkElementary(b *testing.B) {
	d := Definition{Name: "power",
		Inputs:  []Input{{"pressure", find(b, "kPa"), 50, 110, 100}, {"exponent", find(b, ""), 0.1, 1, 0.286}},
		Results: []Result{{"ratio", find(b, ""), "pow(pressure / pressure, exponent)"}},
	}
	benchmark(b, d)
}

func BenchmarkSeveral(b *testing.B) { benchmark(b, heater(b)) }

// benchmark compiles a definition, and says how long a formula takes beside the
// checking of the elementary functions in the same run, which is about a
// millisecond where the budget of a formula is one.
func benchmark(b *testing.B, d Definition) {
	const checks = 10
	began := time.Now()
	for range checks {
		if _, problems := wasm.Check(wasm.Source{Path: elementaryPath, Files: elementary.Files(), Intrinsics: elementaryPath}); problems != nil {
			b.Fatal(problems)
		}
	}
	check := time.Since(began).Seconds() / checks
	for b.Loop() {
		if p, problems := Compile(d); p == nil {
			b.Fatal(problems)
		}
	}
	each := b.Elapsed().Seconds() / float64(b.N*(len(d.Values)+len(d.Results)))
	b.ReportMetric(each*1e9, "ns/formula")
	b.ReportMetric(each/check, "checks/formula")
}
