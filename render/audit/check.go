package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// proveChecks remarks on checks after the repair that stand before it, and on
// ways to the third end that prove no repair. It returns whether there were any.
func proveChecks(p *handbook.Page, remarks *remark.List) (wrong bool) {
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
		s.EachWay(func(t handbook.Target, at remark.Place) {
			if t.Kind == handbook.ToEnd && t.ID == handbook.EndAnchor(handbook.Repaired) {
				remarks.Add(remark.RepairedEarly, at, s.ID)
			}
			if to := pr.Step(t); to != nil && to.Verification() {
				remarks.Add(remark.CheckEarly, at, "step `"+s.ID+"`", to.ID)
			}
		})
	}
	if wrong = len(*remarks) > before; !wrong {
		provedNever(pr, remarks)
	}
	return wrong
}

// provedNever remarks on the last check after the repair from which no way over
// checks leads to the end that proves it, or to another page that may.
func provedNever(pr *handbook.Procedure, remarks *remark.List) {
	proves := map[*handbook.Step]bool{}
	for range pr.Steps { // each round, what leads to a check that proves
		for _, s := range pr.Steps {
			for _, t := range s.Ways() {
				to := pr.Step(t)
				known := t != handbook.Target{} // else it may be meant
				if s.Verification() && (!known || t.Kind == handbook.ToPage || t.ID == handbook.EndAnchor(handbook.Repaired) || to != nil && proves[to]) {
					proves[s] = true
				}
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
// another than that of the step above.
func unclearStates(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
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
	told := map[*handbook.Step]bool{}
	for i, s := range pr.Steps {
		for _, t := range s.Ways() {
			to := pr.Step(t)
			if t.Cause != nil {
				to = pr.Check(t.Cause)
			}
			if to == nil || told[to] || to.Conduct != nil && to.Conduct.State != nil {
				continue
			}
			if as, comes := states[to.Number-1], states[i]; as != comes && as != nil && comes != nil {
				told[to] = true
				remarks.Add(remark.StateUnclear, to.Place, to.ID, as.ID, s.ID, comes.ID)
			}
		}
	}
}
