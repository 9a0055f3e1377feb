//go:build unix

package language_test

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// spending measures what f takes of the processor besides its time, which hangs on who else uses the machine.
func spending(b *testing.B, f func(*testing.B)) {
	spent := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	before := spent()
	f(b)
	b.ReportMetric(float64((spent()-before).Milliseconds())/float64(b.N), "cpu-ms/op")
}

// books are handbooks to measure with: the demo, one of 2,000 pages with the demo's data, of some 400 words each, and
// the demo with these pages beside its own.
func books(b *testing.B) map[string]string {
	b.Helper()
	own, err := filepath.Abs(demo)
	if err != nil {
		b.Fatal(err)
	}
	dir, both := b.TempDir(), b.TempDir()
	for name, text := range texts(b, own) {
		write(b, both, name, text)
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
		name := fmt.Sprintf("en/p%02d/%d.md", i/100, i)
		write(b, dir, name, page.String())
		if i%10 == 0 {
			page.WriteString("\nIt is looked for [on another page](../procedures/choke-opens-late.md).\n")
		}
		write(b, both, name, page.String())
	}
	return map[string]string{"demo": own, "2000": dir, "demo and 2000": both}
}

// BenchmarkSession opens a page, and measures until what is wrong is told, and again after typing in it, until names
// complete, and until a specification and a step have another name. Memory is what the whole session holds then.
func BenchmarkSession(b *testing.B) {
	for what, dir := range books(b) {
		const procedure = "en/procedures/choke-opens-late.md"
		name := procedure
		if what != "demo" {
			name = "en/p07/707.md"
		}
		run := func(name string, f func(*testing.B)) {
			b.Run(name, func(b *testing.B) { spending(b, f) })
		}
		run(what+"/first", func(b *testing.B) {
			for range b.N {
				c := start(b, dir)
				c.open(name)
				c.remarks(name)
				c.end()
			}
		})
		c := start(b, dir)
		c.open(name)
		c.remarks(name)
		place := "\n\nSee <spec:"
		typed := c.texts[name] + place
		run(what+"/remarks", func(b *testing.B) {
			for i := range b.N {
				c.versions[name]++
				c.texts[name] = fmt.Sprintf("%s\n\nTyped %d.\n", typed, i)
				c.notify("textDocument/didChange", map[string]any{
					"textDocument": map[string]any{"uri": c.uri(name), "version": c.versions[name]}, "contentChanges": []any{map[string]any{"text": c.texts[name]}},
				})
				c.remarks(name)
			}
		})
		run(what+"/completion", func(b *testing.B) {
			for b.Loop() {
				if c.labels(name, place) == "" {
					b.Fatal("nothing completes")
				}
			}
		})
		if strings.Contains(c.texts[name], place) {
			c.replace(name, place, "") // without a mistake
		}
		if what == "demo and 2000" {
			c.open(procedure)
			c.remarks(procedure)
		}
		rename := func(b *testing.B, of map[string]any) {
			for i := range b.N {
				of["newName"] = fmt.Sprint("renamed-", i)
				var e workspaceEdit
				c.call("textDocument/rename", of, &e)
			}
		}
		run(what+"/rename", func(b *testing.B) {
			rename(b, map[string]any{"textDocument": map[string]any{"uri": c.uri("specs/ignition-speed.yaml")}, "position": pos{}})
		})
		run(what+"/rename-step", func(b *testing.B) {
			if what == "2000" {
				b.Skip("it has no steps")
			}
			rename(b, c.at(procedure, "<id:coil"))
		})
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		b.Logf("%s: %d MB", what, m.HeapAlloc>>20)
		c.end()
	}
}
