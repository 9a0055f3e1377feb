package audit

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// avoidedTerms gives advice on words for which the handbook's glossary has another, in
// headings, running text and answers: once a page for each word.
func avoidedTerms(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	for _, term := range h.Glossary[p.Lang] {
		own := inflected(term.Term)
		for _, word := range term.InsteadOf {
			avoided, told := inflected(word), false
			look := func(text string, at func(int) remark.Place) {
				for _, m := range avoided.FindAllStringSubmatchIndex(text, -1) {
					within := slices.ContainsFunc(own.FindAllStringSubmatchIndex(text, -1), func(o []int) bool { return o[2] <= m[2] && m[3] <= o[3] })
					if !told && !within { // "plug" in "spark plug" is the term
						told = true
						remarks.Add(remark.TermAvoided, at(m[2]), text[m[2]:m[3]], term.Term)
					}
				}
			}
			prose := func(t *prose) { look(t.text.String(), t.place) }
			_ = ast.Walk(p.Source.Doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
				if heading, ok := n.(*ast.Heading); ok && entering {
					eachHeading(p, heading, prose)
				}
				return ast.WalkContinue, nil
			})
			eachProse(p, p.Source.Doc, prose)
			if p.Procedure == nil {
				continue
			}
			for _, s := range p.Procedure.Steps {
				for _, a := range s.Answers {
					look(a.Text, func(int) remark.Place { return a.Place })
				}
			}
		}
	}
}

// eachHeading calls f for the text of a heading.
func eachHeading(p *handbook.Page, h *ast.Heading, f func(*prose)) {
	t := &prose{page: p}
	t.take(h)
	f(t)
}

// inflected matches a word or phrase as it stands in a text, whatever its case, with the
// endings of plural and, of verbs, of English tenses; a hyphen and a blank are alike.
func inflected(words string) *regexp.Regexp {
	if known, ok := forms.Load(words); ok {
		return known.(*regexp.Regexp)
	}
	parts := strings.FieldsFunc(strings.ToLower(words), func(c rune) bool { return c == ' ' || c == '-' })
	for i, w := range parts {
		parts[i] = regexp.QuoteMeta(w)
	}
	if k := len(parts) - 1; k >= 0 {
		last := parts[k]
		switch stem, y := strings.CutSuffix(last, "y"); {
		case strings.HasSuffix(last, "e"):
			last = strings.TrimSuffix(last, "e") + `(?:e|es|ed|ing)`
		case y:
			last = stem + `(?:y|ys|ies|ied|ying)`
		default:
			last += `(?:s|es|ed|ing)?`
		}
		parts[k] = last
	}
	form := regexp.MustCompile(`(?i)(?:^|[^\pL\d])(` + strings.Join(parts, `[\s-]+`) + `)(?:$|[^\pL\d])`)
	forms.Store(words, form)
	return form
}

// forms are those that inflected has made: a glossary is held against every page.
var forms sync.Map

// unshownGlossary gives advice on a glossary that no page of its language shows.
func unshownGlossary(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	for _, lang := range h.Languages {
		terms := h.Glossary[lang]
		shown := false
		for i, p := range h.Pages {
			shown = shown || p.Lang == lang && facts[i].Glossary
		}
		if len(terms) > 0 && !shown {
			remarks.Add(remark.GlossaryUnshown, terms[0].Place, lang)
		}
	}
}

// glossary notes whether the page shows the glossary.
func (f *Facts) glossary(p *handbook.Page) {
	for _, block := range p.Blocks {
		if _, ok := block.(*handbook.Glossary); ok {
			f.Glossary = true
		}
	}
}
