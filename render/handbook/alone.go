package handbook

import (
	"reflect"
	"runtime"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/remark"
)

// A page's tree weighs some twenty times its text. A large handbook is therefore not held
// whole: of a page that nobody asks for more than its face, the tree is let go of once it is
// outlined, and made again when the page's turn comes to be judged and drawn.

// Slight tells of an outlined page whether its face is all that others ask of it, and all that is
// judged with other pages together.
func (d *Draft) Slight(p *Page) bool {
	r := d.r.pageAt[p.Source.Path]
	return d.single(p) && p.Procedure == nil && p.Sheet != "bulletin" && r.said == nil && !p.SheetUnknown
}

// single tells whether a page may be slight for all that its name says. One in another language than the first
// is held against its source.
func (d *Draft) single(p *Page) bool {
	return p.Lang == d.r.book.Languages[0] && !p.Index && !d.Tied(p.Key)
}

// Skim outlines pages as Outline does, which need not be parsed, lets go of the slight ones, and returns these.
func (d *Draft) Skim(pages []*Page) (slight []*Page) {
	let := make([]bool, len(pages))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, p := range pages {
		workers.Go(func() error {
			let[i] = d.skim(p)
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

// skim outlines a page. It tells whether it is slight, and was let go of.
func (d *Draft) skim(p *Page) bool {
	if d.single(p) {
		p.Source.Outline()
		d.r.pageAt[p.Source.Path].outline()
		if d.Slight(p) {
			d.LetGo(p, d.Face(p))
			return true
		}
		p.Source.LetGo()
		d.Anew(p)
	}
	p.Source.Parse()
	d.r.pageAt[p.Source.Path].outline()
	return false
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
// restored by now. The error is that of source.Page.Parsed.
func (d *Draft) Alone(p *Page) (*Alone, error) {
	parsed, err := p.Source.Parsed()
	if err != nil {
		return nil, err
	}
	whole := &Page{Source: parsed, Path: p.Path, Lang: p.Lang, Key: p.Key, Index: p.Index}
	r := newPageResolver(d.r, whole)
	r.outline()
	r.resolve()
	return &Alone{whole, r}, nil
}

// Face is what others need to know of the page. Where that was known already but for what is asked for when all pages are
// resolved, it is held once.
func (a *Alone) Face() *Face {
	f := a.r.outward()
	known := a.r.whole.pageAt[a.Source.Path].face
	if known == nil {
		return f
	}
	late := *f
	late.Owned, late.Assets, late.Shown, late.Says = known.Owned, known.Assets, known.Shown, known.Says
	if !reflect.DeepEqual(&late, known) {
		return f
	}
	known.Owned, known.Assets, known.Shown, known.Says = f.Owned, f.Assets, f.Shown, f.Says
	return known
}

// Reads are as those of a Draft.
func (a *Alone) Reads() ([]Read, bool) { return a.r.inward() }

// Remarks are those on the page by itself, with what its parsing found.
func (a *Alone) Remarks() remark.List {
	return append(a.Source.Remarks, a.r.whole.told(a.r.remarks)...)
}
