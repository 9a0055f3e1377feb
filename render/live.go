package render

import (
	"context"
	"maps"
	"os"
	"slices"

	"benchleaf/render/cache"
	"benchleaf/render/desk"
	"benchleaf/render/edition"
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
	dir   string
	look  *theme.Theme
	good  map[string][]byte // of each page and data file, the last text without an error
	shown *desk.Built
	*builder
	digests map[string]string // of the files of shown
	tree    *source.Tree      // as it was read last
}

var _ desk.Builder = (*Live)(nil)

// Open opens the handbook in dir.
func Open(dir string) (*Live, error) {
	if _, err := os.Stat(dir); err != nil {
		return nil, noSource(dir, err)
	}
	look, err := theme.LoadDesk()
	b := &builder{cache: cache.None{}, look: func() (*theme.Theme, error) { return look, nil }, last: newState()}
	return &Live{dir: dir, look: look, good: map[string][]byte{}, shown: &desk.Built{}, builder: b}, err
}

// Theme is what its pages look like.
func (l *Live) Theme() *theme.Theme { return l.look }

// Build implements desk.Builder.
func (l *Live) Build(ctx context.Context, changed []string) (*desk.Built, error) {
	read := func() (*source.Tree, remark.List, error) { return source.Scan(l.dir) }
	if l.tree != nil && changed != nil {
		read = func() (*source.Tree, remark.List, error) { return l.tree.Again(changed) }
	}
	tree, remarks, err := read()
	if err != nil {
		return nil, noSource(l.dir, err)
	}
	defer tree.Close()
	l.tree = tree
	l.next = newState()
	j, err := l.judge(ctx, tree, remarks, nil, nil)
	if err != nil {
		return nil, err
	}
	result := j.result
	bad := faulty(result.Remarks)
	l.keepGood(tree, bad)
	failed := bad
	if l.replace(tree, bad) {
		if j, err = l.judge(ctx, tree, nil, nil, nil); err != nil {
			return nil, err
		}
		failed = faulty(j.result.Remarks)
	}
	book := j.book
	b := &desk.Built{Pages: map[string][]string{}, Stale: map[string]bool{}, Remarks: result.Remarks}
	files := &shelf{files: make(map[string][]byte, len(l.digests))}
	digests := make(map[string]string, len(l.digests))
	if err := l.draw(ctx, j, nil, func(f edition.File) error {
		if f.Facts {
			return nil // what is being written is no edition
		}
		was, known := l.shown.Files[f.Name]
		files.mu.Lock()
		digests[f.Name] = f.Digest
		same := known && l.digests[f.Name] == f.Digest
		if same {
			files.files[f.Name] = was
		}
		files.mu.Unlock()
		if same {
			return nil
		}
		return files.put(f)
	}); err != nil {
		return nil, err
	}
	made := pagesOf(book)
	for source, pages := range l.shown.Pages {
		if bad[source] && made[source] == nil {
			made[source] = pages // of a file that cannot be read
		}
	}
	for source, pages := range made {
		for _, name := range pages {
			if was := l.shown.Files[name]; was != nil && (failed[source] || files.files[name] == nil) {
				files.files[name], digests[name] = was, l.digests[name]
			}
			if files.files[name] == nil {
				continue
			}
			b.Pages[source] = append(b.Pages[source], name)
			b.Stale[name] = bad[source] && l.shown.Files[name] != nil
		}
	}
	b.Files = files.files
	maps.DeleteFunc(b.Stale, func(_ string, stale bool) bool { return !stale })
	l.shown, l.digests, l.builder.last = b, digests, l.next
	return b, nil
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

// keepGood keeps the texts of the files without an error.
func (l *Live) keepGood(tree *source.Tree, bad map[string]bool) {
	for _, p := range tree.Pages {
		if !bad[p.Path] {
			l.good[p.Path] = p.File()
		}
	}
	for name := range tree.Data {
		if bad[name] {
			continue
		}
		if text := tree.Text(name); text != nil {
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
