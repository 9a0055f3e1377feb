package search

import (
	"cmp"
	"hash/fnv"
	"slices"
)

// segmentPages is how many pages a segment has at most on average: enough that
// its words are worth their list, and few enough that a changed page costs little.
const segmentPages = 32

// commonShare: what stands in the texts of more than one place in so many tells
// them hardly apart. Such a term is found in titles and names alone.
const commonShare = 4

// segment is a part of the index: some pages with all their postings.
type segment struct {
	first  int // number of its first place
	pages  []*Page
	places []place
}

// Build makes the index of a language. Synonyms are lists of words or phrases
// that mean the same; models are the ids of the handbook's models.
func Build(lang string, pages []*Page, synonyms [][]string, models []string) *Index {
	ix := &Index{Lang: lang, language: languageOf(lang), models: models, lexicon: map[string][]posting{}}
	for _, list := range synonyms {
		var texts [][]string
		for _, text := range list {
			texts = append(texts, ix.language.words(text))
		}
		ix.synonyms = append(ix.synonyms, texts)
	}
	pages = slices.Clone(pages)
	for i, p := range pages {
		own := *p
		pages[i] = &own
	}
	slices.SortFunc(pages, func(a, b *Page) int { return cmp.Compare(a.Path, b.Path) })
	count := 1
	for count*segmentPages < len(pages) {
		count *= 2
	}
	ix.segments = make([]*segment, count)
	for i := range ix.segments {
		ix.segments[i] = &segment{}
	}
	once(pages)
	for _, p := range pages {
		h := fnv.New32a()
		_, _ = h.Write([]byte(p.Key))
		s := ix.segments[int(h.Sum32())%count]
		s.pages = append(s.pages, p)
	}
	for _, s := range ix.segments {
		s.first = len(ix.places)
		for _, p := range s.pages {
			ix.add(p)
		}
		s.places = ix.places[s.first:]
	}
	ix.finish()
	return ix
}

// once leaves of all rows with the same specification one: of the first page of
// reference that has it, else of the first page.
func once(pages []*Page) {
	at := map[string]*Page{}
	for _, reference := range []bool{true, false} {
		for _, p := range pages {
			for _, q := range p.Places {
				if q.Kind == Value && at[q.Title] == nil && (p.Sheet == "reference") == reference {
					at[q.Title] = p
				}
			}
		}
	}
	for _, p := range pages {
		seen := map[string]bool{}
		p.Places = slices.DeleteFunc(slices.Clone(p.Places), func(q Place) bool {
			if q.Kind != Value {
				return false
			}
			again := seen[q.Title] || at[q.Title] != p
			seen[q.Title] = true
			return again
		})
	}
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

// add puts a page's places into the index.
func (ix *Index) add(p *Page) {
	first := len(ix.places)
	for i := range p.Places {
		q := &p.Places[i]
		n := len(ix.places)
		found := map[string]*posting{}
		field := func(text string, set func(*posting)) (length int) {
			for _, t := range ix.language.tokens(text, false) {
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
						found[term] = &posting{place: n}
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
		ix.places = append(ix.places, place{
			page: p, first: first, at: i, ranges: q.Ranges,
			text: min(length/lengthStep, digitsCount-1), title: min(title, digitsCount-1),
		})
		for term, f := range found {
			ix.lexicon[term] = append(ix.lexicon[term], *f)
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
	ix.common = max(leastCommon, n/commonShare)
	ix.counts, ix.cut = map[string]int{}, map[string][]int{}
	for term, list := range ix.lexicon {
		warned := 0
		for _, p := range list {
			if p.onlyHazard() {
				warned++
			}
		}
		if warned > ix.common && warned < len(list) {
			// Most steps warn of it: that hides none of those that tell of it.
			list = slices.DeleteFunc(list, posting.onlyHazard)
			ix.lexicon[term], warned = list, 0
		}
		ix.terms = append(ix.terms, term)
		ix.counts[term] = len(list)
		if max(warned, len(list)-warned) <= ix.common {
			continue
		}
		cut, kept := make([]int, len(ix.segments)), list[:0]
		for _, p := range list {
			cut[ix.segmentOf(p.place)]++
			if p.text, p.hazard = 0, false; p.title || p.lead || p.names {
				kept = append(kept, p)
			}
		}
		ix.lexicon[term], ix.cut[term] = kept, cut
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

// segmentOf is the number of a place's segment.
func (ix *Index) segmentOf(place int) int {
	for i := len(ix.segments) - 1; i > 0; i-- {
		if place >= ix.segments[i].first {
			return i
		}
	}
	return 0
}
