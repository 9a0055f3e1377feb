package render

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"benchleaf/render/desk"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/remark"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// Live is a handbook that is built again and again while it is written.
//
// A file with an error is built as it last stood without one, so that all other pages
// change as they are written; what cannot be built then either stays as it was.
type Live struct {
	dir  string
	look *theme.Theme
	good map[string][]byte // of each page and data file, the last text without an error
	last *desk.Built
}

var _ desk.Builder = (*Live)(nil)

// Open opens the handbook in dir.
func Open(dir string) (*Live, error) {
	look, err := theme.LoadDesk()
	return &Live{dir: dir, look: look, good: map[string][]byte{}, last: &desk.Built{}}, err
}

// Theme is what its pages look like.
func (l *Live) Theme() *theme.Theme { return l.look }

// Build implements desk.Builder.
func (l *Live) Build(ctx context.Context, _ []string) (*desk.Built, error) {
	tree, remarks, err := source.Read(l.dir)
	if errors.Is(err, fs.ErrNotExist) {
		err = fmt.Errorf("%s: %w", l.dir, ErrNoSource)
	}
	if err != nil {
		return nil, err
	}
	defer tree.Close()
	book, result := judge(tree, remarks)
	bad := faulty(result.Remarks)
	l.keep(tree, bad)
	failed := bad
	if replaced := l.replace(tree, bad); replaced {
		var again Result
		book, again = judge(tree, nil)
		failed = faulty(again.Remarks)
	}
	b := &desk.Built{Files: map[string][]byte{}, Pages: map[string][]string{}, Stale: map[string]bool{}, Remarks: result.Remarks}
	files := &shelf{files: map[string][]byte{}}
	if len(book.Languages) > 0 {
		if err := l.render(ctx, tree, book, files); err != nil {
			return nil, err
		}
	}
	made := pagesOf(book)
	for source, pages := range l.last.Pages {
		if bad[source] && made[source] == nil {
			made[source] = pages // of a file that cannot be read
		}
	}
	for source, pages := range made {
		for _, name := range pages {
			if was := l.last.Files[name]; was != nil && (failed[source] || files.files[name] == nil) {
				files.files[name] = was
			}
			if files.files[name] == nil {
				continue
			}
			b.Pages[source] = append(b.Pages[source], name)
			b.Stale[name] = bad[source] && l.last.Files[name] != nil
		}
	}
	for name, data := range files.files {
		if was := l.last.Files[name]; bytes.Equal(was, data) {
			data = was
		}
		b.Files[name] = data
	}
	maps.DeleteFunc(b.Stale, func(_ string, stale bool) bool { return !stale })
	l.last = b
	return b, nil
}

func (l *Live) render(ctx context.Context, tree *source.Tree, book *handbook.Handbook, files *shelf) error {
	renderer, err := page.New(book, l.look, tree.ReadAsset)
	if err != nil {
		return err
	}
	_, err = write(ctx, files, tree, book, renderer, nil)
	return err
}

// faulty are the files with an error.
func faulty(list remark.List) map[string]bool {
	files := map[string]bool{}
	for _, r := range list {
		if r.Severity == remark.Error {
			files[r.Place.File] = true
		}
	}
	return files
}

// keep keeps the texts of the files without an error.
func (l *Live) keep(tree *source.Tree, bad map[string]bool) {
	for _, p := range tree.Pages {
		if !bad[p.Path] {
			l.good[p.Path] = p.File()
		}
	}
	for name := range tree.Data {
		if bad[name] {
			continue
		}
		if text, err := tree.ReadAsset(name); err == nil {
			l.good[name] = text
		}
	}
}

// replace puts the last good text of files in the place of one with an error.
func (l *Live) replace(tree *source.Tree, bad map[string]bool) (replaced bool) {
	for _, name := range slices.Sorted(maps.Keys(bad)) {
		text, known := l.good[name]
		if !known {
			continue
		}
		tree.Pages = slices.DeleteFunc(tree.Pages, func(p *source.Page) bool { return p.Path == name })
		tree.Add(name, text)
		replaced = true
	}
	return replaced
}

// pagesOf are the pages that are made from each page's file.
func pagesOf(book *handbook.Handbook) map[string][]string {
	made := map[string][]string{}
	for _, p := range book.Pages {
		names := []string{p.Path, p.FlowPath(), p.PracticePath()}
		if p.Index {
			names = []string{page.FinderPath(book, p.Lang)}
		}
		made[p.Source.Path] = slices.DeleteFunc(names, func(s string) bool { return s == "" })
	}
	return made
}
