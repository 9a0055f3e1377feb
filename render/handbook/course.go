package handbook

import (
	"slices"
	"strings"

	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// Course is a procedure as it changes the machine, by the numbers of the stops
// and settings listed here.
type Course struct {
	procedure.Course
	Settings []*Setting // those that the page names
	Stops    []CourseStop
}

// CourseStop is a stop of a course: one of these.
type CourseStop struct {
	Step  *Step
	Cause *Cause
	End   string // one of Ends
	Page  *Page  // another page that a step leads to
	// Restores is what is put back there.
	Restores []SettingAt
	Place    remark.Place
}

// Name is what remarks call the stop.
func (s CourseStop) Name() string {
	switch {
	case s.Step != nil:
		return s.Step.ID
	case s.Cause != nil:
		return "cause:" + s.Cause.ID
	case s.Page != nil:
		return s.Page.Source.Path
	}
	return "end:" + s.End
}

// Course returns the course of a procedure: the steps, then the causes, then the
// other ends that a step leads to.
func (p *Procedure) Course() Course {
	var c Course
	numbers := func(list []SettingAt) (n []int) {
		for _, s := range list {
			i := slices.Index(c.Settings, s.Setting)
			if i < 0 {
				i, c.Settings = len(c.Settings), append(c.Settings, s.Setting)
			}
			n = append(n, i)
		}
		return n
	}
	end := func(s CourseStop) int {
		c.Stops = append(c.Stops, s)
		c.Course = append(c.Course, procedure.Stop{Restores: numbers(s.Restores), Bare: true})
		return len(c.Stops) - 1
	}
	steps, causes := map[string]int{}, map[string]int{}
	for i, s := range p.Steps {
		var stop procedure.Stop
		at := CourseStop{Step: s, Place: s.Place}
		if d := s.Conduct; d != nil {
			stop.Requires, stop.Forbids = numbers(d.Requires), numbers(d.Forbids)
			stop.Restores, stop.Sets = numbers(d.Restores), numbers(d.Sets)
			at.Restores = d.Restores
		}
		c.Stops = append(c.Stops, at)
		c.Course = append(c.Course, stop)
		if _, twice := steps[s.ID]; !twice {
			steps[s.ID] = i
		}
	}
	for _, cause := range p.Causes {
		i := end(CourseStop{Cause: cause, Restores: cause.Restores, Place: cause.Place})
		causes[CauseAnchor(cause.ID)] = i
		if check := p.Check(cause); check != nil {
			c.Course[i].To = []int{check.Number - 1}
		}
	}
	ends := map[string]int{}
	for i, s := range p.Steps {
		s.EachWay(func(t Target, at remark.Place) {
			to, known := -1, false
			switch t.Kind {
			case ToHeading, ToNowhere: // what a mistaken target was probably meant for
				to, known = steps[t.ID]
			case ToCause:
				to, known = causes[t.ID]
			case ToEnd:
				if to, known = ends[t.ID]; !known {
					to, known = end(p.endStop(t, at)), true
					ends[t.ID] = to
				}
			case ToPage:
				to, known = end(CourseStop{Page: t.Page, Place: at}), true
			}
			if known {
				c.Course[i].To = append(c.Course[i].To, to)
			}
		})
	}
	for i, state := range p.StepStates() {
		for k, s := range c.Settings {
			if !s.MayStand(state) {
				c.Course[i].Bars = append(c.Course[i].Bars, k)
			}
		}
	}
	return c
}

// endStop returns an end that is no cause. Its place is where the author says
// more of it, else the answer that leads there.
func (p *Procedure) endStop(t Target, at remark.Place) CourseStop {
	name := strings.TrimPrefix(t.ID, EndAnchor(""))
	if e := p.Ends[name]; e != nil {
		return CourseStop{End: name, Restores: e.Restores, Place: e.Place}
	}
	return CourseStop{End: name, Place: at}
}

// StepStates returns the engine state in which each step is done: its own, else
// that of the step before it on the page; nil where nobody says.
func (p *Procedure) StepStates() []*State {
	var state *State
	if len(p.States) > 0 {
		state = p.States[0]
	}
	states := make([]*State, len(p.Steps))
	for i, s := range p.Steps {
		if s.Conduct != nil && s.Conduct.State != nil {
			state = s.Conduct.State
		}
		states[i] = state
	}
	return states
}

// SetBy returns the last step before another one that sets something, else the first one that does; nil where another
// page does.
func (p *Procedure) SetBy(s *Setting, step *Step) *Step {
	sets := func(s *Setting, step *Step) bool {
		return step.Conduct != nil && slices.ContainsFunc(step.Conduct.Sets, func(at SettingAt) bool { return at.Setting == s })
	}
	var by *Step
	for _, other := range p.Steps {
		if sets(s, other) && (by == nil || other.Number < step.Number) {
			by = other
		}
	}
	return by
}

// Standing returns for each step the settings that stand on the machine when it
// begins, on whichever way a technician comes there.
func (p *Procedure) Standing() [][]*Setting {
	c := p.Course()
	standing := make([][]*Setting, len(p.Steps))
	for k, s := range c.Settings {
		surely := c.Follow(k).Surely
		for i := range standing {
			if surely[i] {
				standing[i] = append(standing[i], s)
			}
		}
	}
	return standing
}
