package language_test

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// books are handbooks to measure with: the demo, and one of 2,000 pages with the demo's data, of some 400 words each.
func books(b *testing.B) map[string]string {
	b.Helper()
	own, err := filepath.Abs(demo)
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	for name, text := range texts(b, own) {
		switch {
		case name == "handbook.yaml":
			text, _, _ = strings.Cut(text, "labels:")
			write(b, dir, name, strings.Replace(text, "languages: [en, es]", "languages: [en]", 1))
		case strings.HasPrefix(name, "specs/"), name == "models.yaml", name == "parts.yaml":
			write(b, dir, name, text)
		}
	}
	words := strings.Repeat("the engine turns while lead and block carry current so that a worn brush can be told by ear\n", 4)
	for i := range 2000 {
		var page strings.Builder
		fmt.Fprintf(&page, "---\nsheet: theory\n---\n\n# Page %d\n", i)
		for part := range 5 {
			fmt.Fprintf(&page, "\n## Part %d <id:part-%[1]d>\n\n%s\nThe gap is <spec:plug-gap>, see [there](../p%02d/%d.md#part-1).\n", part, words, (i+part)%2000/100, (i+part)%2000)
		}
		write(b, dir, fmt.Sprintf("en/p%02d/%d.md", i/100, i), page.String())
	}
	return map[string]string{"demo": own, "2000": dir}
}

// BenchmarkSession types in a page, and measures until what is wrong is told, until names complete, and until a
// specification has another name. Memory is what the whole session holds then.
func BenchmarkSession(b *testing.B) {
	for what, dir := range books(b) {
		name := "en/procedures/choke-opens-late.md"
		if what == "2000" {
			name = "en/p07/707.md"
		}
		c := start(b, dir)
		c.open(name)
		c.remarks(name)
		place := "\n\nSee <spec:"
		typed := c.texts[name] + place
		b.Run(what+"/remarks", func(b *testing.B) {
			for i := range b.N {
				c.versions[name]++
				c.texts[name] = fmt.Sprintf("%s\n\nTyped %d.\n", typed, i)
				c.notify("textDocument/didChange", map[string]any{
					"textDocument": map[string]any{"uri": c.uri(name), "version": c.versions[name]}, "contentChanges": []any{map[string]any{"text": c.texts[name]}},
				})
				c.remarks(name)
			}
		})
		b.Run(what+"/completion", func(b *testing.B) {
			for b.Loop() {
				if c.labels(name, place) == "" {
					b.Fatal("nothing completes")
				}
			}
		})
		b.Run(what+"/rename", func(b *testing.B) {
			for b.Loop() {
				var e workspaceEdit
				c.call("textDocument/rename", map[string]any{"textDocument": map[string]any{"uri": c.uri("specs/ignition-speed.yaml")}, "position": pos{}, "newName": "renamed"}, &e)
			}
		})
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		b.Logf("%s: %d MB", what, m.HeapAlloc>>20)
		c.end()
	}
}
