package source

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/renderer/html"
)

// TestCommonMark runs all examples of CommonMark 0.31.2 through the parser of
// pages, with raw HTML let through and no block of the handbook's own. The
// examples come with the Markdown library's module.
func TestCommonMark(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/yuin/goldmark").Output()
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "_test", "spec.json"))
	if err != nil {
		t.Fatal(err)
	}
	var examples []struct {
		Markdown, HTML, Section string
		Example                 int
	}
	if err := json.Unmarshal(data, &examples); err != nil {
		t.Fatal(err)
	}
	if len(examples) != 652 {
		t.Fatalf("%d examples, want the 652 of CommonMark 0.31.2", len(examples))
	}
	render := goldmark.New(goldmark.WithExtensions(Extensions()...), goldmark.WithRendererOptions(html.WithUnsafe(), html.WithXHTML())).Renderer()
	headingID := regexp.MustCompile(`(<h[1-6]) id="[^"]*"`)
	for _, e := range examples {
		src := []byte(e.Markdown)
		var got bytes.Buffer
		if err := render.Render(&got, src, parse(markdown, src, nil, nil)); err != nil {
			t.Errorf("example %d: %v", e.Example, err)
			continue
		}
		if g := headingID.ReplaceAllString(got.String(), "$1"); g != e.HTML {
			t.Errorf("example %d, %s\n%q\ngot  %q\nwant %q", e.Example, e.Section, e.Markdown, g, e.HTML)
		}
	}
}
