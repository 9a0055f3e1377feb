package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render"
	"benchleaf/render/remark"
)

// run is the JSON of a run.
type run struct {
	Calculator      string
	Inputs, Results map[string]struct {
		Value any
		Unit  *string
		Text  string
	}
}

// calculateJSON runs a calculator and reads what it prints.
func calculateJSON(t *testing.T, args ...string) run {
	t.Helper()
	var out, errs bytes.Buffer
	status := Run(append([]string{"calculate", "-json"}, args...), nil, &out, &errs)
	if status != 0 || errs.Len() > 0 {
		t.Fatalf("%q: status %d\n%s", args, status, errs.String())
	}
	return readRun(t, &out)
}

func readRun(t *testing.T, out io.Reader) (r run) {
	t.Helper()
	d := json.NewDecoder(out)
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		t.Fatal(err)
	}
	return r
}

// Every built-in gives its worked examples, and every calculator of the demo handbook's own, to the last digit written, and
// names all its inputs and results. The handbook is read for the first of its own, and once for all others.
func TestCalculateExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("each example of each calculator")
	}
	known, remarks, err := render.Calculators("../../content", "")
	if err != nil || remarks.Count(remark.Error) > 0 || len(known) == len(calc.All()) {
		t.Fatal(err, remarks, len(known))
	}
	in := []string{"-in", "../../content"}
	for _, c := range known {
		for _, e := range c.Examples {
			args := []string{c.Name}
			if len(e.Inputs) == 0 { // the start values: one is given
				start := c.Inputs[0].FromSI(c.Values(nil)[0].SI)
				args = append(args, c.Inputs[0].Name+"="+strconv.FormatFloat(start, 'g', -1, 64))
			}
			for _, a := range e.Inputs {
				args = append(args, a.Name+"="+a.Value)
			}
			var r run
			if c.Own() && in == nil {
				var out, errs bytes.Buffer
				if status := (&call{stdout: &out, stderr: &errs}).calculate(printer{json: true}, known, false, args); status != statusDone {
					t.Fatalf("%q: status %d\n%s", args, status, &errs)
				}
				r = readRun(t, &out)
			} else if c.Own() {
				r, in = calculateJSON(t, append(args, in...)...), nil
			} else {
				r = calculateJSON(t, args...)
			}
			if r.Calculator != c.Name || len(r.Inputs) != len(c.Inputs) || len(r.Results) != len(c.Results) {
				t.Errorf("%q: %+v", args, r)
			}
			for _, a := range e.Results {
				q := c.Results[slices.IndexFunc(c.Results, func(q calc.Quantity) bool { return q.Name == a.Name })]
				got := r.Results[a.Name]
				if q.Kind == calc.Choice {
					if got.Value != a.Value || got.Text == "" {
						t.Errorf("%q: %s is %v, the example says %s", args, a.Name, got.Value, a.Value)
					}
					continue
				}
				want, used, err := unit.Parse(a.Value, q.Unit, "en")
				value, ok := got.Value.(float64)
				if err != nil || !ok || *got.Unit != q.Unit.Symbol {
					t.Errorf("%q: %s is %v, the example says %s", args, a.Name, got.Value, a.Value)
					continue
				}
				place := unit.LastPlace(a.Value, "en")
				if place == 0 {
					place = 1 // a whole number
				}
				if used.IsGauge() {
					place = 0
				}
				if v := used.FromSI(q.ToSI(value)); !(math.Abs(v-used.FromSI(want)) <= place*0.5000001) {
					t.Errorf("%q: %s is %v %s, the example says %s", args, a.Name, v, used.Symbol, a.Value)
				}
			}
		}
	}
}

// Values in whatever unit, in either language, are the same values.
func TestCalculateValues(t *testing.T) {
	for _, args := range [][]string{
		{"voltage-drop", "area=16 AWG", "length = 10 ft", "temperature=68 °F", "material=aluminium", "paths=1"},
		{"voltage-drop", "length=3.048", "area=AWG 16", "temperature=293.15 K", "material=ALUMINIUM", "paths=through the frame"},
		{"-lang", "es", "voltage-drop", "length=304,8 cm", "area=16awg", "temperature=20,0", "material=aluminio", "paths=por el bastidor"},
	} {
		r := calculateJSON(t, args...)
		// ASTM B258: 16 AWG is 0.0508 in thick, 2.5827 kcmil, 1.3087 mm².
		for name, want := range map[string]float64{"area": 1.3087, "length": 3.048, "temperature": 20, "current": 10} {
			if v, _ := r.Inputs[name].Value.(float64); !(math.Abs(v-want) < 1e-4) {
				t.Errorf("%q: %s is %v, want %v", args, name, r.Inputs[name].Value, want)
			}
		}
		if r.Inputs["material"].Value != "aluminium" || r.Inputs["paths"].Value != "1" {
			t.Errorf("%q: %+v", args, r.Inputs)
		}
	}
}

// A result has the digits that its inputs leave certain.
func TestCalculateDigits(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		// 0.05 Ω of 10 Ω beside 15 Ω move 6 Ω by 0.05 · 0.6² = 0.018: twice that has its first digit at 0.01.
		{"parallel-resistance first=0.0100kΩ second=15", "(R)   6.00 Ω\n"},
		{"parallel-resistance first=10.0 second=15", "(R)   6.00 Ω\n"},
		{"parallel-resistance first=10 second=15", "(R)   6.000 Ω\n"},
		// 14.012 less 14 V, at the temperature that needs no correction: a mV is certain, no tenth of it.
		{"-lang es charging-voltage reference=14 temperature=25 measured=14,012", " 0,012 V\n"},
		{"charging-voltage reference=14 temperature=25 measured=14.012", " 0.012 V\n"},
	} {
		var out, errs bytes.Buffer
		if status := Run(append([]string{"calculate"}, strings.Fields(c.args)...), nil, &out, &errs); status != 0 || !strings.Contains(out.String(), c.want) {
			t.Errorf("%s: %d\n%s%s", c.args, status, out.String(), errs.String())
		}
	}
}

// The ends of a range are in it, in whatever unit.
func TestCalculateEnds(t *testing.T) {
	for _, c := range []struct {
		value  string
		status int
	}{
		{"-50", 0}, {"150", 0}, {"-58 °F", 0}, {"302 °F", 0}, {"223.15 K", 0}, {"423.15 K", 0},
		{"-50.0001", 1}, {"150.0001", 1}, {"-58.0001 °F", 1}, {"302.0001 °F", 1}, {"423.1501 K", 1},
	} {
		var out, errs bytes.Buffer
		if status := Run([]string{"calculate", "time-to-open", "ambient=" + c.value}, nil, &out, &errs); status != c.status {
			t.Errorf("%s: %d\n%s", c.value, status, errs.String())
		}
	}
}

// An option is named by its name or its words, in capitals or not.
func TestCalculateOptions(t *testing.T) {
	for _, text := range []string{"governed-idle", "Governed-Idle", "governed idle", "GOVERNED IDLE"} {
		if got := calculateJSON(t, "idle-speed", "specification="+text).Inputs["specification"]; got.Value != "governed-idle" || got.Text != "governed idle" {
			t.Errorf("%s: %+v", text, got)
		}
	}
}

// What has no value is null, a size of wire has its name beside its number, and
// an input that follows another has its value until it has one of its own.
func TestCalculateNoValue(t *testing.T) {
	r := calculateJSON(t, "time-to-open", "voltage=0", "ambient=30")
	if time := r.Results["time"]; time.Value != nil || *time.Unit != "s" {
		t.Errorf("%+v", time)
	}
	if outcome := r.Results["outcome"]; outcome.Value != "never-opens" || outcome.Text != "It never opens at this voltage and ambient temperature." {
		t.Errorf("%+v", outcome)
	}
	if start := r.Inputs["start"]; start.Value != 30.0 {
		t.Errorf("%+v", start)
	}
	if start := calculateJSON(t, "time-to-open", "ambient=30", "start=10").Inputs["start"]; start.Value != 10.0 {
		t.Errorf("%+v", start)
	}
	if third := calculateJSON(t, "parallel-resistance", "second=").Inputs["second"]; third.Value != nil || *third.Unit != "Ω" {
		t.Errorf("%+v", third)
	}
	// Copper of 58 m/(Ω·mm²), two conductors of 10 m, 130 A and 0.5 V: 2 · 10 · 130 / 58 / 0.5 = 89.7 mm²;
	// 3/0 has 85.03 mm², 4/0 has 107.2 mm² (ASTM B258).
	if gauge := calculateJSON(t, "wire-size", "current=130 A", "length=10 m", "allowed=0.5 V", "construction=solid").Results["gauge"]; gauge.Value != -3.0 || gauge.Text != "4/0" {
		t.Errorf("%+v", gauge)
	}
}

// The README's examples are what the command prints.
func TestCalculateReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	examples := regexp.MustCompile(`(?m)^    benchleaf calculate ([a-z].*=.*)\n((?:\n|    .*\n)+)`).FindAllSubmatch(text, -1)
	if len(examples) == 0 {
		t.Fatal("no example")
	}
	for _, e := range examples {
		args := []string{"calculate"}
		for _, arg := range regexp.MustCompile(`(?:[^ "]|"[^"]*")+`).FindAllString(string(e[1]), -1) {
			args = append(args, strings.ReplaceAll(arg, `"`, ""))
		}
		var out, errs bytes.Buffer
		Run(args, nil, &out, &errs)
		want := strings.ReplaceAll(strings.Trim(string(e[2]), "\n"), "\n    ", "\n")
		if got := strings.TrimRight(out.String(), "\n"); got != strings.TrimPrefix(want, "    ") || errs.Len() > 0 {
			t.Errorf("%q\n%s%s\nREADME\n%s", args, got, errs.String(), want)
		}
	}
}

func TestCalculateList(t *testing.T) {
	status, stdout, stderr := try(t, heat, "calculate", "-in", "content")
	lines := strings.Split(strings.TrimRight(stdout, "\n"), "\n")
	if status != 0 || stderr != "" || len(lines) != len(calc.All())+1 {
		t.Fatalf("%d %q %q", status, stdout, stderr)
	}
	for i, want := range map[int]string{
		0:              "air-density          Density of the air",
		13:             "parallel-resistance  Resistances side by side",
		len(lines) - 1: "choke-power          Power of the choke heater (the handbook's own, en/heat.md)",
	} {
		if lines[i] != want {
			t.Errorf("%q, want %q", lines[i], want)
		}
	}
	var list struct {
		Calculators []struct{ Name, Title, Page string }
	}
	if _, stdout, _ = try(t, heat, "calculate", "-json", "-in", "content"); json.Unmarshal([]byte(stdout), &list) != nil || len(list.Calculators) != len(lines) {
		t.Fatal(stdout)
	}
	if last := list.Calculators[len(lines)-1]; last.Name != "choke-power" || last.Page != "en/heat.md" {
		t.Errorf("%+v", last)
	}
	status, plain, _ := try(t, nil, "calculate")
	if status != 0 || plain != strings.Join(lines[:len(lines)-1], "\n")+"\n" {
		t.Errorf("%d %q", status, plain)
	}
}

// A handbook with errors may have more calculators than are listed; what its
// texts would do to a terminal they do not.
func TestCalculateHostile(t *testing.T) {
	files := maps.Clone(heat)
	files["content/en/heat.md"] = strings.Replace(heatPage, "title: Power of the choke heater", `title: "Power\e[2J\u202e"`, 1)
	files["content/en/nul.md"] = "a\x00\xff"
	files["content/specs/b.yaml"] = strings.Repeat("[", 10_000)
	files["content/en/deep.md"] = "```calculator\nname: deep\ntitle: D\ninputs: {a: {start: 1, range: 0 to 2}}\nresults: {r: {formula: " + strings.Repeat("(", 5_000) + "}}\n```\n"
	status, stdout, stderr := try(t, files, "calculate", "-in", "content")
	if status != 1 || !strings.Contains(stderr, "en/nul.md:1:3: error: ") || !strings.Contains(stderr, "en/deep.md:5:") {
		t.Errorf("%d\n%s\n%s", status, stdout, stderr)
	}
	if !strings.HasSuffix(stdout, "\nchoke-power          Power\uFFFD[2J\uFFFD (the handbook's own, en/heat.md)\n") {
		t.Errorf("%q", stdout)
	}
}

type fullDisk struct{ io.Writer }

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// What a command says is its result: where nobody can have it, the command has not done what it is for.
func TestUnwritten(t *testing.T) {
	if testing.Short() {
		t.Skip("other tests run each command")
	}
	for _, args := range []string{"calculate", "calculate torque", "calculate -json torque angle=0", "version", "help", "help audit", "audit ../../content", "audit -format json ../../content"} {
		var errs bytes.Buffer
		words := strings.Fields(args)
		if status := Run(words, nil, fullDisk{}, &errs); status != 3 || errs.String() != "benchleaf "+words[0]+": no space left\n" {
			t.Errorf("%s: %d %q", args, status, errs.String())
		}
	}
}

// FuzzCalculate looks for arguments that break the command, or that it takes
// without printing JSON.
func FuzzCalculate(f *testing.F) {
	for _, seed := range [][3]string{
		{"voltage-drop", "area=16 AWG", "current=2.4 A"}, {"voltage-drop", "area=4/0", "material=copper"}, {"torque", "angle=90°", "torque=1e3"},
		{"parallel-resistance", "second=", "first=10 omh"}, {"time-to-open", "ambient=68 °F", "start=1.500"}, {"bimetal", "change=-20 ΔK", "flexivity=0,00002"},
	} {
		f.Add(seed[0], seed[1], seed[2], true)
		f.Add(seed[0], seed[1], seed[2], false)
	}
	f.Fuzz(func(t *testing.T, name, one, other string, spanish bool) {
		args := []string{"calculate", "-json"}
		if spanish {
			args = append(args, "-lang", "es")
		}
		for _, arg := range []string{name, one, other} {
			if strings.HasPrefix(arg, "-") {
				return // a flag
			}
			args = append(args, arg)
		}
		var out, errs bytes.Buffer
		switch status := Run(args, nil, &out, &errs); {
		case status == 0 && json.Valid(out.Bytes()) && errs.Len() == 0:
		case status == 1 && out.Len() == 0 && strings.HasSuffix(errs.String(), "; nothing was calculated\n"):
		default:
			t.Fatalf("%q: status %d\n%s\n%s", args, status, out.String(), errs.String())
		}
	})
}
