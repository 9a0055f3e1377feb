package page

import (
	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/compare"
	"benchleaf/render/handbook"
)

// Since makes a renderer mark what changed since an older edition.
func (r *Renderer) Since(s *compare.Since) { r.since = s }

// hold holds a page against the older edition, if there is one, and says at its head whether
// there are marks.
func (w *writer) hold(p *handbook.Page) {
	if w.since != nil {
		w.reads.add(ReadFormer, p.Path)
		w.changes = w.since.Of(p)
	}
	if !w.changes.Any() {
		return
	}
	w.out.WriteString(`<p class="since"` + string(w.words.Mark()) + "><a")
	w.out.attribute("href", w.rel(ChangedPath(w.book, w.lang)))
	w.out.WriteByte('>')
	w.out.escaped(w.words.Word("changed.title"))
	w.out.WriteString("</a>: ")
	switch {
	case w.changes.Whole:
		w.out.escaped(w.words.Word("changed.whole"))
	case w.changes.Drawn():
		w.out.escaped(w.words.Word("changed.marked"))
	default:
		w.out.escaped(w.words.Word("changed.head"))
	}
	w.out.WriteString("</p>\n")
}

// changeWords say what a mark means.
func (w *writer) changeWords(m compare.Mark) any { return w.words.Say("changed." + string(m)) }

// inside are the nodes whose mark stands in them; the bar of the others is set at what
// follows a line of its own.
func inside(n ast.Node) bool {
	switch n.(type) {
	case *ast.Paragraph, *ast.ListItem, *east.TableHeader, *east.TableRow, *east.DefinitionTerm, *east.DefinitionDescription:
		return true
	}
	return false
}

// beforeChanged writes what stands before a node that changed.
func (w *writer) beforeChanged(n ast.Node) {
	inline := n != nil && inside(n)
	if _, paragraph := n.(*ast.Paragraph); w.changes.Gone(n) && (paragraph || !inline) {
		w.changeLine(compare.MarkGone, "gone")
	}
	if m := w.changes.At(n); m != "" && !inline {
		w.changeLine(m, "change")
	}
}

func (w *writer) changeLine(m compare.Mark, class string) {
	w.out.WriteString(`<p class="` + class + `"` + string(w.words.Mark()) + ">")
	w.out.escaped(w.words.Word("changed." + string(m)))
	w.out.WriteString("</p>\n")
}

// open begins an element in which a mark may stand.
func (w *writer) open(name string, n ast.Node) {
	w.out.WriteString("<" + name + w.changeClass(n) + ">")
	w.change(n)
}

// changeClass is the attribute of an element that changed.
func (w *writer) changeClass(n ast.Node) string {
	if w.changes.At(n) == "" {
		return ""
	}
	return ` class="edited"`
}

// change writes a mark into an element. What was left out before a paragraph is said in a line of its own.
func (w *writer) change(n ast.Node) {
	if _, paragraph := n.(*ast.Paragraph); w.changes.Gone(n) && !paragraph {
		w.out.WriteString(`<small class="gone"` + string(w.words.Mark()) + ">")
		w.out.escaped(w.words.Word("changed." + string(compare.MarkGone)))
		w.out.WriteString("</small> ")
	}
	if m := w.changes.At(n); m != "" {
		w.out.WriteString(`<small class="change"` + string(w.words.Mark()) + ">")
		w.out.escaped(w.words.Word("changed." + string(m)))
		w.out.WriteString(":</small> ")
	}
}
