package page

import (
	"path"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/calc/unit"
	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/theme"
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

// change writes a mark into an element.
func (w *writer) change(n ast.Node) {
	if m := w.changes.At(n); m != "" {
		w.out.WriteString(`<small class="change"` + string(w.words.Mark()) + ">")
		w.out.escaped(w.words.Word("changed." + string(m)))
		w.out.WriteString(":</small> ")
	}
}

// ChangedPath returns the path of a language's page of what changed, beside its finder.
func ChangedPath(h *handbook.Handbook, lang string) string {
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.ChangedFile)
}

// changedView is the body of the page of what changed.
type changedView struct {
	*theme.Words
	Between                         string
	Nothing                         bool
	Values                          []valueView
	Parts                           []valueView
	Data                            []whatChanged
	Sheets, Added, Removed, Renamed []sheetChange
	Models                          []modelChange
}

// valueView is a value of a specification as it was and as it is, for models that have the same;
// or the number of a part.
type valueView struct{ Title, IDs, Names, Old, New string }

// sheetChange is a page and what changed of it. Href is "" for one that is gone.
type sheetChange struct {
	Href, Title, Models string
	What                []whatChanged
}

// whatChanged are things of a kind, by their titles.
type whatChanged struct {
	Kind  any // words of the theme
	Names string
}

// modelChange is what changed for a model.
type modelChange struct {
	ID, Model, Heading string
	Values             []valueView
	Sheets             []sheetChange
}

// Changed renders the page of a language that tells what changed.
func (r *Renderer) Changed(lang string, c *compare.Comparison) (Output, error) {
	w := r.newWriter(nil, ChangedPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Title, s.Named = "changed", w.words.Word("changed.title"), true
	s.Look = append(s.Look, theme.ChangeStyle)
	s.ModelIDs = modelIDs(r.book.Models)
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, ChangedPath(r.book, other)))
		}
	}
	v := changedView{Words: w.words, Between: w.words.Fill("changed.between", "old", w.editionName(c.Old), "new", w.editionName(c.New))}
	w.changedParts(&v, c)
	v.Values, v.Data = w.changedValues(c), w.changedData(c)
	v.Sheets, v.Added, v.Removed, v.Renamed = w.changedSheets(c)
	v.Nothing = len(v.Values)+len(v.Parts)+len(v.Data)+len(v.Sheets)+len(v.Added)+len(v.Removed)+len(v.Renamed) == 0
	for _, m := range r.book.Models {
		one := c.Of(m.ID)
		view := modelChange{ID: "model-" + m.ID, Model: m.ID, Heading: w.words.Fill("changed.byModel", "model", w.model(m).Title.In(lang)), Values: w.changedValues(one)}
		sheets, added, removed, renamed := w.changedSheets(one)
		view.Sheets = slices.Concat(sheets, added, removed, renamed)
		if len(view.Values)+len(view.Sheets) > 0 {
			v.Models = append(v.Models, view)
		}
	}
	w.template("changed", v)
	return w.finish(s)
}

func (w *writer) editionName(n compare.Name) string {
	if n.Date == "" {
		return w.words.Fill("changed.edition", "edition", n.Edition)
	}
	return w.words.Fill("changed.editionOf", "edition", n.Edition, "date", w.words.Day(n.Date))
}

// changedValues lists the values of specifications; models that had and have the same are told
// of together.
func (w *writer) changedValues(c *compare.Comparison) (list []valueView) {
	for _, s := range c.Specs {
		from := len(list)
		for _, x := range s.Values {
			text := func(i int) string {
				if x.Limits[i] == nil {
					return w.words.Word("changed.none")
				}
				return w.limitText(x.Limits[i].Resolved(), unit.Unit{Symbol: s.Unit[i]})
			}
			v := valueView{Title: s.Titles.In(w.lang), Old: text(0), New: text(1)}
			i := slices.IndexFunc(list[from:], func(o valueView) bool { return o.Old == v.Old && o.New == v.New })
			if i < 0 {
				list, i = append(list, v), len(list)-from
			}
			if o := &list[from+i]; x.Model != "" {
				o.IDs = strings.TrimSpace(o.IDs + " " + x.Model)
				o.Names = strings.TrimPrefix(o.Names+", "+x.Titles.In(w.lang), ", ")
			}
		}
	}
	return list
}

func (w *writer) changedParts(v *changedView, c *compare.Comparison) {
	for _, p := range c.Parts {
		x := valueView{Title: p.Titles.In(w.lang), Old: w.words.Word("changed.none"), New: w.words.Word("changed.none")}
		for _, f := range p.Fields {
			if f.Name == "number" {
				x.Old, x.New = strings.Join(append(f.Old, ""), ""), strings.Join(append(f.New, ""), "")
			}
		}
		v.Parts = append(v.Parts, x)
	}
}

// changedData names what else changed of what is written once for all pages, by its kind. The values of a
// specification stand above.
func (w *writer) changedData(c *compare.Comparison) (list []whatChanged) {
	var names []string
	for _, s := range c.Specs {
		if len(s.Values) == 0 {
			names = append(names, s.Titles.In(w.lang))
		}
	}
	if names != nil {
		list = append(list, whatChanged{w.words.Say("changed.spec"), strings.Join(names, "; ")})
	}
	for i := 0; i < len(c.Data); {
		kind := c.Data[i].Kind
		names := []string{}
		for ; i < len(c.Data) && c.Data[i].Kind == kind; i++ {
			names = append(names, c.Data[i].Titles.In(w.lang))
		}
		list = append(list, whatChanged{w.words.Say("changed." + kind), strings.Join(names, "; ")})
	}
	return list
}

// changedSheets lists the pages of the language.
func (w *writer) changedSheets(c *compare.Comparison) (changed, added, removed, renamed []sheetChange) {
	name := func(p compare.PageName, there bool) sheetChange {
		s := sheetChange{Title: p.Title, Models: strings.Join(p.Models, " ")}
		if there {
			s.Href = w.rel(p.Path)
		}
		return s
	}
	known := c.Names()
	for _, p := range c.Changed {
		if p.Lang == w.lang {
			s := name(p.PageName, true)
			s.What = w.whatChanged(p, known)
			changed = append(changed, s)
		}
	}
	for _, p := range c.Added {
		if p.Lang == w.lang {
			added = append(added, name(p, true))
		}
	}
	for _, p := range c.Removed {
		if p.Lang == w.lang {
			removed = append(removed, name(p, false))
		}
	}
	for _, p := range c.Renamed {
		if p.New.Lang == w.lang {
			renamed = append(renamed, name(p.New, true))
		}
	}
	return changed, added, removed, renamed
}

func (w *writer) whatChanged(p compare.PageChange, known map[string]handbook.Words) (list []whatChanged) {
	add := func(key string, names ...string) {
		list = append(list, whatChanged{w.words.Say(key), strings.Join(names, "; ")})
	}
	titles := func(key string, things ...compare.ThingChange) {
		var names []string
		for _, t := range things {
			names = append(names, t.Title)
		}
		if names != nil {
			add(key, names...)
		}
	}
	titles("changed.steps", p.Steps...)
	titles("changed.ends", p.Causes...)
	titles("changed.calculators", p.Forms...)
	var values, others []string
	for _, value := range p.Values {
		titles, ok := known[value]
		switch {
		case !ok:
			others = append(others, path.Base(value)) // a file
		case strings.HasPrefix(value, "spec:"):
			values = append(values, titles.In(w.lang))
		default:
			others = append(others, titles.In(w.lang))
		}
	}
	if values != nil {
		add("changed.values", values...)
	}
	if others != nil {
		add("changed.data", others...)
	}
	if len(p.Blocks)+len(p.Ends) > 0 {
		add("changed.text")
	}
	if len(p.Fields) > 0 {
		add("changed.head")
	}
	return list
}
