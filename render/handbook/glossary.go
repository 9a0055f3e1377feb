package handbook

import (
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Term is a word that the handbook's pages use for a thing, and what it means.
type Term struct {
	Term, Meaning string
	InsteadOf     []string // words that pages do not use for it
	Place         remark.Place
}

// Glossary is a glossary block: the terms of the page's language.
type Glossary struct {
	Lang  string
	Terms []Term
}

// glossaryYAML are the terms of each language, in the author's order.
type glossaryYAML []termYAML

type termYAML struct {
	lang      source.Text
	Place     remark.Place
	Term      source.Text   `yaml:"term,needed"`
	Meaning   source.Text   `yaml:"meaning,needed"`
	InsteadOf []source.Text `yaml:"instead-of"`
}

// Schema implements source.Value.
func (glossaryYAML) Schema(s *source.Shapes) *jsonschema.Schema {
	return byLanguage(s.List(s.Of(&termYAML{})))
}

// DecodeYAML takes lists of terms by language.
func (g *glossaryYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	d.Fields(n, key, func(lang source.Text, value source.Node) {
		if !IsLanguage(lang.Value) {
			d.Remarks().Add(remark.ValueText, lang.Place, lang.Value, kindLanguage, "en or es")
			return
		}
		d.Items(value, lang.Value, func(item source.Node) {
			var t termYAML
			d.Into(item, &t, lang.Value, "a term")
			t.lang = lang
			*g = append(*g, t)
		})
	})
}

// glossary takes the terms of the front file. A word stands once among all terms of its
// language and what they are used instead of.
func (r *resolver) glossary(list glossaryYAML) {
	r.book.Glossary = map[string][]Term{}
	first := map[[2]string]remark.Place{}
	once := func(lang string, word source.Text) bool {
		name := [2]string{lang, strings.ToLower(word.Value)}
		if at, ok := first[name]; ok {
			r.remarks.Add(remark.IDDuplicate, word.Place, word.Value, at)
			return false
		}
		first[name] = word.Place
		return true
	}
	for _, y := range list {
		lang := y.lang.Value
		if !contains(r.book.Languages, lang) {
			if r.complete[kindLanguage] {
				r.remarks = append(r.remarks, remark.ReferenceUnknown.At(y.lang.Place, kindLanguage, lang).
					Instead("There is: %s.", strings.Join(r.book.Languages, ", ")))
			}
			continue
		}
		if !y.Term.Given() || !once(lang, y.Term) {
			continue
		}
		t := Term{Term: y.Term.Value, Meaning: y.Meaning.Value, Place: y.Term.Place}
		for _, word := range y.InsteadOf {
			if once(lang, word) {
				t.InsteadOf = append(t.InsteadOf, word.Value)
			}
		}
		r.book.Glossary[lang] = append(r.book.Glossary[lang], t)
	}
}

// glossaryBlock shows the terms of the page's language, or, as long as it has none, those of
// the source language.
func (r *pageResolver) glossaryBlock(b *source.Block) {
	for _, lang := range []string{r.page.Lang, r.whole.book.Languages[0]} {
		if terms := r.whole.book.Glossary[lang]; len(terms) > 0 {
			r.page.Blocks[b] = &Glossary{lang, terms}
			return
		}
	}
	r.remarks.Add(remark.ReferenceUnknown, b.Place, "glossary of the language", r.page.Lang)
}
