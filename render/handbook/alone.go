package handbook

import (
	"runtime"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/remark"
)

// A page's tree weighs some twenty times its text. A large handbook is therefore not held
// whole: of a page that nobody asks for more than its face, the tree is let go of once it is
// outlined, and made again when the page's turn comes to be judged and drawn.

// Slight tells of an outlined page whether its face is all that others ask of it, and all that is
// judged with other pages together. A page in another language than the first is held against its source.
func (d *Draft) Slight(p *Page) bool {
	r := d.r.pageAt[p.Source.Path]
	return p.Lang == d.r.book.Languages[0] && p.Procedure == nil && !p.Index && p.Sheet != "bulletin" && r.said == nil && !p.SheetUnknown && !d.Tied(p.Key)
}

// Skim parses and outlines pages as Outline does, lets go of the slight ones, and returns these.
func (d *Draft) Skim(pages []*Page) (slight []*Page) {
	let := make([]bool, len(pages))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, p := range pages {
		workers.Go(func() error {
			*p.Source = *p.Source.Parsed()
			d.r.pageAt[p.Source.Path].outline()
			if let[i] = d.Slight(p); let[i] {
				d.LetGo(p, d.Face(p))
			}
			return nil
		})
	}
	_ = workers.Wait()
	for i, p := range pages {
		if let[i] {
			slight = append(slight, p)
		}
	}
	d.r.findBulletins()
	return slight
}

// LetGo leaves of a page what others need to know of it.
func (d *Draft) LetGo(p *Page, f *Face) {
	p.Source.LetGo()
	d.Anew(p)
	d.Restore(p, f)
}

// Alone is a page apart from the handbook: whoever draws it may let go of it.
type Alone struct {
	*Page
	r *pageResolver
}

// Alone makes a page whole, apart from the handbook. Every page has been outlined or
// restored by now.
func (d *Draft) Alone(p *Page) *Alone {
	whole := &Page{Source: p.Source.Parsed(), Path: p.Path, Lang: p.Lang, Key: p.Key, Index: p.Index}
	r := newPageResolver(d.r, whole)
	r.outline()
	r.resolve()
	return &Alone{whole, r}
}

// Face is what others need to know of the page.
func (a *Alone) Face() *Face { return a.r.outward() }

// Reads are as those of a Draft.
func (a *Alone) Reads() ([]Read, bool) { return a.r.inward() }

// Remarks are those on the page by itself, with what its parsing found.
func (a *Alone) Remarks() remark.List {
	return append(a.Source.Remarks, a.r.whole.told(a.r.remarks)...)
}
