package page

import (
	"cmp"
	"html/template"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// block writes one of the handbook's blocks. One that could not be resolved has
// its remark already and is left out.
func (w *writer) block(b *source.Block) {
	if w.page == nil {
		return
	}
	n := b
	switch b := w.page.Blocks[n].(type) {
	case *handbook.Answers:
		w.answers(b.Answers)
	case *handbook.Reading:
		if b.Timing != nil {
			w.timing(b)
		} else {
			w.template("reading", w.reading(b))
		}
	case *handbook.Safety:
		w.safety(b)
	case *handbook.Calculator:
		w.calculator(b)
	case *handbook.CircuitTable:
		w.circuit(b.Circuit)
	case *handbook.Picture:
		w.pictureBlock(b)
	case *handbook.Glossary:
		w.reads.add(ReadGlossary, b.Lang)
		w.template("glossary", b.Terms)
	case *handbook.Plot:
		w.plot(b)
	case *handbook.SelfCheck:
		w.selfCheck(n, b)
	}
}

// answerView is an answer as a button. Mark says where it leads, More the title
// of another page that it leads to, Gone what has superseded that.
type answerView struct {
	Href, Mark, Outcome, More, Gone string
	Text                            any // the author's, or words of the theme
}

func (w *writer) answers(answers []handbook.Answer) {
	var views []answerView
	for _, a := range answers {
		v := w.answer(a.To)
		v.Text = a.Text
		views = append(views, v)
	}
	w.template("answers", views)
}

func (w *writer) answer(to handbook.Target) answerView {
	v := answerView{Href: w.href(to), Mark: w.mark(to)}
	if to.Kind == handbook.ToPage && to.Page != w.page {
		v.More = w.readTitle(to.Page).Title
		if to.Page.Lang != w.lang {
			v.More += " (" + w.languageName(to.Page.Lang) + ")"
		}
		v.Gone = w.superseded(to.Page)
	}
	return v
}

// safetyView is a safety message.
type safetyView struct {
	*theme.Words
	Level, Hazard string
	Text          template.HTML
	Repeated      bool // it stands in full in another step
}

func (w *writer) safety(s *handbook.Safety) { w.panel(s, false) }

func (w *writer) panel(s *handbook.Safety, repeated bool) {
	v := safetyView{Words: w.words, Level: s.Level, Repeated: repeated}
	if s.Hazard != nil {
		v.Hazard = w.in(w.hazard(s.Hazard).Title)
	}
	v.Text = w.html(func() { w.markdown(s.Text.Doc, s.Text.Text) })
	w.warned = true
	w.template("safety", v)
}

// Signal is the signal word.
func (v safetyView) Signal() string { return v.Word("safety." + v.Level) }

// readingView is a measurement.
type readingView struct {
	*theme.Words
	ID, SpecID, SpecTitle      string
	Measure, Red, Black, Meter string
	Conditions, Source         string
	Revised, Unit, Input       string
	Groups                     []limitRow
	Changed                    template.HTML // by bulletins
	Outcomes                   []answerView
}

// limitRow is a limit and the models that it holds for; Names is "" where it
// holds for all.
type limitRow struct {
	IDs, Names, Text string
	Ranged           bool // by serial numbers
	Numbers          string
}

// Many reports whether models differ.
func (v readingView) Many() bool { return len(v.Groups) > 1 }

func (w *writer) reading(r *handbook.Reading) readingView {
	v := readingView{Words: w.words, Measure: w.measure(r), Red: r.Red, Black: r.Black, Meter: r.Meter, Conditions: r.Conditions}
	for _, o := range r.Outcomes {
		a := w.answer(o.To)
		a.Outcome, a.Text = o.Kind, w.words.Marked(w.outcome(r, o.Kind))
		v.Outcomes = append(v.Outcomes, a)
	}
	if r.Spec == nil {
		return v
	}
	s := w.spec(r.Spec)
	v.SpecID, v.SpecTitle, v.Source, v.Revised = s.ID, w.apart(s.Title.In(w.lang)), w.apart(s.Source.In(w.lang)), w.apart(w.words.Day(s.Revised))
	v.Conditions = cmp.Or(v.Conditions, w.in(s.Conditions))
	v.Unit, v.Input = unitSymbol(s.Unit), readingMode(s.Unit)
	v.Groups = w.limitRows(s)
	v.Changed = w.changedAlone(s)
	w.data.spec(w, s)
	return v
}

// measure is what a reading measures.
func (w *writer) measure(r *handbook.Reading) string {
	if r.Measure != "" || r.Spec == nil {
		return r.Measure
	}
	return w.in(w.spec(r.Spec).Title)
}

// outcome is the answer that an outcome is.
func (w *writer) outcome(r *handbook.Reading, kind string) string {
	if r.Timing != nil && kind != "within" {
		return w.words.Word("timing." + kind)
	}
	return w.words.Word("outcome." + kind)
}

func (w *writer) limitRows(s *handbook.Spec) []limitRow {
	groups := w.groups(s)
	var rows []limitRow
	for _, g := range groups {
		row := limitRow{IDs: g.IDs(), Text: g.Text, Ranged: g.Ranged(), Numbers: g.Numbers()}
		w.ranged = w.ranged || g.Ranged()
		if len(groups) > 1 {
			row.Names = w.modelNames(g.Models)
		}
		rows = append(rows, row)
	}
	return rows
}

// inputMode is the keyboard that a phone shows: a wire gauge has sizes such as
// 2/0, and a temperature may be below zero, which some phones' pads of figures
// have no key for.
func inputMode(u unit.Unit) string {
	if u.IsGauge() || strings.Contains(string(u.Kind), "temperature") {
		return "text"
	}
	return "decimal"
}

// readingMode is that for a reading, beside which one unit stands: a meter may show another one than milliamperes or kilohms, and
// what is typed has its unit then, for which pads of figures have no letters.
func readingMode(u unit.Unit) string {
	switch u.Symbol {
	case "mV", "mA", "kΩ", "MΩ":
		return "text"
	}
	return inputMode(u)
}
