package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// mostSteps is from how many others on a custom of the handbook is one.
const mostSteps = 3

// customs gives advice on steps of a page that leave out what others of their kind say.
func customs(pr *handbook.Procedure, p *handbook.Page, remarks *remark.List) {
	unsaidConditions(pr, remarks)
	if !pr.PanelsUnknown {
		unnamedHazards(p, remarks)
	}
}

// unsaidConditions tells of a reading that has only the conditions of its specification, where
// all others of the page have their own.
func unsaidConditions(pr *handbook.Procedure, remarks *remark.List) {
	var without *handbook.Reading
	said, count := 0, 0
	for _, s := range pr.Steps {
		switch r := s.Reading; {
		case r == nil || r.Spec == nil || s.Broken:
		case r.Conditions != "":
			said++
		case len(r.Spec.Conditions) > 0: // else it has its remark
			without = r
			count++
		}
	}
	if count == 1 && said >= mostSteps {
		remarks.Add(remark.ConditionsUnsaid, without.SpecPlace, without.Spec.ID)
	}
}

// unnamedHazards tells of the one panel whose step does not name its hazard, where all others
// of the page do.
func unnamedHazards(p *handbook.Page, remarks *remark.List) {
	var unnamed remark.List
	count := 0
	for _, s := range p.Procedure.Steps {
		named := hazardsNamed(p, s)
		for _, panel := range s.Panels {
			switch {
			case panel.Hazard == nil:
			case slices.Contains(named, panel.Hazard):
				count++
			default:
				unnamed.Add(remark.HazardUnnamed, s.Place, s.ID, panel.Hazard.ID, "of the page that warn of it")
			}
		}
	}
	if len(unnamed) == 1 && count >= mostSteps {
		*remarks = append(*remarks, unnamed...)
	}
}

// hazardsNamed returns the hazards that the heading and the text of a step name.
func hazardsNamed(p *handbook.Page, s *handbook.Step) (named []*handbook.Hazard) {
	note := func(t handbook.Target) {
		if t.Hazard != nil {
			named = append(named, t.Hazard)
		}
	}
	eachTarget(p, s.Heading, note)
	for _, n := range s.Body {
		eachTarget(p, n, note)
	}
	return named
}

// stateHazards tells of the one step of the handbook that does not name a hazard which all
// others in its engine state name, as carbon monoxide while the engine runs.
func stateHazards(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	type met struct {
		steps []*MetFact
		named map[string]int // how many of them name a hazard
	}
	states := map[string]*met{}
	for _, f := range facts {
		for i := range f.Meets {
			m := &f.Meets[i]
			in := states[m.State]
			if in == nil {
				in = &met{named: map[string]int{}}
				states[m.State] = in
			}
			in.steps = append(in.steps, m)
			for _, hazard := range m.Hazards {
				in.named[hazard]++
			}
		}
	}
	for _, state := range h.States {
		in := states[state.ID]
		if in == nil {
			continue
		}
		for _, hazard := range h.Hazards {
			if count := in.named[hazard.ID]; count != len(in.steps)-1 || count < mostSteps {
				continue
			}
			for _, m := range in.steps {
				if !slices.Contains(m.Hazards, hazard.ID) && !m.Unsure {
					remarks.Add(remark.HazardUnnamed, m.Place, m.Step, hazard.ID, "in engine state `"+state.ID+"`")
				}
			}
		}
	}
}

// meets notes which hazards the steps name, and in which engine states they are done.
func (f *Facts) meets(p *handbook.Page) {
	pr := p.Procedure
	hides := func(r remark.Remark) bool { return r.ID == remark.HazardUnnamed.ID || r.ID == remark.StateUnclear.ID }
	unsure := f.Lost || pr.ConductUnknown || pr.PanelsUnknown || slices.ContainsFunc(f.Remarks, hides)
	for _, t := range p.Links {
		unsure = unsure || t == (handbook.Target{}) // a name that nobody knows, of a hazard perhaps
	}
	for i, state := range pr.StepStates() {
		if state == nil {
			continue
		}
		s := pr.Steps[i]
		m := MetFact{State: state.ID, Step: s.ID, Unsure: unsure, Place: s.Place}
		for _, h := range hazardsNamed(p, s) {
			if !slices.Contains(m.Hazards, h.ID) {
				m.Hazards = append(m.Hazards, h.ID)
			}
		}
		f.Meets = append(f.Meets, m)
	}
}

// unsaidRoles tells of a step or a cause that anybody may do, or an operator, where all others on
// which the same setting stands are for one kind of person.
func unsaidRoles(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	roles := map[string][]*RoleFact{} // by setting
	for _, f := range facts {
		for i := range f.Roles {
			if r := &f.Roles[i]; r.Who != "" { // else it has its remark
				roles[r.Setting] = append(roles[r.Setting], r)
			}
		}
	}
	for _, setting := range h.Settings {
		by := map[string][]*RoleFact{}
		count := len(roles[setting.ID])
		for _, r := range roles[setting.ID] {
			by[r.Who] = append(by[r.Who], r)
		}
		if len(by) != 2 {
			continue
		}
		for who, others := range by {
			if who == handbook.Technician || len(others) < 2 || len(others) != count-1 {
				continue
			}
			for other, r := range by {
				if other != who {
					remarks.Add(remark.WhoUnsaid, r[0].Place, r[0].Name, other, who, setting.ID)
				}
			}
		}
	}
}

// roles notes who may do the steps on which settings stand, and the remedies that put them back.
func (f *Facts) roles(pr *handbook.Procedure) {
	if pr.ConductUnknown {
		return
	}
	for _, s := range pr.Steps {
		if s.Conduct == nil {
			continue
		}
		for _, at := range slices.Concat(s.Conduct.Requires, s.Conduct.Sets) {
			f.Roles = append(f.Roles, RoleFact{at.Setting.ID, "step `" + s.ID + "`", s.Conduct.Who, s.Place})
		}
	}
	for _, c := range pr.Causes {
		for _, at := range c.Restores {
			f.Roles = append(f.Roles, RoleFact{at.Setting.ID, "cause `" + c.ID + "`", c.Who, c.Place})
		}
	}
}
