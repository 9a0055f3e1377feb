package handbook

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"benchleaf/render/source"
)

// resolved resolves the page of a handbook that has no other.
func resolved(t *testing.T, text string) *Page {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\n", "en/a.md": text} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tree, remarks, err := source.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = tree.Close() })
	book, more := Resolve(tree)
	for _, r := range append(remarks, more...) {
		if r.Severity.String() == "error" {
			t.Fatal(r)
		}
	}
	return book.Pages[0]
}

func TestReached(t *testing.T) {
	for formula, times := range map[string]map[float64]float64{ // by the value; NaN: never
		"time / rate":                            {0: 0, 24: 24, 24.5: 24.5, 96: 96, 97: math.NaN(), -1: math.NaN()},
		"start - time / rate":                    {100: 0, 99: 1, 4: 96, 3: math.NaN(), 101: math.NaN()},
		"max(start - time / rate, 60)":           {60: 40, 80: 20, 59: math.NaN()},
		"choose(time < turn, 0, start)":          {100: 30, 50: 30, 0: 0},          // a leap is found where it is
		"choose(time < turn, time / rate, 60)":   {45: 30, 15: 15, 61: math.NaN()}, // of two ways past a value the first
		"start * (1 - time / (time + turn))":     {50: 30, 75: 10, 25: 90},         // 100 · 30/(t + 30)
		"(time / rate) * (time / rate) - 2 * 50": {0: 10, -36: 8, 2300: math.Sqrt(2400)},
	} {
		constants := ""
		for _, c := range []string{"rate: 1 s", "turn: 30 s", "start: 100"} {
			if name, _, _ := strings.Cut(c, ":"); strings.Contains(formula, name) {
				constants += "  " + c + "\n"
			}
		}
		page := resolved(t, "# A\n\n```calculator\nname: curve\ntitle: Curve\ninputs:\n  time: {unit: s, start: 0, range: 0 to 96}\n"+
			"constants:\n"+constants+"results:\n  y: {formula: \""+formula+"\"}\n```\n\n```plot curve\nover: time\nshow: y\n```\n")
		var plot *Plot
		for _, b := range page.Blocks {
			if p, ok := b.(*Plot); ok {
				plot = p
			}
		}
		for value, want := range times {
			got, ok := page.Reached(plot, value)
			if ok == math.IsNaN(want) || ok && math.Abs(got-want) > 1e-8 {
				t.Errorf("%s comes to %v at %v (%v), want %v", formula, value, got, ok, want)
			}
		}
	}
}

// The guide's timing block holds together with the calculator that it names.
func TestTimingOfTheGuide(t *testing.T) {
	guide, err := os.ReadFile("../../docs/writing.md")
	if err != nil {
		t.Fatal(err)
	}
	block := regexp.MustCompile("(?ms)^    ```timing.*?^    ```$").Find(guide)
	if block == nil {
		t.Fatal("there is none")
	}
	text := "---\nsheet: procedure\ntitle: A\nsymptom: B\ncauses:\n  coil-too-strong: {title: C}\n  stuck-link: {title: D}\n---\n\n## Time it\n\n" +
		string(regexp.MustCompile("(?m)^    ").ReplaceAll(block, nil)) + "\n\n" +
		"```calculator\nname: choke-travel\ntitle: Travel\ninputs:\n  time: {unit: s, start: 0, range: 0 to 300}\nconstants:\n  full: 90 s\n" +
		"results:\n  opening: {unit: \"%\", formula: time / full}\n```\n\n## Feed <id:feed>\n\n```answers\n- [Weak](end:hand-over)\n```\n"
	page := resolved(t, text)
	timing := page.Procedure.Steps[0].Reading.Timing
	// A third of 90 s, and all of it.
	for i, want := range []float64{0.33 * 90, 90} {
		if got, ok := page.Reached(timing.Curve, timing.Marks[i].At); !ok || math.Abs(got-want) > 1e-6 {
			t.Errorf("%s is expected at %v s, want %v", timing.Marks[i].ID, got, want)
		}
	}
	if timing.Tolerance != 0.5 || timing.Last().ID != "open" {
		t.Errorf("%+v", timing)
	}
}
