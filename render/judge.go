package render

import (
	"context"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/audit"
	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// judged is a handbook up to the audit.
type judged struct {
	tree   *source.Tree
	draft  *handbook.Draft
	book   *handbook.Handbook
	frame  string
	keeps  bool // entries are for the next build too
	result Result
	apart  remark.List   // those of the result, where there are several of one mistake each at its place
	pages  []*judgedPage // in the order of the book's
}

// judgedPage is a page of it.
type judgedPage struct {
	*handbook.Page
	entry  *entry // nil where nothing can be kept of the page
	frozen bool   // it is known by its entry alone
	slight bool   // it was outlined and let go of
	drawn  bool   // its files are made
	facts  *audit.Facts
}

// drawer is given a handbook whose pages are outlined, and draws pages while others are still being
// judged.
type drawer func(*judged) drawPage

// drawPage draws a page that has no error. x tells what is known of it, p is the page.
type drawPage func(x *judgedPage, p *handbook.Page)

// judge resolves and audits a tree, whose scan has brought remarks. A page that is known,
// and of which all that it read is the same, is taken as it was. With a drawer, slight pages
// are drawn as soon as they are judged, and not held.
func (b *builder) judge(ctx context.Context, tree *source.Tree, remarks remark.List, progress Progress, draw drawer) (*judged, error) {
	var anew []*source.Page
	for _, p := range tree.Pages {
		if e := b.last.Pages[p.Path]; e == nil || e.Source != tree.Digest(p.Path) || b.last.Bundles[e.Bundle] == nil {
			anew = append(anew, p)
		}
	}
	all := tree.Pages
	if draw == nil {
		tree.Parse(anew)
	} else {
		tree.Sift(anew)
	}
	unknown := map[*source.Page]bool{}
	for _, p := range anew {
		unknown[p] = true
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	progress.begin(Judging)
	for _, p := range all {
		if p.Doc == nil && tree.Unread(p.Path) {
			remarks = append(remarks, p.Remarks...)
		}
	}
	j := &judged{tree: tree, keeps: b.keeps(), draft: handbook.Begin(tree, b.last.Assets)}
	j.book, j.frame = j.draft.Book(), j.draft.Frame()
	if b.since != nil {
		j.frame = digest(j.frame, b.since.ID) // what it says of a page, and of all values, is part of every page
	}
	var thawed []*judgedPage
	for _, p := range j.book.Pages {
		e := b.last.Pages[p.Source.Path]
		x := &judgedPage{Page: p}
		j.pages = append(j.pages, x)
		if !unknown[p.Source] && e.Frame == j.frame && !p.Index {
			x.entry, x.frozen, x.facts = e, true, e.Facts
			j.draft.Restore(p, e.Face)
		} else {
			thawed = append(thawed, x)
		}
	}
	for more := true; more; more = len(thawed) > 0 {
		if draw == nil {
			j.thaw(thawed...)
		} else {
			j.skim(thawed)
		}
		tied := map[string]bool{}
		for _, x := range thawed {
			tied[x.Key] = j.draft.Tied(x.Key)
		}
		thawed = nil
		for _, x := range j.pages { // what was made anew may look otherwise to others
			if x.frozen && (tied[x.Key] || !j.holds(x)) {
				x.frozen = false
				thawed = append(thawed, x)
			}
		}
	}
	b.tell(len(j.pages), j.held())
	if draw != nil {
		page := draw(j)
		if remarks.Count(remark.Error) > 0 {
			page = nil
		}
		if err := j.one(ctx, page); err != nil {
			return nil, err
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	remarks = append(remarks, j.draft.Finish()...)
	remarks = append(remarks, compare.Unrenewed(b.since, j.book)...)
	if err := j.audit(&remarks); err != nil {
		return nil, err
	}
	for _, x := range j.pages {
		if x.frozen {
			remarks = append(remarks, x.entry.Remarks...)
			continue
		}
		own := slices.Concat(x.Source.Remarks, j.draft.Remarks(x.Page), x.facts.Remarks)
		remarks = append(remarks, own...)
		if reads, ok := j.draft.Reads(x.Page); ok && own.Count(remark.Error) == 0 {
			x.entry = j.entry(x, j.draft.Face(x.Page), own, reads)
		}
	}
	j.result.Remarks, j.result.Allowed = remarks.Settle(j.book.Rules, j.book.Allowances())
	j.apart = j.result.Remarks.Apart()
	for _, list := range []*remark.List{&j.result.Remarks, &j.result.Allowed} {
		list.Sort()
		tree.Quote(*list)
	}
	return j, nil
}

// passing is what is known of a page in this build alone.
func (j *judged) passing(x *judgedPage, face *handbook.Face, own remark.List) *entry {
	return &entry{Face: face, Facts: x.facts, Remarks: own}
}

// entry is what is kept of a page with what it read.
func (j *judged) entry(x *judgedPage, face *handbook.Face, own remark.List, reads []handbook.Read) *entry {
	e := j.passing(x, face, own)
	if !j.keeps {
		return e
	}
	e.Source, e.Frame, e.FaceDigest = j.tree.Digest(x.Source.Path), j.frame, digest(face)
	slices.SortFunc(reads, handbook.Read.Compare)
	if aboutSpecs(own) {
		reads = append(reads, handbook.Read{Kind: handbook.ReadPlaces})
	}
	for _, read := range reads {
		e.Reads = append(e.Reads, reading{read, j.draft.Digest(read)})
	}
	if !x.Index {
		e.Bundle = e.key(x.Source.Path)
	}
	return e
}

// face is the digest of a page's.
func (j *judged) face(x *judgedPage) string {
	switch {
	case x.entry == nil:
		return digest(j.draft.Face(x.Page))
	case x.entry.FaceDigest == "":
		return digest(x.entry.Face)
	}
	return x.entry.FaceDigest
}

// held counts the pages that are whole.
func (j *judged) held() (n int) {
	for _, x := range j.pages {
		if x.Source.Doc != nil {
			n++
		}
	}
	return n
}

// mostHeld is how many bytes of texts are held while pages are drawn, where these are all; of a larger handbook they
// are let go of, and read again.
var mostHeld = 16 << 20

// skim outlines pages as if nothing were known of them, and resolves those that are held.
func (j *judged) skim(list []*judgedPage) {
	var pages, held []*handbook.Page
	at := map[*handbook.Page]*judgedPage{}
	for _, x := range list {
		j.draft.Anew(x.Page)
		pages, at[x.Page] = append(pages, x.Page), x
	}
	many := j.tree.Bytes() > mostHeld
	for _, p := range j.draft.Skim(pages) {
		at[p].slight = true
		if many {
			j.tree.Shelve(p.Source)
		}
	}
	for _, x := range list {
		if !x.slight {
			held = append(held, x.Page)
		}
	}
	j.draft.Resolve(held)
}

// one judges slight pages one by one, and has them drawn, a worker a core, for as long as there is no error.
func (j *judged) one(ctx context.Context, draw drawPage) error {
	var workers errgroup.Group
	var taken atomic.Int64
	var failed atomic.Bool
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() error { // takes page after page, on a stack that grows once
			for ctx.Err() == nil {
				i := int(taken.Add(1)) - 1
				if i >= len(j.pages) {
					break
				}
				x := j.pages[i]
				if !x.slight {
					continue
				}
				p, err := j.alone(x)
				if err != nil {
					return err
				}
				if x.entry.Remarks.Count(remark.Error) > 0 {
					failed.Store(true)
				}
				if draw != nil && !failed.Load() {
					draw(x, p)
				}
			}
			return nil
		})
	}
	if err := workers.Wait(); err != nil || ctx.Err() != nil {
		return err
	}
	for _, x := range j.pages {
		if x.slight {
			x.frozen = true
			j.draft.LetGo(x.Page, x.entry.Face)
		}
	}
	return nil
}

// alone judges a slight page. Its entry is not for the next build where nothing can be kept of the page.
func (j *judged) alone(x *judgedPage) (*handbook.Page, error) {
	p, err := j.draft.Alone(x.Page)
	if err != nil {
		return nil, err
	}
	x.facts = audit.Page(j.book, p.Page)
	own := append(p.Remarks(), x.facts.Remarks...)
	reads, ok := p.Reads()
	if ok && own.Count(remark.Error) == 0 {
		x.entry = j.entry(x, p.Face(), own, reads)
	} else {
		x.entry = j.passing(x, p.Face(), own)
	}
	return p.Page, nil
}

// thaw makes pages as if nothing were known of them.
func (j *judged) thaw(list ...*judgedPage) {
	var sources []*source.Page
	var pages []*handbook.Page
	for _, x := range list {
		j.draft.Anew(x.Page)
		pages = append(pages, x.Page)
		if x.Source.Doc == nil {
			sources = append(sources, x.Source)
		}
	}
	j.tree.Parse(sources)
	j.draft.Outline(pages)
	j.draft.Resolve(pages)
}

// holds tells whether all that was read for an entry is as it was.
func (j *judged) holds(x *judgedPage) bool {
	reads := func(kind handbook.ReadKind) bool {
		return slices.ContainsFunc(x.entry.Reads, func(r reading) bool { return r.Kind == kind })
	}
	if x.Procedure != nil && j.draft.Measured(x.Key) && !reads(handbook.ReadSources) {
		return false // it has a circuit now
	}
	return !slices.ContainsFunc(x.entry.Reads, func(r reading) bool { return j.draft.Digest(r.Read) != r.Digest })
}

// audit judges each page that is not known, and then all of them.
func (j *judged) audit(remarks *remark.List) (err error) {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, x := range j.pages {
		if !x.frozen {
			workers.Go(func() error {
				x.facts = audit.Page(j.book, x.Page)
				return nil
			})
		}
	}
	_ = workers.Wait()
	facts := make([]*audit.Facts, len(j.pages))
	at := map[*handbook.Page]*judgedPage{}
	for i, x := range j.pages {
		facts[i], at[x.Page] = x.facts, x
	}
	*remarks = append(*remarks, audit.Whole(j.book, facts, func(p *handbook.Page) *handbook.Page {
		if at[p].frozen && p.Source.Doc == nil {
			whole, failed := j.draft.Alone(p)
			if failed == nil {
				return whole.Page
			}
			err = failed
		}
		return p
	})...)
	return err
}

// key says all that the files of a page are made from. Pages of other names may have the same text.
func (e *entry) key(path string) string {
	return digest("page", path, e.Source, e.Frame, e.Reads)
}

// aboutSpecs tells whether a remark may be told at a specification.
func aboutSpecs(list remark.List) bool {
	return slices.ContainsFunc(list, func(r remark.Remark) bool {
		return slices.ContainsFunc(r.Subjects[:], func(s remark.Subject) bool {
			return s.Place.File != r.Place.File && strings.HasSuffix(s.Place.File, "ml")
		})
	})
}
