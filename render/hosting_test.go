package render

import (
	"context"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/render/edition"
	"benchleaf/render/hosting"
)

var figures = flag.Bool("figures", false, "write the figures of docs/hosting.md anew, of a handbook of 1,000 pages too")

// sent is what a phone makes a host send.
type sent struct{ requests, bytes int }

func sum(list []hosting.Request) (s sent) {
	for _, r := range list {
		s.requests++
		s.bytes += r.Bytes
	}
	return s
}

// morning is what a phone makes a host send for a handbook: all of it, an edition with three changed
// pages, and a look that finds nothing new.
func morning(t *testing.T, source string) (all, update, nothing sent) {
	t.Helper()
	dir := t.TempDir()
	to := filepath.Join(dir, "host")
	var p hosting.Phone
	visit := func(options Options) sent {
		t.Helper()
		out := filepath.Join(dir, "edition")
		if result, err := Compile(context.Background(), source, out, options); err != nil || result.Failed() {
			t.Fatal(err, result.Remarks)
		}
		if _, err := edition.Publish(out, to); err != nil {
			t.Fatal(err)
		}
		list, err := p.Visit(to)
		if err != nil {
			t.Fatal(err)
		}
		return sum(list)
	}
	kept := Options{Cache: filepath.Join(dir, "cache")}
	all = visit(kept)
	change(t, source)
	update = visit(kept)
	list, err := p.Visit(to)
	if err != nil {
		t.Fatal(err)
	}
	return all, update, sum(list)
}

// change gives a handbook the name of another edition, and three of its pages another sentence.
func change(t *testing.T, source string) {
	t.Helper()
	edit := func(name string, edit func(text string) string) {
		t.Helper()
		text, err := os.ReadFile(name)
		if err == nil {
			err = os.WriteFile(name, []byte(edit(string(text))), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	edit(filepath.Join(source, "handbook.yaml"), func(text string) string {
		return regexp.MustCompile(`(?m)^edition: .*`).ReplaceAllString(text, `edition: "1000"`)
	})
	pages, err := filepath.Glob(filepath.Join(source, "en", "*", "*.md"))
	if err != nil || len(pages) < 4 {
		t.Fatal(err, pages)
	}
	for i := range 3 {
		edit(pages[i*len(pages)/3], func(text string) string { return text + "\nHold the throttle open while you look.\n" })
	}
}

// hostingRow is a line of the table in docs/hosting.md.
func hostingRow(what string, s sent) string {
	return fmt.Sprintf("| %s | %d | %s | %s | %s |", what, s.requests, size(s.bytes), grouped(s.requests*10000), size(s.bytes*10000))
}

// size prints bytes with two figures.
func size(n int) string {
	v, unit := float64(n), 0
	for v >= 1000 && unit < 3 {
		v /= 1000
		unit++
	}
	return strings.TrimSpace(strconv.FormatFloat(v, 'g', 3, 64) + " " + []string{"B", "KB", "MB", "GB"}[unit])
}

func grouped(n int) string {
	text := strconv.Itoa(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

// TestHosting holds the figures of docs/hosting.md against what phones ask for: those of the demo to a
// third, as its pages come and go.
func TestHosting(t *testing.T) {
	if testing.Short() {
		t.Skip("two builds of the demo")
	}
	name := filepath.Join("..", "docs", "hosting.md")
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	document := string(text)
	handbooks := map[string]func() string{"demo": func() string {
		source := filepath.Join(t.TempDir(), "content")
		if err := os.CopyFS(source, os.DirFS(filepath.Join("..", "content"))); err != nil {
			t.Fatal(err)
		}
		return source
	}}
	if *figures {
		handbooks["1,000 pages"] = func() string {
			files := map[string]string{"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\n", "models.yaml": "", "parts.yaml": "", "specs/a.yaml": ""}
			for name, text := range yard(1000) {
				files["en/"+name] = text
			}
			return newFolder(t, files).dir
		}
	}
	for _, handbook := range slices.Sorted(maps.Keys(handbooks)) {
		all, update, nothing := morning(t, handbooks[handbook]())
		for what, s := range map[string]sent{"all of it": all, "three changed pages": update, "nothing new": nothing} {
			line := regexp.MustCompile(`(?m)^\| ` + regexp.QuoteMeta(handbook+", "+what) + ` \| (\d+) \| ([\d.]+ \w+) \|.*$`)
			want := hostingRow(handbook+", "+what, s)
			found := line.FindStringSubmatch(document)
			switch {
			case found == nil:
				t.Errorf("docs/hosting.md has no line %q", want)
			case *figures:
				document = strings.Replace(document, found[0], want, 1)
			case !near(found[1], s.requests) || !near(found[2], s.bytes):
				t.Errorf("docs/hosting.md has %q, want something near %q", found[0], want)
			}
		}
	}
	if *figures {
		if err := os.WriteFile(name, []byte(document), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// near tells whether a printed size is another to a third.
func near(text string, n int) bool {
	var v float64
	var unit string
	if _, err := fmt.Sscanf(text+" B", "%g %s", &v, &unit); err != nil {
		return false
	}
	v *= map[string]float64{"B": 1, "KB": 1e3, "MB": 1e6, "GB": 1e9}[unit]
	return v >= float64(n)*2/3-1 && v <= float64(n)*4/3+1
}
