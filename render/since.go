package render

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"sync"

	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/page"
)

// ErrReplaced says that an edition cannot be held against the one that it replaces: at the next
// build that would be gone.
var ErrReplaced = errors.New("the older edition would be replaced by the new one: keep a copy of it elsewhere")

// openSince opens an older edition; "" gives nil.
func openSince(name string) (*compare.Edition, error) {
	if name == "" {
		return nil, nil
	}
	e, err := compare.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		err = fmt.Errorf("%s: %w", name, edition.ErrNowhere)
	}
	return e, err
}

// openSince takes an older edition, which is not the one that is to be written.
func (b *builder) openSince(name, out string) (err error) {
	if b.since, err = openSince(name); b.since == nil {
		return err
	}
	if filepath.Base(name) == edition.ManifestName {
		name = filepath.Dir(name)
	}
	if edition.Same(name, out) {
		return fmt.Errorf("%w: %s", ErrReplaced, name)
	}
	return nil
}

// facts collects what the edition that is being made is compared by. Of a page whose facts are
// as they were the older edition's are taken, so that few are read.
type facts struct {
	mu    sync.Mutex
	files map[string]edition.File
}

// note keeps a file of facts.
func (f *facts) note(file edition.File) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.files == nil {
		f.files = map[string]edition.File{}
	}
	f.files[file.Name] = file
}

// edition reads them.
func (f *facts) edition(name compare.Name, old *compare.Edition) (*compare.Edition, error) {
	e := &compare.Edition{Name: name, Book: &compare.Book{}, Pages: map[string]*compare.Page{}}
	for path, file := range f.files {
		if p := old.Page(path, file.Digest); p != nil {
			e.Pages[p.Path] = p
			continue
		}
		text, err := file.Load()
		if err != nil {
			return nil, err
		}
		if path == compare.BookFile {
			err = e.Book.Unpack(text)
		} else {
			p := &compare.Page{}
			err = p.Unpack(text)
			e.Pages[p.Path] = p
		}
		if err != nil {
			return nil, err
		}
	}
	return e, nil
}

// changed makes the pages that tell what changed since an older edition.
func (d *drawing) changed() error {
	if d.since == nil {
		return nil
	}
	e, err := d.known.edition(compare.Name{Title: d.book.Title.In(d.book.Languages[0]), Edition: d.book.Edition, Date: d.book.Date}, d.since)
	if err != nil {
		return err
	}
	c := compare.Compare(d.since, e)
	for _, lang := range d.book.Languages {
		if _, err := d.add("", func(m *made, r *page.Renderer) error {
			out, err := r.Changed(lang, c)
			m.addPage(page.ChangedPath(d.book, lang), out, false)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}
