package compare

import (
	"slices"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
)

// Since marks what is not as it was in an older edition.
type Since struct {
	Old    *Edition
	values map[string]reach
	files  Files
}

// NewSince holds a handbook, with what is known of its files, against an older edition.
func NewSince(old *Edition, h *handbook.Handbook, files Files) *Since {
	new := OfBook(h)
	c := &Comparison{book: new, Specs: compareSpecs(old.Book, new), Parts: compareItems(old.Book.Parts, new.Parts), Data: compareData(old.Book, new)}
	return &Since{old, c.values(), files}
}

// Mark says what became of a piece of a page.
type Mark string

// The marks.
const (
	MarkNew     Mark = "new"
	MarkChanged Mark = "changed"
	MarkValue   Mark = "value" // its words are as they were, and a value in it is another one
	MarkGone    Mark = "gone"  // something beside it was left out
)

// Marks are those of a page.
type Marks struct {
	Whole  bool // the page was not there, under its path
	nodes  map[ast.Node]Mark
	gone   map[ast.Node]bool     // those before which something is
	models map[ast.Node][]string // of those with another value, for whom that is so
	behind map[ast.Node]bool     // those behind which something is
	things map[string]Mark       // steps by id, causes and ends by their anchor
	whose  map[string][]string   // of those with another value, the models for whom that is so
	out    map[string]Out        // steps beside which others were taken out
	any    bool
}

// Out are the titles of steps that were taken out before a step, or behind the last one.
type Out struct{ Before, Behind []string }

// Of marks a page that is resolved.
func (s *Since) Of(p *handbook.Page) *Marks {
	m := &Marks{nodes: map[ast.Node]Mark{}, gone: map[ast.Node]bool{}, behind: map[ast.Node]bool{}, models: map[ast.Node][]string{}, things: map[string]Mark{}, whose: map[string][]string{}, out: map[string]Out{}}
	old, new := s.Old.Pages[p.Path], Of(p, s.files)
	if old == nil {
		m.Whole, m.any = true, true
		return m
	}
	change := comparePages(old, new, s.values)
	if change == nil {
		return m
	}
	m.any = true
	for _, b := range change.all {
		switch {
		case b.Change == Removed && b.Kind == kindStep: // the fields of its step say so
		case b.Change == Removed:
			m.leftOut(p, new, b)
		case b.Kind == kindStep:
		case b.Change == Added:
			m.nodes[new.Blocks[b.newAt].node] = MarkNew
		default:
			m.nodes[new.Blocks[b.newAt].node] = MarkChanged
		}
	}
	m.takenOut(old, new)
	concerned := func(whose []reach) []string {
		return slices.DeleteFunc(slices.Clone(new.Models), func(id string) bool {
			return !slices.ContainsFunc(whose, func(r reach) bool { return r.concerns(id) })
		})
	}
	others := map[string][]reach{} // values of steps and ends, by their anchors
	value := func(anchor string, r reach) {
		m.things[anchor] = MarkValue
		others[anchor] = append(others[anchor], r)
		m.whose[anchor] = concerned(others[anchor])
	}
	for _, b := range new.Blocks {
		var whose []reach // of the values that are others
		for _, shown := range b.Shows {
			switch r := s.values[shown]; {
			case m.nodes[b.node] != "":
			case r.meets(new) && b.Kind == kindStep:
				value(b.In, r)
			case r.meets(new):
				whose = append(whose, r)
			case otherFile(old, new, shown):
				m.nodes[b.node] = MarkChanged
			}
		}
		if whose != nil && m.nodes[b.node] == "" {
			m.nodes[b.node] = MarkValue
			m.models[b.node] = concerned(whose)
		}
	}
	things := func(list []Thing, anchor func(string) string) {
		for _, t := range list {
			for _, shown := range t.Shows {
				switch r := s.values[shown]; {
				case r.meets(new) && m.things[anchor(t.ID)] != MarkChanged:
					value(anchor(t.ID), r)
				case otherFile(old, new, shown):
					m.things[anchor(t.ID)] = MarkChanged
				}
			}
		}
	}
	things(new.Causes, handbook.CauseAnchor)
	things(new.Ends, handbook.EndAnchor)
	for _, t := range change.Steps {
		m.thing(t.ID, t, "answers", "reading", "outcomes") // these have blocks of their own
	}
	for _, t := range change.Causes {
		m.thing(handbook.CauseAnchor(t.ID), t)
	}
	for _, t := range change.Ends {
		m.thing(handbook.EndAnchor(t.ID), t)
	}
	return m
}

// takenOut notes which steps were taken out, at the next one that stayed.
func (m *Marks) takenOut(old, new *Page) {
	here := map[string]bool{}
	for _, s := range new.Steps {
		here[s.ID] = true
	}
	var titles []string
	for _, s := range old.Steps {
		switch {
		case !here[s.ID]:
			titles = append(titles, s.Title)
		case titles != nil:
			m.out[s.ID] = Out{Before: titles}
			titles = nil
		}
	}
	if titles != nil && len(new.Steps) > 0 {
		last := new.Steps[len(new.Steps)-1].ID
		m.out[last] = Out{m.out[last].Before, titles}
	}
}

// leftOut marks what follows something that is gone, or, at the end of a section, what stands before it.
func (m *Marks) leftOut(p *handbook.Page, new *Page, b BlockChange) {
	last := b.newAt == len(new.Blocks) || new.Blocks[b.newAt].Kind == kindHeading
	switch {
	case p.Procedure != nil && p.Procedure.Heading(b.In) != nil && (last || new.Blocks[b.newAt].Kind == kindStep):
		m.things[b.In] = MarkChanged // nothing of the step follows
	case !last:
		n := new.Blocks[b.newAt].node
		if list := n.Parent(); new.Blocks[b.newAt].Kind != b.Kind && list.Kind() != ast.KindDocument && list.FirstChild() == n {
			n = list // it stood before the whole list or table
		}
		m.gone[n] = true
	case b.newAt > 0 && (p.Procedure == nil || new.Blocks[b.newAt-1].In == b.In):
		n := new.Blocks[b.newAt-1].node
		for n.Parent().Kind() != ast.KindDocument {
			n = n.Parent()
		}
		m.behind[n] = true
	}
}

// thing marks a step or an end, unless only fields changed that are marked elsewhere.
func (m *Marks) thing(anchor string, t ThingChange, elsewhere ...string) {
	if t.Change == Added {
		m.things[anchor] = MarkNew
		return
	}
	fields := 0
	for _, f := range t.Fields {
		for _, name := range elsewhere {
			if f.Name == name {
				fields--
			}
		}
		fields++
	}
	if fields > 0 {
		m.things[anchor] = MarkChanged
	}
}

// Any tells whether anything of the page changed. Nil marks nothing.
func (m *Marks) Any() bool { return m != nil && m.any }

// Drawn tells whether a mark stands anywhere on the page.
func (m *Marks) Drawn() bool {
	return m != nil && len(m.nodes)+len(m.gone)+len(m.behind)+len(m.things)+len(m.out) > 0
}

// At is the mark of a node, "" for none.
func (m *Marks) At(n ast.Node) Mark {
	if m == nil {
		return ""
	}
	return m.nodes[n]
}

// Models are those for which a value in a node is another one, where its mark says so.
func (m *Marks) Models(n ast.Node) []string { return m.models[n] }

// Gone tells whether something before a node was left out.
func (m *Marks) Gone(n ast.Node) bool { return m != nil && m.gone[n] }

// GoneBehind tells whether something behind a node, the last of its section, was left out.
func (m *Marks) GoneBehind(n ast.Node) bool { return m != nil && m.behind[n] }

// Thing is the mark of a step or an end by its anchor.
func (m *Marks) Thing(anchor string) Mark {
	if m == nil {
		return ""
	}
	return m.things[anchor]
}

// ThingModels are the models for which a value of a step or an end is another one, where its mark says so.
func (m *Marks) ThingModels(anchor string) []string { return m.whose[anchor] }

// Out are the steps that were taken out beside one.
func (m *Marks) Out(id string) Out {
	if m == nil {
		return Out{}
	}
	return m.out[id]
}
