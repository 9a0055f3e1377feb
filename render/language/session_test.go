package language_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
)

// trial is a small handbook in two languages. Its figures are examples.
const trial = `
-- handbook.yaml --
title: Trial
publisher: Trial
edition: "1"
languages: [en, es]
states:
  stopped: {title: Stopped}
  warming: {title: Warming up}
settings:
  fuse-out: {title: Fuse out, restore: Put it back.}
hazards:
  hot: {title: Hot parts}
-- models.yaml --
k210: {title: K210}
k340: {title: K340}
-- parts.yaml --
heater-coil: {title: Heater coil}
-- specs/heater.yaml --
heater-ohms:
  title: {en: Resistance of the heater, es: Resistencia del calefactor}
  unit: Ω
  conditions: 20 °C
  source: Example figure
  min: 4.0
  max: 6.0
  models:
    k340: {nominal: 8.2, tolerance: 0.4}
feed: {title: Feed, unit: V, min: 11.5}
-- en/index.md --
# Start
-- es/index.md --
# Inicio
-- en/choke.md --
---
sheet: procedure
title: The choke stays shut
symptom: The choke stays shut
states: [warming]
causes:
  fuse: {title: Fuse burnt, restores: [fuse-out], remedy: "Fit one, see <spec:feed>."}
  coil: {title: Coil open, part: heater-coil, restores: [fuse-out]}
ends:
  hand-over: {restores: [fuse-out]}
  not-reproduced: {log: [Air temperature], again: In the cold}
---

## Watch the lever <id:lever>

` + "```answers\n- [It stays shut](#fuse)\n- [It opens](end:not-reproduced)\n```" + `

## Pull the fuse <id:fuse>

` + "```step\nstate: stopped\nsets: [fuse-out]\n```\n\n```answers\n- [Burnt](cause:fuse)\n- [Whole](#coil)\n```" + `

## Measure the coil <id:coil>

` + "```step\nneeds: [fuse]\nrequires: [fuse-out]\n```" + `

𝛀 is read: <spec:heater-ohms>, and the [feed](spec:feed) too; ` + "`<spec:heater-ohms>`" + ` is no reference.

` + "```reading\nmeasure: Resistance\nspec: heater-ohms\nmeter: Ohms\nred: X3 pin 1\nblack: X3 pin 2\nlow: cause:coil\nwithin: end:hand-over\nhigh: cause:coil\n```" + `

## Start it cold again <id:proof>

` + "```step\nstate: warming\nverification: yes\nforbids: [fuse-out]\n```\n\n```answers\n- [It opens](end:repaired)\n- [It stays shut](#fuse)\n```" + `
-- es/choke.md --
---
sheet: procedure
title: El estrangulador queda cerrado
symptom: El estrangulador queda cerrado
states: [warming]
causes:
  fuse: {title: Fusible quemado, restores: [fuse-out]}
---

## La palanca <id:lever>

` + "```answers\n- [Cerrada](#fuse)\n- [Abre](end:not-reproduced)\n```" + `

## El fusible <id:fuse>

` + "```step\nstate: stopped\nsets: [fuse-out]\n```\n\n```answers\n- [Quemado](cause:fuse)\n- [Entero](end:hand-over)\n```" + `
-- en/notes.md --
# Notes

See [how it is measured](choke.md#coil) and <spec:heater-ohms>, of the <part:heater-coil>.

## Without a name

[Above](#without-a-name).

` + "```yaml\nspec: heater-ohms # a listing\n```" + `
`

// folder writes the trial handbook.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, f := range txtar.Parse([]byte(trial)).Files {
		write(t, dir, f.Name, string(f.Data))
	}
	return dir
}

func write(t testing.TB, dir, name, text string) {
	t.Helper()
	file := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// What is typed is judged before it is saved, and what is mended is told to be.
func TestDiagnostics(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md")
	if got := c.remarks("en/notes.md"); hasCode(got, "reference-unknown") {
		t.Fatalf("%v", got)
	}
	c.replace("en/notes.md", "<spec:heater-ohms>", "<spec:heater-ohm>")
	got := c.remarks("en/notes.md")
	i := indexCode(got, "reference-unknown")
	if i < 0 || got[i].Severity != 1 || !strings.Contains(got[i].Message, "Did you mean `heater-ohms`?") {
		t.Fatalf("%v", got)
	}
	if at := c.pos("en/notes.md", strings.Index(c.texts["en/notes.md"], "<spec:heater-ohm>")); got[i].Range.Start != at && got[i].Range.Start != (pos{at.Line, at.Character + 1}) {
		t.Errorf("at %v, want %v", got[i].Range, at)
	}
	c.replace("en/notes.md", "<spec:heater-ohm>", "<spec:heater-ohms>")
	if got := c.remarks("en/notes.md"); hasCode(got, "reference-unknown") {
		t.Errorf("mended, and still %v", got)
	}
	// Another file that is not saved defines what this one names.
	c.replace("en/notes.md", "<spec:heater-ohms>", "<spec:fresh>")
	if got := c.remarks("en/notes.md"); !hasCode(got, "reference-unknown") {
		t.Errorf("%v", got)
	}
	c.open("specs/fresh.yaml", "fresh: {title: Fresh, unit: V, min: 1}\n")
	for hasCode(c.remarks("en/notes.md"), "reference-unknown") {
	}
	// Closed unsaved, it is not there.
	c.notify("textDocument/didClose", map[string]any{"textDocument": map[string]any{"uri": c.uri("specs/fresh.yaml")}})
	for !hasCode(c.remarks("en/notes.md"), "reference-unknown") {
	}
	// A file that another program writes counts once the client tells of it.
	write(t, c.dir, "specs/fresh.yaml", "fresh: {title: Fresh, unit: V, min: 1}\n")
	c.notify("workspace/didChangeWatchedFiles", map[string]any{"changes": []any{}})
	for hasCode(c.remarks("en/notes.md"), "reference-unknown") {
	}
	c.end()
}

func indexCode(list []diagnostic, code string) int {
	for i, d := range list {
		if d.Code == code {
			return i
		}
	}
	return -1
}

func hasCode(list []diagnostic, code string) bool { return indexCode(list, code) >= 0 }

func TestCompletion(t *testing.T) {
	c := start(t, folder(t))
	for _, e := range []struct{ name, old, typed, want string }{
		{"en/notes.md", "<spec:heater-ohms>", "<spec:", "feed heater-ohms"},
		{"en/notes.md", "<spec:heater-ohms>", "<spec:hea", "feed heater-ohms"},
		{"en/notes.md", "<part:heater-coil>", "[it](part:", "heater-coil"},
		{"en/notes.md", "(choke.md#coil)", "(choke.md#", "coil fuse lever proof"},
		{"en/notes.md", "[Above](#without-a-name)", "[Above](#", "notes without-a-name"},
		{"en/choke.md", "spec: heater-ohms", "spec: ", "feed heater-ohms"},
		{"en/choke.md", "spec: heater-ohms", "spec:", "feed heater-ohms"},
		{"en/choke.md", "needs: [fuse]", "needs: [", "coil fuse lever proof"},
		{"en/choke.md", "needs: [fuse]", "needs: [fuse, ", "coil fuse lever proof"},
		{"en/choke.md", "needs: [fuse]", "needs:\n  - ", "coil fuse lever proof"},
		{"en/choke.md", "needs: [fuse]", "detects: {", "coil fuse"},
		{"en/choke.md", "requires: [fuse-out]", "requires: ", "fuse-out"},
		{"en/choke.md", "state: warming", "state: ", "stopped warming"},
		{"en/choke.md", "part: heater-coil", "part: ", "heater-coil"},
		{"en/choke.md", "(cause:fuse)", "(cause:", "coil fuse"},
		{"en/choke.md", "(end:repaired)", "(end:", "hand-over not-reproduced repaired"},
		{"en/choke.md", "within: end:hand-over", "within: ", "#coil #fuse #lever #proof cause:coil cause:fuse end:hand-over end:not-reproduced end:repaired index.md notes.md"},
		{"en/choke.md", "states: [warming]\ncauses", "hazards: [", "hot"},
		{"en/choke.md", "states: [warming]\ncauses", "applicability: [k210, ", "k210 k340"},
		{"specs/heater.yaml", "    k340", "    k", "k210 k340"},
		{"models.yaml", "k340", "k3", ""}, // a new name is the author's
	} {
		c.open(e.name)
		c.replace(e.name, e.old, e.typed+"‸")
		text := c.texts[e.name]
		c.replace(e.name, e.typed+"‸", e.typed)
		behind := text[:strings.Index(text, "‸")]
		if got := c.labels(e.name, behind); got != e.want {
			t.Errorf("%s: behind %q stand %q, want %q", e.name, e.typed, got, e.want)
		}
	}
	// What is chosen goes in the place of what was typed, with quotes where YAML wants them.
	c.open("en/choke.md")
	c.replace("en/choke.md", "within: end:hand-over", "within: co")
	var list []item
	c.call("textDocument/completion", c.at("en/choke.md", "within: co"), &list)
	end := c.pos("en/choke.md", strings.Index(c.texts["en/choke.md"], "within: co")+len("within: co"))
	if len(list) == 0 || list[0].TextEdit.NewText != `"#coil"` || list[0].TextEdit.Range != (rang{pos{end.Line, end.Character - 2}, end}) || list[0].Detail != "Measure the coil" {
		t.Errorf("%+v", list)
	}
	c.end()
}

func TestCompletionOfCalculators(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md", "# Notes\n\n```calculator voltage-drop\n```\n\n```plot \n```\n\n<calculator:>\n")
	if got := c.labels("en/notes.md", "```plot "); got != "voltage-drop" {
		t.Errorf("a plot is of %q", got)
	}
	if got := c.labels("en/notes.md", "<calculator:"); got != "voltage-drop" {
		t.Errorf("a reference leads to %q", got)
	}
	if got := c.labels("en/notes.md", "```calculator volt"); !strings.Contains(got, "voltage-drop") || !strings.Contains(got, "bimetal") {
		t.Errorf("the calculators are %q", got)
	}
	c.end()
}

// A specification shows what it must be for each model. 8.2 with a tolerance of 0.4 is 7.8 to 8.6.
func TestHover(t *testing.T) {
	for _, encoding := range []string{"utf-16", "utf-8"} {
		c := start(t, folder(t), "utf-32", encoding)
		if c.encoding != encoding {
			t.Errorf("the server counts in %s", c.encoding)
		}
		c.open("en/choke.md")
		var h hovered
		c.call("textDocument/hover", c.at("en/choke.md", "𝛀 is read: <spec:hea"), &h)
		want := "**Resistance of the heater** `heater-ohms`\n\n- K210: 4.0 to 6.0 Ω\n- K340: 8.2 Ω, 7.8 to 8.6 Ω\n\nConditions: 20 °C\n\nSource: Example figure\n"
		if h.Contents.Value != want {
			t.Errorf("%q", h.Contents.Value)
		}
		// 𝛀 is one character of two code units, and of four bytes.
		first := map[string]int{"utf-16": 18, "utf-8": 20}[encoding]
		if h.Range.Start.Character != first || h.Range.End.Character != first+len("heater-ohms") {
			t.Errorf("%s: %v", encoding, h.Range)
		}
		for behind, want := range map[string]string{
			"spec: heater-o": "- K210: 4.0 to 6.0 Ω", "part: heater": "part `heater-coil`: Heater coil", "needs: [fu": "step `fuse`: Pull the fuse",
			"(cause:fu": "cause `fuse`: Fuse burnt", "requires: [fuse": "setting `fuse-out`: Fuse out",
		} {
			var h hovered
			if c.call("textDocument/hover", c.at("en/choke.md", behind), &h); !strings.Contains(h.Contents.Value, want) {
				t.Errorf("behind %q: %q, want %q", behind, h.Contents.Value, want)
			}
		}
		var nothing *hovered
		if c.call("textDocument/hover", c.at("en/choke.md", "`<spec:heater"), &nothing); nothing != nil {
			t.Errorf("code is no reference: %v", nothing)
		}
		c.end()
	}
}

func TestDefinition(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/choke.md")
	c.open("es/choke.md")
	c.open("en/notes.md")
	texts := map[string]string{}
	for _, f := range txtar.Parse([]byte(trial)).Files {
		texts[f.Name] = string(f.Data)
	}
	for _, e := range []struct{ name, behind, file, before string }{
		{"en/notes.md", "<spec:heat", "specs/heater.yaml", ""},
		{"en/notes.md", "choke.md#co", "en/choke.md", "## Measure the coil <id:"},
		{"en/notes.md", "](#without", "en/notes.md", "## "},
		{"en/choke.md", "part: heat", "parts.yaml", ""},
		{"en/choke.md", "requires: [fu", "handbook.yaml", "settings:\n  "},
		{"en/choke.md", "(cause:fu", "en/choke.md", "causes:\n  "},
		{"es/choke.md", "(cause:fu", "es/choke.md", "causes:\n  "},
		{"es/choke.md", "(#fu", "es/choke.md", "## El fusible <id:"},
	} {
		var list []location
		c.call("textDocument/definition", c.at(e.name, e.behind), &list)
		c.texts[e.file] = texts[e.file]
		want := c.pos(e.file, strings.Index(texts[e.file], e.before)+len(e.before))
		if len(list) != 1 || list[0].URI != c.uri(e.file) || list[0].Range.Start != want {
			t.Errorf("%s, behind %q: %v, want %s %v", e.name, e.behind, list, e.file, want)
		}
	}
	c.end()
}

// A name is changed wherever it stands, saved or not, in all languages, and nowhere else.
func TestRename(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/choke.md")
	c.open("en/notes.md")
	c.replace("en/notes.md", "of the <part", "of <spec:heater-ohms>, the <part")
	disk := map[string]string{}
	for _, f := range txtar.Parse([]byte(trial)).Files {
		disk[f.Name] = string(f.Data)
	}
	disk["en/notes.md"] = c.texts["en/notes.md"]
	for _, e := range []struct {
		name, behind, to string
		count            map[string]int // of edits by file
	}{
		{"en/choke.md", "spec: heater-o", "coil-ohms", map[string]int{"specs/heater.yaml": 1, "en/choke.md": 2, "en/notes.md": 2}},
		{"en/notes.md", "choke.md#co", "measure", map[string]int{"en/choke.md": 2, "en/notes.md": 1}},
		{"en/choke.md", "needs: [fu", "pull", map[string]int{"en/choke.md": 4, "es/choke.md": 2}},
		{"en/choke.md", "(cause:fu", "burnt", map[string]int{"en/choke.md": 2, "es/choke.md": 2}},
		{"en/choke.md", "sets: [fu", "f2-out", map[string]int{"handbook.yaml": 1, "en/choke.md": 6, "es/choke.md": 2}},
	} {
		var e2 workspaceEdit
		c.call("textDocument/rename", c.at(e.name, e.behind, e.to), &e2)
		files := 0
		for _, d := range e2.DocumentChanges {
			files++
			for name, count := range e.count {
				if d.TextDocument.URI == c.uri(name) && len(d.Edits) != count {
					t.Errorf("%s: %d edits in %s, want %d", e.to, len(d.Edits), name, count)
				}
				if d.TextDocument.URI == c.uri(name) && (d.TextDocument.Version == nil) != (c.versions[name] == 0) {
					t.Errorf("%s: the version of %s", e.to, name)
				}
			}
		}
		if files != len(e.count) {
			t.Errorf("%s: edits in %d files, want %v: %+v", e.to, files, e.count, e2)
		}
		// With the edits the handbook has the remarks that it had.
		texts := map[string]string{}
		for name, text := range disk {
			texts[name] = text
		}
		before, after := t.TempDir(), t.TempDir()
		for name, text := range texts {
			write(t, before, name, text)
		}
		for name, text := range c.applied(e2, texts) {
			write(t, after, name, text)
		}
		was, err := render.Audit(before)
		if err != nil {
			t.Fatal(err)
		}
		is, err := render.Audit(after)
		if err != nil || len(is.Remarks) != len(was.Remarks) {
			t.Errorf("%s: %v; %v, was %v", e.to, err, is.Remarks, was.Remarks)
		}
	}
	for _, e := range []struct{ name, behind, to, want string }{
		{"en/choke.md", "spec: heater-o", "feed", "Another specification is called `feed` already, in specs/heater.yaml, line 10."},
		{"en/choke.md", "needs: [fu", "lever", "Another step is called `lever` already, in en/choke.md, line 14."},
		{"en/choke.md", "spec: heater-o", "Heater Ohms", "`Heater Ohms` is no name: lower-case letters, digits and hyphens, a letter first."},
		{"en/choke.md", "spec: heater-o", "", "`` is no name: lower-case letters, digits and hyphens, a letter first."},
		{"en/choke.md", "needs: [fu", "cause-x", "With this name the handbook would have a mistake: "},
		{"en/notes.md", "](#without", "named", "The step has no name of its own, only its words: write `<id:without-a-name>` behind them first."},
		{"en/notes.md", "# No", "named", "The step has no name of its own"},
		{"en/notes.md", "See [how", "x", "Nothing is named here that could have another name."},
		{"en/notes.md", "spec: heater-ohms # a", "x", "Nothing is named here that could have another name."},
	} {
		if _, why := c.refused("textDocument/rename", c.at(e.name, e.behind, e.to)); !strings.HasPrefix(why, e.want) {
			t.Errorf("%q to %q: %s, want %s", e.behind, e.to, why, e.want)
		}
	}
	var ready struct {
		Range       rang   `json:"range"`
		Placeholder string `json:"placeholder"`
	}
	c.call("textDocument/prepareRename", c.at("en/choke.md", "spec: heater-o"), &ready)
	if ready.Placeholder != "heater-ohms" || ready.Range.End.Character-ready.Range.Start.Character != len("heater-ohms") {
		t.Errorf("%+v", ready)
	}
	c.end()
}
