package search

import (
	"slices"
	"sync"

	"benchleaf/calc/unit"
)

// commonShare: what stands in the texts of more than one place in so many tells
// them hardly apart. Such a term is found in titles and names alone.
const commonShare = 4

// segment is a part of the index: some pages with all their postings. Its places are
// numbered from 0.
type segment struct {
	pages  []*Page
	places []place
	terms  []string       // sorted
	lists  [][]posting    // of each term, by place
	cut    map[string]int // in how many places a term is, of terms whose occurrences in texts are left out
}

// Build makes the index of a language. Synonyms are lists of words or phrases
// that mean the same; models are the ids of the handbook's models.
func Build(lang string, pages []*Page, synonyms [][]string, models []string) *Index {
	var heads []Head
	reader, taken := NewReader(lang), map[string]*Taken{}
	for _, p := range pages {
		heads = append(heads, p.Head())
		taken[p.Path] = reader.Take(p)
	}
	plan := NewPlan(reader, lang, heads, models)
	ix := &Index{Plan: plan, lexicon: map[string][]posting{}}
	for _, list := range synonyms {
		var texts [][]string
		for _, text := range list {
			texts = append(texts, ix.language.words(text))
		}
		ix.synonyms = append(ix.synonyms, texts)
	}
	tallies := make([]Tally, plan.Segments())
	for i := range tallies {
		tallies[i] = plan.Tally(i, taken)
	}
	settled := plan.Settle(tallies)
	ix.counts = map[string]int{}
	for i := range tallies {
		s := plan.segment(i, taken)
		s.settle(settled)
		ix.segments = append(ix.segments, s)
		ix.take(s)
	}
	ix.finish()
	return ix
}

// words are the terms of a text of a list of synonyms, without those that name
// nothing.
func (l *language) words(text string) (terms []string) {
	for _, t := range l.tokens(unit.Western(text, l.decimal), true) {
		if !t.empty {
			terms = append(terms, t.term)
		}
	}
	return terms
}

// numbered is a posting with the number of its term.
type numbered struct {
	id uint32
	posting
}

// scratch is what a segment is made in, kept for the next one.
type scratch struct {
	// count is by number of a term in how many places of the segment it is, warned in how many of those nothing but
	// a warning has it; all 0 in between.
	count, warned []uint32

	text     []byte
	records  [][]byte // of the page at hand
	entries  []numbered
	postings []posting // that the segment's lists are pieces of
	segment  segment
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// room makes room for all terms of a reader.
func (in *scratch) room(r *Reader) {
	if missing := len(r.terms) - len(in.count); missing > 0 {
		in.count, in.warned = append(in.count, make([]uint32, missing)...), append(in.warned, make([]uint32, missing)...)
	}
}

// segment makes a segment, whose pages are among those given by path. Their number
// in the handbook stands in no place of a segment.
func (l *Plan) segment(i int, pages map[string]*Taken) *segment {
	return l.segmentIn(new(scratch), i, pages)
}

// segmentIn makes a segment that lasts until another is made in the same memory.
func (l *Plan) segmentIn(in *scratch, i int, pages map[string]*Taken) *segment {
	s := &in.segment
	*s = segment{pages: s.pages[:0], places: s.places[:0], terms: s.terms[:0], lists: s.lists[:0]}
	in.entries = in.entries[:0]
	in.room(l.reader)
	for _, planned := range l.pages[i] {
		taken := pages[planned.Path]
		page := taken.whole()
		own := page.own(planned.values)
		if len(own) < len(page.Places) {
			page = page.only(own)
		}
		s.pages = append(s.pages, page)
		in.records = taken.records(in.records[:0])
		first := len(s.places)
		for at, k := range own {
			n := len(s.places)
			text, title := readRecord(in.records[k], func(id uint32, f fields) {
				in.entries = append(in.entries, numbered{id, posting{int32(n), f}})
				in.count[id]++
			})
			s.places = append(s.places, place{page: page, first: first, at: at, ranges: page.Places[at].Ranges, text: text, title: title})
		}
	}
	in.postings = slices.Grow(in.postings[:0], len(in.entries))[:len(in.entries)]
	from := uint32(0)
	for _, id := range l.reader.ordered() { // sooner gone through than those of the segment are sorted
		if n := in.count[id]; n > 0 {
			to := from + n
			s.terms, s.lists = append(s.terms, l.reader.terms[id]), append(s.lists, in.postings[from:to:to])
			in.count[id], from = from, to // where the next of them goes
		}
	}
	for _, e := range in.entries {
		in.postings[in.count[e.id]] = e.posting
		in.count[e.id]++
	}
	for _, e := range in.entries {
		in.count[e.id] = 0
	}
	return s
}

// own are the numbers of the places that are not rows of values that are another's, or the
// page's again. values are titles of those that are its own, sorted.
func (p *Page) own(values []string) (own []int) {
	var seen map[string]bool
	for i := range p.Places {
		if q := &p.Places[i]; q.Kind == Value {
			if _, mine := slices.BinarySearch(values, q.Title); !mine || seen[q.Title] {
				continue
			}
			if seen == nil {
				seen = map[string]bool{}
			}
			seen[q.Title] = true
		}
		own = append(own, i)
	}
	return own
}

// only is the page with some of its places.
func (p *Page) only(own []int) *Page {
	page := *p
	page.taken, page.Places = nil, nil
	for _, i := range own {
		page.Places = append(page.Places, p.Places[i])
	}
	return &page
}

// list is where a term's list is, -1 where there is none.
func (s *segment) list(term string) int {
	if i, ok := slices.BinarySearch(s.terms, term); ok {
		return i
	}
	return -1
}

// settle cuts the lists of terms that are common in the handbook.
func (s *segment) settle(settled Settled) {
	s.cut = map[string]int{}
	for term := range settled.unwarned {
		if i := s.list(term); i >= 0 {
			s.lists[i] = slices.DeleteFunc(s.lists[i], func(p posting) bool { return p.fields == inHazards })
		}
	}
	for term := range settled.cut {
		i := s.list(term)
		if i < 0 {
			continue
		}
		list := s.lists[i]
		s.cut[term] = len(list)
		kept := list[:0]
		for _, p := range list {
			if p.fields &= inTitle | inLead | inNames; p.fields != 0 {
				kept = append(kept, p)
			}
		}
		s.lists[i] = kept
	}
}

// take puts a segment into the whole index, in which places are numbered on.
func (ix *Index) take(s *segment) {
	first := len(ix.places)
	for _, p := range s.places {
		p.first += first
		ix.places = append(ix.places, p)
	}
	for i, list := range s.lists {
		term := s.terms[i]
		if n := s.cut[term]; n > 0 {
			ix.counts[term] += n
		} else {
			ix.counts[term] += len(list)
		}
		for _, p := range list {
			p.place += int32(first)
			ix.lexicon[term] = append(ix.lexicon[term], p)
		}
	}
}

// finish computes what concerns the whole index.
func (ix *Index) finish() {
	for _, p := range ix.places {
		ix.text += float64(p.text)
		ix.title += float64(p.title)
	}
	n := max(1, len(ix.places))
	ix.text, ix.title = max(1, ix.text/float64(n)), max(1, ix.title/float64(n))
	for term, n := range ix.counts {
		if n > 0 {
			ix.terms = append(ix.terms, term)
		}
	}
	slices.Sort(ix.terms)
	for _, list := range ix.synonyms {
		for _, text := range list {
			ix.said = append(ix.said, text...)
		}
	}
	slices.Sort(ix.said)
	ix.said = slices.Compact(ix.said)
}

// leastCommon keeps a small handbook's index whole.
const leastCommon = 40
