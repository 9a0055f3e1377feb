package audit

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// style gives advice on how a page is written.
func style(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	typedValues(p, remarks)
	supersededValues(p, remarks)
	mixedUnits(h, p, remarks)
	lateCautions(p, remarks)
	avoidedTerms(h, p, remarks)
	if p.Procedure != nil {
		longSentences(p, remarks)
		severalInstructions(p, remarks)
		passiveInstructions(p, remarks)
		vagueLimits(p, remarks)
	}
}

// mostWords is what the longest sentence of a step has. ASD-STE100 (Simplified Technical
// English) allows 20 in an instruction and 25 in a description; a step holds both.
const mostWords = 25

// longSentences gives advice on sentences of steps that nobody keeps in mind while the
// hands are busy.
func longSentences(p *handbook.Page, remarks *remark.List) {
	for _, s := range p.Procedure.Steps {
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				t.eachSentence(func(sentence string, from int) {
					if n := countWords(sentence); n > mostWords {
						remarks.Add(remark.SentenceLong, t.place(from), strconv.Itoa(n), strconv.Itoa(mostWords))
					}
				})
			})
		}
	}
}

// countWords counts what has a letter or a digit; a reference counts as one word.
func countWords(s string) (n int) {
	for _, w := range strings.Fields(s) {
		if strings.Contains(w, reference) || strings.ContainsFunc(w, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) }) {
			n++
		}
	}
	return n
}

// typedValues gives advice on figures in a text that a specification of the page holds:
// they stay as they are when that is changed.
func typedValues(p *handbook.Page, remarks *remark.List) {
	specs := specsOf(p)
	if len(specs) == 0 {
		return
	}
	eachFigured(p, p.Source.Doc, func(t *prose) {
		text := t.String()
		for _, m := range figures(text) {
			if m.from > 0 && (isDigit(text[m.from-1]) || isPoint(text[m.from-1])) {
				continue // within a longer number
			}
			number, symbol := text[m.from:m.number], symbolOf(text[m.symbol:m.to])
			now := slices.IndexFunc(specs, func(s *handbook.Spec) bool { return holds(s, limitsHeld(p, s), number, symbol) })
			if now >= 0 {
				remarks.Add(remark.ValueTyped, t.place(m.from), text[m.from:m.to], specs[now].ID)
			}
		}
	})
}

// specsOf returns the specifications that the page names or reads against, by id.
func specsOf(p *handbook.Page) (list []*handbook.Spec) {
	for _, t := range p.Links {
		if t.Kind == handbook.ToSpec && t.Spec != nil {
			list = append(list, t.Spec)
		}
	}
	for _, b := range p.Blocks {
		if r, ok := b.(*handbook.Reading); ok && r.Spec != nil {
			list = append(list, r.Spec)
		}
	}
	slices.SortFunc(list, func(a, b *handbook.Spec) int { return strings.Compare(a.ID, b.ID) })
	return slices.Compact(slices.DeleteFunc(list, func(s *handbook.Spec) bool { return s.Faulty }))
}

// limitsHeld are a specification's limits, those for the models of a page and the general one.
func limitsHeld(p *handbook.Page, s *handbook.Spec) []*handbook.Limit {
	return append(limitsOf(p, s), s.General)
}
