package render

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/search"
)

// finding collects what the index of each language is made from, while pages are
// rendered: places[i] are those of the handbook's page i.
type finding struct {
	book    *handbook.Handbook
	places  []*search.Page
	finders map[string]*search.Page
}

func newFinding(book *handbook.Handbook) *finding {
	return &finding{book, make([]*search.Page, len(book.Pages)), map[string]*search.Page{}}
}

// page takes the places of a page. Pages may be taken side by side.
func (f *finding) page(p *handbook.Page, html []byte) {
	f.places[slices.Index(f.book.Pages, p)] = search.Read(f.book, p, html)
}

// finder takes those of a language's finder.
func (f *finding) finder(lang string, html []byte) {
	f.finders[lang] = search.ReadFinder(page.FinderPath(f.book, lang), f.book.Title.In(lang), html)
}

// write writes the index of each language, and the page that uses it.
func (f *finding) write(w sink, renderer *page.Renderer) error {
	var models []string
	for _, m := range f.book.Models {
		models = append(models, m.ID)
	}
	for _, lang := range f.book.Languages {
		pages := []*search.Page{f.finders[lang]}
		for i, p := range f.book.Pages {
			if p.Lang == lang && f.places[i] != nil {
				pages = append(pages, f.places[i])
			}
		}
		index := search.Build(lang, pages, f.book.Synonyms[lang], models)
		files, err := index.Files()
		if err != nil {
			return err
		}
		for _, file := range files {
			if err := w.Write(file.Path, file.Data); err != nil {
				return err
			}
		}
		words := page.SearchWords{Tag: index.Tag(), Units: index.Units(), Empty: index.Empty(), Not: index.Not()}
		out, err := renderer.Search(lang, words, index.Paths())
		if err != nil {
			return err
		}
		if err := w.WriteShell(page.SearchPath(f.book, lang), out.HTML); err != nil {
			return err
		}
	}
	return nil
}
