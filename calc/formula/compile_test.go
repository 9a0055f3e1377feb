package formula

import (
	"math"
	"testing"

	"benchleaf/calc/run"
	"benchleaf/calc/unit"
)

func u(t testing.TB, symbol string) unit.Unit {
	t.Helper()
	found, ok := unit.Lookup(symbol)
	if !ok {
		t.Fatalf("no unit %q", symbol)
	}
	return found
}

func TestFirst(t *testing.T) {
	d := Definition{Name: "heater-power",
		Inputs:    []Input{{"supply", u(t, "V"), 6, 16, 12}, {"resistance", u(t, "mΩ"), 100, 20000, 6000}, {"ambient", u(t, "°C"), -40, 50, 20}},
		Constants: []Constant{{"coefficient", u(t, "1/K"), 0.004}, {"reference", u(t, "°C"), 20}},
		Values:    []Value{{"hot-resistance", "resistance * (1 + coefficient * (ambient - reference))"}, {"current", "supply/hot_resistance"}},
		Results:   []Result{{"power", u(t, "W"), "choose(ambient > reference, supply * current, pow(supply, 2) / resistance)"}, {"cold", u(t, "W"), "min(supply*current, power)+supply*current"}},
	}
	p, problems := Compile(d)
	for _, x := range problems {
		t.Logf("%+v", x)
	}
	if p == nil {
		t.Fatal("nil")
	}
	t.Logf("%s\n%q\n%d bytes", p.Code, p.Formula, len(p.Module))
	m, err := run.Load(p.Module)
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	out, err := m.Call([]float64{12, 6, 293.15})
	t.Log(out, err)
	if math.IsNaN(out[0]) {
		t.Fatal()
	}
}
