package page

import (
	"html/template"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// stepView is a step on the sheet.
type stepView struct {
	*theme.Words
	ID      string
	Number  int
	Note    string // the engine state in which it is done, and its minutes
	Heading template.HTML
	Body    template.HTML
}

// endView is a way in which a procedure ends.
type endView struct {
	*theme.Words
	ID, Kind, Letter, Title, Text string
	Proofs                        []proof // what leads here
	Remedy                        template.HTML
	Part                          string
}

// proof is an answer or an outcome that leads to an end.
type proof struct{ Href, Step, Answer string }

// findEndings returns the ends of a procedure in the order in which the sheet
// prints and letters them.
func (w *writer) findEndings(p *handbook.Procedure) []handbook.Target {
	ends := make([]handbook.Target, 0, len(p.Causes)+2)
	for _, c := range p.Causes {
		ends = append(ends, handbook.Target{Kind: handbook.ToCause, ID: handbook.CauseAnchor(c.ID), Cause: c})
	}
	for _, name := range handbook.Ends {
		if id := handbook.EndAnchor(name); w.leadsTo(id) {
			ends = append(ends, handbook.Target{Kind: handbook.ToEnd, ID: id})
		}
	}
	return ends
}

// leadsTo reports whether anything on the page names an end.
func (w *writer) leadsTo(end string) bool {
	for _, t := range w.page.Links {
		if t.Kind == handbook.ToEnd && t.ID == end {
			return true
		}
	}
	for _, s := range w.page.Procedure.Steps {
		for _, way := range ways(s) {
			if way.to.Kind == handbook.ToEnd && way.to.ID == end {
				return true
			}
		}
	}
	return false
}

// way is one of the ways out of a step.
type way struct {
	answer  string // an answer's text; "" for an outcome of a reading
	outcome string // its kind
	to      handbook.Target
}

func ways(s *handbook.Step) []way {
	var list []way
	if s.Reading != nil {
		for _, o := range s.Reading.Outcomes {
			list = append(list, way{outcome: o.Kind, to: o.To})
		}
	}
	for _, a := range s.Answers {
		list = append(list, way{answer: a.Text, to: a.To})
	}
	return list
}

// mark is what stands beside an answer to say where it leads: the number of a
// step, the letter of an end; "" for another page.
func (w *writer) mark(t handbook.Target) string {
	if w.page == nil || w.page.Procedure == nil {
		return ""
	}
	switch t.Kind {
	case handbook.ToHeading:
		for _, s := range w.page.Procedure.Steps {
			if s.ID == t.ID {
				return strconv.Itoa(s.Number)
			}
		}
	case handbook.ToCause, handbook.ToEnd:
		for i, e := range w.endings {
			if e.Kind == t.Kind && w.href(e) == w.href(t) {
				return letter(i)
			}
		}
	}
	return ""
}

// letter numbers ends: A to Z, then A2 and so on.
func letter(i int) string {
	s := string(rune('A' + i%26))
	if i >= 26 {
		s += strconv.Itoa(i/26 + 1)
	}
	return s
}

// endKey is the key of the words for an end.
func endKey(id string) string {
	switch id {
	case handbook.EndAnchor(handbook.NotReproduced):
		return "end.notReproduced"
	case handbook.EndAnchor(handbook.Repaired):
		return "end.repaired"
	}
	return "end.handOver"
}

// procedure writes the introduction, the steps and the ends.
func (w *writer) procedure(p *handbook.Procedure) {
	text := w.page.Source.Text
	w.endings = w.findEndings(p)
	var notes []ast.Node // footnotes stand at the end of the last step and belong to all
	write := func(nodes []ast.Node) {
		for _, n := range nodes {
			if n.Kind() == east.KindFootnoteList {
				notes = append(notes, n)
			} else {
				w.markdown(n, text)
			}
		}
	}
	w.out.WriteString(`<div class="intro">` + "\n")
	write(p.Intro)
	w.out.WriteString("</div>\n")
	for _, s := range p.Steps {
		v := stepView{Words: w.words, ID: s.ID, Number: s.Number}
		var note []string
		if s.Conduct != nil && s.Conduct.State != nil {
			note = append(note, w.state(s.Conduct.State).Title.In(w.lang))
		}
		if s.Minutes > 0 {
			note = append(note, w.words.Fill("step.minutes", "minutes", figure(strconv.FormatFloat(s.Minutes, 'f', -1, 64), w.lang)))
		}
		v.Note = strings.Join(note, " · ")
		heading := string(w.html(func() { w.children(s.Heading, text) }))
		v.Heading = template.HTML(strings.TrimRight(heading, " ")) // references that are not printed leave blanks
		v.Body = w.html(func() {
			w.repeatPanels(p, s)
			write(s.Body)
		})
		w.template("step", v)
	}
	w.ends(p)
	for _, n := range notes {
		w.markdown(n, text)
	}
}

// repeatPanels writes the safety messages for hazards that the step names and
// that stand in another step: a reader who comes by a label, a search or a link
// has not passed that one (embedded messages, ANSI Z535.6).
func (w *writer) repeatPanels(p *handbook.Procedure, s *handbook.Step) {
	shown := map[*handbook.Hazard]bool{}
	for _, panel := range s.Panels {
		shown[panel.Hazard] = true
	}
	named := func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		t := w.page.Links[n]
		if !entering || t.Hazard == nil || shown[t.Hazard] {
			return ast.WalkContinue, nil
		}
		shown[t.Hazard] = true
		for _, other := range p.Steps {
			for _, panel := range other.Panels {
				if panel.Hazard == t.Hazard {
					w.panel(panel, true)
					return ast.WalkContinue, nil
				}
			}
		}
		return ast.WalkContinue, nil
	}
	_ = ast.Walk(s.Heading, named)
	for _, n := range s.Body {
		_ = ast.Walk(n, named)
	}
}

// ends writes the ways in which the procedure ends.
func (w *writer) ends(p *handbook.Procedure) {
	if len(w.endings) == 0 {
		return
	}
	w.out.WriteString(`<h2 class="ends">`)
	w.out.escaped(w.words.Word("end.heading"))
	w.out.WriteString("</h2>\n")
	for i, e := range w.endings {
		v := endView{Words: w.words, ID: w.href(e)[1:], Letter: letter(i), Proofs: w.proofs(p, e)}
		switch e.Kind {
		case handbook.ToCause:
			c := e.Cause
			v.Kind, v.Title = "cause", c.Title
			v.Remedy = w.html(func() { w.markdown(c.Remedy.Doc, c.Remedy.Text) })
			if c.Part != nil {
				v.Part = w.partName(c.Part)
			}
		default:
			v.Kind, v.Title = strings.TrimPrefix(e.ID, "end-"), w.words.Word(endKey(e.ID))
			v.Text = w.words.Word(endKey(e.ID) + "Text")
		}
		w.template("end", v)
	}
}

// proofs lists what leads to an end: that is what proves it.
func (w *writer) proofs(p *handbook.Procedure, end handbook.Target) []proof {
	var list []proof
	for _, s := range p.Steps {
		for _, way := range ways(s) {
			if w.href(way.to) != w.href(end) {
				continue
			}
			answer := way.answer
			if way.outcome != "" {
				answer = s.Reading.Measure + ": " + w.words.Word("outcome."+way.outcome)
			}
			list = append(list, proof{"#" + s.ID, strconv.Itoa(s.Number), answer})
		}
	}
	return list
}

// children writes what stands in a node, without the node.
func (w *writer) children(n ast.Node, text []byte) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		w.markdown(c, text)
	}
}
