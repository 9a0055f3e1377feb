package handbook

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/circuit"
)

// Bench is a procedure with its circuit: what its steps would read on a machine
// with a planted fault, or on a sound one.
type Bench struct {
	Book *Handbook
	Page *Page // with a Circuit
}

// Machine is how a machine stands when a step's reading is taken.
type Machine struct {
	State    *State
	Standing []*Setting // by id
}

// Without returns the machine with settings put back.
func (m Machine) Without(restored []SettingAt) Machine {
	m.Standing = slices.DeleteFunc(slices.Clone(m.Standing), func(x *Setting) bool {
		return slices.ContainsFunc(restored, func(s SettingAt) bool { return s.Setting == x })
	})
	return m
}

// at returns the machine as a step wants it: what it restores is put back, the
// engine brought into its state, then what it sets is done.
func (m Machine) at(p *Page, s *Step) Machine {
	if s.Conduct != nil {
		m = m.Without(s.Conduct.Restores)
		for _, x := range s.Conduct.Sets {
			if !slices.Contains(m.Standing, x.Setting) {
				m.Standing = append(m.Standing, x.Setting)
			}
		}
		slices.SortFunc(m.Standing, func(a, b *Setting) int { return strings.Compare(a.ID, b.ID) })
	}
	if state := p.StateOf(s); state != nil {
		m.State = state
	}
	return m
}

// key names the machine, for a map.
func (m Machine) key() string {
	key := ""
	if m.State != nil {
		key = m.State.ID
	}
	for _, x := range m.Standing {
		key += " " + x.ID
	}
	return key
}

// StateOf is the engine state of a step: its own, or that of the step before it on
// the sheet, or the first of the complaint's; nil where none is named.
func (p *Page) StateOf(s *Step) *State {
	steps := p.Procedure.Steps
	for i := slices.Index(steps, s); i >= 0; i-- {
		if c := steps[i].Conduct; c != nil && c.State != nil {
			return c.State
		}
	}
	if len(p.Procedure.States) > 0 {
		return p.Procedure.States[0]
	}
	return nil
}

// Models are the models that the procedure is for; a nil one in a handbook without.
func (b Bench) Models() []*Model {
	if len(b.Page.Applicability) == 0 {
		return []*Model{nil}
	}
	return b.Page.Applicability
}

// Visit is a step and a machine on which a way leads there.
type Visit struct {
	*Step
	Machine
}

// Visits are all ways in which a machine can stand in the steps: on any way from
// the first one, and on from a cause to the check after the repair.
func (b Bench) Visits() (found []Visit) {
	seen := map[string]bool{}
	next := []Visit{{b.Page.Procedure.Steps[0], Machine{}}}
	for len(next) > 0 {
		v := next[0]
		next = next[1:]
		v.Machine = v.at(b.Page, v.Step)
		if key := v.ID + "/" + v.key(); seen[key] {
			continue
		} else {
			seen[key] = true
		}
		found = append(found, v)
		for _, t := range v.Ways() {
			if t.Cause != nil {
				if check := b.Page.Procedure.Check(t.Cause); check != nil {
					next = append(next, Visit{check, v.Without(t.Cause.Restores)})
				}
			} else if s := b.step(t); s != nil {
				next = append(next, Visit{s, v.Machine})
			}
		}
	}
	return found
}

// step is the step of the page that a target is, or nil.
func (b Bench) step(t Target) *Step {
	for _, s := range b.Page.Procedure.Steps {
		if t.Kind == ToHeading && s.ID == t.ID {
			return s
		}
	}
	return nil
}

// Outcomes of a reading that lead on, and the one that does not.
const (
	low    = "low"
	within = "within"
	high   = "high"
	none   = "none"
	// Unstable: the reading jumps, as it does with an intermittent fault.
	Unstable = "unstable"
	// Close: the meter leaves open on which side of a limit the value lies.
	Close = "close"
)

// Read computes what a step's reading shows, as text, and its outcome: one of those
// that lead on, Close, or "" where the text says why there is none.
func (b Bench) Read(r *Reading, m *Model, on Machine, p *Planted) (outcome, says string) {
	c := b.Page.Circuit
	if !slices.Contains(c.States, on.State) {
		return "", "the circuit has no figures for the step's engine state"
	}
	standing := on.Standing
	if r.Probes.With != nil {
		standing = r.Probes.With
	}
	read := func(n circuit.Network) (circuit.Reading, error) {
		return n.Read(r.Probes.Function, r.Probes.Red, r.Probes.Black)
	}
	got, err := read(c.Network(m, on.State, standing, p))
	if err == nil && p != nil && p.Intermittent {
		var away circuit.Reading
		switch away, err = read(c.Away(m, on.State, standing, p)); {
		case err != nil:
		case away.Unsafe:
			got = away
		case !got.Unsafe && b.jumps(got, away, r.Spec.Unit):
			return Unstable, "it jumps between " + text(got, r.Spec.Unit) + " and " + text(away, r.Spec.Unit)
		}
	}
	switch {
	case err != nil:
		return "", err.Error()
	case got.Unsafe && r.Probes.Function == circuit.Ohms:
		return "", "ohms on a live circuit"
	case got.Unsafe:
		return "", "amperes across a source"
	case got.Over && r.leads(none):
		return none, text(got, r.Spec.Unit)
	case got.Over:
		return high, text(got, r.Spec.Unit)
	}
	v, said := r.Spec.Unit.FromSI(got.Value), text(got, r.Spec.Unit)
	accuracy, _ := b.Book.Accuracy(r.Spec.Unit)
	if least, most := b.Book.Readable(r.Spec); v < least-accuracy.Bound(v) || v > most+accuracy.Bound(v) {
		return "", said + ", which `" + r.Spec.ID + "` or the meter has as impossible"
	}
	for i, shown := range b.shown(v, r.Spec.Unit) {
		judged := judge(shown, r.Spec.For(m), guardFactor*accuracy.Bound(shown))
		if i > 0 && judged != outcome {
			judged = Close
		}
		outcome = judged
	}
	switch doubt := accuracy.Bound(v); {
	case v < -doubt:
		return "", said + ", the leads the wrong way round"
	case outcome == low && r.leads(none) && r.Probes.Function != circuit.Ohms && math.Abs(v) <= doubt:
		outcome = none
	}
	return outcome, said
}

// text is what a display shows.
func text(r circuit.Reading, u unit.Unit) string {
	if r.Over {
		return "OL"
	}
	return strconv.FormatFloat(u.FromSI(r.Value), 'g', 4, 64) + " " + u.Symbol
}

// jumps tells whether two readings are further apart than a display that shakes by
// one digit either way.
func (b Bench) jumps(x, y circuit.Reading, u unit.Unit) bool {
	if x.Over || y.Over {
		return x.Over != y.Over
	}
	return math.Abs(u.FromSI(x.Value)-u.FromSI(y.Value)) > 2*b.digit(u)+nothing
}

// nothing is what two equal readings may differ by, as the arithmetic leaves it.
const nothing = 1e-9

// digit is what the last digit of the meter is worth in a unit, 0 where that is
// not known.
func (b Bench) digit(u unit.Unit) float64 {
	meter, ok := b.Book.Meter(u)
	if !ok {
		return 0
	}
	return meter.Resolution * meter.Unit.Factor / u.Factor
}

// shown are the values that a display may show for one: its last digit is rounded,
// and jumps by one.
func (b Bench) shown(v float64, u unit.Unit) []float64 {
	digit := b.digit(u)
	if digit == 0 {
		return []float64{v}
	}
	v = math.Round(v/digit) * digit
	return []float64{v - digit, v, v + digit}
}

// leads tells whether the reading has an outcome of a kind.
func (r *Reading) leads(kind string) bool {
	return slices.ContainsFunc(r.Outcomes, func(o Outcome) bool { return o.Kind == kind })
}

// guardFactor turns a meter's bound into the guard of a one-sided 95 % decision,
// 1.65 a/√3 (ISO 14253-1), as on the phone.
const guardFactor = 0.95

// judge holds a value against limits, with a guard on either side.
func judge(v float64, l *Limit, guard float64) string {
	if l == nil || l.Min == nil && l.Max == nil {
		return ""
	}
	below, above := math.Inf(-1), math.Inf(-1)
	if l.Min != nil {
		below = l.Min.Value - v
	}
	if l.Max != nil {
		above = v - l.Max.Value
	}
	switch beyond := max(below, above); {
	case beyond <= -guard:
		return within
	case beyond <= guard:
		return Close
	case below > above:
		return low
	}
	return high
}

// Walk is what a technician does on a machine with a planted fault who answers each
// step as its reading or its looks say.
type Walk struct {
	Steps []*Step
	To    Target // where the last step led; the zero Target where nothing led on
	Last  string // what the last step showed, or why nothing led on
}

// Walk walks the procedure.
func (b Bench) Walk(m *Model, p *Planted) (w Walk) {
	seen := map[string]bool{}
	v := Visit{b.Page.Procedure.Steps[0], Machine{}}
	for {
		v.Machine = v.at(b.Page, v.Step)
		w.Steps = append(w.Steps, v.Step)
		if seen[v.ID+"/"+v.key()] {
			w.To, w.Last = Target{}, "it comes back here"
			return w
		}
		seen[v.ID+"/"+v.key()] = true
		w.To, w.Last = b.leads(v, m, p)
		if v.Step = b.step(w.To); v.Step == nil {
			return w
		}
	}
}

// leads returns where a step leads: what the fault shows there comes before what the
// circuit reads.
func (b Bench) leads(v Visit, m *Model, p *Planted) (to Target, why string) {
	shown, ok := p.Shows[v.ID]
	switch {
	case ok && shown.Answer >= 0 && shown.Answer < len(v.Answers):
		return v.Answers[shown.Answer].To, v.Answers[shown.Answer].Text
	case ok && shown.Outcome != "":
		why = shown.Outcome
	case v.Reading != nil && v.Reading.Probes != nil:
		if shown.Outcome, why = b.Read(v.Reading, m, v.Machine, p); shown.Outcome == Close {
			return Target{}, why + " is too close to its limit for the meter"
		}
	default:
		return Target{}, "nothing says what it shows"
	}
	if v.Reading != nil {
		for _, o := range v.Reading.Outcomes {
			if o.Kind == shown.Outcome {
				return o.To, why
			}
		}
	}
	return Target{}, why + " leads nowhere"
}
