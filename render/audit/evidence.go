package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// evidence gives advice on ways that contradict what was read on them: to a quantity that was
// found within its limits already, else to a part that nothing has shown at fault.
func evidence(pr *handbook.Procedure, remarks *remark.List) {
	before := len(*remarks)
	if readAgain(pr, remarks); len(*remarks) == before {
		withoutEvidence(pr, remarks)
	}
	unstableWithin(pr, remarks)
}

// unstableWithin tells of readings that lead on alike whether they jump or are within their
// limits, and elsewhere where they are outside.
func unstableWithin(pr *handbook.Procedure, remarks *remark.List) {
	for _, s := range pr.Steps {
		if s.Reading == nil {
			continue
		}
		by := map[string]handbook.Outcome{}
		for _, o := range s.Reading.Outcomes {
			by[o.Kind] = o
		}
		for _, kind := range []string{"low", "high"} {
			o, given := by[kind]
			if jumps := by["unstable"]; given && jumps.To == by["within"].To && jumps.To != o.To {
				remarks.Add(remark.UnstableWithin, jumps.Place, kind)
				break
			}
		}
	}
}

// withoutEvidence tells of readings whose `within` finds a cause with a part, where a way leads
// to them on which nothing showed a fault: the part would be found by what is right everywhere.
func withoutEvidence(pr *handbook.Procedure, remarks *remark.List) {
	sound := map[*handbook.Step]bool{pr.Steps[0]: true}
	reached := []*handbook.Step{pr.Steps[0]}
	for i := 0; i < len(reached); i++ {
		for _, t := range soundWays(pr, reached[i]) {
			if to := pr.Step(t); to != nil && !to.Verification() && !sound[to] {
				sound[to] = true
				reached = append(reached, to)
			}
		}
		if r := reached[i].Reading; r != nil {
			for _, o := range r.Outcomes {
				if c := o.To.Cause; o.Kind == "within" && c != nil && c.Part != nil {
					remarks.Add(remark.CauseWithin, o.Place, c.ID, c.Part.ID)
				}
			}
		}
	}
}

// soundWays returns where a step leads that shows no fault: the way of a reading within its
// limits, and the answers that go on with the search, if all of them go on to one step. Where
// they go on to several, each of them has shown something.
func soundWays(pr *handbook.Procedure, s *handbook.Step) (ways []handbook.Target) {
	var on []handbook.Target
	for _, a := range s.Answers {
		if pr.Step(a.To) != nil && !slices.Contains(on, a.To) {
			on = append(on, a.To)
		}
	}
	if s.Reading != nil {
		for _, o := range s.Reading.Outcomes {
			if o.Kind == "within" {
				ways = append(ways, o.To)
			} else { // an answer that leads there shows the same
				on = slices.DeleteFunc(on, func(t handbook.Target) bool { return t == o.To })
			}
		}
	}
	if len(on) == 1 {
		ways = append(ways, on[0])
	}
	return ways
}

// readAgain tells of readings that are taken of a quantity, at the same points and in the same
// engine state, that a step right before has found within its limits.
func readAgain(pr *handbook.Procedure, remarks *remark.List) {
	states := pr.StepStates()
	for _, s := range pr.Steps {
		if s.Reading == nil || s.Reading.Spec == nil || s.Verification() {
			continue
		}
		for _, o := range s.Reading.Outcomes {
			to := pr.Step(o.To)
			if o.Kind == "within" && to != nil && to != s && !to.Verification() && sameReading(s.Reading, to.Reading) && states[s.Number-1] == states[to.Number-1] &&
				!slices.ContainsFunc(s.Reading.Outcomes, func(other handbook.Outcome) bool { return other.Kind != "within" && other.To == o.To }) {
				remarks.Add(remark.ReadingKnown, o.Place, to.ID, s.Reading.Spec.ID)
			}
		}
	}
}

// sameReading tells whether two readings are of one quantity between the same points.
func sameReading(a, b *handbook.Reading) bool {
	return b != nil && a.Spec == b.Spec && a.Red != "" && words(a.Red) == words(b.Red) && words(a.Black) == words(b.Black)
}
