// Package phone tests what arrives on a phone: the demo handbook, compiled as
// its readers get it, opened in Chromium from files with the network off.
//
// It has tests only. Those of the files alone always run. Those in the browser
// are skipped where there is no Chromium, unless BENCHLEAF_BROWSER=required.
// It may import everything that it holds the pages against.
package phone

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"benchleaf/render"
	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

var update = flag.Bool("update", false, "write the picture of the README anew")

// demo is a compiled handbook: its model and its edition.
type demo struct {
	dir   string // of the edition
	book  *handbook.Handbook
	look  *theme.Theme
	lang  string // that it is read in
	words *theme.Words
	pages []string // HTML files, by path in the edition, slash-separated
}

// scratch is a folder for the edition and the browser's profile.
var scratch string

func TestMain(m *testing.M) {
	flag.Parse()
	var err error
	if scratch, err = os.MkdirTemp("", "phone"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	status := m.Run()
	closeBrowser()
	_ = os.RemoveAll(scratch) // the browser may still be writing into its profile
	os.Exit(status)
}

var compileOnce = sync.OnceValues(func() (*demo, error) { return compile(filepath.Join("..", "..", "content"), "edition") })

// compile compiles a handbook into a folder of scratch.
func compile(content, name string) (*demo, error) {
	return compileWith(content, name, render.Options{})
}

func compileWith(content, name string, o render.Options) (*demo, error) {
	d := &demo{dir: filepath.Join(scratch, name)}
	result, err := render.Compile(context.Background(), content, d.dir, o)
	if err != nil {
		return nil, err
	}
	if result.Failed() {
		return nil, fmt.Errorf("%s has errors: %v", content, result.Remarks)
	}
	tree, _, err := source.Read(content)
	if err != nil {
		return nil, err
	}
	defer tree.Close()
	d.book, _ = handbook.Resolve(tree)
	look, err := theme.Load()
	if err != nil {
		return nil, err
	}
	d.look = look
	d = d.in(d.book.Languages[0])
	err = filepath.WalkDir(d.dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && filepath.Ext(path) == ".html" {
			rel, _ := filepath.Rel(d.dir, path)
			d.pages = append(d.pages, filepath.ToSlash(rel))
		}
		return err
	})
	slices.Sort(d.pages)
	return d, err
}

// writeTexts writes files of a handbook into a folder, by their slash-separated names.
func writeTexts(t testing.TB, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
}

// compiled returns the demo, compiled once for all tests.
func compiled(t testing.TB) *demo {
	t.Helper()
	d, err := compileOnce()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// read returns a file of the edition.
func (d *demo) read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(d.dir, filepath.FromSlash(path)))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// in is the handbook as somebody reads it in a language.
func (d *demo) in(lang string) *demo {
	read := *d
	read.lang, read.words = lang, d.look.Words(lang)
	return &read
}

// procedures returns the pages that are procedures, in the language that is read.
func (d *demo) procedures() []*handbook.Page {
	var list []*handbook.Page
	for _, p := range d.book.Pages {
		if p.Procedure != nil && p.Lang == d.lang {
			list = append(list, p)
		}
	}
	return list
}

// opened are the pages to look at in a browser: of the first language, and of what is for all, every one; of each other language
// two of each folder, or with -every all. What differs there is words.
func (d *demo) opened() []string {
	var list []string
	seen := map[string]int{}
	for _, p := range d.pages {
		folder := path.Dir(p)
		lang, _, _ := strings.Cut(folder, "/")
		_, kind, _ := strings.Cut(path.Base(p), ".") // a procedure, its picture, its practice
		if seen[folder+kind]++; seen[folder+kind] <= 2 || lang == d.book.Languages[0] || lang == "." || *every {
			list = append(list, p)
		}
	}
	return list
}

// looked are those of them that hold among them all that stands in any page, and of the others every second, or with -every all.
func (d *demo) looked(t *testing.T) []string {
	cover, n := d.cover(t), 0
	return slices.DeleteFunc(d.opened(), func(p string) bool {
		if slices.Contains(cover, p) || *every {
			return false
		}
		n++
		return n%2 == 0
	})
}

// openedPages are those of them that an author wrote.
func (d *demo) openedPages() []*handbook.Page {
	opened := d.opened()
	return slices.DeleteFunc(slices.Clone(d.book.Pages), func(p *handbook.Page) bool { return p.Index || !slices.Contains(opened, p.Path) })
}

// everywhere are the procedures to walk: in the first language a spread, and in each other one the two of the fewest steps, or
// with -every all. The steps and answers of a translation are its source's, which the build asks for; what differs is words.
func (d *demo) everywhere() iter.Seq2[*demo, *handbook.Page] {
	return func(yield func(*demo, *handbook.Page) bool) {
		for _, lang := range d.book.Languages {
			read := d.in(lang)
			list := read.procedures()
			if lang == d.book.Languages[0] {
				list = spread(list)
			} else if !*every {
				slices.SortStableFunc(list, func(a, b *handbook.Page) int { return cmp.Compare(len(a.Procedure.Steps), len(b.Procedure.Steps)) })
				list = list[:min(2, len(list))]
			}
			for _, p := range list {
				if !yield(read, p) {
					return
				}
			}
		}
	}
}
