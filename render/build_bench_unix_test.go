//go:build unix

package render

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// large is a handbook of so many pages, some 400 words each, that lead to one another.
func large(n int) map[string]string {
	files := map[string]string{"handbook.yaml": "title: Large\npublisher: Nobody\nedition: \"1\"\nlanguages: [en]\n"}
	words := strings.Fields("the engine turns while lead and block carry current so that a worn brush or a dirty ring can be told by ear before any meter is fetched")
	for i := range n {
		var text strings.Builder
		fmt.Fprintf(&text, "---\nsheet: theory\ntitle: Page %d\n---\n\n# Page %[1]d\n", i)
		for s := range 5 {
			fmt.Fprintf(&text, "\n## Part %d\n\n", s)
			for w := range 80 {
				text.WriteString(words[(i*7+s*5+w*w)%len(words)])
				text.WriteByte(" \n"[w%16/15])
				if w == 40 {
					fmt.Fprintf(&text, "[page](../c%02d/p%04d.md#part-2) ", (i*13+s)%n/100, (i*13+s)%n)
				}
			}
		}
		text.WriteString("\n- one\n- two\n\n```\nlisting of a page\n```\n")
		files[fmt.Sprintf("en/c%02d/p%04d.md", i/100, i)] = text.String()
	}
	return files
}

// spent is the processor time that the process has taken.
func spent(b testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkSecondCompile compiles a handbook of 2,000 pages without a cache, then, with one, after a change
// to one page. It tells which share of the first the second takes.
func BenchmarkSecondCompile(b *testing.B) {
	f := newFolder(b, large(2000))
	dir := b.TempDir()
	run := func(o Options) (wall, cpu time.Duration) {
		began, before := time.Now(), spent(b)
		result, err := Compile(context.Background(), f.dir, filepath.Join(dir, "edition"), o)
		if err != nil || result.Failed() {
			b.Fatal(err, result.Remarks)
		}
		return time.Since(began), spent(b) - before
	}
	wall, cpu := run(Options{})
	if err := os.RemoveAll(filepath.Join(dir, "edition")); err != nil {
		b.Fatal(err)
	}
	o := Options{Cache: filepath.Join(dir, "cache")}
	run(o)
	var again, cpuAgain time.Duration
	for i := range b.N {
		name := fmt.Sprintf("en/c%02d/p%04d.md", i%20, i%20*100+7)
		f.write(name, strings.Replace(f.files[name], "brush", fmt.Sprintf("brush%d", i), 1))
		w, c := run(o)
		again, cpuAgain = again+w, cpuAgain+c
	}
	b.ReportMetric(float64(again)/float64(b.N)/float64(wall), "wall/full")
	b.ReportMetric(float64(cpuAgain)/float64(b.N)/float64(cpu), "cpu/full")
}

// BenchmarkEdit changes a word of one page while the desk shows the handbook.
func BenchmarkEdit(b *testing.B) {
	for _, c := range []struct {
		name, dir, page, word string
	}{
		{"demo", "../content", "en/procedures/black-smoke.md", "Look"},
		{"circuit", "../content", "en/procedures/choke-opens-late.md", "cold"}, // the longest page of the demo
		{"2000", "", "en/c07/p0707.md", "brush"},
	} {
		b.Run(c.name, func(b *testing.B) {
			files := large(2000)
			if c.dir != "" {
				files = filesOf(b, c.dir)
			}
			f := newFolder(b, files)
			live, err := Open(f.dir)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := live.Build(context.Background(), nil); err != nil {
				b.Fatal(err)
			}
			text := f.files[c.page]
			for i := 0; b.Loop(); i++ {
				f.write(c.page, strings.Replace(text, c.word, fmt.Sprint(c.word, i), 3))
				if _, err := live.Build(context.Background(), []string{c.page}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkEditing is how long it takes from an unsaved change to its remarks.
func BenchmarkEditing(b *testing.B) {
	for _, c := range []struct {
		name, dir, page, word string
	}{
		{"demo", "../content", "en/procedures/black-smoke.md", "Look"},
		{"2000", "", "en/c07/p0707.md", "brush"},
	} {
		b.Run(c.name, func(b *testing.B) {
			files := large(2000)
			if c.dir != "" {
				files = filesOf(b, c.dir)
			}
			f := newFolder(b, files)
			editing, err := Edit(f.dir)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := editing.Judge(context.Background(), nil); err != nil {
				b.Fatal(err)
			}
			for i := 0; b.Loop(); i++ {
				text := strings.Replace(f.files[c.page], c.word, fmt.Sprint(c.word, i), 3)
				if _, err := editing.Judge(context.Background(), map[string][]byte{c.page: []byte(text)}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
