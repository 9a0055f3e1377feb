package audit

import (
	"slices"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// judgeOutcomes remarks on readings that lead on as if they had been others: those
// outside that pass a check after the repair, those that lead to one place whatever
// they are, and no reading at all where it counts as one within limits; and on answers
// that all lead to one step.
func judgeOutcomes(pr *handbook.Procedure, remarks *remark.List) {
	told := map[*handbook.Step]bool{}
	for _, s := range pr.Steps {
		if s.Reading == nil || len(s.Reading.Outcomes) == 0 {
			if to, ok := oneWay(pr, s); ok {
				remarks.Add(remark.ReadingUndecided, s.Answers[1].Place, s.ID, "#"+to.ID)
			}
			continue
		}
		by := map[string]handbook.Outcome{}
		for _, o := range s.Reading.Outcomes {
			by[o.Kind] = o
		}
		within := by["within"].To
		if s.Verification() {
			for _, o := range s.Reading.Outcomes {
				outside := o.Kind == "low" || o.Kind == "high"
				passes := o.To.ID == handbook.EndAnchor(handbook.Repaired)
				// As within leads, unstable and none have a remark of their own.
				if !told[s] && (outside && (passes || o.To == within) || o.Kind != "within" && passes && o.To != within) {
					told[s] = true
					remarks.Add(remark.CheckOutside, o.Place, s.ID, o.Kind)
				}
			}
		}
		if told[s] {
			continue
		}
		if decided(s) {
			to := within.Written()
			if within.Page != nil {
				to = within.Page.Source.Path
			}
			r := remark.ReadingUndecided.At(s.Reading.SpecPlace, s.ID, to)
			if within.Cause != nil { // what is right condemns it
				r.Severity = remark.Error
			}
			*remarks = append(*remarks, r)
			continue
		}
		outside := ""
		kinds := []string{"low", "high"}
		open := s.Reading.Spec != nil && s.Reading.Spec.Unit.Kind == unit.Resistance
		if s.Reading.Timing != nil {
			kinds = kinds[1:] // what never comes is late
		}
		for _, kind := range kinds {
			o, given := by[kind]
			if given && o.To == within {
				outside = ""
				break
			}
			if given && (outside == "" || open) {
				outside = kind
			}
		}
		if none, given := by["none"]; given && none.To == within && outside != "" {
			remarks.Add(remark.NoneWithin, none.Place, outside)
		}
	}
	unfailing(pr, told, remarks)
}

// decided tells whether a reading leads to one place whatever its value is, and no
// answer of the step leads elsewhere.
func decided(s *handbook.Step) bool {
	first := s.Reading.Outcomes[0]
	one, count := true, 0
	for _, o := range s.Reading.Outcomes {
		if o.Kind != "unstable" {
			one = one && o.To == first.To
			count++
		}
	}
	return one && count > 1 && !slices.ContainsFunc(s.Answers, func(a handbook.Answer) bool { return a.To != first.To })
}

// oneWay tells whether all answers of a step, two at least, lead to one step: then what was seen
// there is lost. At an end or a cause they tell a record what was found.
func oneWay(pr *handbook.Procedure, s *handbook.Step) (*handbook.Step, bool) {
	if len(s.Answers) < 2 || s.Broken || s.Reading != nil {
		return nil, false
	}
	to := pr.Step(s.Answers[0].To)
	return to, to != nil && !slices.ContainsFunc(s.Answers, func(a handbook.Answer) bool { return pr.Step(a.To) != to })
}

// unfailing remarks on the first check after a repair from which all ways over checks
// lead to the end that proves it.
func unfailing(pr *handbook.Procedure, told map[*handbook.Step]bool, remarks *remark.List) {
	fails := map[*handbook.Step]bool{}
	for more := true; more; { // each round, what leads to a check that can fail
		more = false
		for _, s := range pr.Steps {
			if s.Verification() && !fails[s] && slices.ContainsFunc(s.Ways(), func(t handbook.Target) bool {
				if to := pr.Step(t); to != nil && to.Verification() {
					return fails[to]
				}
				return t.ID != handbook.EndAnchor(handbook.Repaired)
			}) {
				fails[s], more = true, true
			}
		}
	}
	for _, c := range pr.Causes {
		if check := pr.Check(c); check != nil && check.Verification() && !fails[check] && !told[check] {
			told[check] = true
			remarks.Add(remark.CheckUnfailing, check.Place, check.ID)
		}
	}
}
