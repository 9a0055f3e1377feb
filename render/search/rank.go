package search

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"benchleaf/calc/unit"
)

// Hit is a place that was found.
type Hit struct {
	Page  *Page
	Place *Place
	Score float64
	Not   bool // it does not hold for the chosen model
}

// Weights of the fields and of what a word may stand for. BM25F as in S. Robertson
// and H. Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond"
// (2009), 3.6: the frequencies in the fields are weighted and normed by the
// fields' lengths, then saturated together. k1 and b are from their usual range;
// the other weights were set by the list of queries in testdata/search.
const (
	saturation = 1.2 // k1
	normText   = 0.6 // b of the text
	normTitle  = 0.3 // b of the title
	titleGain  = 5.0
	leadGain   = 2.5
	namesGain  = 2.0
	hazardGain = 0.2
	inherited  = 0.35 // share of a page's title and symptom that its places have

	sameWord  = 0.9  // a synonym
	longer    = 0.75 // what is typed is the beginning of a word
	longerYet = 0.5  // and is a word itself: the longer ones are rarer, and would come before it
	oneSlip   = 0.6
	twoSlips  = 0.4
	inRange   = 0.5 // limits allow the quantity
	unitless  = 0.5 // the figure stands without its unit
	anyRange  = 0.3 // limits allow the figure, in the unit that they are given in
	perPage   = 3   // places of one page before those of others
	mostWords = 30  // that a beginning stands for

	shortestPart = 3 // letters of a word that is joined to another

	wholeTitle = 1.5 // each word of a title is asked for; one word alone is not, but where it is the query
)

// choice is one of the things that a word of a query may stand for: terms that
// stand in a place together, or a range.
type choice struct {
	terms  []string
	share  float64
	within func(Range) bool
}

// Find ranks places for a query. model is the id of the chosen model, or "".
func (ix *Index) Find(query, model string) []Hit {
	groups := ix.read(query)
	n := len(ix.places)
	total := make([]float64, n)
	gained := make([]float64, n)
	own := make([]bool, n)
	titled, met := make([]int, n), map[string]bool{} // how many words of each title are asked for
	all := 0.0
	for _, choices := range groups {
		best, lead := make([]float64, n), make([]float64, n)
		worth := 0.0
		for _, c := range choices {
			worth = max(worth, ix.choose(c, best, lead, func(term string, i int32) {
				if !met[term] {
					titled[i]++
				}
			}))
			for _, term := range c.terms {
				met[term] = true
			}
		}
		all += worth
		for i, p := range ix.places {
			score := best[i]
			if score > 0 {
				own[i] = true
			}
			if p.at > 0 {
				score = max(score, inherited*lead[p.first])
			}
			if score > 0 {
				total[i] += score
				gained[i] += worth
			}
		}
	}
	var found []int
	for i := range total {
		if own[i] {
			if all > 0 { // else there is nothing but figures within limits
				total[i] *= gained[i] / all
			}
			if t := ix.places[i].title; t >= min(2, len(groups)) && titled[i] >= t {
				total[i] *= wholeTitle
			}
			total[i] = math.Floor(total[i]*1e6 + 0.5)
			found = append(found, i)
		}
	}
	return ix.order(found, total, model)
}

// order puts the best first, no more than perPage of a page before the others,
// and what does not hold for the model last.
func (ix *Index) order(found []int, total []float64, model string) []Hit {
	slices.SortStableFunc(found, func(a, b int) int { return cmp.Or(cmp.Compare(total[b], total[a]), cmp.Compare(a, b)) })
	var lists [4][]Hit
	seen := map[*Page]int{}
	for _, i := range found {
		p := ix.places[i]
		h := Hit{p.page, &p.page.Places[p.at], total[i], model != "" && p.page.Models != nil && !slices.Contains(p.page.Models, model)}
		list := 0
		if seen[p.page]++; seen[p.page] > perPage {
			list = 1
		}
		if h.Not {
			list += 2
		}
		lists[list] = append(lists[list], h)
	}
	return slices.Concat(lists[:]...)
}

// rarity is the weight of a term that is in so many places (Robertson and
// Zaragoza, 3.2, with one added so that it is never negative). It is rounded, so
// that a logarithm's last digit decides nothing.
func (ix *Index) rarity(count int) float64 {
	n := float64(len(ix.places))
	return math.Floor(4096*math.Log(1+(n-float64(count)+0.5)/(float64(count)+0.5))+0.5) / 4096
}

// choose adds to best what each place has of a choice, where that is more, and to
// lead the same of titles and symptoms alone. It tells of each term in whose titles it stands, and returns the choice's worth.
func (ix *Index) choose(c choice, best, lead []float64, titles func(term string, place int32)) (worth float64) {
	if c.within != nil {
		for i, p := range ix.places {
			if slices.ContainsFunc(p.ranges, c.within) {
				best[i] = max(best[i], c.share*rangeScore)
			}
		}
		return 0
	}
	count := make(map[int32]int)
	sum, sumLead := map[int32]float64{}, map[int32]float64{}
	if slices.ContainsFunc(c.terms, func(term string) bool { return !ix.has(term) }) {
		return 0
	}
	for _, term := range c.terms {
		rarity := ix.rarity(ix.counts[term])
		worth += rarity
		for _, f := range ix.lexicon[term] {
			p := ix.places[f.place]
			x, y := 0.0, 0.0
			if f.fields&inTitle != 0 {
				titles(term, f.place)
				y = titleGain / (1 - normTitle + normTitle*float64(p.title)/ix.title)
			}
			if f.fields&inLead != 0 {
				y += leadGain
			}
			x = y + float64(f.text())/(1-normText+normText*float64(p.text)/ix.text)
			if f.fields&inNames != 0 {
				x += namesGain
			}
			if f.fields&inHazards != 0 {
				x += hazardGain
			}
			count[f.place]++
			sum[f.place] += rarity * x / (saturation + x)
			sumLead[f.place] += rarity * y / (saturation + y)
		}
	}
	n := float64(len(c.terms))
	for i, k := range count {
		if k == len(c.terms) {
			best[i] = max(best[i], c.share*sum[i]/n)
			lead[i] = max(lead[i], c.share*sumLead[i]/n)
		}
	}
	return c.share * worth / n
}

// rangeScore is what a place has whose limits allow the quantity.
const rangeScore = 4.0

// read makes of each word of a query the choices that it may stand for.
func (ix *Index) read(query string) (groups [][]choice) {
	l := &ix.language
	query = unit.Western(query, l.decimal)
	tokens := l.tokens(query, true)
	if naming := slices.DeleteFunc(slices.Clone(tokens), func(t named) bool { return t.empty }); len(naming) > 0 {
		tokens = naming
	}
	meant := make([][]choice, len(tokens))
	for i, t := range tokens {
		last := i == len(tokens)-1 && t.end == len(query)
		if t.numeral != nil {
			meant[i] = ix.numbers(t)
			continue
		}
		meant[i] = ix.word(t, last)
	}
	for i := 0; i+1 < len(tokens); i++ {
		a, b := tokens[i], tokens[i+1]
		if a.folded == "" || b.folded == "" {
			continue
		}
		if term := l.stem(a.folded + b.folded); ix.has(term) {
			c := choice{terms: []string{term}, share: longerYet}
			meant[i], meant[i+1] = append(meant[i], c), append(meant[i+1], c)
		}
	}
	ix.mean(tokens, meant)
	for _, choices := range meant {
		if len(choices) > 0 {
			groups = append(groups, choices)
		}
	}
	return groups
}

func (ix *Index) has(term string) bool { return ix.counts[term] > 0 }

// numbers are what a number may stand for: itself, with its unit or where limits
// allow it; without one, a figure as it is written with any unit, or as limits are.
func (ix *Index) numbers(t named) (choices []choice) {
	terms := []string{t.term}
	if t.other != "" {
		terms = append(terms, t.other)
	}
	for k, term := range terms {
		if ix.has(term) {
			choices = append(choices, choice{terms: []string{term}, share: 1})
		} else if t.unit != nil {
			choices = append(choices, ix.rounded(t.figures[k], t.unit)...)
		}
		if t.unit == nil {
			if written := writtenTerm(term); ix.has(written) {
				choices = append(choices, choice{terms: []string{written}, share: 1})
			}
			if v := rounded(t.figures[k]); len(term) > 1 {
				choices = append(choices, choice{share: anyRange, within: func(r Range) bool { return !r.converted() && r.Min <= v && v <= r.Max }})
			}
			continue
		}
		v := rounded(t.unit.of(t.figures[k]))
		measure := t.unit.measure
		choices = append(choices, choice{share: inRange, within: func(r Range) bool {
			return strings.TrimPrefix(r.Measure, converted) == measure && r.Min <= v && v <= r.Max
		}})
		if bare := numberTerm(t.figures[k], nil); ix.has(bare) {
			choices = append(choices, choice{terms: []string{bare}, share: unitless})
		}
	}
	return choices
}

// rounded are the quantities that a figure may be once it is rounded as it is written: 16.2 ft·lb is 22 N·m.
func (ix *Index) rounded(figure float64, u *measured) (choices []choice) {
	_, fraction, _ := strings.Cut(strconv.FormatFloat(figure, 'f', -1, 64), ".")
	v, most := rounded(u.of(figure)), u.factor/math.Pow10(len(fraction))/2 // half a digit
	for _, term := range ix.terms {
		if in, ok := strings.CutSuffix(term, "~"+u.measure); ok {
			if w, _ := strconv.ParseFloat(in, 64); math.Abs(w-v) < most {
				choices = append(choices, choice{terms: []string{term}, share: sameWord})
			}
		}
	}
	return choices
}

// word is what a word may stand for: itself, longer words where it is the last or
// no text has it, and else two words that it joins, or words that differ by a slip or two.
func (ix *Index) word(t named, last bool) (choices []choice) {
	if ix.knows(t.term) {
		choices = append(choices, choice{terms: []string{t.term}, share: 1})
	}
	letters, share := utf8.RuneCountInString(t.folded), longer
	if choices != nil {
		share = longerYet
	}
	if last && letters >= 2 || !ix.has(t.term) && letters >= 3 {
		for _, term := range ix.beginning(t.folded) {
			choices = append(choices, choice{terms: []string{term}, share: share})
		}
	}
	if choices != nil || strings.ContainsAny(t.folded, "0123456789") {
		return choices
	}
	if choices = ix.parted(t.folded); choices != nil {
		return choices
	}
	terms, slips := ix.near(t.term, last)
	for _, term := range terms {
		share := oneSlip
		if slips > 1 {
			share = twoSlips
		}
		choices = append(choices, choice{terms: []string{term}, share: share})
	}
	return choices
}

// parted are the two words that one without a blank may be: mainjet.
func (ix *Index) parted(word string) (choices []choice) {
	letters := []rune(word)
	for at := shortestPart; at <= len(letters)-shortestPart; at++ {
		a, b := ix.language.stem(string(letters[:at])), ix.language.stem(string(letters[at:]))
		if ix.has(a) && ix.has(b) {
			choices = append(choices, choice{terms: []string{a, b}, share: oneSlip})
		}
	}
	return choices
}

// knows tells whether a term is in the index or in a list of synonyms.
func (ix *Index) knows(term string) bool {
	_, said := slices.BinarySearch(ix.said, term)
	return said || ix.has(term)
}

// mean adds what the synonyms of each word, and of phrases, stand for.
func (ix *Index) mean(tokens []named, meant [][]choice) {
	plain := make([][]choice, len(meant))
	copy(plain, meant)
	for _, list := range ix.synonyms {
		for k, text := range list {
			for i := 0; i+len(text) <= len(tokens); i++ {
				share := phrase(plain[i:i+len(text)], text)
				if share == 0 {
					continue
				}
				for other, terms := range list {
					if other == k || len(terms) == 0 {
						continue
					}
					for at := i; at < i+len(text); at++ {
						meant[at] = append(slices.Clip(meant[at]), choice{terms: terms, share: share * sameWord})
					}
				}
			}
		}
	}
}

// phrase tells how surely words of a query are those of a text; 0: they are not.
func phrase(meant [][]choice, text []string) float64 {
	share := 1.0
	for i, term := range text {
		best := 0.0
		for _, c := range meant[i] {
			if len(c.terms) == 1 && c.terms[0] == term && c.share != longer {
				best = max(best, c.share)
			}
		}
		share = min(share, best)
	}
	return share
}

// beginning lists the terms that begin with a text, the shortest first.
func (ix *Index) beginning(text string) []string {
	from, _ := slices.BinarySearch(ix.terms, text)
	to := from
	for to < len(ix.terms) && strings.HasPrefix(ix.terms[to], text) {
		to++
	}
	list := slices.Clone(ix.terms[from:to])
	slices.SortStableFunc(list, func(a, b string) int { return cmp.Compare(utf8.RuneCountInString(a), utf8.RuneCountInString(b)) })
	return list[:min(len(list), mostWords)]
}
