package formula

import (
	"math"
	"testing"

	"benchleaf/calc/run"
	"benchleaf/calc/unit"
)

// find returns a unit by its symbol.
func find(t testing.TB, symbol string) unit.Unit {
	t.Helper()
	u, ok := unit.Lookup(symbol)
	if !ok {
		t.Fatalf("no unit %q", symbol)
	}
	return u
}

// figure is a name with a value and a unit.
type figure struct {
	name   string
	value  float64
	symbol string
}

// TestRight compiles calculators and runs their modules. What they must give is
// worked by hand in the comments.
func TestRight(t *testing.T) {
	cases := []struct {
		name      string
		inputs    []figure // with the value that is entered
		constants []figure
		values    []Value
		formula   string
		want      figure
	}{
		{"product", []figure{{"supply", 12, "V"}, {"current", 2, "A"}}, nil, nil, "supply * current", figure{"", 24, "W"}},
		{"prefixes at the border", []figure{{"drop", 250, "mV"}, {"current", 50, "A"}}, nil, nil, "drop / current", figure{"", 5, "mΩ"}},
		{"half", []figure{{"x", 3, ""}}, nil, nil, "1/2 * x", figure{"", 1.5, ""}},
		{"order of operations", []figure{{"x", 3, ""}}, nil, nil, "2 + x*4 - 10/5", figure{"", 12, ""}},                   // 2 + 12 - 2
		{"from the left", []figure{{"x", 2, ""}}, nil, nil, "x - 3 - 4 + x/4/5", figure{"", -4.9, ""}},                    // -5 + 0.1
		{"signs", []figure{{"x", 2, ""}}, nil, nil, "-x*3 - -x + +x", figure{"", -2, ""}},                                 // -6 + 2 + 2
		{"parentheses", []figure{{"x", 2, ""}}, nil, nil, "(x + 1) * (x - (3 - x)) / (x * (x / 2))", figure{"", 1.5, ""}}, // 3 * 1 / 2
		{"conditions", []figure{{"x", 2, ""}}, nil, nil, "choose(!(x < 1 || x > 3) && x != 5 && x == 2, 7, 8)", figure{"", 7, ""}},
		{"choose in choose", []figure{{"x", 25, ""}}, nil, nil, "1 + choose(x < 10, 10, choose(x < 20, 20, choose(x >= 25, 25, 30)) * 2) / 2", figure{"", 26, ""}}, // 1 + 25 * 2 / 2
		{"choose that guards", []figure{{"x", 0, ""}}, nil, nil, "choose(x > 0, log(x), -1)", figure{"", -1, ""}},
		{"percent", []figure{{"drop", 0.6, "V"}, {"supply", 12, "V"}}, nil, nil, "drop / supply", figure{"", 5, "%"}},
		{"hyphens", []figure{{"load-voltage", 11.4, "V"}, {"supply", 12, "V"}}, nil, nil, "supply-load_voltage", figure{"", 0.6, "V"}},
		{"names that Go uses", []figure{{"x", 2, ""}, {"len", 3, ""}, {"string", 4, ""}}, nil, []Value{{"in", "x * len"}, {"float64", "in + string"}, {"elementary", "float64 * in"}, {"chosen1", "sqrt(elementary + string)"}},
			"chosen1 + choose(in > 1, elementary, 0) + pow(len + in, 2)", figure{"", 149, ""}}, // in 6, float64 10, elementary 60, chosen1 8: 8 + 60 + 81
		{"sign of zero", []figure{{"x", 2, ""}}, []figure{{"a", 3, ""}}, nil, "copysign(1, x * -(a * 0)) + 2 * copysign(1, x * (a * 0))", figure{"", 1, ""}},

		// R = 6 Ω (1 + 0.004/K · 50 K) = 7.2 Ω; 12² / 7.2 = 20 W.
		{"heater, values in any order", []figure{{"supply", 12, "V"}, {"cold", 6, "Ω"}, {"temperature", 70, "°C"}},
			[]figure{{"coefficient", 0.004, "1/K"}, {"reference", 20, "°C"}},
			[]Value{{"current", "supply / hot"}, {"hot", "cold * (1 + coefficient * (temperature - reference))"}}, "supply * current", figure{"", 20, "W"}},

		// 690 kPa on 70 mm: π/4 · 0.0049 m² · 690000 Pa = 2655.43 N.
		{"piston force", []figure{{"pressure", 690, "kPa"}, {"bore", 70, "mm"}}, nil, nil, "pressure * pi / 4 * pow(bore, 2)", figure{"", 2655.431, "N"}},
		// π/4 · 6.8² · 5.4 = 196.11 cm³.
		{"displacement", []figure{{"bore", 68, "mm"}, {"stroke", 54, "mm"}}, nil, nil, "pow(bore, 2) * stroke * pi / 4", figure{"", 196.111, "cc"}},
		{"pulses", []figure{{"pulses", 50, "Hz"}, {"each", 1, ""}}, nil, nil, "pulses / each", figure{"", 3000, "rpm"}},
		{"torque", []figure{{"force", 100, "N"}, {"arm", 250, "mm"}}, nil, nil, "force * arm", figure{"", 25, "N·m"}},
		// 16 AWG is 1.308696 mm²: 1.724e-8 · 10 / 1.308696e-6 = 0.131734.
		{"gauge", []figure{{"wire", 16, "AWG"}, {"length", 10, "m"}}, []figure{{"resistivity", 1.724e-8, "Ω·m"}}, nil, "resistivity * length / wire", figure{"", 131.734, "mΩ"}},

		{"mean temperature", []figure{{"a", 20, "°C"}, {"b", 30, "°C"}}, nil, nil, "(a + b) / 2", figure{"", 25, "°C"}},
		{"mean in Fahrenheit", []figure{{"a", 68, "°F"}, {"b", 86, "°F"}}, nil, nil, "0.5 * a + b / 2", figure{"", 77, "°F"}},
		{"difference", []figure{{"a", 30, "°C"}, {"b", 20, "°C"}}, nil, nil, "a - b", figure{"", 18, "Δ°F"}},
		{"difference by a sign", []figure{{"a", 30, "°C"}, {"b", 20, "°C"}}, nil, nil, "a + -b", figure{"", 10, "ΔK"}},
		{"temperature and difference", []figure{{"a", 20, "°C"}, {"rise", 36, "Δ°F"}}, nil, nil, "a + rise", figure{"", 40, "°C"}},
		{"difference in kelvin", []figure{{"a", 30, "°C"}, {"b", 20, "°C"}}, nil, nil, "a - b", figure{"", 10, "K"}},
		{"thermal resistance", []figure{{"ambient", 20, "°C"}, {"power", 5, "W"}, {"resistance", 8, "K/W"}}, nil, nil, "ambient + power * resistance", figure{"", 60, "°C"}},
		{"weighted mean", []figure{{"a", 20, "°C"}, {"b", 30, "°C"}}, []figure{{"part", 30, "%"}}, nil, "part * a + (1 - part) * b", figure{"", 27, "°C"}}, // 0.3 · 20 + 0.7 · 30
		{"part of the way", []figure{{"a", 20, "°C"}, {"b", 30, "°C"}, {"part", 30, "%"}}, nil, nil, "a + part * (b - a)", figure{"", 23, "°C"}},
		{"greatest of temperatures", []figure{{"a", 20, "°C"}, {"b", 77, "°F"}}, []figure{{"least", 0, "°C"}}, nil, "max(least, a, b)", figure{"", 25, "°C"}},
		{"choice of temperatures", []figure{{"a", 20, "°C"}, {"b", 77, "°F"}}, []figure{{"least", 0, "°C"}}, nil, "choose(a < least, b, a) - least", figure{"", 20, "ΔK"}},
		{"ratio of temperatures", []figure{{"a", 27, "°C"}, {"pressure", 100, "kPa"}}, []figure{{"hot", 327, "°C"}}, nil, "pressure * hot / a", figure{"", 199.95, "kPa"}}, // 600.15/300.15

		{"exp", []figure{{"x", 0, ""}}, nil, nil, "exp(x)", figure{"", 1, ""}},
		{"log", []figure{{"x", 1, ""}}, nil, nil, "log(exp(x))", figure{"", 1, ""}},
		{"log10", []figure{{"x", 1000, ""}}, nil, nil, "log10(x)", figure{"", 3, ""}},
		{"pow", []figure{{"x", 2, ""}}, nil, nil, "pow(x, 10)", figure{"", 1024, ""}},
		{"pow of a square root", []figure{{"x", 16, "mm²"}}, nil, nil, "pow(x, 0.5)", figure{"", 4, "mm"}},
		{"pow of a cube root", []figure{{"x", 8, "cc"}}, nil, nil, "pow(x, 1/3)", figure{"", 20, "mm"}},
		{"pow of a cube", []figure{{"x", -2, ""}}, nil, nil, "pow(x - 1, 3) + 1", figure{"", -26, ""}},
		{"pow with a sign", []figure{{"x", 4, "s"}}, nil, nil, "pow(x, -1)", figure{"", 15, "rpm"}},
		{"pow of a variable", []figure{{"x", 3, ""}, {"y", 4, ""}}, nil, nil, "pow(x, y)", figure{"", 81, ""}},
		{"sqrt", []figure{{"x", 16, "mm²"}}, nil, nil, "sqrt(x)", figure{"", 4, "mm"}},
		{"sin", []figure{{"x", 30, "deg"}}, nil, nil, "sin(x)", figure{"", 0.5, ""}},
		{"cos", []figure{{"x", 60, "deg"}}, nil, nil, "cos(x)", figure{"", 0.5, ""}},
		{"atan", []figure{{"x", 1, ""}}, nil, nil, "atan(x)", figure{"", 45, "deg"}},
		{"floor", []figure{{"x", -1.5, ""}}, nil, nil, "floor(x)", figure{"", -2, ""}},
		{"ceil", []figure{{"x", -1.5, ""}}, nil, nil, "ceil(x)", figure{"", -1, ""}},
		{"trunc", []figure{{"x", -1.5, ""}}, nil, nil, "trunc(x)", figure{"", -1, ""}},
		{"abs", []figure{{"x", -1.5, "V"}}, nil, nil, "abs(x)", figure{"", 1.5, "V"}},
		{"copysign", []figure{{"x", 3, "V"}, {"y", -2, "A"}}, nil, nil, "copysign(x, y)", figure{"", -3, "V"}},
		{"min", []figure{{"x", 3, "V"}, {"y", 1, "V"}, {"z", 2000, "mV"}}, nil, nil, "min(x, y, z)", figure{"", 1, "V"}},
		{"max", []figure{{"x", 3, "V"}, {"y", 1, "V"}}, nil, nil, "max(0, y, x)", figure{"", 3, "V"}},
		{"a line of several", []figure{{"x", 3, ""}}, nil, nil, "x\n\t* 2\r\n", figure{"", 6, ""}},
		{"numbers", []figure{{"x", 2, ""}}, nil, nil, ".5 + 5. + 1e2 + 1.5E-1 + 0.0 + 0 * x + 2e+1", figure{"", 125.65, ""}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := Definition{Name: c.name, Values: c.values, Results: []Result{{"result", find(t, c.want.symbol), c.formula}}}
			in := make([]float64, len(c.inputs))
			for i, f := range c.inputs {
				u := find(t, f.symbol)
				d.Inputs = append(d.Inputs, Input{f.name, u, f.value, f.value + 1, f.value})
				in[i] = u.ToSI(f.value)
			}
			for _, f := range c.constants {
				d.Constants = append(d.Constants, Constant{f.name, find(t, f.symbol), f.value})
			}
			p, problems := Compile(d)
			if len(problems) > 0 {
				t.Fatalf("%+v", problems)
			}
			got := call(t, p, in)
			if v := d.Results[0].Unit.FromSI(got[0]); math.Abs(v-c.want.value) > 2e-6*math.Abs(c.want.value)+1e-12 {
				t.Errorf("%s gives %v, want %v\n%s", c.formula, v, c.want.value, p.Code)
			}
		})
	}
}

// call runs a module.
func call(t testing.TB, p *Program, in []float64) []float64 {
	t.Helper()
	m, err := run.Load(p.Module)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = m.Close() }()
	out, err := m.Call(in)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Values may rest on results, and results on one another, in any order.
func TestOrder(t *testing.T) {
	x := Input{"x", find(t, ""), 0, 10, 1}
	d := Definition{Name: "order", Inputs: []Input{x},
		Values:  []Value{{"c", "b + x"}, {"d", "x + 1"}},
		Results: []Result{{"a", find(t, ""), "c + 1"}, {"b", find(t, ""), "d * 2"}},
	}
	p, problems := Compile(d)
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	if got := call(t, p, []float64{3}); got[0] != 12 || got[1] != 8 { // d = 4, b = 8, c = 11
		t.Errorf("got %v, want [12 8]", got)
	}
	if want := []string{"c = b + x", "d = x + 1", "a = c + 1", "b = d · 2"}; len(p.Formula) != 4 || p.Formula[0] != want[0] || p.Formula[2] != want[2] {
		t.Errorf("formulas %q, want %q", p.Formula, want)
	}
}
