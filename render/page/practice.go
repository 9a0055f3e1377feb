package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/circuit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// practiceView is the page from which a class begins to practise on planted
// faults: codes for who shall not know, and what they mean for who may.
type practiceView struct {
	*theme.Words
	Back, Random string
	Faults       []faultView
}

// faultView is a planted fault.
type faultView struct{ Code, Href, Fault, Cause string }

// Practice renders the page on which a fault is chosen; it lies at the page's
// PracticePath.
func (r *Renderer) Practice(p *handbook.Page) (Output, error) {
	w := r.newWriter(p, p.PracticePath(), p.Lang)
	w.reads.add(ReadSource, p.Source.Path)
	w.reads.add(ReadCircuit, p.Circuit.ID)
	s := w.shellBeside("practice.title", (*handbook.Page).PracticePath, theme.FlowStyle, theme.CodesStyle)
	back := w.rel(p.Path)
	v := practiceView{Words: w.words, Back: back, Random: back + "?practice=random"}
	for _, f := range p.Circuit.Planted() {
		v.Faults = append(v.Faults, faultView{f.Code, back + "?practice=" + f.Code, w.faultText(p.Circuit, f), w.causeTitle(f.Cause)})
	}
	slices.SortFunc(v.Faults, func(a, b faultView) int { return strings.Compare(a.Code, b.Code) }) // the order gives nothing away
	w.elsewhereNote((*handbook.Page).PracticePath)
	w.template("practice", v)
	return w.finish(s)
}

func (w *writer) causeTitle(id string) string {
	for _, c := range w.page.Procedure.Causes {
		if c.ID == id {
			return c.Title
		}
	}
	return id
}

// faultText says what is planted: "Grey wire from relay K1 to X3: 2 Ω".
func (w *writer) faultText(c *handbook.Circuit, f handbook.Planted) string {
	text := w.in(f.Title)
	if f.Title == nil && f.Element >= 0 {
		text = w.in(c.Elements[f.Element].Title)
	} else if f.Title == nil {
		text = w.words.Fill("practice.leak", "from", c.Points[f.From].Name, "to", c.Points[f.To].Name)
	}
	switch {
	case !f.Electrical():
		return text
	case math.IsInf(f.Value, 1):
		text += ": " + w.words.Word("practice.open")
	default:
		number, symbol, _ := strings.Cut(f.Text, " ")
		text += ": " + strings.TrimSuffix(figure(number, w.lang)+nbsp+symbol, nbsp)
	}
	if f.Intermittent {
		text = w.words.List(text, w.words.Word("practice.intermittent"))
	}
	return text
}

// practiceData is what the script of a practice knows. Its JSON form is declared
// in the theme's script practice-data.ts.
type practiceData struct {
	Ground   int                        `json:"ground"`
	Points   [][2]string                `json:"points"` // name and title
	States   []practiceState            `json:"states"`
	Settings map[string]practiceSetting `json:"settings"`
	Branches []practiceBranch           `json:"branches"`
	Faults   []practiceFault            `json:"faults"`
	Steps    map[string]*practiceStep   `json:"steps"`
	Meters   map[string]practiceMeter   `json:"meters"` // by function
}

// practiceMeter is the factor of the unit that is shown, the worth of the last digit
// in it, and its symbol.
type practiceMeter [3]any

type practiceState struct {
	Title string    `json:"title"`
	From  []float64 `json:"from"` // minutes that it takes to come here from each state
}

type practiceSetting struct {
	Title  string `json:"title"`
	States []int  `json:"states,omitempty"` // in which it may stand; all if left out
}

// practiceBranch is an element. An amount is a number, null for an open branch, a
// list by state, or an object by model.
type practiceBranch struct {
	From     int      `json:"from"`
	To       int      `json:"to"`
	Volts    any      `json:"volts,omitempty"`
	Ohms     any      `json:"ohms"`
	Fuse     float64  `json:"fuse,omitempty"`
	Coil     *int     `json:"coil,omitempty"`
	Pull     float64  `json:"pull,omitempty"`
	Drop     float64  `json:"drop,omitempty"`
	OpenedBy []string `json:"openedBy,omitempty"`
	ClosedBy []string `json:"closedBy,omitempty"`
	ClosedIn []int    `json:"closedIn,omitempty"`
	Switch   bool     `json:"switch,omitempty"` // it is open unless something closes it
}

type practiceFault struct {
	Code         string            `json:"code"`
	Cause        string            `json:"cause"` // id
	Text         string            `json:"text"`
	Element      *int              `json:"element,omitempty"`
	Between      *[2]int           `json:"between,omitempty"`
	Volts        bool              `json:"volts,omitempty"`
	In           []int             `json:"in,omitempty"`
	Intermittent bool              `json:"intermittent,omitempty"`
	Value        any               `json:"value,omitempty"` // null: open
	Shows        map[string]string `json:"shows,omitempty"`
	Way          []string          `json:"way"` // the steps that lead to the cause
}

type practiceStep struct {
	Minutes  float64        `json:"minutes,omitempty"`
	State    *int           `json:"state,omitempty"`
	At       *[2]int        `json:"at,omitempty"`
	Function string         `json:"function,omitempty"`
	Meter    *practiceMeter `json:"meter,omitempty"` // where it is not that of the function: one of mA
	With     []string       `json:"with,omitempty"`  // in place of what stands
	Requires []string       `json:"requires,omitempty"`
	Forbids  []string       `json:"forbids,omitempty"`
	Restores []string       `json:"restores,omitempty"`
	Sets     []string       `json:"sets,omitempty"`
}

// PracticeData returns the script with the circuit of a procedure as data; it lies
// at the page's PracticeDataPath.
func (r *Renderer) PracticeData(p *handbook.Page) ([]byte, error) {
	w := r.newWriter(p, p.PracticePath(), p.Lang)
	defer pool.Put(w.out.Buffer)
	c := p.Circuit
	d := practiceData{Ground: c.Ground, Settings: map[string]practiceSetting{}, Steps: map[string]*practiceStep{}, Meters: map[string]practiceMeter{}}
	for _, point := range c.Points {
		d.Points = append(d.Points, [2]string{point.Name, w.in(point.Title)})
	}
	for _, s := range c.States {
		state := practiceState{Title: w.in(s.Title)}
		for _, from := range c.States {
			state.From = append(state.From, s.Reach(from))
		}
		d.States = append(d.States, state)
	}
	for i, e := range c.Elements {
		b := practiceBranch{From: e.From, To: e.To, Fuse: e.Fuse, Pull: e.Pull, Drop: e.Drop, Volts: w.amount(c, e.Volts), Ohms: w.amount(c, e.Ohms)}
		if b.Volts == any(0.0) {
			b.Volts = nil
		}
		if e.Coil != i {
			b.Coil = &e.Coil
		}
		b.OpenedBy, b.ClosedBy = d.stand(w, c, e.OpenedBy), d.stand(w, c, e.ClosedBy)
		b.ClosedIn, b.Switch = statesOf(c, e.ClosedIn), e.ClosedBy != nil || e.ClosedIn != nil
		d.Branches = append(d.Branches, b)
	}
	for _, s := range p.Procedure.Steps {
		d.Steps[s.ID] = d.step(w, c, s)
	}
	bench := handbook.Bench{Book: r.book, Page: p}
	for _, f := range c.Planted() {
		d.Faults = append(d.Faults, w.practiceFault(bench, f))
	}
	for f, symbol := range functionUnits {
		d.Meters[string(f)] = w.meterOf(symbol)
	}
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(d); err != nil {
		return nil, fmt.Errorf("%s: %w", p.PracticeDataPath(), err)
	}
	return fmt.Appendf(nil, "self.benchleafPractice&&benchleafPractice(%s)\n", bytes.TrimSpace(text.Bytes())), nil
}

// functionUnits are the units in which a practice's meter reads unless a step says
// another one.
var functionUnits = map[circuit.Function]string{circuit.Volts: "V", circuit.Ohms: "Ω", circuit.Amps: "A"}

// meterOf is the handbook's meter that reads a unit, else one of two decimals.
func (w *writer) meterOf(symbol string) practiceMeter {
	u, _ := unit.Lookup(symbol)
	if m, ok := w.book.Meter(u); ok && m.Resolution > 0 {
		return practiceMeter{m.Unit.Factor, m.Resolution, m.Unit.Symbol}
	}
	return practiceMeter{u.Factor, 0.01, symbol}
}

// amount is a number as the script takes it.
func (w *writer) amount(c *handbook.Circuit, a handbook.Amount) any {
	switch {
	case a.Spec != nil:
		byModel := map[string]any{}
		for _, m := range w.book.Models {
			byModel[m.ID] = number(a.In(m, nil))
		}
		if len(byModel) == 0 {
			return number(a.In(nil, nil))
		}
		return byModel
	case a.ByState != nil:
		var list []any
		for _, s := range c.States {
			list = append(list, number(a.In(nil, s)))
		}
		return list
	}
	return number(a.All)
}

// number is a float as JSON can hold it: an infinite resistance is null.
func number(v float64) any {
	if math.IsInf(v, 1) {
		return nil
	}
	return v
}

// stand lists settings by their ids, and keeps what the script says of them.
func (d *practiceData) stand(w *writer, c *handbook.Circuit, list []*handbook.Setting) (ids []string) {
	for _, s := range list {
		ids = append(ids, s.ID)
		d.Settings[s.ID] = practiceSetting{w.in(w.setting(s).Title), statesOf(c, s.States)}
	}
	return ids
}

func statesOf(c *handbook.Circuit, list []*handbook.State) []int {
	var numbers []int
	for i, s := range c.States {
		if slices.Contains(list, s) {
			numbers = append(numbers, i)
		}
	}
	return numbers
}

func (d *practiceData) step(w *writer, c *handbook.Circuit, s *handbook.Step) *practiceStep {
	step := &practiceStep{Minutes: s.Minutes}
	if i := slices.Index(c.States, w.page.StateOf(s)); i >= 0 {
		step.State = &i
	}
	if s.Reading != nil && s.Reading.Probes != nil {
		probes := s.Reading.Probes
		step.At, step.Function = &[2]int{probes.Red, probes.Black}, string(probes.Function)
		step.With = d.stand(w, c, probes.With)
		if m := w.meterOf(s.Reading.Spec.Unit.Symbol); m != w.meterOf(functionUnits[probes.Function]) {
			step.Meter = &m
		}
	}
	if s.Conduct != nil {
		for _, list := range []struct {
			to   *[]string
			from []handbook.SettingAt
		}{{&step.Requires, s.Conduct.Requires}, {&step.Forbids, s.Conduct.Forbids}, {&step.Restores, s.Conduct.Restores}, {&step.Sets, s.Conduct.Sets}} {
			for _, x := range list.from {
				*list.to = append(*list.to, d.stand(w, c, []*handbook.Setting{x.Setting})...)
			}
		}
	}
	return step
}

func (w *writer) practiceFault(b handbook.Bench, f handbook.Planted) practiceFault {
	c := b.Page.Circuit
	to := practiceFault{Code: f.Code, Cause: handbook.CauseAnchor(f.Cause), Text: w.figures(w.faultText(c, f)), Volts: f.Fault.Volts, In: statesOf(c, f.In), Intermittent: f.Intermittent, Shows: map[string]string{}}
	switch {
	case f.Element >= 0:
		to.Element, to.Value = &f.Element, number(f.Value)
	case f.Electrical():
		to.Between, to.Value = &[2]int{f.From, f.To}, number(f.Value)
	}
	for _, s := range b.Page.Procedure.Steps {
		if shown, ok := f.Shows[s.ID]; ok && shown.Answer >= 0 && shown.Answer < len(s.Answers) {
			to.Shows[s.ID] = w.figures(s.Answers[shown.Answer].Text)
		} else if ok && shown.Outcome != "" {
			to.Shows[s.ID] = w.outcome(s.Reading, shown.Outcome)
		}
	}
	for _, s := range b.Walk(b.Models()[0], &f).Steps {
		to.Way = append(to.Way, s.ID)
	}
	return to
}
