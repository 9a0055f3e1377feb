package handbook

import (
	"cmp"
	"maps"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Draft is a handbook that is being resolved, page by page. A page whose face is known
// from before need not even be parsed: Restore makes of it what others ask of it.
type Draft struct {
	r       *resolver
	mu      sync.Mutex
	digests map[Read]string // as they were asked for
}

// Begin reads the data of a handbook and tells where its pages stand. assets are what is
// known of assets from before, by path.
func Begin(tree *source.Tree, assets map[string]*Asset) *Draft {
	r := &resolver{tree: tree, book: &Handbook{}, complete: map[string]bool{}}
	r.assets.known = assets
	r.book.data = tree.Data
	r.data()
	r.torn()
	r.dataAllowances()
	r.locateAll()
	r.wordLists()
	return &Draft{r: r, digests: map[Read]string{}}
}

// Book is the model. It is whole once Finish has returned.
func (d *Draft) Book() *Handbook { return d.r.book }

// Outline reads of pages what others may need to know. They are parsed.
func (d *Draft) Outline(pages []*Page) {
	d.r.each(pages, (*pageResolver).outline)
	d.r.findBulletins()
}

// Resolve resolves pages. Every page has been outlined or restored by now.
func (d *Draft) Resolve(pages []*Page) { d.r.each(pages, (*pageResolver).resolve) }

// Anew makes a page that was restored as it was before that.
func (d *Draft) Anew(p *Page) {
	*p = Page{Source: p.Source, Path: p.Path, Lang: p.Lang, Key: p.Key, Index: p.Index}
	d.r.pageAt[p.Source.Path].rest()
}

// Finish ties together what concerns several pages, and returns what is wrong with
// that and with the data.
func (d *Draft) Finish() remark.List {
	r := d.r
	r.practices()
	r.bulletins()
	r.translations()
	r.untranslated()
	r.unrecorded()
	r.wordsMissing()
	r.synonyms()
	r.labels()
	r.ownNames()
	r.usedAssets()
	r.names()
	r.pictures()
	return r.told(r.remarks)
}

// Remarks are those on a page by itself, without what its parsing found.
func (d *Draft) Remarks(p *Page) remark.List { return d.r.told(d.r.pageAt[p.Source.Path].remarks) }

// Tied tells whether the pages of a key in all languages are made together: a translation is held
// against its source, and a circuit is measured by each.
func (d *Draft) Tied(key string) bool { return d.r.keyed.Several(key) || d.Measured(key) }

// Measured tells whether the procedure of a key has a circuit. Its pages in all languages are
// tied to that together.
func (d *Draft) Measured(key string) bool {
	return slices.ContainsFunc(d.r.circuitFiles, func(c *circuitReader) bool { return c.y.Procedure.Value == key })
}

// Resolve makes the model of a tree. The handbook is never nil; with an error
// among the remarks it is incomplete and fit only for further checks.
func Resolve(tree *source.Tree) (*Handbook, remark.List) {
	d := Begin(tree, nil)
	pages := d.Book().Pages
	d.Outline(pages)
	d.Resolve(pages)
	remarks := d.Finish()
	for _, p := range pages {
		remarks = append(remarks, d.Remarks(p)...)
	}
	return d.Book(), remarks
}

// each runs f for pages, a worker a core. Pages write to themselves only.
func (r *resolver) each(pages []*Page, f func(*pageResolver)) {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, p := range pages {
		workers.Go(func() error {
			f(r.pageAt[p.Source.Path])
			return nil
		})
	}
	_ = workers.Wait()
}

// Read is something beside its own text that a page is made of.
type Read struct {
	Kind ReadKind
	ID   string
}

// ReadKind says what was read.
type ReadKind string

// The kinds, with what their ids are. What is not among them, such as models, parts and
// engine states, is the handbook's Frame.
const (
	ReadPage     ReadKind = "page"     // a page's source: what Face shows to others, but for headings
	ReadHeading  ReadKind = "heading"  // a page's source, # and an id: whether there is one, and what step it is
	ReadSpec     ReadKind = "spec"     // a specification
	ReadAsset    ReadKind = "asset"    // a file
	ReadCircuits ReadKind = "circuits" // all circuits; no id
	ReadSiblings ReadKind = "siblings" // a page's key: the same page in other languages
	ReadSources  ReadKind = "sources"  // a page's key: the text of the same page in all languages
	ReadPlaces   ReadKind = "places"   // where specifications stand, for remarks; no id
	ReadRevised  ReadKind = "revised"  // a day: whether the edition's is before
	ReadCheckBy  ReadKind = "check-by" // a day: whether the edition's is after
	// ReadBulletins is what the bulletins say of a specification or of a procedure.
	ReadBulletins ReadKind = "bulletins"
)

// Reads are what a resolved page was made of, sorted. ok is false for a page of which
// that cannot be told, since a name in it was only probably meant or may yet be found.
func (d *Draft) Reads(p *Page) (list []Read, ok bool) { return d.r.pageAt[p.Source.Path].inward() }

func (pr *pageResolver) inward() (list []Read, ok bool) {
	return slices.AppendSeq(make([]Read, 0, len(pr.reads)), maps.Keys(pr.reads)), !pr.loose
}

// Compare puts what was read in order.
func (r Read) Compare(other Read) int {
	return cmp.Or(cmp.Compare(r.Kind, other.Kind), cmp.Compare(r.ID, other.ID))
}

func (r *pageResolver) read(kind ReadKind, id string) {
	if r.reads == nil {
		r.reads = map[Read]bool{}
	}
	r.reads[Read{kind, id}] = true
}

// spec looks a specification up.
func (r *pageResolver) spec(name source.Text) *Spec {
	r.read(ReadSpec, name.Value)
	s := findIn(&r.remarks, r.whole.complete[kindSpec], kindSpec, r.whole.book.Specs, name)
	r.loose = r.loose || s == nil || s.ID != name.Value
	return s
}
