package render_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
)

// TestHostile reads what no author writes. Nothing may panic or run for ever;
// what is told is shown where there is one thing to tell.
func TestHostile(t *testing.T) {
	for _, c := range []struct{ name, file, text, want string }{
		{"brackets", "en/a.md", strings.Repeat(strings.Repeat("[", 19_000)+"\n", 50), ""},
		{"emphasis", "en/a.md", strings.Repeat("*", 9_000) + "a" + strings.Repeat("*", 9_000), ""},
		{"the same heading", "en/a.md", strings.Repeat("# x\n", 19_000), ""},
		{"NUL bytes", "en/a.md", "# A\n\na\x00b <id:\x00>\n", ""},
		{"links that are left open", "en/a.md", strings.Repeat(strings.Repeat("[a](<b", 3_000)+"\n", 20), ""},
		{"lines", "en/a.md", strings.Repeat("a\n", 20_001), "en/a.md: error: the file has 20001 lines; at most 20000 can be taken [text-limit]"},
		{"a line", "en/a.md", "# A\n\n" + strings.Repeat("a", 20_001), "en/a.md:3:1: error: the line has 20001 bytes; at most 20000 can be taken [text-limit]"},
		{"quotations in quotations", "en/a.md", strings.Repeat("> ", 51) + "x", "en/a.md:1:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"lists in lists", "en/a.md", "# A\n\n" + strings.Repeat("- 1. * ", 17) + "x", "en/a.md:3:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"footnotes in footnotes", "en/a.md", "# A\n\n" + strings.Repeat("[^1]: ", 51) + "x", "en/a.md:3:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"a long rule", "en/a.md", "# A\n\n" + strings.Repeat("- ", 60) + "\n\n" + strings.Repeat("* ", 60) + "\n", ""},
		{"a wide table", "en/a.md", "# A\n\n" + strings.Repeat("|a", 51) + "|\n" + strings.Repeat("|:-:", 51) + "|\n", "en/a.md:4:1: error: the table has 51 columns; at most 50 can be taken [text-limit]"},
		{"one link many times", "en/a.md", "# A\n\n[a]: https://example.com/" + strings.Repeat("b", 10_000) + "\n\n" + strings.Repeat("[a]\n", 300),
			"en/a.md:214:1: error: the page with this link has more bytes of links; at most 2097152 can be taken [text-limit]"},
		{"lists in YAML", "models.yaml", "a: " + strings.Repeat("[", 10_000), "models.yaml:1:1: error: the YAML cannot be read: more than 64 brackets stand one in the other [yaml-syntax]"},
		{"maps in YAML", "models.yaml", "a1: {title: A}\nb2: " + strings.Repeat("{b: ", 4_000), "models.yaml:2:1: error: the YAML cannot be read: more than 64 brackets stand one in the other [yaml-syntax]"},
		{"blank lines in YAML", "models.yaml", "a: {title: |" + strings.Repeat("\n", 15_000) + "}", ""},
		{"a value that doubles itself", "models.yaml", "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n", "models.yaml:1:4: error: anchors, aliases and tags are not read [yaml-alias]"},
		{"a tag", "models.yaml", "a: !!binary x\n", "models.yaml:1:4: error: anchors, aliases and tags are not read [yaml-alias]"},
		{"a number beyond all", "specs/a.yaml", "a: {title: A, unit: V, min: 1e999}\n", "specs/a.yaml:1:29: error: `1e999` is no number [value-text]"},
		{"two documents", "models.yaml", "a: {title: A}\n---\nb: {title: B}\n", "models.yaml:3:1: error: the YAML cannot be read: a second document begins [yaml-syntax]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			put(t, dir, "handbook.yaml", small)
			put(t, dir, "en/index.md", "# Start\n")
			put(t, dir, c.file, c.text)
			result, err := render.Audit(dir)
			if err != nil {
				t.Fatal(err)
			}
			got := remarksText(result.Remarks)
			if c.want != "" && !strings.HasPrefix(got, c.want+"\n") {
				t.Errorf("got\n%.300s\nwant first\n%s", got, c.want)
			}
		})
	}
}

// FuzzAudit looks for text of a page and of a data file that breaks the stages
// up to the audit, and for a remark without a place in a file that there is.
func FuzzAudit(f *testing.F) {
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds")
	}
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			f.Fatal(err)
		}
		page, data := "", ""
		for _, a := range archive.Files {
			switch filepath.Ext(a.Name) {
			case ".md":
				page = string(a.Data)
			case ".yaml":
				data = string(a.Data)
			}
		}
		f.Add(page, data)
	}
	f.Fuzz(func(t *testing.T, page, data string) {
		if len(page)+len(data) > 20_000 {
			return
		}
		dir := t.TempDir()
		put(t, dir, "a.md", page)
		for _, name := range []string{"handbook.yaml", "models.yaml", "parts.yaml", "specs/a.yaml"} {
			put(t, dir, name, data)
		}
		result, err := render.Audit(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range result.Remarks {
			if _, err := os.Stat(filepath.Join(dir, r.Place.File)); err != nil || r.Message == "" || r.Mend == "" {
				t.Fatalf("%+v", r)
			}
		}
	})
}
