package language_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
	"benchleaf/render/remark"
)

type action struct {
	Title string        `json:"title"`
	Kind  string        `json:"kind"`
	Edit  workspaceEdit `json:"edit"`
}

// In each golden case of a remark that asks whether something else was meant the fix is there, and with it the remark is not.
func TestQuickFix(t *testing.T) {
	files, err := filepath.Glob("../testdata/remarks/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	fixes := 0
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(archive.Files[len(archive.Files)-1].Data), "Did you mean `") {
			continue
		}
		dir, texts := t.TempDir(), map[string]string{}
		for _, f := range archive.Files {
			texts[f.Name] = string(f.Data)
			write(t, dir, f.Name, string(f.Data))
		}
		was, err := render.Audit(dir)
		if err != nil {
			t.Fatal(err)
		}
		c := start(t, dir)
		for _, r := range was.Remarks {
			if !strings.HasPrefix(r.Mend, "Did you mean `") || strings.Contains(r.Mend, "If this answer leads there") {
				continue
			}
			var list []action
			c.texts[r.Place.File] = texts[r.Place.File]
			here := pos{r.Place.Line - 1, r.Place.Column - 1}
			c.call("textDocument/codeAction", map[string]any{"textDocument": map[string]any{"uri": c.uri(r.Place.File)}, "range": rang{here, here}, "context": map[string]any{"diagnostics": []any{}}}, &list)
			found := false
			for _, a := range list {
				found = found || strings.Contains(r.Mend, strings.TrimPrefix(a.Title, "Write ")) && a.mends(t, c, texts, r)
			}
			if !found {
				t.Errorf("%s: nothing mends %v: %+v", filepath.Base(file), r, list)
			}
			fixes++
		}
		c.end()
	}
	if t.Logf("%d fixes", fixes); fixes < 20 {
		t.Errorf("%d fixes", fixes)
	}
}

// mends tells whether a remark is gone once the action is done.
func (a action) mends(t *testing.T, c *client, texts map[string]string, r remark.Remark) bool {
	t.Helper()
	dir, after := t.TempDir(), map[string]string{}
	for name, text := range texts {
		after[name] = text
	}
	for name, text := range c.applied(a.Edit, after) {
		write(t, dir, name, text)
	}
	is, err := render.Audit(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, other := range is.Remarks {
		if other.ID == r.ID && other.Place.File == r.Place.File && other.Place.Line == r.Place.Line && other.Message == r.Message {
			return false
		}
	}
	return a.Kind == "quickfix"
}

// A fix is for what is wrong where the question points, and only where a mend leaves nothing to decide.
func TestCodeActions(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md")
	c.replace("en/notes.md", "<spec:heater-ohms>", "𝛀 é <spec:heater-ohm> <spec:nobody>")
	ask := func(behind string) (titles []string) {
		p := c.at("en/notes.md", behind)
		var list []action
		c.call("textDocument/codeAction", map[string]any{"textDocument": p["textDocument"], "range": rang{p["position"].(pos), p["position"].(pos)}}, &list)
		for _, a := range list {
			titles = append(titles, a.Title)
			if text := c.applied(a.Edit, map[string]string{"en/notes.md": c.texts["en/notes.md"]})["en/notes.md"]; !strings.Contains(text, "𝛀 é <spec:heater-ohms> <spec:nobody>") {
				t.Errorf("%s", text)
			}
		}
		return titles
	}
	if got := ask("<spec:heater-o"); strings.Join(got, "|") != "Write heater-ohms" {
		t.Errorf("%q", got)
	}
	for _, behind := range []string{"<spec:nobo", "See [how"} {
		if got := ask(behind); got != nil {
			t.Errorf("behind %q: %q", behind, got)
		}
	}
	c.end()
}

// What a specification has is named in the place of the figure, in a text alone; what nothing needs to be allowed is taken out.
func TestFixesOfTextAndComments(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "handbook.yaml", "title: Test\npublisher: Nobody\nedition: \"1\"\nlanguages: [en]\n")
	c := start(t, dir)
	c.open("specs/gap.yaml", "gap:\n  title: Gap\n  unit: mm\n  conditions: Cold\n  nominal: 0.85\n  history:\n    - {until: 2026-05-01, nominal: 0.75}\n# allow limit-vague: nobody knows\nother: {title: Other, unit: mm, conditions: Cold, nominal: 3}\n")
	const page = "---\nsheet: reference\ntitle: Plugs\n---\n\n<!-- allow raw-html: nobody knows -->\nIt is <spec:gap>, not 0.75 mm, or 0.85 mm.\n\n" +
		"```calculator\nname: twice\ntitle: Twice\nabout: Twice.\ninputs:\n  wide: {label: Gap, unit: mm, range: 0 to 2, start: 0.75 mm}\nresults:\n  double: {label: Twice, unit: mm, formula: wide + wide, digits: 2}\nsource: [By hand]\nexamples:\n  - given: {wide: 0.4 mm}\n    gives: {double: 0.8 mm}\n```\n"
	c.open("en/gap.md", page)
	c.remarks("en/gap.md")
	ask := func(name, behind string) (titles, text string) {
		p := c.at(name, behind)
		var list []action
		c.call("textDocument/codeAction", map[string]any{"textDocument": p["textDocument"], "range": rang{p["position"].(pos), p["position"].(pos)}}, &list)
		for _, a := range list {
			titles += a.Title
			text = c.applied(a.Edit, map[string]string{name: c.texts[name]})[name]
		}
		return titles, text
	}
	for _, x := range []struct{ name, behind, title, text string }{
		{"en/gap.md", "not 0.75", "Write <spec:gap>", "not <spec:gap>, or 0.85 mm."},
		{"en/gap.md", "or 0.85", "Write <spec:gap>", "0.75 mm, or <spec:gap>."},
		{"en/gap.md", "<!-- allow", "Take it out", "---\n\nIt is <spec:gap>, not 0.75"},
		{"en/gap.md", "start: 0.75", "", ""},
		{"specs/gap.yaml", "# allow", "Take it out", "nominal: 0.75}\nother:"},
	} {
		if title, text := ask(x.name, x.behind); title != x.title || !strings.Contains(text, x.text) {
			t.Errorf("behind %q: %q\n%s", x.behind, title, text)
		}
	}
	c.end()
}

// A block of a translation that somebody looked at is recorded by a quick fix at the block, the other blocks of its section
// stay as they are recorded; in the same way a title.
func TestRecordOfStaleBlock(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/gap.md", "# Gap\n\nSee the list.\n\n- It drags.\n")
	const plain = "---\ntitle: Abertura\ntranslated:\n  _title: bbbbbb\n  gap: cccccc dddddd ffffff\n---\n\n# Abertura <id:gap>\n\nVea la lista.\n\n- Roza.\n"
	quoted := strings.Replace(plain, "cccccc dddddd ffffff", `"cccccc  dddddd ffffff"`, 1)
	c.open("es/gap.md", plain)
	for _, e := range []struct{ page, behind, was, is string }{
		{plain, "Vea la", "cccccc dddddd ffffff", `cccccc [a-z]{6} ffffff`}, {plain, "- Roza", "cccccc dddddd ffffff", `cccccc dddddd [a-z]{6}`},
		{quoted, "Vea la", "cccccc  dddddd ffffff", `cccccc  [a-z]{6} ffffff`}, {quoted, "- Roza", "cccccc  dddddd ffffff", `cccccc  dddddd [a-z]{6}`},
	} {
		page := e.page
		c.replace("es/gap.md", c.texts["es/gap.md"], page)
		c.remarks("es/gap.md")
		p := c.at("es/gap.md", e.behind)
		var list []action
		c.call("textDocument/codeAction", map[string]any{"textDocument": p["textDocument"], "range": rang{p["position"].(pos), p["position"].(pos)}}, &list)
		if len(list) != 1 || list[0].Title != "Record it as the translation of what the source says now" {
			t.Fatalf("%s: %v", e.behind, list)
		}
		before, after, _ := strings.Cut(page, e.was)
		text := c.applied(list[0].Edit, map[string]string{"es/gap.md": page})["es/gap.md"]
		if !regexp.MustCompile("^" + regexp.QuoteMeta(before) + e.is + regexp.QuoteMeta(after) + "$").MatchString(text) {
			t.Errorf("%s: it is\n%s", e.behind, text)
		}
		c.replace("es/gap.md", c.texts["es/gap.md"], text)
		for _, d := range c.remarks("es/gap.md") {
			if d.Range.Start.Line == p["position"].(pos).Line {
				t.Errorf("%s: there is still %s", e.behind, d.Code)
			}
		}
	}
	c.end()
}
