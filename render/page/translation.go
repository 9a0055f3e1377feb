package page

import (
	"html/template"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// A translation that is older than its source says so: at its head, and at each block. There stands
// too what the source says now, in its own language, so that no limit and no caution is there in
// outdated words alone.

// translationView is such a note. Lang and Dir are the source's.
type translationView struct {
	*theme.Words
	Key         string
	Href, Title string        // of the source's page
	Text        template.HTML // what it says
	Lang, Dir   string
}

func (w *writer) note(v translationView) {
	w.aged = true
	v.Words, v.Lang = w.words, w.page.Translation.Of.Lang
	v.Dir = theme.Direction(v.Lang)
	w.template("translation", v)
}

// translationNote is the one at the head of the page.
func (w *writer) translationNote() {
	t := w.page.Translation
	if t == nil || !t.Marked() {
		return
	}
	of := w.readTitle(t.Of)
	v := translationView{Key: "translation.older", Href: w.rel(of.Path), Title: of.Title}
	if of.Index {
		v.Href = w.rel(FinderPath(w.book, of.Lang))
	}
	if t.Unrecorded {
		v.Key = "translation.unrecorded"
	}
	w.note(v)
	if !t.Unrecorded {
		w.missing(t.Before)
	}
}

// elsewhereNote is the one on another page that is made from a translation, with where that page is in the source's
// language. What the source says now stands there.
func (w *writer) elsewhereNote(at func(*handbook.Page) string) {
	t := w.page.Translation
	if t == nil || !t.Marked() {
		return
	}
	of := w.readTitle(t.Of)
	v := translationView{Key: "translation.elsewhere", Href: w.rel(at(of)), Title: of.Title}
	if t.Unrecorded {
		v.Key = "translation.unrecorded"
	}
	w.note(v)
}

// besideSource is node for a translation: it writes the notes at blocks that are not as the source's.
func (w *writer) besideSource(n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		w.sourceBefore(n)
	}
	status, err := w.node(n, entering)
	if !entering {
		w.sourceAfter(n)
	}
	return status, err
}

// sourceBefore writes what the source says now where a block is older. Of a page of which nobody knows
// how old it is that is done for safety messages alone.
func (w *writer) sourceBefore(n ast.Node) {
	t := w.page.Translation
	if t == nil || t.Marks[n] == nil || t.Marks[n].Source == nil {
		return
	}
	b, _ := t.Marks[n].Source.(*source.Block)
	if t.Marks[n].Stale || b != nil && b.Name == "safety" {
		w.note(translationView{Key: "translation.stale", Text: w.sourceText(t.Marks[n].Source)})
	}
}

// blockOf is the block of a safety message, where that may be older than its source; or nil.
func (w *writer) blockOf(panel *handbook.Safety) ast.Node {
	if w.page.Translation == nil {
		return nil
	}
	for b, form := range w.page.Blocks {
		if form == panel {
			return b
		}
	}
	return nil
}

// sourceAfter writes what the source has after a block, and the translation has not.
func (w *writer) sourceAfter(n ast.Node) {
	if t := w.page.Translation; t != nil && t.Marks[n] != nil {
		w.missing(t.Marks[n].After)
	}
}

func (w *writer) missing(nodes []ast.Node) {
	for _, n := range nodes {
		w.note(translationView{Key: "translation.missing", Text: w.sourceText(n)})
	}
}

// sourceRemedy writes what the source says now of a cause, where that is older.
func (w *writer) sourceRemedy(c *handbook.Cause) {
	t := w.page.Translation
	if t == nil || t.Causes[c.ID] == nil {
		return
	}
	of := t.Causes[c.ID]
	w.note(translationView{Key: "translation.stale", Text: w.asSource(func() {
		w.out.WriteString("<p><strong>")
		w.out.escaped(of.Title)
		w.out.WriteString("</strong></p>\n")
		w.markdown(of.Remedy.Doc, of.Remedy.Text)
	})})
}

// asSource returns what write writes with the page of the source in the place of the translation.
func (w *writer) asSource(write func()) template.HTML {
	page, lang, words := w.page, w.lang, w.words
	w.page, w.lang = page.Translation.Of, page.Translation.Of.Lang
	w.words, w.quoting = w.theme.Words(w.lang), true
	text := w.html(write)
	w.page, w.lang, w.words, w.quoting = page, lang, words, false
	return text
}

// sourceText is a block of the source as a note shows it: text and safety messages whole, of a reading
// its conditions and limits, of answers their words. What else can be on a page, the translation
// has as it is.
func (w *writer) sourceText(n ast.Node) template.HTML {
	return w.asSource(func() {
		switch n := n.(type) {
		case *ast.Heading:
			w.out.WriteString("<p><strong>")
			w.children(n, w.page.Source.Text)
			w.out.WriteString("</strong></p>\n")
		case *source.Block:
			w.sourceBlock(w.page.Blocks[n])
		default:
			w.markdown(n, w.page.Source.Text)
		}
	})
}

func (w *writer) sourceBlock(b any) {
	switch b := b.(type) {
	case *handbook.Safety:
		w.safety(b)
	case *handbook.Reading:
		v := readingView{Words: w.words, Measure: w.measure(b), Red: b.Red, Black: b.Black, Meter: b.Meter, Conditions: b.Conditions}
		if b.Spec != nil {
			v.Groups = w.limitRows(w.spec(b.Spec))
			if v.Conditions == "" {
				v.Conditions = w.in(b.Spec.Conditions)
			}
		}
		w.template("source-reading", v)
	case *handbook.Answers:
		w.out.WriteString("<ul>\n")
		for _, a := range b.Answers {
			w.out.WriteString("<li>")
			w.out.escaped(a.Text)
			w.out.WriteString("</li>\n")
		}
		w.out.WriteString("</ul>\n")
	}
}
