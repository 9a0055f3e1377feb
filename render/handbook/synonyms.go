package handbook

import (
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// synonymsYAML are the lists of words of each language, in the author's order.
type synonymsYAML []synonymList

// synonymList are words and phrases that mean the same.
type synonymList struct {
	lang  source.Text
	words []source.Text
	place remark.Place
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

// synonyms takes the lists once the pages are known, and tells what is wrong with
// them.
func (r *resolver) synonyms() {
	r.book.Synonyms = map[string][][]string{}
	first := map[[2]string]remark.Place{}
	for _, list := range r.lists {
		lang := list.lang.Value
		if !contains(r.book.Languages, lang) {
			if r.complete[kindLanguage] {
				r.remarks = append(r.remarks, remark.ReferenceUnknown.At(list.lang.Place, kindLanguage, lang).
					Instead("There is: %s.", strings.Join(r.book.Languages, ", ")))
			}
			continue
		}
		var words []string
		for _, w := range list.words {
			name := [2]string{lang, strings.ToLower(w.Value)}
			if at, ok := first[name]; ok {
				r.remarks = append(r.remarks, remark.IDDuplicate.At(w.Place, w.Value, at).Instead("Make one list of the two, or take it out of one."))
				continue
			}
			first[name] = w.Place
			words = append(words, w.Value)
		}
		switch {
		case len(list.words) < 2:
			r.remarks.Add(remark.SynonymAlone, list.place)
		case len(words) > 1 && !r.stands(lang, words):
			r.remarks.Add(remark.SynonymIdle, list.place, strings.Join(words, ", "), lang)
		}
		r.book.Synonyms[lang] = append(r.book.Synonyms[lang], words)
	}
}

// stands tells whether one of the words stands on a page in the language, or in
// what pages print of the handbook's data. Where a page could not be read it may.
func (r *resolver) stands(lang string, words []string) bool {
	if len(r.tree.UnreadPages()) > 0 {
		return true
	}
	found := false
	look := func(text string) {
		text = strings.ToLower(text)
		for _, w := range words {
			found = found || strings.Contains(text, strings.ToLower(w))
		}
	}
	for _, p := range r.book.Pages {
		if p.Lang != lang {
			continue
		}
		look(string(p.Source.Text))
		look(p.Title + "\n" + p.Purpose)
		if p.Procedure != nil {
			look(p.Procedure.Symptom + "\n" + strings.Join(p.Procedure.Equipment, "\n"))
			for _, c := range p.Procedure.Causes {
				look(c.Title + "\n" + string(c.Remedy.Text))
			}
		}
	}
	for _, s := range r.book.Specs {
		look(s.Title.In(lang) + "\n" + s.Conditions.In(lang))
	}
	for _, p := range r.book.Parts {
		look(p.Title.In(lang) + "\n" + p.System)
	}
	for _, s := range r.book.States {
		look(s.Title.In(lang) + "\n" + s.Text.In(lang))
	}
	return found
}
