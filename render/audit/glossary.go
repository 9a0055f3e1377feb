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

// said is a text of a page, as it is and in small letters.
type said struct {
	text, small string
	place       func(int) remark.Place
}

// avoidedTerms gives advice on words for which the handbook's glossary has another, in
// headings, running text and answers: once a page for each word.
func avoidedTerms(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	glossary := h.Glossary[p.Lang]
	if len(glossary) == 0 {
		return
	}
	texts := allSaid(p)
	for _, term := range glossary {
		own := inflected(term.Term)
		for _, word := range term.InsteadOf {
			avoided := inflected(word)
			at := func(x said) []int {
				if !strings.Contains(x.small, avoided.stem) {
					return nil
				}
				for _, m := range avoided.form.FindAllStringSubmatchIndex(x.text, -1) {
					within := slices.ContainsFunc(own.form.FindAllStringSubmatchIndex(x.text, -1), func(o []int) bool { return o[2] <= m[2] && m[3] <= o[3] })
					if !within { // "plug" in "spark plug" is the term
						return m[2:4]
					}
				}
				return nil
			}
			for _, x := range texts {
				if m := at(x); m != nil {
					remarks.Add(remark.TermAvoided, x.place(m[0]), x.text[m[0]:m[1]], term.Term)
					break
				}
			}
		}
	}
}

// allSaid are a page's headings, its running text and its answers.
func allSaid(p *handbook.Page) (all []said) {
	take := func(text string, place func(int) remark.Place) {
		all = append(all, said{text, strings.ToLower(text), place})
	}
	prose := func(t *prose) { take(t.String(), t.kept().place) }
	_ = ast.Walk(p.Source.Doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if heading, ok := n.(*ast.Heading); ok && entering {
			eachHeading(p, heading, prose)
		}
		return ast.WalkContinue, nil
	})
	eachProse(p, p.Source.Doc, prose)
	if p.Procedure != nil {
		for _, s := range p.Procedure.Steps {
			for _, a := range s.Answers {
				take(a.Text, func(int) remark.Place { return a.Place })
			}
		}
	}
	return all
}

// eachHeading calls f for the text of a heading.
func eachHeading(p *handbook.Page, h *ast.Heading, f func(*prose)) {
	t := &prose{page: p}
	t.take(h)
	f(t)
}

// inflection matches a word or phrase. Its stem stands, in small letters, in each text
// that it matches: a text without it need not be searched for the forms.
type inflection struct {
	stem string
	form *regexp.Regexp
}

// inflected matches a word or phrase as it stands in a text, whatever its case, with the
// endings of plural and, of verbs, of English tenses; a hyphen and a blank are alike.
func inflected(words string) inflection {
	if known, ok := forms.Load(words); ok {
		return known.(inflection)
	}
	parts := strings.FieldsFunc(strings.ToLower(words), func(c rune) bool { return c == ' ' || c == '-' })
	stem := ""
	if len(parts) > 0 {
		stem = strings.TrimRight(parts[0], "ey")
	}
	for i, w := range parts {
		parts[i] = regexp.QuoteMeta(w)
	}
	if k := len(parts) - 1; k >= 0 {
		last := parts[k]
		switch root, y := strings.CutSuffix(last, "y"); {
		case strings.HasSuffix(last, "e"):
			last = strings.TrimSuffix(last, "e") + `(?:e|es|ed|ing)`
		case y:
			last = root + `(?:y|ys|ies|ied|ying)`
		default:
			last += `(?:s|es|ed|ing)?`
		}
		parts[k] = last
	}
	made := inflection{stem, regexp.MustCompile(`(?i)(?:^|[^\pL\d])(` + strings.Join(parts, `[\s-]+`) + `)(?:$|[^\pL\d])`)}
	forms.Store(words, made)
	return made
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
