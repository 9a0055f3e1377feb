package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// proveChecks remarks on checks after the repair that stand before it, and on
// ways to the third end that prove no repair. It returns whether there were any. Where
// ways are unknown, nothing is said of those that are missing.
func proveChecks(p *handbook.Page, unknownWays bool, remarks *remark.List) bool {
	before := len(*remarks)
	pr := p.Procedure
	if first := pr.Steps[0]; first.Verification() {
		remarks.Add(remark.CheckEarly, first.Place, "the beginning", first.ID)
	}
	unfit := map[*handbook.Step][]*handbook.Cause{}
	for _, c := range pr.Causes {
		if check := pr.Check(c); check != nil && !check.Verification() {
			unfit[check] = append(unfit[check], c)
		}
	}
	for _, s := range pr.Steps {
		if causes := unfit[s]; causes != nil {
			var names []string
			for _, c := range causes {
				names = append(names, "`"+c.ID+"`")
			}
			remarks.Add(remark.CheckUnfit, causes[0].VerificationPlace, strings.Join(names, ", "), s.ID)
			continue
		}
		if s.Verification() {
			continue
		}
		told := false
		s.EachWay(func(t handbook.Target, at remark.Place) {
			if t.Kind == handbook.ToEnd && t.ID == handbook.EndAnchor(handbook.Repaired) && !told {
				told = true // several are one step that should say `verification: yes`
				remarks.Add(remark.RepairedEarly, at, s.ID)
			}
			if to := pr.Step(t); to != nil && to.Verification() {
				remarks.Add(remark.CheckEarly, at, "step `"+s.ID+"`", to.ID)
			}
		})
	}
	if len(*remarks) == before && !unknownWays {
		provedNever(pr, remarks)
	}
	return len(*remarks) > before
}

// provedNever remarks on the last check after the repair from which no way over
// checks leads to the end that proves it, or to a check of another page.
func provedNever(pr *handbook.Procedure, remarks *remark.List) {
	proves := map[*handbook.Step]bool{}
	elsewhere := func(t handbook.Target) bool {
		if t.Kind != handbook.ToPage || t.Page.Procedure == nil {
			return false
		}
		to := t.Page.Procedure.Heading(t.ID)
		return to != nil && to.Verification()
	}
	leads := func(t handbook.Target) bool {
		known := t != handbook.Target{} // else it may be meant
		return !known || elsewhere(t) || t.ID == handbook.EndAnchor(handbook.Repaired) || proves[pr.Step(t)]
	}
	for more := true; more; { // each round, what leads to a check that proves
		more = false
		for _, s := range slices.Backward(pr.Steps) {
			if s.Verification() && !proves[s] && slices.ContainsFunc(s.Ways(), leads) {
				proves[s], more = true, true
			}
		}
	}
	for _, s := range slices.Backward(pr.Steps) {
		if s.Verification() && !proves[s] && !s.Broken {
			remarks.Add(remark.RepairedNever, s.Place, s.ID)
			return
		}
	}
}

// unclearStates gives advice on readings of which nobody says in which engine
// state they are taken, and on steps without one of their own that a way reaches in
// another than that of the step above; those that have it from the same step are one
// slip. Nothing is said of ways from checks where one is missing, which may be in a
// wrong state. It returns the steps of which the state is unclear.
func unclearStates(h *handbook.Handbook, p *handbook.Page, missing bool, remarks *remark.List) map[*handbook.Step]bool {
	pr := p.Procedure
	states := pr.StepStates()
	for i, s := range pr.Steps {
		r := s.Reading
		conditions := r != nil && (r.Conditions != "" || r.Spec != nil && len(r.Spec.Conditions) > 0) // without them it has advice
		if conditions && states[i] == nil && len(h.States) > 0 {
			remarks.Add(remark.ReadingState, r.SpecPlace, s.ID)
			break // the page's `states` would do for all
		}
	}
	var slips []*unclear
	for i, s := range pr.Steps {
		if missing && s.Verification() {
			continue
		}
		for _, t := range s.Ways() {
			to := pr.Step(t)
			if t.Cause != nil {
				to = pr.Check(t.Cause)
			}
			if to == nil || states[to.Number-1] == states[i] || states[to.Number-1] == nil || states[i] == nil {
				continue
			}
			above := statedBy(pr, to)
			if above == to {
				continue
			}
			k := slices.IndexFunc(slips, func(u *unclear) bool { return u.above == above })
			if k < 0 {
				k, slips = len(slips), append(slips, &unclear{above: above, from: s})
			}
			if !slices.Contains(slips[k].steps, to) {
				slips[k].steps = append(slips[k].steps, to)
			}
		}
	}
	found := map[*handbook.Step]bool{}
	for _, u := range slips {
		to := u.steps[0]
		var also []string
		for _, s := range u.steps[1:] {
			also = append(also, "`"+s.ID+"`")
		}
		remarks.Add(remark.StateUnclear, to.Place, to.ID, states[to.Number-1].ID, u.from.ID, states[u.from.Number-1].ID, soToo(also))
		for _, s := range pr.Steps {
			found[s] = found[s] || s != u.above && statedBy(pr, s) == u.above
		}
	}
	return found
}

// unclear are steps that have their engine state from one above, and to which a way
// leads in another state; from is where the first of the ways begins.
type unclear struct {
	above, from *handbook.Step
	steps       []*handbook.Step
}

// statedBy returns the step whose block says the engine state in which a step is
// done, nil where the page does.
func statedBy(pr *handbook.Procedure, step *handbook.Step) *handbook.Step {
	for _, s := range slices.Backward(pr.Steps[:step.Number]) {
		if s.Conduct != nil && s.Conduct.State != nil {
			return s
		}
	}
	return nil
}
