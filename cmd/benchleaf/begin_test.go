package main

import (
	"bufio"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"benchleaf/render"
)

func TestBegin(t *testing.T) {
	kinds := "handbook, procedure, page, bulletin, specification, translation"
	shows := func(n string) string {
		return n + " written. Fill in what the comments say; benchleaf compile shows what it makes.\n"
	}
	for _, c := range []struct {
		args           string
		status         int
		stdout, stderr string // of the second the first lines
	}{
		{"begin", 2, "", "benchleaf begin: what begins? " + kinds + "\nusage: benchleaf begin [FLAGS] KIND NAME\n"},
		{"begin proceduer x", 2, "", "benchleaf begin: there is no \"proceduer\"; did you mean \"procedure\"?\n"},
		{"begin lamp", 2, "", "benchleaf begin: there is no \"lamp\"; there is " + kinds + "\n"},
		{"begin page", 2, "", "benchleaf begin: it wants the name of the page's file, such as battery\n"},
		{"begin page x -unit V", 2, "", "benchleaf begin: a page has no -unit\n"},
		{"begin page x y", 2, "", "benchleaf begin: \"y\" is one argument too many\n"},
		{"begin page x", 2, "", "benchleaf begin: content: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"begin handbook", 0, "content/handbook.yaml\ncontent/models.yaml\ncontent/parts.yaml\ncontent/en/procedures/does-not-crank.md\n" +
			"content/specs/starting.yaml\ncontent/en/theory/starting.md\n" + shows("6 files"), ""},
		{"audit", 0, "no remarks\n", ""},
		{"begin handbook", 2, "", "benchleaf begin: content/en: it is there already, and nothing is written over\n"},
		{"begin -title Charge procedure no-charge", 0, "content/en/procedures/no-charge.md\n" + shows("1 file"), ""},
		{"begin procedure no-charge", 2, "", "benchleaf begin: content/en/procedures/no-charge.md: it is there already, and nothing is written over\n"},
		{"begin specification Oil", 1, "", "Oil: error: `Oil` is no name [value-text]\n    Write it like heater-coil: lower-case letters, digits and hyphens, a letter first.\n1 error; nothing was written\n"},
		{"begin specification oil -min 1", 1, "", "oil: error: a specification needs `unit` [key-missing]\n    Say it with -unit: unit, as on the meter; \"\" for a plain number.\n1 error; nothing was written\n"},
		{"begin specification oil -unit Vv -min x", 1, "", "-unit: error: `Vv` is no unit [unit-unknown]\n    Did you mean `V`?\n" +
			"-min: error: `x` is no number [value-text]\n    Write it like 2 or 0.50, without its unit.\n2 errors; nothing was written\n"},
		{"begin specification battery-rested -unit V -min 1", 1, "", "battery-rested: error: `battery-rested` stands twice; the first is at specs/starting.yaml:2:1 [id-duplicate]\n"},
		{"begin procedure slow -state crankin", 1, "", "-state: error: there is no engine state `crankin` [reference-unknown]\n    Did you mean `cranking`?\n"},
		{"begin translation content/en/theory/starting.md", 1, "", "en/theory/starting.md: error: a translation needs `language` [key-missing]\n    Add it to `languages` in handbook.yaml first.\n"},
		{"begin handbook my/book", 0, "my/book/handbook.yaml\n", ""},
		// A name that leads over a folder that is not there is of the one that it ends at.
		{"begin handbook none/../my/x/..", 2, "", "benchleaf begin: my/book: it is there already, and nothing is written over\n"},
		{"begin handbook my/book/../../none/..", 2, "", "benchleaf begin: content: it is there already, and nothing is written over\n"},
		{"begin page battery -in my/book", 0, "my/book/en/theory/battery.md\n1 file written. Fill in what the comments say; benchleaf compile my/book shows what it makes.\n", ""},
		{"audit my/book", 0, "no remarks\n", ""},
	} {
		if c.args == "begin" {
			t.Chdir(t.TempDir())
		}
		status, stdout, stderr := said(t, strings.Fields(c.args)...)
		stdout = strings.ReplaceAll(filepath.ToSlash(stdout), "...", "6 files")
		if strings.HasPrefix(c.stdout, "my/book/h") {
			stdout = stdout[:min(len(stdout), len(c.stdout))]
		}
		if status != c.status || stdout != c.stdout || !strings.HasPrefix(filepath.ToSlash(stderr), c.stderr) || c.stderr == "" && stderr != "" {
			t.Errorf("%s: status %d, want %d\n%s%s\nwant\n%s%s", c.args, status, c.status, stdout, stderr, c.stdout, c.stderr)
		}
	}
	name := filepath.Join("content", "en", "procedures", "no-charge.md")
	if text, err := os.ReadFile(name); err != nil || !strings.Contains(string(text), "title: \"Charge\"\n") {
		t.Errorf("%s has not the title that was given: %v", name, err)
	}
}

// TestBeginGuide runs what the guide and the README tell a trainer to type, in order.
func TestBeginGuide(t *testing.T) {
	for file, most := range map[string]int{"docs/writing.md": 5, "README.md": 3} {
		t.Run(file, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join("..", "..", file))
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(t.TempDir())
			ran := 0
			for line := range strings.Lines(string(text)) {
				typed, ok := strings.CutPrefix(line, "    benchleaf ")
				typed, _, _ = strings.Cut(typed, " # ")
				words := strings.Fields(typed)
				if !ok || ran == 0 && !slices.Equal(words, []string{"begin", "handbook"}) || ran == most {
					continue
				}
				if slices.Contains(words, "translation") {
					book, err := os.ReadFile("content/handbook.yaml")
					if err != nil {
						t.Fatal(err)
					}
					with := strings.Replace(string(book), "languages: [en]", "languages: [en, es]\nremarks: {page-untranslated: off}", 1)
					if err := os.WriteFile("content/handbook.yaml", []byte(with), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				if status, _, stderr := said(t, words...); status != statusDone || stderr != "" {
					t.Errorf("%s: %s: status %d\n%s", file, typed, status, stderr)
				}
				ran++
			}
			if status, stdout, _ := said(t, "audit"); ran != most || status != statusDone || stdout != "no remarks\n" {
				t.Errorf("%s: %d commands, then %s", file, ran, stdout)
			}
		})
	}
}

// TestAsk: on a terminal what was not given is asked, wrong answers are told, and
// nothing is asked twice once answers have ended.
func TestAsk(t *testing.T) {
	t.Chdir(t.TempDir())
	if status, _, stderr := said(t, "begin", "handbook"); status != statusDone {
		t.Fatal(stderr)
	}
	for _, c := range []struct{ answers, asks, args, values string }{
		{"specification\noil\n\nVv\nl\n\n0,6\n0.6\n\n\n",
			"What begins: handbook, procedure, page, bulletin, specification, translation: Id of the specification, such as oil-volume: " +
				"Title [Oil]: Unit, as on the meter; \"\" for a plain number: -unit: error: `Vv` is no unit [unit-unknown]\n    Did you mean `V`?\n" +
				"Unit, as on the meter; \"\" for a plain number: Nominal value, if any: Least value, if any: -min: error: `0,6` is no number [value-text]\n" +
				"    Write it like 2 or 0.50, without its unit.\nLeast value, if any: Greatest value, if any: Conditions under which it holds, if any: ",
			"", "title=Oil unit=l nominal= min=0.6 max= conditions="},
		{"It is dead\ncranking\nbattery-rested\n",
			"What the customer observes [Dead]: Engine state in which that shows (stopped, cranking) [stopped]: Specification that it measures (battery-rested), if any: ",
			"procedure dead", "language=en title=Dead symptom=It is dead state=cranking spec=battery-rested"},
		{"x", "What the customer observes [Dead]: Engine state in which that shows (stopped, cranking) [stopped]: Specification that it measures (battery-rested), if any: ",
			"procedure dead", "language=en title=Dead symptom=x state=stopped spec="},
	} {
		var out strings.Builder
		ask := &asker{call: &call{stderr: &out}, in: bufio.NewReader(strings.NewReader(c.answers))}
		kind, name, wrong := whatBegins(strings.Fields(c.args), ask)
		if wrong != "" {
			t.Fatal(wrong)
		}
		b, _, err := render.Begin("content", kind, name, "2026-11-26")
		if err != nil {
			t.Fatal(err)
		}
		given := map[string]string{}
		if c.args != "" {
			given["title"] = "Dead"
		}
		if remarks := fillIn(b, given, ask); len(remarks) > 0 {
			t.Error(remarks)
		}
		var values []string
		for _, f := range kind.Fields {
			values = append(values, f.Key+"="+b.Values[f.Key])
		}
		if got := strings.Join(values, " "); out.String() != c.asks || got != c.values {
			t.Errorf("asked\n%s\nwant\n%s\nvalues %s\nwant   %s", out.String(), c.asks, got, c.values)
		}
	}
}

// TestNoTerminal: what is no terminal is asked nothing, the empty device too.
func TestNoTerminal(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	c := &call{stdin: null, stderr: null}
	if c.asker() != nil || (&call{stdin: strings.NewReader(""), stderr: null}).asker() != nil {
		t.Error("somebody is asked where nobody is")
	}
}
