package render

import (
	"context"
	"runtime"
	"slices"
	"strings"

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
	result Result
	apart  remark.List   // those of the result, where there are several of one mistake each at its place
	pages  []*judgedPage // in the order of the book's
}

// judgedPage is a page of it.
type judgedPage struct {
	*handbook.Page
	entry  *entry // nil where nothing can be kept of the page
	frozen bool   // it is known by its entry alone
	facts  *audit.Facts
	face   string // digest
}

// judge resolves and audits a tree, whose scan has brought remarks. A page that is known,
// and of which all that it read is the same, is taken as it was.
func (b *builder) judge(ctx context.Context, tree *source.Tree, remarks remark.List, progress Progress) (*judged, error) {
	sources := map[string]string{}
	var anew []*source.Page
	for _, p := range tree.Pages {
		sources[p.Path] = tree.Digest(p.Path)
		if e := b.last.Pages[p.Path]; e == nil || e.Source != sources[p.Path] || b.last.Bundles[e.Bundle] == nil {
			anew = append(anew, p)
		}
	}
	all := tree.Pages
	tree.Parse(anew)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	progress.begin(Judging)
	for _, p := range all {
		if p.Doc == nil && tree.Unread(p.Path) {
			remarks = append(remarks, p.Remarks...)
		}
	}
	j := &judged{tree: tree, draft: handbook.Begin(tree, b.last.Assets)}
	j.book, j.frame = j.draft.Book(), j.draft.Frame()
	if b.since != nil {
		j.frame = digest(j.frame, b.since.ID) // what it says of a page, and of all values, is part of every page
	}
	var thawed []*judgedPage
	for _, p := range j.book.Pages {
		e := b.last.Pages[p.Source.Path]
		x := &judgedPage{Page: p}
		j.pages = append(j.pages, x)
		if p.Source.Doc == nil && e.Frame == j.frame && !p.Index {
			x.entry, x.frozen, x.facts = e, true, e.Facts
			j.draft.Restore(p, e.Face)
		} else {
			thawed = append(thawed, x)
		}
	}
	for more := true; more; more = len(thawed) > 0 {
		j.thaw(thawed...)
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
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	remarks = append(remarks, j.draft.Finish()...)
	remarks = append(remarks, compare.Unrenewed(b.since, j.book)...)
	j.audit(&remarks)
	for _, x := range j.pages {
		if x.frozen {
			x.face = x.entry.FaceDigest
			remarks = append(remarks, x.entry.Remarks...)
			continue
		}
		own := slices.Concat(x.Source.Remarks, j.draft.Remarks(x.Page), x.facts.Remarks)
		remarks = append(remarks, own...)
		face := j.draft.Face(x.Page)
		x.face = digest(face)
		if reads, ok := j.draft.Reads(x.Page); ok && own.Count(remark.Error) == 0 {
			x.entry = &entry{Source: sources[x.Source.Path], Frame: j.frame, Face: face, FaceDigest: x.face, Facts: x.facts, Remarks: own}
			if aboutSpecs(own) {
				reads = append(reads, handbook.Read{Kind: handbook.ReadPlaces})
			}
			for _, read := range reads {
				x.entry.Reads = append(x.entry.Reads, reading{read, j.draft.Digest(read)})
			}
			if !x.Index {
				x.entry.Bundle = x.entry.key()
			}
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
func (j *judged) audit(remarks *remark.List) {
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
	*remarks = append(*remarks, audit.Whole(j.book, facts, func(p *handbook.Page) {
		if at[p].frozen && p.Source.Doc == nil {
			j.thaw(at[p])
		}
	})...)
}

// key says all that the files of a page are made from.
func (e *entry) key() string { return digest("page", e.Source, e.Frame, e.Reads) }

// aboutSpecs tells whether a remark may be told at a specification.
func aboutSpecs(list remark.List) bool {
	return slices.ContainsFunc(list, func(r remark.Remark) bool {
		return slices.ContainsFunc(r.Subjects[:], func(s remark.Subject) bool {
			return s.Place.File != r.Place.File && strings.HasSuffix(s.Place.File, "ml")
		})
	})
}
