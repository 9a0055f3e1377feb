package compare_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

const demo = "../../content"

// planted is a copy of the demo that has been edited.
type planted struct {
	t   *testing.T
	dir string
}

func newPlanted(t *testing.T) *planted {
	t.Helper()
	p := &planted{t, t.TempDir()}
	if err := os.CopyFS(p.dir, os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	// A change to a page makes its translation another page: what is planted stands in pages without one.
	for _, untranslated := range []string{"adjust", "bench", "bulletins", "reference", "tests"} {
		if err := os.RemoveAll(filepath.Join(p.dir, "es", untranslated)); err != nil {
			t.Fatal(err)
		}
	}
	for _, pattern := range []string{"procedures/*.md", "theory/*.md"} {
		names, err := filepath.Glob(filepath.Join(p.dir, "es", pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			if !slices.Contains([]string{"hard-restart-hot.md", "pull-off.md", "safety.md"}, filepath.Base(name)) {
				if err := os.Remove(name); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	return p
}

// edit does what a file of a case says: `edit PATH` has texts, the first of which must stand once in
// the file, parted by lines `=>`; `new PATH` is a file, `old PATH` one that goes, and `move PATH` one that lies where its text says.
func (p *planted) edit(f txtar.File) {
	p.t.Helper()
	what, path, _ := strings.Cut(f.Name, " ")
	name := filepath.Join(p.dir, filepath.FromSlash(path))
	var err error
	switch what {
	case "edit":
		text, readErr := os.ReadFile(name)
		if readErr != nil {
			p.t.Fatal(readErr)
		}
		was, is, ok := strings.Cut(string(f.Data), "=>\n")
		was, is = strings.TrimSuffix(was, "\n"), strings.TrimSuffix(is, "\n")
		if n := strings.Count(string(text), was); !ok || n != 1 {
			p.t.Fatalf("%s: %q stands %d times", path, was, n)
		}
		err = os.WriteFile(name, []byte(strings.Replace(string(text), was, is, 1)), 0o644)
	case "new":
		err = errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, f.Data, 0o644))
	case "old":
		err = os.Remove(name)
	case "move":
		err = os.Rename(name, filepath.Join(p.dir, filepath.FromSlash(strings.TrimSpace(string(f.Data)))))
	default:
		p.t.Fatalf("%s says nothing", f.Name)
	}
	if err != nil {
		p.t.Fatal(err)
	}
}

// edition is what it says.
func (p *planted) edition() *compare.Edition {
	p.t.Helper()
	tree, remarks, err := source.Read(p.dir)
	if err != nil {
		p.t.Fatal(err)
	}
	defer tree.Close()
	d := handbook.Begin(tree, nil)
	h := d.Book()
	d.Outline(h.Pages)
	d.Resolve(h.Pages)
	remarks = append(remarks, d.Finish()...)
	e := &compare.Edition{Name: compare.Name{Title: "Demo", Edition: "1"}, Book: compare.OfBook(h), Pages: map[string]*compare.Page{}}
	for _, page := range h.Pages {
		remarks = append(remarks, d.Remarks(page)...)
		e.Pages[page.Path] = compare.Of(page, d.Asset)
	}
	for _, r := range remarks {
		if r.Severity == remark.Error {
			p.t.Error(r)
		}
	}
	return e
}

// TestPlanted makes one change in the demo in each case of testdata/planted, and asks for that and
// nothing else.
func TestPlanted(t *testing.T) {
	cases, err := filepath.Glob("testdata/planted/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatal("no cases", err)
	}
	old := newPlanted(t).edition()
	for i, name := range cases {
		if testing.Short() && i%5 > 0 {
			continue // one thing, many times
		}
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			t.Parallel()
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			p := newPlanted(t)
			last := len(archive.Files) - 1
			for _, f := range archive.Files[:last] {
				p.edit(f)
			}
			if archive.Files[last].Name != "told" {
				t.Fatal("the case wants nothing")
			}
			var b bytes.Buffer
			if err := compare.Compare(old, p.edition()).WriteText(&b); err != nil {
				t.Fatal(err)
			}
			_, got, _ := strings.Cut(b.String(), "From edition 1 to edition 1.\n")
			if *update {
				archive.Files[last].Data = []byte(got)
				if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
			} else if want := string(archive.Files[last].Data); got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}
