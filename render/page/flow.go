package page

import (
	"html"
	"html/template"
	"regexp"
	"strings"

	"benchleaf/render/draw"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// flowView is a procedure as a picture and, for who does not see it, in words.
type flowView struct {
	*theme.Words
	Title          string
	Back, Arrow    string
	Picture, Paper template.HTML // for a phone, and for a printed page
	Steps          []flowStep
}

// flowStep is a step in words.
type flowStep struct {
	Number     int
	Href       string
	Text, Note string
	Ways       []flowWay
}

// flowWay is an answer and where it leads, and for a cause the check after the
// repair.
type flowWay struct {
	Href, Mark, Check, CheckMark string
	Answer, Text                 any // the author's, or words of the theme
}

// Flow renders the picture of a procedure, which lies at the page's FlowPath.
func (r *Renderer) Flow(p *handbook.Page) (Output, error) {
	w := r.newWriter(p, p.FlowPath(), p.Lang)
	w.reads.add(ReadSource, p.Source.Path)
	w.endings = w.findEndings(p.Procedure)
	s := w.shellBeside("flow.title", (*handbook.Page).FlowPath, theme.FlowStyle)
	v := flowView{Words: w.words, Title: s.Title, Back: w.rel(p.Path), Arrow: w.arrow()}
	flow := draw.Flow{Title: s.Title, Mirrored: s.Dir == "rtl"}
	for _, step := range p.Procedure.Steps {
		n := w.flowStep(step)
		flow.Nodes = append(flow.Nodes, n)
		words := flowStep{step.Number, n.Href, n.Text, n.Note, nil}
		for _, way := range ways(step) {
			answer := glued(way.answer)
			if way.outcome != "" {
				answer = w.outcome(step.Reading, way.outcome)
			}
			to := w.flowTarget(way.to)
			flow.Edges = append(flow.Edges, draw.FlowEdge{From: n.ID, To: to.ID, Text: answer})
			if to.Kind == draw.FlowPage {
				to.Mark = "" // the arrow stands there anyway
			}
			in := flowWay{Answer: answer, Href: to.Href, Mark: to.Mark, Text: to.Text}
			if way.outcome != "" {
				in.Answer = w.words.Marked(answer)
			}
			if way.to.Kind == handbook.ToEnd {
				in.Text = w.words.Marked(to.Text)
			}
			if check := w.flowCheck(way.to); check.Href != "" {
				in.Check, in.CheckMark = check.Href, check.Mark
			}
			words.Ways = append(words.Ways, in)
		}
		v.Steps = append(v.Steps, words)
	}
	flow.Nodes = append(flow.Nodes, w.flowEnds(p.Procedure)...)
	v.Picture, v.Paper = template.HTML(flow.SVG()), template.HTML(flow.Paper())
	w.elsewhereNote((*handbook.Page).FlowPath)
	w.template("flow", v)
	return w.finish(s)
}

// arrow leads on, in the direction of the page.
func (w *writer) arrow() string {
	if theme.Direction(w.lang) == "rtl" {
		return "←"
	}
	return "→"
}

// flowStep is a step as a box. Its text is that of the printed heading.
func (w *writer) flowStep(s *handbook.Step) draw.FlowNode {
	n := w.flowTarget(handbook.Target{Kind: handbook.ToHeading, ID: s.ID})
	if r := s.Reading; r != nil {
		n.Kind = draw.FlowReading
		limits := r.Measure
		if r.Spec != nil {
			limits = w.in(w.spec(r.Spec).Title)
		}
		n.Note = w.words.Fill("flow.limits", "limits", limits)
	}
	if n.After = s.Verification(); n.After {
		n.Note = strings.TrimSuffix(w.words.Word("end.check")+" · "+n.Note, " · ")
	}
	return n
}

// flowEnds are the boxes of all that the steps lead to and that is no step.
func (w *writer) flowEnds(p *handbook.Procedure) (nodes []draw.FlowNode) {
	seen := map[string]bool{}
	for _, s := range p.Steps {
		for _, way := range ways(s) {
			if n := w.flowTarget(way.to); n.Kind != draw.FlowStep && !seen[n.ID] {
				seen[n.ID] = true
				nodes = append(nodes, n)
			}
		}
	}
	return nodes
}

// flowTarget is what a way leads to, as a box. Boxes of the same address are the
// same.
func (w *writer) flowTarget(t handbook.Target) draw.FlowNode {
	n := draw.FlowNode{Href: w.href(t), Mark: w.mark(t)}
	if strings.HasPrefix(n.Href, "#") {
		n.Href = w.rel(w.page.Path) + n.Href
	}
	n.ID = n.Href
	switch t.Kind {
	case handbook.ToHeading:
		n.Kind = draw.FlowStep
		for _, s := range w.page.Procedure.Steps {
			if s.ID == t.ID {
				n.Text = glued(untagged(w.stepHeading(s)))
			}
		}
		return n
	case handbook.ToCause:
		n.Kind, n.Note = draw.FlowCause, w.words.Word("flow.cause")
		if check := w.flowCheck(t); check.Mark != "" {
			n.Note += " " + w.arrow() + " " + check.Mark
		}
	case handbook.ToEnd:
		n.Kind, n.Note = draw.FlowEnd, w.words.Word("flow.end")
	default:
		n.Kind, n.Note, n.Mark = draw.FlowPage, w.words.Word("flow.page"), w.arrow()
	}
	n.Text = glued(w.label(t))
	if t.Kind == handbook.ToPage {
		if gone := w.superseded(t.Page); gone != "" {
			n.Text += " (" + gone + ")"
		}
	}
	return n
}

// flowCheck is the check after the repair of a cause, nothing for other targets.
func (w *writer) flowCheck(t handbook.Target) draw.FlowNode {
	if t.Cause != nil {
		if check := w.page.Procedure.Check(t.Cause); check != nil {
			return w.flowTarget(handbook.Target{Kind: handbook.ToHeading, ID: check.ID})
		}
	}
	return draw.FlowNode{}
}

var tag = regexp.MustCompile(`<[^>]*>`)

// untagged is what a reader sees of HTML that this package wrote.
func untagged(h template.HTML) string {
	return strings.TrimSpace(html.UnescapeString(tag.ReplaceAllString(string(h), "")))
}

var numberUnit = regexp.MustCompile(`(\d) (\S{1,3})([\s,;:.]|$)`)

// glued keeps numbers and units on one line.
func glued(s string) string { return numberUnit.ReplaceAllString(s, "${1}"+nbsp+"${2}${3}") }
