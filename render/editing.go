package render

import (
	"context"
	"os"
	"sync"

	"benchleaf/render/cache"
	"benchleaf/render/language"
	"benchleaf/render/picture"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Editing is a handbook that is judged again and again while an editor has texts of it that
// are not saved yet. Nothing of it is drawn.
type Editing struct {
	dir string
	mu  sync.Mutex
	*builder
	tree    *source.Tree        // as it was read last
	digests map[string][]string // of each page, for translations of it
}

var _ language.Judge = (*Editing)(nil)

// Edit opens the handbook in dir.
func Edit(dir string) (*Editing, error) {
	if _, err := os.Stat(dir); err != nil {
		return nil, noSource(dir, err)
	}
	return &Editing{dir: dir, builder: &builder{cache: cache.None{}, last: newState()}}, nil
}

// Judge implements language.Judge.
func (e *Editing) Judge(ctx context.Context, unsaved map[string][]byte) (*language.Judged, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	tree, remarks, err := source.ScanOver(e.dir, e.tree, unsaved)
	if err != nil {
		return nil, noSource(e.dir, err)
	}
	defer tree.Close()
	e.tree, e.next = tree, newState()
	j, err := e.judge(ctx, tree, remarks, nil, nil)
	if err != nil {
		return nil, err
	}
	var pictures []string
	for _, a := range tree.Assets {
		if picture.IsPicture(a.Path) {
			pictures = append(pictures, a.Path)
		}
	}
	digests := map[string][]string{}
	for _, x := range j.pages {
		if digests[x.Source.Path] = e.digests[x.Source.Path]; !x.frozen {
			digests[x.Source.Path] = x.Digests()
		}
		if x.entry != nil && x.entry.Bundle != "" {
			e.next.Pages[x.Source.Path] = x.entry
			e.next.Bundles[x.entry.Bundle] = &bundle{} // there are no files to take over
		}
	}
	e.next.Assets = j.draft.Assets()
	e.last, e.digests = e.next, digests
	return &language.Judged{Book: j.book, Remarks: append(remark.List{}, j.result.Remarks...), Apart: j.apart, Texts: tree.Texts(), Pictures: pictures, Digests: digests}, nil
}
