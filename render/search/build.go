package search

import "slices"

// commonShare: what stands in the texts of more than one place in so many tells
// them hardly apart. Such a term is found in titles and names alone.
const commonShare = 4

// segment is a part of the index: some pages with all their postings. Its places are
// numbered from 0.
type segment struct {
	pages   []*Page
	places  []place
	lexicon map[string][]posting
	cut     map[string]int // in how many places a term is, of terms whose occurrences in texts are left out
	settled bool
}

// Build makes the index of a language. Synonyms are lists of words or phrases
// that mean the same; models are the ids of the handbook's models.
func Build(lang string, pages []*Page, synonyms [][]string, models []string) *Index {
	var heads []Head
	byPath := map[string]*Page{}
	for _, p := range pages {
		heads = append(heads, p.Head())
		byPath[p.Path] = p
	}
	plan := NewPlan(lang, heads, models)
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
		tallies[i] = plan.Tally(i, byPath)
	}
	settled := plan.Settle(tallies)
	ix.counts = map[string]int{}
	for _, s := range plan.read {
		s.settle(settled)
		ix.take(s)
	}
	ix.finish()
	return ix
}

// words are the terms of a text of a list of synonyms, without those that name
// nothing.
func (l *language) words(text string) (terms []string) {
	for _, t := range l.tokens(text, true) {
		if !t.empty {
			terms = append(terms, t.term)
		}
	}
	return terms
}

// placeTerms are the terms of a place, and the lengths of its text and its title.
type placeTerms struct {
	terms       map[string]posting
	text, title int
}

// read reads the texts of a place.
func (l *language) read(q *Place) placeTerms {
	found := map[string]*posting{}
	field := func(text string, set func(*posting)) (length int) {
		for _, t := range l.tokens(text, false) {
			if t.empty {
				continue
			}
			if !t.joined {
				length++
			}
			if t.figures != nil && t.unit == nil && len(t.term) == 1 {
				continue // one digit says nothing
			}
			for _, term := range []string{t.term, t.other} {
				if term == "" {
					continue
				}
				if found[term] == nil {
					found[term] = &posting{}
				}
				set(found[term])
			}
		}
		return length
	}
	length := field(q.Text, func(f *posting) { f.text = min(f.text+1, maxText) })
	title := field(q.Title, func(f *posting) { f.title = true })
	field(q.Lead, func(f *posting) { f.lead = true })
	field(q.Names, func(f *posting) { f.names = true })
	field(q.Hazards, func(f *posting) { f.hazard = true })
	r := placeTerms{map[string]posting{}, min(length/lengthStep, digitsCount-1), min(title, digitsCount-1)}
	for term, f := range found {
		r.terms[term] = *f
	}
	return r
}

// add puts a page's places into the segment, each with its terms.
func (s *segment) add(p *Page, terms []placeTerms) {
	first := len(s.places)
	for i, read := range terms {
		n := len(s.places)
		s.places = append(s.places, place{page: p, first: first, at: i, ranges: p.Places[i].Ranges, text: read.text, title: read.title})
		for term, f := range read.terms {
			f.place = n
			s.lexicon[term] = append(s.lexicon[term], f)
		}
	}
}

// settle cuts the lists of terms that are common in the handbook.
func (s *segment) settle(settled Settled) {
	if s.settled {
		return
	}
	s.settled, s.cut = true, map[string]int{}
	for term := range settled.unwarned {
		s.lexicon[term] = slices.DeleteFunc(s.lexicon[term], posting.onlyHazard)
	}
	for term := range settled.cut {
		list := s.lexicon[term]
		s.cut[term] = len(list)
		kept := list[:0]
		for _, p := range list {
			if p.text, p.hazard = 0, false; p.title || p.lead || p.names {
				kept = append(kept, p)
			}
		}
		s.lexicon[term] = kept
	}
}

// take puts a segment into the whole index, in which places are numbered on.
func (ix *Index) take(s *segment) {
	first := len(ix.places)
	for _, p := range s.places {
		p.first += first
		ix.places = append(ix.places, p)
	}
	for term, list := range s.lexicon {
		if n := s.cut[term]; n > 0 {
			ix.counts[term] += n
		} else {
			ix.counts[term] += len(list)
		}
		for _, p := range list {
			p.place += first
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
