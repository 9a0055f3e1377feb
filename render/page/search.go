package page

import (
	"path"
	"slices"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// searchView is the body of the search page: without script it leads to the
// finder and to every page. A translation's leads on to the search of its source
// with the same query: where nothing is found, and always where pages are missing.
type searchView struct {
	*theme.Words
	Finder string
	Sheets []sheetView
	Source *translation // the search page of the source language
	Lacks  bool         // the source has pages that this language lacks
}

// searchData is what the search script must know beside the index. Its form is
// declared in the theme's script search.ts.
type searchData struct {
	Decimal  string     `json:"decimal"`
	Synonyms [][]string `json:"synonyms"`
	Root     string     `json:"root"`
	SearchWords
}

// SearchWords is what the texts of a language are read with.
type SearchWords struct {
	Tag   string `json:"tag"` // its base
	Units any    `json:"units"`
	Empty string `json:"empty"` // words that name nothing
	Not   string `json:"not"`   // words that deny
}

// SearchPath returns the path of a language's search page, beside its finder.
func SearchPath(h *handbook.Handbook, lang string) string {
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.SearchFile)
}

// Search renders the search page of a language, whose index is in the scripts
// segments.
func (r *Renderer) Search(lang string, words SearchWords, segments []string) (Output, error) {
	w := r.newWriter(nil, SearchPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Sheet, s.Title = "search", "search", w.words.Word("search.title")
	s.Named = true
	s.ScriptNote = w.words.Word("search.scriptNote")
	s.ModelIDs = modelIDs(r.book.Models)
	s.Look, s.Script = []theme.StyleEntry{theme.SearchStyle}, scriptPath(theme.SearchScript, lang)
	for _, name := range segments {
		s.Segments = append(s.Segments, w.rel(name))
	}
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, SearchPath(r.book, other)))
		}
	}
	d := &searchData{SearchWords: words, Decimal: string(rune(unit.DecimalSign(lang))), Synonyms: r.book.Synonyms[lang], Root: s.Root}
	if d.Synonyms == nil {
		d.Synonyms = [][]string{}
	}
	w.data.Search = d
	v := searchView{Words: w.words, Finder: s.Home}
	if first := r.book.Languages[0]; lang != first {
		source := w.translation(first, SearchPath(r.book, first))
		v.Source = &source
		s.Look = append(s.Look, theme.SourceStyle)
		v.Lacks = slices.ContainsFunc(r.book.PagesIn(lang), func(p *handbook.Page) bool { return p.Lang == first })
	}
	w.allSheets(&v, lang)
	w.template("search", v)
	return w.finish(s)
}

// allSheets lists every page of a language: the procedures, then the others.
func (w *writer) allSheets(v *searchView, lang string) {
	procedures := sheetView{Title: w.words.Say("sheet.procedure")}
	var pages []*handbook.Page
	for _, p := range w.book.PagesIn(lang) {
		if p.Index {
			continue
		}
		pages = append(pages, p)
		if p.Procedure != nil {
			procedures.Pages = append(procedures.Pages, w.symptom(p))
		}
	}
	if procedures.Pages != nil {
		v.Sheets = append(v.Sheets, procedures)
	}
	var rest finderView
	w.otherSheets(&rest, pages)
	v.Sheets = append(v.Sheets, rest.Sheets...)
}
