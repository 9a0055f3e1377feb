package page

import (
	"slices"
	"strings"

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
	switch m := w.changes.At(n); {
	case m == "" || inline:
	case w.changedFor(n) != nil:
		w.out.WriteString("<div>")
		w.changeFor("p", w.changedFor(n))
		w.out.WriteString("</div>\n")
	default:
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
	if w.changes.At(n) == "" || w.changedFor(n) != nil {
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
	if w.changedFor(n) != nil {
		w.out.WriteString("<span>")
		w.changeFor("small", w.changedFor(n))
		w.out.WriteString("</span> ")
	} else if m := w.changes.At(n); m != "" {
		w.out.WriteString(`<small class="change"` + string(w.words.Mark()) + ">")
		w.out.escaped(w.words.Word("changed." + string(m)))
		w.out.WriteString(":</small> ")
	}
}

// changedFor are the models of the page for which a value in a node is another one; nil where it is for all.
func (w *writer) changedFor(n ast.Node) []*handbook.Model {
	if w.changes.At(n) != compare.MarkValue {
		return nil
	}
	return w.someModels(w.changes.Models(n))
}

// thingFor are those for which a value of a step or an end is.
func (w *writer) thingFor(anchor string) []*handbook.Model {
	if w.changes.Thing(anchor) != compare.MarkValue {
		return nil
	}
	return w.someModels(w.changes.ThingModels(anchor))
}

// someModels are the models of the page with these ids; nil where they are all.
func (w *writer) someModels(ids []string) (models []*handbook.Model) {
	for _, m := range w.page.Applicability {
		if slices.Contains(ids, m.ID) {
			models = append(models, m)
		}
	}
	if len(models) == len(w.page.Applicability) {
		return nil
	}
	return models
}

// beginThing writes what changed of a step or an end, where it is a value for some models.
func (w *writer) beginThing(anchor string) {
	if models := w.thingFor(anchor); models != nil {
		w.out.WriteString("<div>")
		w.changeFor("p", models)
		w.out.WriteString("</div>\n")
	}
}

// takenOut says that steps were taken out beside one.
func (w *writer) takenOut(titles []string) {
	if titles == nil {
		return
	}
	w.out.WriteString(`<p class="gone"` + string(w.words.Mark()) + ">")
	w.out.escaped(w.words.Fill("changed.out", "steps", strings.Join(titles, "; ")))
	w.out.WriteString("</p>\n")
}

// changeFor writes the mark of a value that is another one for some models, with its bar. An empty part for
// the others has the script hide both where one of those is chosen.
func (w *writer) changeFor(name string, models []*handbook.Model) {
	w.out.WriteString("<" + name + ` class="change edited"` + string(w.words.Mark()))
	w.out.attribute("data-model", modelIDs(models))
	w.out.WriteString(`><span class="for">`)
	w.out.escaped(w.modelNames(models))
	w.out.WriteString(": </span>")
	w.out.escaped(w.words.Word("changed." + string(compare.MarkValue)))
	if name == "small" {
		w.out.WriteByte(':')
	}
	w.out.WriteString("</" + name + "><span")
	w.out.attribute("data-model", modelIDs(slices.DeleteFunc(slices.Clone(w.page.Applicability), func(m *handbook.Model) bool { return slices.Contains(models, m) })))
	w.out.WriteString("></span>")
}
