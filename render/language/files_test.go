package language_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// latest keeps what was told last of each file until a question that needs the handbook as it is has its answer.
func (c *client) latest(told map[string][]diagnostic) {
	c.t.Helper()
	c.call("textDocument/codeAction", map[string]any{"textDocument": map[string]any{"uri": c.uri("models.yaml")}}, nil)
	for {
		select {
		case p := <-c.came:
			told[strings.TrimPrefix(p.URI, c.uri("")+"/")] = p.Diagnostics
		default:
			return
		}
	}
}

// What a slip in one file breaks in others is told there, also where they are not open, and taken back once it is mended.
func TestDiagnosticsOfOtherFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("the whole demo takes seconds; the other tests have the same server")
	}
	dir, err := filepath.Abs(demo)
	if err != nil {
		t.Fatal(err)
	}
	c := start(t, dir)
	c.open("models.yaml")
	c.remarks("models.yaml")
	want := map[string]bool{} // pages that name the model
	for name, text := range texts(t, dir) {
		if strings.HasPrefix(name, "en/") && strings.Contains(strings.SplitN(text, "---", 3)[1:][0], "damson-175") {
			want[name] = true
		}
	}
	c.replace("models.yaml", "\ndamson-175:", "\nplum-175:")
	told := map[string][]diagnostic{}
	c.latest(told)
	for name := range want {
		if !hasCode(told[name], "reference-unknown") {
			t.Errorf("nothing is told of %s: %v", name, told[name])
		}
	}
	if len(want) < 3 {
		t.Errorf("%v", want)
	}
	c.replace("models.yaml", "\nplum-175:", "\ndamson-175:")
	c.latest(told)
	for name, list := range told {
		if len(list) > 0 {
			t.Errorf("mended, and still told of %s: %v", name, list)
		}
	}
	c.end()
}

// Positions count code units of UTF-16: an emoji two, a letter and the accent that combines with it one each. Lines end as the text
// has it.
func TestPositions(t *testing.T) {
	for _, end := range []string{"\n", "\r\n"} {
		c := start(t, folder(t))
		c.open("en/notes.md", strings.ReplaceAll("# Notes\n\n🔧🔩 e\u0301 𝛀: <spec:heater-ohm> and <spec:heater-ohms>\n\n```plot \n```\n", "\n", end))
		got := c.remarks("en/notes.md")
		i := indexCode(got, "reference-unknown")
		// 🔧🔩 are 4 units, with the blank 5, e and the accent 7, the blank 8, 𝛀 10, the colon and the blank 12, <spec: 18.
		if i < 0 || got[i].Range.Start.Line != 2 || got[i].Range.Start.Character != 12 && got[i].Range.Start.Character != 18 {
			t.Errorf("%q: %v", end, got)
		}
		var list []location
		if c.call("textDocument/definition", c.at("en/notes.md", "and <spec:heat"), &list); len(list) != 1 {
			t.Errorf("%q: %v", end, list)
		}
		var e workspaceEdit
		c.call("textDocument/rename", c.at("en/notes.md", "and <spec:heat", "warm"), &e)
		for _, d := range e.DocumentChanges {
			if d.TextDocument.URI != c.uri("en/notes.md") {
				continue
			}
			// <spec:heater-ohm> is 17 units from 12 on, " and " 5, <spec: 6
			if len(d.Edits) != 1 || d.Edits[0].Range != (rang{pos{2, 40}, pos{2, 51}}) {
				t.Errorf("%q: %v", end, d.Edits)
			}
		}
		if got := c.labels("en/notes.md", "and <spec:heat"); got != "feed heater-ohms" {
			t.Errorf("%q: %s", end, got)
		}
		c.replace("en/notes.md", "🔧🔩 ", "")
		if got := c.remarks("en/notes.md"); !hasCode(got, "reference-unknown") || got[indexCode(got, "reference-unknown")].Range.Start.Character > 13 {
			t.Errorf("%q: %v", end, got)
		}
		c.end()
	}
}

// Data files whose lines end with CRLF are understood and renamed in.
func TestWindowsFiles(t *testing.T) {
	dir := folder(t)
	for name, text := range texts(t, dir) {
		write(t, dir, name, strings.ReplaceAll(text, "\n", "\r\n"))
	}
	c := start(t, dir)
	c.open("en/choke.md")
	if got := c.remarks("en/choke.md"); len(got) > 0 && got[0].Severity == 1 {
		t.Errorf("%v", got)
	}
	if got := c.labels("en/choke.md", "requires: [fu"); got != "fuse-out" {
		t.Errorf("%q", got)
	}
	if got := c.labels("en/choke.md", "sheet: pro"); got != "bulletin procedure reference theory" {
		t.Errorf("%q", got)
	}
	var e workspaceEdit
	c.call("textDocument/rename", c.at("en/choke.md", "spec: heater-o", "warm"), &e)
	after := c.applied(e, texts(t, dir))
	if !strings.Contains(after["specs/heater.yaml"], "warm:\r\n") || !strings.Contains(after["en/choke.md"], "spec: warm\r\n") {
		t.Errorf("%q", after)
	}
	c.end()
}

// What goes, comes or is renamed outside of the editor is judged as it is then, be it a file, a folder or all of it.
func TestFilesComeAndGo(t *testing.T) {
	c := start(t, folder(t))
	write(t, c.dir, "specs/other.yaml", "other: {title: Other, unit: V, min: 1}\n")
	told := map[string][]diagnostic{}
	changed := func() {
		c.notify("workspace/didChangeWatchedFiles", map[string]any{"changes": []any{map[string]any{"uri": c.uri("x"), "type": 3}}})
	}
	c.open("en/notes.md")
	c.latest(told)
	if hasCode(told["en/notes.md"], "reference-unknown") {
		t.Fatal(told)
	}
	rename := func(from, to string) {
		if err := os.Rename(filepath.Join(c.dir, from), filepath.Join(c.dir, to)); err != nil {
			t.Fatal(err)
		}
		changed()
		c.latest(told)
	}
	rename("specs/heater.yaml", "heater.yaml")
	if !hasCode(told["en/notes.md"], "reference-unknown") || !hasCode(told["heater.yaml"], "file-unknown") {
		t.Errorf("%v", told)
	}
	rename("heater.yaml", "specs/heat.yaml")
	if hasCode(told["en/notes.md"], "reference-unknown") || len(told["heater.yaml"]) > 0 {
		t.Errorf("%v", told)
	}
	var list []location
	if c.call("textDocument/definition", c.at("en/notes.md", "<spec:heater"), &list); len(list) != 1 || list[0].URI != c.uri("specs/heat.yaml") {
		t.Errorf("%v", list)
	}
	// A page that is open goes: its text counts until it is closed.
	if err := os.Remove(filepath.Join(c.dir, "en/notes.md")); err != nil {
		t.Fatal(err)
	}
	changed()
	c.replace("en/notes.md", "<spec:heater-ohms>", "<spec:nobody>")
	if c.latest(told); !hasCode(told["en/notes.md"], "reference-unknown") {
		t.Errorf("%v", told)
	}
	c.notify("textDocument/didClose", map[string]any{"textDocument": map[string]any{"uri": c.uri("en/notes.md")}})
	if c.latest(told); len(told["en/notes.md"]) > 0 {
		t.Errorf("%v", told)
	}
	// All of it goes, and comes again.
	if err := os.Rename(c.dir, c.dir+"-gone"); err != nil {
		t.Fatal(err)
	}
	changed()
	if m := <-c.messages; !strings.Contains(m, "benchleaf: ") {
		t.Error(m)
	}
	if _, why := c.refused("textDocument/codeAction", map[string]any{"textDocument": map[string]any{"uri": c.uri("models.yaml")}}); why == "" {
		t.Error("a handbook that is gone has answers")
	}
	if err := os.Rename(c.dir+"-gone", c.dir); err != nil {
		t.Fatal(err)
	}
	changed()
	c.open("en/choke.md")
	if got := c.remarks("en/choke.md"); hasCode(got, "reference-unknown") {
		t.Errorf("%v", got)
	}
	c.end()
}

// A handbook that is not there when the session begins is helped with once it comes, what is open already with it.
func TestHandbookComes(t *testing.T) {
	dir := folder(t)
	from, to := filepath.Join(dir, "handbook.yaml"), filepath.Join(t.TempDir(), "handbook.yaml")
	if err := os.Rename(from, to); err != nil {
		t.Fatal(err)
	}
	c := start(t, dir)
	if m := <-c.messages; !strings.Contains(m, "there is no handbook.yaml in") {
		t.Error(m)
	}
	c.open("en/notes.md")
	c.replace("en/notes.md", "<spec:heater-ohms>", "<spec:heater-ohm>")
	if _, why := c.refused("textDocument/hover", c.at("en/notes.md", "<spec:heater-oh")); why != "there is no handbook" {
		t.Errorf("%q", why)
	}
	if err := os.Rename(to, from); err != nil {
		t.Fatal(err)
	}
	c.notify("workspace/didChangeWatchedFiles", map[string]any{"changes": []any{map[string]any{"uri": c.uri("handbook.yaml"), "type": 1}}})
	if got := c.labels("en/notes.md", "<spec:heater-oh"); got != "feed heater-ohms" {
		t.Errorf("%q", got)
	}
	if got := c.remarks("en/notes.md"); !hasCode(got, "reference-unknown") {
		t.Errorf("%v", got)
	}
	c.end()
}

// Of several folders the first that is a handbook counts; what lies in another is nobody's business.
func TestFolders(t *testing.T) {
	other, dir := t.TempDir(), folder(t)
	write(t, other, "a.md", "<spec:nobody>\n")
	c := startIn(t, dir, []string{other, dir})
	c.notify("textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": "file://" + other + "/a.md", "version": 1, "text": "<spec:nobody>"}})
	c.open("en/notes.md")
	c.replace("en/notes.md", "<spec:heater-ohms>", "<spec:nobody>")
	if got := c.remarks("en/notes.md"); !hasCode(got, "reference-unknown") {
		t.Errorf("%v", got)
	}
	c.end()
}
