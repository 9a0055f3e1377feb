package audit

import (
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
	for _, s := range pr.Steps {
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
	for _, c := range pr.Causes {
		if check := pr.Check(c); check != nil && !check.Verification() {
			remarks.Add(remark.CheckUnfit, c.VerificationPlace, c.ID, check.ID)
		}
	}
	return len(*remarks) > before
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
