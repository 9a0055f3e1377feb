package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// oneSlip returns what was found wrong with a procedure's ways; where a single slip of
// the author explains all of it, the one remark that names the slip. What explains it is
// found by trying: an answer that leads elsewhere, or one more answer, or a step that
// puts back or does what is left or lacking, and then nothing is wrong any more.
func oneSlip(h *handbook.Handbook, p *handbook.Page, found remark.List) remark.List {
	if len(found) == 0 || len(found) == 1 && !unreachedIDs[found[0].ID] { // what is not reached may hide more
		return found
	}
	t := trial{h, p, found, tries / cost(p.Procedure)}
	targets := t.missed()
	for _, to := range targets {
		if t.answerMissing(to) {
			return remark.List{t.gravest(t.unreached(), remark.Place{})}
		}
	}
	if len(targets) == 0 {
		if step, mend := t.conductSlip(); step != nil {
			return remark.List{t.gravest(found, step.Place).Instead("%s", mend)}
		}
		targets = []handbook.Target{{}} // out, wherever that is
	}
	for _, to := range targets {
		if step, way := t.turned(to); step != nil {
			return remark.List{t.tell(step, way, to)}
		}
	}
	return found
}

// tries is what a trial of every answer may cost.
const tries = 400_000

// cost is what one costs: the time grows with the square of the number of steps, and with that of
// the ways.
func cost(pr *handbook.Procedure) int {
	ways := 0
	for _, s := range pr.Steps {
		ways += len(s.Ways())
	}
	return max(len(pr.Steps)*len(pr.Steps), ways)
}

// trial tries mends of a page of which several things were found.
type trial struct {
	book  *handbook.Handbook
	page  *handbook.Page
	found remark.List
	left  int // how many may yet be tried
}

// mends tells whether nothing is wrong with a page that was changed.
func (t *trial) mends(changed *handbook.Page) bool {
	if t.left--; t.left < 0 {
		return false
	}
	found, known := proveWays(t.book, changed, false)
	return known && len(found) == 0
}

// missed lists where an answer should lead, as what was found says.
func (t *trial) missed() (targets []handbook.Target) {
	pr := t.page.Procedure
	g, _ := graph(t.page)
	proved := procedure.Prove(g)
	for _, i := range proved.Unreached {
		targets = append(targets, handbook.Target{Kind: handbook.ToHeading, ID: pr.Steps[i].ID})
	}
	for _, i := range proved.UnreachedEnds {
		targets = append(targets, handbook.Target{Kind: handbook.ToCause, ID: handbook.CauseAnchor(pr.Causes[i].ID), Cause: pr.Causes[i]})
	}
	for _, r := range t.found {
		if r.ID == remark.ComplaintUnconfirmed.ID {
			targets = append(targets, handbook.Target{Kind: handbook.ToEnd, ID: handbook.EndAnchor(handbook.NotReproduced)})
		}
	}
	return targets
}

// nearFirst lists the numbers of the steps, those above a target first, the nearest of
// them before others: there its answer most likely belongs.
func (t *trial) nearFirst(to handbook.Target) []int {
	steps := t.page.Procedure.Steps
	var above, below []int
	at := t.page.Procedure.Step(to)
	for i := range steps {
		if at != nil && i < at.Number-1 {
			above = append(above, i)
		} else {
			below = append(below, i)
		}
	}
	slices.Reverse(above)
	return append(above, below...)
}

// answerMissing tells whether one more answer that leads to a target is all that
// lacks.
func (t *trial) answerMissing(to handbook.Target) bool {
	for _, i := range t.nearFirst(to) {
		if t.mends(changedStep(t.page, i, func(s *handbook.Step) {
			s.Answers = append(slices.Clone(s.Answers), handbook.Answer{To: to})
		})) {
			return true
		}
	}
	return false
}

// turned returns the step, and the number of its way, that leads elsewhere than to
// the target where it was meant to lead; nil where none does.
func (t *trial) turned(to handbook.Target) (*handbook.Step, int) {
	for _, i := range t.nearFirst(to) {
		s := t.page.Procedure.Steps[i]
		for way := range s.Ways() {
			if t.mends(changedStep(t.page, i, func(s *handbook.Step) { turn(s, way, to) })) {
				return s, way
			}
		}
	}
	return nil, 0
}

// turn leads one of a step's ways elsewhere.
func turn(s *handbook.Step, way int, to handbook.Target) {
	if way < len(s.Answers) {
		s.Answers = slices.Clone(s.Answers)
		s.Answers[way].To = to
		return
	}
	reading := *s.Reading
	reading.Outcomes = slices.Clone(reading.Outcomes)
	reading.Outcomes[way-len(s.Answers)].To = to
	s.Reading = &reading
}

// conductSlip returns the step that should put back what is left on the machine and do
// what is lacking there, and how it does; nil where there is none.
func (t *trial) conductSlip() (step *handbook.Step, mend string) {
	var restores, sets []handbook.SettingAt
	c := t.page.Procedure.Course()
	for k, setting := range c.Settings {
		left, lacking := false, false
		for _, clash := range c.Follow(k).Clashes {
			missing := clash.Kind == procedure.Lacking || clash.Kind == procedure.Idle
			left, lacking = left || !missing, lacking || missing
		}
		if left {
			restores = append(restores, handbook.SettingAt{Setting: setting})
		}
		if lacking {
			sets = append(sets, handbook.SettingAt{Setting: setting})
		}
	}
	if restores == nil && sets == nil {
		return nil, ""
	}
	for i, s := range t.page.Procedure.Steps {
		states := []*handbook.State{nil}
		if s.Conduct == nil { // its block, lost, may have said one
			states = append(states, t.book.States...)
		}
		for _, state := range states {
			with := func(restores, sets []handbook.SettingAt) bool {
				return t.mends(changedStep(t.page, i, func(s *handbook.Step) {
					conduct := handbook.Conduct{State: state}
					if s.Conduct != nil {
						conduct = *s.Conduct
					}
					conduct.Restores = slices.Concat(conduct.Restores, restores)
					conduct.Sets = slices.Concat(conduct.Sets, sets)
					s.Conduct = &conduct
				}))
			}
			if state != nil && with(nil, nil) {
				return s, inBlock(state, nil, nil)
			}
			if with(restores, sets) {
				return s, inBlock(state, restores, sets)
			}
		}
	}
	return nil, ""
}

// inBlock says what is to be added to a step's block.
func inBlock(state *handbook.State, restores, sets []handbook.SettingAt) string {
	var keys []string
	if state != nil {
		keys = append(keys, "`state: "+state.ID+"`")
	}
	for _, l := range []struct {
		key  string
		list []handbook.SettingAt
	}{{"restores", restores}, {"sets", sets}} {
		var ids []string
		for _, s := range l.list {
			ids = append(ids, s.ID)
		}
		if ids != nil {
			keys = append(keys, "`"+l.key+": ["+strings.Join(ids, ", ")+"]`")
		}
	}
	return "If its step block says " + strings.Join(keys, ", ") + ", nothing is wrong."
}

// changedStep returns the page with another form of one of its steps.
func changedStep(p *handbook.Page, i int, change func(*handbook.Step)) *handbook.Page {
	page, pr, step := *p, *p.Procedure, *p.Procedure.Steps[i]
	change(&step)
	pr.Steps = slices.Clone(pr.Steps)
	pr.Steps[i] = &step
	page.Procedure = &pr
	return &page
}

// tell makes the remark on an answer that leads elsewhere than it was meant to: what
// is wrong where it leads comes before what is not led to.
func (t *trial) tell(s *handbook.Step, way int, meant handbook.Target) remark.Remark {
	pr := t.page.Procedure
	var places []remark.Place
	s.EachWay(func(_ handbook.Target, at remark.Place) { places = append(places, at) })
	at := places[way]
	r := t.gravest(slices.DeleteFunc(slices.Clone(t.found), func(r remark.Remark) bool { return unreachedIDs[r.ID] }), at)
	if to := pr.Step(s.Ways()[way]); to != nil {
		g, _ := graph(t.page)
		repeats := slices.Contains(procedure.Repeats(g), procedure.Way{Step: s.Number - 1, To: to.Number - 1})
		if early := procedure.ComesEarly(g, needsOf(pr)); len(early) > 0 {
			r = t.grave(remark.StepEarly.At(at, pr.Steps[early[0].Step].ID, pr.Steps[early[0].Need].ID))
		} else if repeats {
			r = t.grave(remark.StepRepeated.At(at, s.ID, to.ID))
		}
	}
	if name := meant.Written(); name != "" {
		r = r.Instead("Did you mean `%s`? If this answer leads there, nothing else is wrong.", name)
	}
	return r
}

// unreachedIDs are those of remarks on what no way leads to.
var unreachedIDs = map[string]bool{remark.StepUnreached.ID: true, remark.CauseUnreached.ID: true, remark.ComplaintUnconfirmed.ID: true}

func (t *trial) unreached() remark.List {
	return slices.DeleteFunc(slices.Clone(t.found), func(r remark.Remark) bool { return !unreachedIDs[r.ID] })
}

// gravest returns the first error of a list, else its first remark, to stand for all
// that was found; at a place, or at its own where that is none.
func (t *trial) gravest(list remark.List, at remark.Place) remark.Remark {
	if len(list) == 0 {
		list = t.found
	}
	i := slices.IndexFunc(list, func(r remark.Remark) bool { return r.ID == remark.SettingMissing.ID }) // at the very step
	if i < 0 {
		i = slices.IndexFunc(list, func(r remark.Remark) bool { return r.Severity == remark.Error })
	}
	r := list[max(0, i)]
	if at.File != "" {
		r.Place = at
	}
	return t.grave(r)
}

// grave makes a remark as grave as the gravest that it stands for.
func (t *trial) grave(r remark.Remark) remark.Remark {
	if t.found.Count(remark.Error) > 0 {
		r.Severity = remark.Error
	}
	return r
}
