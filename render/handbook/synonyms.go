package handbook

import (
	"slices"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// synonymsYAML are the lists of words of each language, in the author's order.
type synonymsYAML []synonymList

// synonymList are words and phrases that mean the same.
type synonymList struct {
	lang  source.Text
	words []source.Text
	kept  []string // of words, without what stands in a list above
	place remark.Place
}

// Schema implements source.Value.
func (synonymsYAML) Schema(s *source.Shapes) *jsonschema.Schema {
	return byLanguage(s.List(s.List(s.Scalar())))
}

// DecodeYAML takes lists by language. A language with one list needs no list of
// lists.
func (s *synonymsYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	d.Fields(n, key, func(lang source.Text, value source.Node) {
		if !IsLanguage(lang.Value) {
			d.Remarks().Add(remark.ValueText, lang.Place, lang.Value, kindLanguage, "en or es")
			return
		}
		var plain synonymList
		d.Items(value, lang.Value, func(item source.Node) {
			into := &plain
			if !source.IsScalar(item) {
				*s = append(*s, synonymList{lang: lang, place: d.Place(item)})
				into = &(*s)[len(*s)-1]
			}
			d.Items(item, lang.Value, func(word source.Node) {
				if text, ok := d.Scalar(word, lang.Value, "a word"); ok {
					into.words = append(into.words, source.Text{Value: text, Place: d.Place(word)})
				}
			})
		})
		if plain.words != nil {
			plain.lang, plain.place = lang, plain.words[0].Place
			*s = append(*s, plain)
		}
	})
}

// wordLists takes the lists, and tells what is wrong with them by themselves.
func (r *resolver) wordLists() {
	r.book.Synonyms = map[string][][]string{}
	first := map[[2]string]remark.Place{}
	for i := range r.lists {
		list := &r.lists[i]
		lang := list.lang.Value
		if !contains(r.book.Languages, lang) {
			if r.complete[kindLanguage] {
				r.remarks = append(r.remarks, remark.ReferenceUnknown.At(list.lang.Place, kindLanguage, lang).
					Instead("There is: %s.", strings.Join(r.book.Languages, ", ")))
			}
			continue
		}
		for _, w := range list.words {
			name := [2]string{lang, strings.ToLower(w.Value)}
			if at, ok := first[name]; ok {
				r.remarks = append(r.remarks, remark.IDDuplicate.At(w.Place, w.Value, at).Instead("Make one list of the two, or take it out of one."))
				continue
			}
			first[name] = w.Place
			list.kept = append(list.kept, w.Value)
		}
		if len(list.words) < 2 {
			r.remarks.Add(remark.SynonymAlone, list.place)
		}
		r.book.Synonyms[lang] = append(r.book.Synonyms[lang], list.kept)
	}
}

// synonyms tells which lists have no word that stands anywhere, once the pages are
// known.
func (r *resolver) synonyms() {
	for i, list := range r.lists {
		if len(list.words) > 1 && len(list.kept) > 1 && !r.stands(i, list) {
			r.remarks.Add(remark.SynonymIdle, list.place, strings.Join(list.kept, ", "), list.lang.Value)
		}
	}
}

// stands tells whether one of the words of a list stands on a page in its language, or in
// what pages print of the handbook's data. Where a page could not be read it may.
func (r *resolver) stands(i int, list synonymList) bool {
	if len(r.tree.UnreadPages()) > 0 {
		return true
	}
	lang := list.lang.Value
	for _, p := range r.book.Pages {
		switch pr := r.pageAt[p.Source.Path]; {
		case p.Lang != lang:
		case pr.face != nil && slices.Contains(pr.face.Says, i), pr.face == nil && pr.says(list.kept):
			return true
		}
	}
	var data []string
	for _, s := range r.book.Specs {
		data = append(data, s.Title.In(lang), s.Conditions.In(lang))
	}
	for _, p := range r.book.Parts {
		data = append(data, p.Title.In(lang), p.System.In(lang))
	}
	for _, z := range r.book.Hazards {
		data = append(data, z.Title.In(lang))
	}
	for _, s := range r.book.States {
		data = append(data, s.Title.In(lang), s.Text.In(lang))
	}
	return says(strings.ToLower(strings.Join(data, "\n")), list.kept)
}

// says tells whether one of the words stands on the page.
func (r *pageResolver) says(words []string) bool {
	if r.lower == "" {
		p := r.page
		texts := []string{string(p.Source.Text), p.Title, p.Purpose}
		if p.Procedure != nil {
			texts = append(append(texts, p.Procedure.Symptom), p.Procedure.Equipment...)
			for _, c := range p.Procedure.Causes {
				texts = append(texts, c.Title, string(c.Remedy.Text))
			}
		}
		r.lower = strings.ToLower(strings.Join(texts, "\n"))
	}
	return says(r.lower, words)
}

func says(text string, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, strings.ToLower(w)) })
}
