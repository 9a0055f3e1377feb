package audit

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// naming tells by their titles which specifications a text is about.
type naming struct {
	specs  []*handbook.Spec
	source string                // the first language
	titles map[string][][]string // by language, the words of each one's title

	mu    sync.Mutex
	dated map[string]bool // what everPast found out
}

// commonWord is the share of the specifications' titles from which on a word in them tells nothing: the, of.
const commonWord = 0.25

// newNaming returns nil where no specification has ever changed.
func newNaming(h *handbook.Handbook) *naming {
	n := &naming{source: h.Languages[0], titles: map[string][][]string{}, dated: map[string]bool{}}
	n.specs = slices.DeleteFunc(slices.Clone(h.Specs), func(s *handbook.Spec) bool { return s.Faulty })
	if !slices.ContainsFunc(n.specs, hasPast) {
		return nil
	}
	for _, lang := range h.Languages {
		count := map[string]int{}
		var titles [][]string
		for _, s := range n.specs {
			words := strings.FieldsFunc(strings.ToLower(s.Title.In(lang)), func(c rune) bool { return strings.ContainsRune(" -,;:()/'’", c) })
			words = slices.DeleteFunc(words, func(w string) bool { return len([]rune(w)) < 3 })
			slices.Sort(words)
			words = slices.Compact(words)
			for _, w := range words {
				count[w]++
			}
			titles = append(titles, words)
		}
		for i, words := range titles {
			titles[i] = slices.DeleteFunc(words, func(w string) bool { return count[w] > 3 && float64(count[w]) > commonWord*float64(len(titles)) })
		}
		n.titles[lang] = titles
	}
	return n
}

// titled is the language of the titles that a text is held against, the first one for words that hold for all.
func (n *naming) titled(lang string) string {
	if n.titles[lang] == nil {
		return n.source
	}
	return lang
}

// everPast tells whether a text, taken for that of any model, has a figure that some specification held before. Few
// have: what a text is about is asked of those alone.
func (n *naming) everPast(h *handbook.Handbook, text string) bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	found, known := n.dated[text]
	if !known {
		all := &handbook.Page{Applicability: h.Models}
		found = slices.ContainsFunc(figuresOf(text), func(t typed) bool {
			return slices.ContainsFunc(n.specs, func(s *handbook.Spec) bool { return before(all, s, t) != nil })
		})
		n.dated[text] = found
	}
	return found
}

// asks tells whether a page has such a figure.
func (n *naming) asks(h *handbook.Handbook, f *Facts) bool {
	for text := range f.Figures.All() {
		if n.everPast(h, text) {
			return true
		}
	}
	return false
}

// sentenceAt is the sentence of a text in which a figure stands, or its item or row.
func sentenceAt(text string, t typed) string {
	start := max(0, t.from-longestSentence)
	from, to := start, min(len(text), t.to+longestSentence)
	for _, end := range sentenceBreak.FindAllStringIndex(text[start:to], -1) {
		if start+end[1] <= t.from {
			from = start + end[1]
		} else if start+end[0] >= t.to {
			to = start + end[0]
			break
		}
	}
	return text[from:to]
}

// longestSentence is how far from a figure its sentence is looked for, in bytes.
const longestSentence = 2_000

// sentenceBreak stands between a sentence, an item or a row and the next. A colon does not: it stands between a name and its figure.
var sentenceBreak = regexp.MustCompile(`[.!?;]["'”’)]*\s+|\n\s*\n|\n *[-*|#>]`)

// shares tells of each specification how much of its title stands in a text, which may be there in several languages. One
// whose own text it is has it all.
func (n *naming) shares(said handbook.Words, own *handbook.Spec) []float64 {
	shares := make([]float64, len(n.specs))
	for i, s := range n.specs {
		if s == own {
			shares[i] = 1
			continue
		}
		for lang, text := range said {
			title := n.titles[lang][i]
			found := 0
			for _, w := range title {
				if inflected(w).form.MatchString(text) {
					found++
				}
			}
			shares[i] = max(shares[i], float64(found)/float64(max(len(title), 1)))
		}
	}
	return shares
}

// enough is the least share of its title by which a text names a specification.
const enough = 0.5

// past returns the specification that a figure was of, and when: of all of its kind the one whose title its sentence has most of,
// or where that names none the whole text. Where another figure beside it is of the same value, no word is needed. What a
// specification has today that is named as well as that is not superseded.
func (n *naming) past(p *handbook.Page, sentence, text []float64, t typed, beside []typed) (*handbook.Spec, *handbook.Earlier) {
	u, ok := unit.Lookup(t.symbol)
	if !ok {
		return nil, nil
	}
	shares := sentence
	most := func() (best float64) {
		for i, s := range n.specs {
			if s.Unit.Kind == u.Kind {
				best = max(best, shares[i])
			}
		}
		return best
	}
	if most() < enough {
		shares = text
	}
	best, now := max(most(), enough), 0.0
	for i, s := range n.specs {
		if shares[i] > now && holds(s, limitsHeld(p, s), t.number, t.symbol) {
			now = shares[i]
		}
	}
	for i, s := range n.specs {
		if s.Unit.Kind != u.Kind || !hasPast(s) {
			continue
		}
		e := before(p, s, t)
		if e == nil || holds(s, limitsHeld(p, s), t.number, t.symbol) {
			continue
		}
		if shares[i] == best && best > now || n.both(p, e, s, t, beside) {
			return s, e
		}
	}
	return nil, nil
}

// both tells whether another figure of a text is of the same earlier value, and no specification has the two today.
func (n *naming) both(p *handbook.Page, e *handbook.Earlier, s *handbook.Spec, t typed, beside []typed) bool {
	return slices.ContainsFunc(beside, func(o typed) bool {
		return o.number != t.number && holds(s, limitsBefore(p, e), o.number, o.symbol) && !slices.ContainsFunc(n.specs, func(other *handbook.Spec) bool {
			limits := limitsHeld(p, other)
			return holds(other, limits, t.number, t.symbol) && holds(other, limits, o.number, o.symbol)
		})
	})
}

// pastData remarks on texts of the handbook's data in which a specification is named with a figure that it held before.
func pastData(h *handbook.Handbook, n *naming, remarks *remark.List) {
	all := &handbook.Page{Applicability: h.Models}
	each := func(own *handbook.Spec, beside, text handbook.Words, at remark.Place) {
		if !slices.ContainsFunc(slices.Collect(maps.Values(text)), func(text string) bool { return n.everPast(h, text) }) {
			return
		}
		said := handbook.Words{}
		for lang := range text {
			said[n.titled(lang)] = beside.In(lang) + " " + text[lang]
		}
		shares := n.shares(said, own)
		for _, lang := range slices.Sorted(maps.Keys(text)) {
			figures := figuresOf(text[lang])
			eachFigure(text[lang], func(t typed) bool {
				sentence := beside.In(lang) + " " + sentenceAt(text[lang], t)
				s, e := n.past(all, n.shares(handbook.Words{n.titled(lang): sentence}, own), shares, t, figures)
				if s != nil {
					*remarks = append(*remarks, superseded(h.PlaceOf(text[lang], at), text[lang], t, s, e).Instead("Write what holds now."))
				}
				return s != nil
			})
		}
	}
	each(nil, nil, h.Notice, h.Place)
	for _, z := range h.Hazards {
		each(nil, nil, z.Title, h.Place)
	}
	for _, title := range h.LabelTitles() {
		each(nil, nil, title, h.Place)
	}
	for _, lang := range h.Languages {
		for _, term := range h.Glossary[lang] {
			each(nil, handbook.Words{lang: term.Term}, handbook.Words{lang: term.Meaning}, term.Place)
		}
	}
	for _, s := range h.States {
		each(nil, nil, s.Title, s.Place)
		each(nil, s.Title, s.Text, s.Place)
	}
	for _, s := range h.Settings {
		each(nil, nil, s.Title, s.Place)
		each(nil, s.Title, s.Restore, s.Place)
	}
	for _, m := range h.Models {
		each(nil, nil, m.Text, m.Place)
	}
	for _, part := range h.Parts {
		each(nil, nil, part.Title, part.Place)
		each(nil, part.Title, part.System, part.Place)
	}
	for _, s := range n.specs {
		each(s, nil, s.Title, s.Place)
		each(s, s.Title, s.Conditions, s.Place)
		each(s, nil, s.Source, s.Place)
	}
	for _, c := range h.Circuits {
		for _, e := range c.Elements {
			each(nil, nil, e.Title, c.Place)
		}
		for _, f := range c.Faults {
			each(nil, nil, f.Title, f.Place)
		}
	}
}

// figures notes the figures of a page.
func (f *Facts) figures(p *handbook.Page) {
	var figures []string
	eachText(p, func(text string, _ func(int) remark.Place) {
		for _, t := range figuresOf(text) {
			if _, ok := unit.Lookup(t.symbol); ok {
				figures = append(figures, text[t.from:t.to])
			}
		}
	})
	slices.Sort(figures)
	f.Figures = source.Together(slices.Compact(figures))
}

// pastNamed remarks on pages that name a specification in words, in one sentence with a figure that it held before, and do not
// show it. Few pages have such a figure at all: whole is asked for those.
func pastNamed(h *handbook.Handbook, n *naming, facts []*Facts, whole func(*handbook.Page) *handbook.Page, remarks *remark.List) {
	for i, p := range h.Pages {
		if !n.asks(h, facts[i]) {
			continue
		}
		p = whole(p)
		shown := shownSpecs(p)
		eachText(p, func(text string, place func(int) remark.Place) {
			eachFigure(text, func(t typed) bool {
				if slices.ContainsFunc(shown, func(s *handbook.Spec) bool { return holds(s, limitsHeld(p, s), t.number, t.symbol) }) {
					return false
				}
				sentence := sentenceAt(text, t)
				shares := n.shares(handbook.Words{n.titled(p.Lang): sentence}, nil)
				s, e := n.past(p, shares, shares, t, figuresOf(sentence))
				if s == nil || shares[slices.Index(n.specs, s)] == 0 || slices.Contains(shown, s) || supersedes(p, s) {
					return false
				}
				*remarks = append(*remarks, superseded(place(t.from), text, t, s, e))
				return true
			})
		})
	}
}
