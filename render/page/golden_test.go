package page

import (
	"encoding/base64"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

var update = flag.Bool("update", false, "write what the cases give into their files")

// TestGolden renders the handbook in each case of testdata. Beside the source
// files a case holds, for each page that it is about, want/<page>: what stands
// between <main> and </main>, or whole/<page>: all of it, or reads/<page>: what it
// depends on. A case is about every page that it
// names. A file whose name ends in .base64 is what that says, under the name before it.
func TestGolden(t *testing.T) {
	cases, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatal("no cases", err)
	}
	for _, name := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			rendered := renderAll(t, sourceOf(t, name))
			wants := 0
			for i, f := range archive.Files {
				kind, path, ok := wanted(f.Name)
				if !ok {
					continue
				}
				wants++
				out, ok := rendered[path]
				if !ok {
					t.Errorf("%s: there is no page %s", f.Name, path)
					continue
				}
				got := part(kind, out)
				if *update {
					archive.Files[i].Data = []byte(got)
				} else if got != string(f.Data) {
					t.Errorf("%s: got\n%s\nwant\n%s", f.Name, got, f.Data)
				}
			}
			if wants == 0 {
				t.Error("the case wants nothing")
			}
			if *update {
				if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

func wanted(name string) (kind, path string, ok bool) {
	kind, path, _ = strings.Cut(name, "/")
	return kind, path, kind == "want" || kind == "whole" || kind == "reads"
}

// The style, the script of the jobs page, the module's bytes, the calculator's code and pictures of codes have tests of their own.
var (
	codeBytes   = regexp.MustCompile(`(data:image/png;base64,)[^"]+`)
	moduleBytes = regexp.MustCompile(`(data-encoding="base16">)[0-9a-f]+`)
	styleHash   = regexp.MustCompile(`('sha256-)[^']+`)
	lastScript  = regexp.MustCompile(`(?s)(page-data">[^\n]*</script>\n<script>).*?(</script>\n</body>)`)
	styleText   = regexp.MustCompile(`(?s)(<style>).*?(</style>)`)
	codeText    = regexp.MustCompile(`(?s)(<details>.*?<code>).*?(</code>\s*</pre>\s*</details>)`)
)

func part(kind string, out Output) string {
	text := moduleBytes.ReplaceAllString(codeText.ReplaceAllString(string(out.HTML), "${1}...${2}"), "${1}...")
	text = codeBytes.ReplaceAllString(lastScript.ReplaceAllString(text, "${1}...${2}"), "${1}...")
	text = styleText.ReplaceAllString(styleHash.ReplaceAllString(text, "${1}..."), "${1}...${2}")
	switch kind {
	case "want":
		_, text, _ = strings.Cut(text, `<main id="_sheet" tabindex="-1">`+"\n")
		text, _, _ = strings.Cut(text, "</main>")
	case "reads":
		text = ""
		for _, r := range out.Reads {
			text += strings.TrimSpace(fmt.Sprintf("%s %s", r.Kind, r.ID)) + "\n"
		}
	}
	return text
}

// open reads and resolves a handbook from files; only a handbook without errors
// is rendered.
func open(t testing.TB, files map[string]string) (*handbook.Handbook, *Renderer) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tree, remarks, err := source.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = tree.Close() })
	h, more := handbook.Resolve(tree)
	for _, r := range append(remarks, more...) {
		if r.Severity.String() == "error" {
			t.Errorf("%v", r)
		}
	}
	loaded, err := theme.Load()
	if err != nil {
		t.Fatal(err)
	}
	r, err := New(h, loaded, tree.ReadAsset)
	if err != nil {
		t.Fatal(err)
	}
	return h, r
}

// renderAll returns the pages by their path.
func renderAll(t testing.TB, files map[string]string) map[string]Output {
	t.Helper()
	h, r := open(t, files)
	pages := map[string]Output{}
	for _, p := range h.Pages {
		if p.Index {
			continue
		}
		out, err := r.Page(p)
		if err != nil {
			t.Fatal(err)
		}
		pages[p.Path] = out
		if p.PracticePath() != "" {
			if pages[p.PracticePath()], err = r.Practice(p); err != nil {
				t.Fatal(err)
			}
			data, err := r.PracticeData(p)
			if err != nil {
				t.Fatal(err)
			}
			pages[p.PracticeDataPath()] = Output{HTML: data}
		}
		if p.FlowPath() == "" {
			continue
		}
		if pages[p.FlowPath()], err = r.Flow(p); err != nil {
			t.Fatal(err)
		}
	}
	for _, lang := range h.Languages {
		out, err := r.Finder(lang)
		if err != nil {
			t.Fatal(err)
		}
		pages[FinderPath(h, lang)] = out
		if pages[JobsPath(h, lang)], err = r.Jobs(lang); err != nil {
			t.Fatal(err)
		}
		if name := LabelsPath(h, lang); name != "" {
			if pages[name], err = r.Labels(lang); err != nil {
				t.Fatal(err)
			}
		}
	}
	return pages
}

// sourceOf returns the source files of a case.
func sourceOf(t testing.TB, name string) map[string]string {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range archive.Files {
		if _, _, ok := wanted(f.Name); ok {
			continue
		}
		name, coded := strings.CutSuffix(f.Name, ".base64")
		data := f.Data
		if coded {
			if data, err = base64.StdEncoding.DecodeString(strings.TrimSpace(string(f.Data))); err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
		}
		files[name] = string(data)
	}
	return files
}

// sharedOf returns the files that all pages share, by path.
func sharedOf(t testing.TB, files map[string]string) map[string]string {
	t.Helper()
	loaded := map[string]bool{}
	for _, out := range renderAll(t, files) {
		for _, name := range out.Scripts {
			loaded[name] = true
		}
	}
	_, r := open(t, files)
	list, err := r.Shared(loaded)
	if err != nil {
		t.Fatal(err)
	}
	shared := map[string]string{}
	for _, f := range list {
		shared[f.Path] = string(f.Data)
	}
	return shared
}
