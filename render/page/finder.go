package page

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// finderView is the body of a finder.
type finderView struct {
	*theme.Words
	States  []stateView
	Sheets  []sheetView
	Labels  string // the address of the page of labels, or ""
	Changed string // and that of what changed since an older edition
}

// stateView is an engine state with the symptoms that are seen in it.
type stateView struct {
	ID       string
	Title    any // the author's, or words of the theme
	Text     any // template.HTML
	Symptoms []linkView
}

// sheetView is a kind of page with the pages of it.
type sheetView struct {
	Title any
	Pages []linkView
}

// linkView is a page in a list. Models are the ids of those that it holds for, "" for every model;
// Names are their names. Lang is the language of a page that the reader's lacks, In what it calls itself.
// Gone says of a procedure what has superseded it.
type linkView struct{ Href, Text, More, Models, Names, Lang, Dir, In, Gone string }

// sheets are the kinds of page that the finder lists after the symptoms: what changes for everybody first.
var sheets = []string{"bulletin", "theory", "reference", ""}

// Finder renders the first page of a language: symptoms by engine state, then
// the other pages by their sheet.
func (r *Renderer) Finder(lang string) (Output, error) {
	var index *handbook.Page
	var pages []*handbook.Page
	for _, p := range r.book.PagesIn(lang) {
		switch {
		case p.Index && p.Lang == lang:
			index = p
		case !p.Index:
			pages = append(pages, p)
		}
	}
	w := r.newWriter(index, FinderPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Sheet, s.Finder, s.Title = "index", "finder", true, s.Book
	s.ModelIDs = modelIDs(r.book.Models)
	if index != nil {
		w.reads.add(ReadSource, index.Source.Path)
		s.Purpose, s.Revised, s.CheckBy = index.Purpose, index.Revised, index.CheckBy
		s.Notices = w.notices(index, index.Notices)
		w.title = titleHeading(index)
		w.hold(index)
		w.translationNote()
		if w.title != nil || index.Source.Front != nil && index.Title != "" {
			s.Title = index.Title
		}
		w.out.WriteString(`<div class="intro">` + "\n")
		w.markdown(index.Source.Doc, index.Source.Text)
		w.out.WriteString("</div>\n")
	}
	if s.CheckBy != "" {
		s.Facts = append(s.Facts, w.dayFact("fact.checkBy", s.CheckBy))
	}
	if day := w.book.CheckBy; day != "" {
		s.Facts = append(s.Facts, w.dayFact("fact.newer", day))
	}
	v := finderView{Words: w.words}
	if labels := LabelsPath(r.book, lang); labels != "" {
		v.Labels = w.rel(labels)
	}
	if r.since != nil {
		v.Changed = w.rel(ChangedPath(r.book, lang))
	}
	w.states(&v, pages)
	w.otherSheets(&v, pages)
	w.template("finder", v)
	s.Jump = v.States
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, FinderPath(r.book, other)))
		}
	}
	return w.finish(s)
}

// states fills in the symptoms; procedures without a state come last.
func (w *writer) states(v *finderView, pages []*handbook.Page) {
	for _, s := range w.book.States {
		w.state(s)
		sv := stateView{ID: "state-" + s.ID, Title: w.in(s.Title)}
		for _, p := range pages {
			if p.Procedure != nil && slices.Contains(p.Procedure.States, s) {
				sv.Symptoms = append(sv.Symptoms, w.symptom(p))
			}
		}
		if len(sv.Symptoms) == 0 {
			continue
		}
		// What is wrong with the text has its remarks already.
		text := source.ParseMarkdown(s.Text.In(w.lang))
		sv.Text = w.html(func() { w.markdown(text.Doc, text.Text) })
		v.States = append(v.States, sv)
	}
	rest := stateView{ID: "state-", Title: w.words.Say("finder.other")}
	for _, p := range pages {
		if p.Procedure != nil && len(p.Procedure.States) == 0 {
			rest.Symptoms = append(rest.Symptoms, w.symptom(p))
		}
	}
	if rest.Symptoms != nil {
		v.States = append(v.States, rest)
	}
}

func (w *writer) otherSheets(v *finderView, pages []*handbook.Page) {
	for _, sheet := range sheets {
		sv := sheetView{Title: w.words.Say("finder.pages")}
		if sheet != "" {
			sv.Title = w.words.Say("sheet." + sheet)
		}
		for _, p := range pages {
			other := !slices.Contains(sheets[:len(sheets)-1], p.Sheet)
			if p.Procedure == nil && (p.Sheet == sheet || sheet == "" && other) {
				link := w.listed(p)
				link.Text, link.More = p.Title, p.Purpose
				sv.Pages = append(sv.Pages, link)
			}
		}
		if sv.Pages != nil {
			v.Sheets = append(v.Sheets, sv)
		}
	}
}

func (w *writer) symptom(p *handbook.Page) linkView {
	link := w.listed(p)
	link.Text = p.Procedure.Symptom
	if link.Text == "" {
		link.Text = p.Title
	} else if !strings.EqualFold(link.Text, p.Title) {
		link.More = p.Title
	}
	return link
}

// listed is a page's link with the models that it holds for.
func (w *writer) listed(p *handbook.Page) linkView {
	w.readTitle(p)
	link := linkView{Href: w.rel(p.Path), Gone: w.superseded(p)}
	if p.Lang != w.lang {
		link.Lang, link.In = p.Lang, w.languageName(p.Lang)
		if dir := theme.Direction(p.Lang); dir != theme.Direction(w.lang) {
			link.Dir = dir
		}
	}
	if len(p.Applicability) < len(w.book.Models) {
		link.Models, link.Names = modelIDs(p.Applicability), w.modelNames(p.Applicability)
	}
	return link
}

// titleHeading returns the heading that repeats a page's title: the first block
// of the page, of level 1.
func titleHeading(p *handbook.Page) ast.Node {
	h, ok := p.Source.Doc.FirstChild().(*ast.Heading)
	if ok && h.Level == 1 && plainText(h, p.Source.Text) == p.Title {
		return h
	}
	return nil
}
