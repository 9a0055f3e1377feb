package handbook

import (
	"strconv"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Conduct is a step block: what the order of checks must know of a step.
type Conduct struct {
	// State is the engine state in which the step is done; nil is the state of the
	// step before it.
	State *State
	// Needs are the ids of the steps that must come before this one.
	Needs []Need
	// Detects holds, for causes that the step does not always show when they are
	// there, the probability that it does, by the cause's id.
	Detects map[string]float64
	// DetectsPlaces holds where each of them stands.
	DetectsPlaces map[string]remark.Place
	// Again: the step may be done a second time, since the machine has changed.
	Again bool

	// Requires must stand on the machine when the step begins, Forbids must not.
	Requires, Forbids []SettingAt
	// Restores is what the step puts back, then Sets what its action does.
	Restores, Sets []SettingAt
	Who            string // who may do it: one of Roles
	Emissions      bool   // it touches what emissions depend on
	Verification   bool   // it is a check after the repair
}

// Roles are those who may do a step: the machine's operator, a technician, who
// is meant where nothing is said, and a licensed electrician.
var Roles = []string{Operator, Technician, Electrician}

// The roles.
const (
	Operator    = "operator"
	Technician  = "technician"
	Electrician = "electrician"
)

// Need is a step that must come before another.
type Need struct {
	Step  string
	Place remark.Place
}

type stepYAML struct {
	State   source.Text             `yaml:"state"`
	Needs   []source.Text           `yaml:"needs"`
	Detects source.Map[source.Text] `yaml:"detects"`
	Again   source.Text             `yaml:"again"`

	Requires     []source.Text `yaml:"requires"`
	Forbids      []source.Text `yaml:"forbids"`
	Sets         []source.Text `yaml:"sets"`
	Restores     []source.Text `yaml:"restores"`
	Who          source.Text   `yaml:"who"`
	Emissions    source.Text   `yaml:"emissions"`
	Verification source.Text   `yaml:"verification"`
}

// conduct resolves a step block.
func (r *pageResolver) conduct(b *source.Block) {
	if !r.onlyInSteps(b) {
		return
	}
	var y stepYAML
	before := len(r.remarks)
	source.Decode(b.YAML(&r.remarks), &y, "a step", &r.remarks)
	r.conductSince(before)
	c := &Conduct{Detects: map[string]float64{}, DetectsPlaces: map[string]remark.Place{}}
	if y.State.Given() {
		c.State = findIn(&r.remarks, r.whole.complete[kindState], kindState, r.whole.book.States, y.State)
		if c.State == nil { // minutes depend on it, and what may stand in it
			r.page.Procedure.FiguresUnknown, r.page.Procedure.ConductUnknown = true, true
		}
	}
	for _, name := range distinct(&r.remarks, y.Needs) {
		if !contains(r.steps, name.Value) {
			unknown(&r.remarks, kindStep, r.steps, name)
			continue
		}
		c.Needs = append(c.Needs, Need{name.Value, name.Place})
	}
	for _, e := range y.Detects {
		power, err := strconv.ParseFloat(e.Value.Value, 64)
		if err != nil || !(power > 0 && power <= 1) {
			r.remarks.Add(remark.ValueText, e.Value.Place, e.Value.Value, "probability", "0.9")
			continue
		}
		if cause := findIn(&r.remarks, !r.frontBroken() && !r.keyTwice, kindCause, r.page.Procedure.Causes, e.ID); cause != nil {
			c.Detects[cause.ID], c.DetectsPlaces[cause.ID] = power, e.ID.Place
		}
	}
	c.Again = yes(&r.remarks, y.Again, "again")
	c.Requires, c.Forbids = r.settingsNamed(y.Requires), r.settingsNamed(y.Forbids)
	c.Restores, c.Sets = r.settingsNamed(y.Restores), r.settingsNamed(y.Sets)
	c.Who = r.who(y.Who)
	c.Emissions = yes(&r.remarks, y.Emissions, "emissions")
	before = len(r.remarks)
	c.Verification = yes(&r.remarks, y.Verification, "verification")
	r.conductSince(before)
	r.page.Blocks[b] = c
}

// conductSince notes that what was read of settings or checks is not whole, if
// there are more remarks than before.
func (r *pageResolver) conductSince(before int) {
	if len(r.remarks) > before {
		r.page.Procedure.ConductUnknown = true
	}
}

// yes reads a key that is yes or no, no if left out.
func yes(remarks *remark.List, t source.Text, key string) bool {
	switch t.Value {
	case "", "no", "false":
	case "yes", "true":
		return true
	default:
		remarks.Add(remark.ValueChoice, t.Place, t.Value, key, "yes, no")
	}
	return false
}

// who reads who may do a step or a remedy.
func (r *pageResolver) who(t source.Text) string {
	if !t.Given() {
		return Technician
	}
	return r.choice(t, "who", Roles)
}

// states takes the engine states of the front file, and the minutes that it
// takes to bring an engine into each.
func (r *resolver) states(list source.Map[stateYAML]) {
	for _, e := range list {
		s := &State{ID: e.ID.Value, Title: e.Value.Title, Text: e.Value.Text, Minutes: r.minutes(e.Value.Minutes), From: map[string]float64{}, Place: e.ID.Place}
		r.book.States = append(r.book.States, s)
	}
	for i, e := range list {
		for _, from := range e.Value.From {
			if s := find(r, kindState, r.book.States, from.ID); s != nil {
				r.book.States[i].From[s.ID] = r.minutes(from.Value)
			}
		}
	}
}

// minutes reads how long it takes to bring an engine into a state.
func (r *resolver) minutes(n number) float64 {
	return n.between(&r.remarks, "number of minutes", "5", 0, maxFigure)
}

// Reach returns the minutes that it takes to bring an engine from another state
// into this one.
func (s *State) Reach(from *State) float64 {
	if s == from {
		return 0
	}
	if minutes, ok := s.From[from.ID]; ok {
		return minutes
	}
	return s.Minutes
}
