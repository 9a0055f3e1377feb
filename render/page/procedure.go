package page

import (
	"html/template"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// stepView is a step on the sheet.
type stepView struct {
	*theme.Words
	ID     string
	Number int
	Note   []any // the engine state in which it is done, its minutes, who may do it
	First  []settingsFrom
	// Standing is how the machine stands when the step begins, besides what it asks for first.
	Standing                                 string
	State, Requires, Sets, Restores, Forbids string // ids
	// Misses names the causes that the step does not always show.
	Misses       string
	Verification bool
	// Minutes is what brings the engine into the state of a check.
	Minutes string
	Heading template.HTML
	Body    template.HTML
	Change  string // what became of it since an older edition
}

// settingsFrom are settings that a step requires, and the step that does them, if the page has one: who comes by a
// label, a search or a link has not passed that.
type settingsFrom struct{ Settings, Href, Step string }

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
	states, standing := p.StepStates(), p.Standing()
	steps := func(verification bool) {
		for i, s := range p.Steps {
			if s.Verification() != verification {
				continue
			}
			v := w.stepView(s, states[i], standing[i])
			w.under(s.Heading.Level)
			v.Body = w.html(func() {
				w.sourceBefore(s.Heading)
				w.sourceAfter(s.Heading)
				out := w.changes.Out(s.ID)
				w.takenOut(out.Before)
				w.beginThing(s.ID)
				write(w.panels(p, s))
				w.takenOut(out.Behind)
			})
			w.line(s.Heading)
			w.template("step", v)
		}
	}
	steps(false)
	w.sheetPart("end.heading", len(w.endings) > 0)
	for i, e := range w.endings {
		if e.ID != handbook.EndAnchor(handbook.Repaired) {
			w.end(p, i)
		}
	}
	w.sheetPart("end.check", slices.ContainsFunc(p.Steps, (*handbook.Step).Verification))
	steps(true)
	for i, e := range w.endings {
		if e.ID == handbook.EndAnchor(handbook.Repaired) {
			w.end(p, i)
		}
	}
	for _, n := range notes {
		w.markdown(n, text)
	}
}

// stepView is a step without its body.
func (w *writer) stepView(s *handbook.Step, state *handbook.State, standing []*handbook.Setting) stepView {
	v := stepView{Words: w.words, ID: s.ID, Number: s.Number, Verification: s.Verification()}
	if state != nil {
		v.State = state.ID
		if v.Verification {
			v.Minutes = minutes(state)
		}
	}
	var note []any
	if s.Conduct != nil && s.Conduct.State != nil {
		note = append(note, w.in(w.state(s.Conduct.State).Title))
	}
	if s.Minutes > 0 {
		note = append(note, w.words.Marked(w.words.Fill("step.minutes", "minutes", figure(strconv.FormatFloat(s.Minutes, 'f', -1, 64), w.lang))))
	}
	if s.Conduct != nil {
		note = append(note, w.roles(s.Conduct.Who, s.Conduct.Emissions)...)
		var misses []string
		for _, cause := range slices.Sorted(maps.Keys(s.Conduct.Detects)) {
			if s.Conduct.Detects[cause] < 1 {
				misses = append(misses, cause)
			}
		}
		v.Misses = strings.Join(misses, " ")
		v.Sets, v.Restores = w.settingIDs(s.Conduct.Sets), w.settingIDs(s.Conduct.Restores)
		v.Requires = w.settingIDs(s.Conduct.Requires)
		v.Forbids = w.settingIDs(s.Conduct.Forbids)
	}
	if mark := w.changes.Thing(s.ID); mark != "" && w.thingFor(s.ID) == nil {
		v.Change = " amended"
		note = append(note, w.changeWords(mark))
	}
	v.Note = note
	v.First = w.first(s)
	var titles []string
	for _, setting := range standing {
		if s.Conduct == nil || !slices.ContainsFunc(s.Conduct.Requires, func(r handbook.SettingAt) bool { return r.Setting == setting }) {
			titles = append(titles, w.in(w.setting(setting).Title))
		}
	}
	if titles != nil {
		v.Standing = w.words.Fill("step.begins", "settings", w.words.Series(titles...))
	}
	v.Heading = template.HTML(strings.TrimRight(string(w.stepHeading(s)), " ")) // references that are not printed leave blanks
	return v
}

// stepHeading is a step's, without its number.
func (w *writer) stepHeading(s *handbook.Step) template.HTML {
	return w.html(func() { w.children(s.Heading, w.page.Source.Text) })
}

// first lists what a step requires. The script of jobs leaves out what a job has, and knows it by the same words.
func (w *writer) first(s *handbook.Step) (list []settingsFrom) {
	if s.Conduct == nil {
		return nil
	}
	titles := map[*handbook.Step][]string{}
	var from []*handbook.Step
	for _, setting := range s.Conduct.Requires {
		by := w.page.Procedure.SetBy(setting.Setting, s)
		if titles[by] == nil {
			from = append(from, by)
		}
		titles[by] = append(titles[by], w.in(w.setting(setting.Setting).Title))
	}
	for _, by := range from {
		row := settingsFrom{Settings: w.words.Series(titles[by]...)}
		if by != nil {
			row.Href, row.Step = "#"+by.ID, strconv.Itoa(by.Number)+" "+untagged(w.stepHeading(by))
		}
		list = append(list, row)
	}
	return list
}

// minutes is how long it takes to bring an engine into a state, then the same from
// each state from which it takes another time; "" for no time at all.
func minutes(s *handbook.State) string {
	if s.Minutes == 0 {
		return ""
	}
	list := []string{strconv.FormatFloat(s.Minutes, 'f', -1, 64)}
	for _, from := range slices.Sorted(maps.Keys(s.From)) {
		list = append(list, from+":"+strconv.FormatFloat(s.From[from], 'f', -1, 64))
	}
	return strings.Join(list, " ")
}

// roles says who may do a step or a remedy, where it is not just a technician,
// and whether it touches what emissions depend on.
func (w *writer) roles(who string, emissions bool) (notes []any) {
	if who == handbook.Operator || who == handbook.Electrician {
		notes = append(notes, w.words.Say("who."+who))
	}
	if emissions {
		notes = append(notes, w.words.Say("step.emissions"))
	}
	return notes
}

// settingIDs are the ids of settings, which go into the page's data.
func (w *writer) settingIDs(list []handbook.SettingAt) string {
	var ids []string
	for _, s := range list {
		ids = append(ids, s.ID)
		w.data.setting(w, s.Setting)
	}
	return strings.Join(ids, " ")
}

// panels writes the safety messages of a step, those of the highest level first,
// and returns the rest of its body. Those for hazards that the step names and that
// stand in another step are among them: a reader who comes by a label, a search or a
// link has not passed that one (embedded messages, ANSI Z535.6).
func (w *writer) panels(p *handbook.Procedure, s *handbook.Step) (rest []ast.Node) {
	repeated := w.repeated(p, s)
	all := slices.Clone(repeated)
	at := map[*handbook.Safety]ast.Node{}
	for _, n := range s.Body {
		b, _ := n.(*source.Block)
		if panel, ok := w.page.Blocks[b].(*handbook.Safety); ok {
			all, at[panel] = append(all, panel), n
		} else {
			rest = append(rest, n)
		}
	}
	slices.SortStableFunc(all, func(a, b *handbook.Safety) int { return a.Rank() - b.Rank() })
	for _, panel := range all {
		w.lineAt(panel.HazardPlace.Line)
		w.beforeChanged(at[panel])
		b := w.blockOf(panel)
		w.sourceBefore(b)
		w.panel(panel, slices.Contains(repeated, panel))
		if !slices.Contains(repeated, panel) {
			w.sourceAfter(b)
		}
	}
	return rest
}

// repeated returns the safety messages of other steps for hazards that a step names.
func (w *writer) repeated(p *handbook.Procedure, s *handbook.Step) (panels []*handbook.Safety) {
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
					panels = append(panels, panel)
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
	return panels
}

// children writes what stands in a node, without the node.
func (w *writer) children(n ast.Node, text []byte) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		w.markdown(c, text)
	}
}
