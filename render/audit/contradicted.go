package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// known is what a technician knows of a quantity at a step.
type known int

const (
	unread known = iota
	within
	outside
)

// knowing is a step, and what is known when it begins.
type knowing struct {
	step *handbook.Step
	is   known
}

// contradicted gives advice on causes whose remedy sets a quantity, where a way leads
// to one that found the quantity within its limits, and another that found it outside.
// The slip is told at the answer that leads from the one to the other.
//
// Nothing is said where it may be meant: of a quantity that the page reads at several
// points or in several engine states, and where the reading's own `within` leads to
// the cause.
func contradicted(p *handbook.Page, remarks *remark.List) {
	var told []remark.Place
	for _, c := range p.Procedure.Causes {
		var sets []*handbook.Spec
		eachTarget(p, c.Remedy.Doc, func(t handbook.Target) {
			if t.Spec != nil && !slices.Contains(sets, t.Spec) {
				sets = append(sets, t.Spec)
			}
		})
		for _, s := range sets {
			if !readAlike(p.Procedure, s) {
				continue
			}
			if at, step := slipTo(p.Procedure, c, s); step != nil && !slices.Contains(told, at) {
				told = append(told, at)
				remarks.Add(remark.CauseContradicted, at, step.ID, c.ID, s.ID)
			}
		}
	}
}

// readAlike tells whether all readings of a specification in the search are of one
// quantity, in one engine state.
func readAlike(pr *handbook.Procedure, s *handbook.Spec) bool {
	states := pr.StepStates()
	var first *handbook.Step
	for _, step := range pr.Steps {
		if step.Reading == nil || step.Reading.Spec != s || step.Verification() {
			continue
		}
		if first == nil {
			first = step
		}
		a, b := first.Reading, step.Reading
		if a.Red != b.Red || a.Black != b.Black || a.Conditions != b.Conditions || (a.Probes == nil) != (b.Probes == nil) ||
			a.Probes != nil && (a.Probes.Red != b.Probes.Red || a.Probes.Black != b.Probes.Black) || states[first.Number-1] != states[step.Number-1] {
			return false
		}
	}
	return first != nil
}

// slipTo returns the answer by which a way leads to a cause that found what its remedy
// sets within limits, and the step that has the answer; nil where none does.
func slipTo(pr *handbook.Procedure, c *handbook.Cause, s *handbook.Spec) (remark.Place, *handbook.Step) {
	type way struct {
		from knowing
		at   remark.Place
	}
	begin := knowing{pr.Steps[0], unread}
	came := map[knowing]way{begin: {}}
	reached := []knowing{begin}
	var found *way // the shortest way there that found it within limits
	explains := false
	for n := 0; n < len(reached); n++ {
		here := reached[n]
		reads := here.step.Reading != nil && here.step.Reading.Spec == s
		follow := func(t handbook.Target, at remark.Place, is known, direct bool) {
			if t.Cause == c {
				explains = explains || is == outside
				if found == nil && is == within && !direct {
					found = &way{here, at}
				}
			}
			to := pr.Step(t)
			if to == nil || to.Verification() {
				return
			}
			if to.Conduct != nil && to.Conduct.Again {
				is = unread // the machine has changed
			}
			next := knowing{to, is}
			if _, seen := came[next]; !seen {
				came[next] = way{here, at}
				reached = append(reached, next)
			}
		}
		for _, a := range here.step.Answers {
			follow(a.To, a.Place, here.is, false)
		}
		if here.step.Reading == nil {
			continue
		}
		for _, o := range here.step.Reading.Outcomes {
			is := here.is
			switch {
			case reads && o.Kind == "within":
				is = within
			case reads && (o.Kind == "low" || o.Kind == "high"):
				is = outside
			case reads:
				is = unread
			}
			follow(o.To, o.Place, is, reads)
		}
	}
	if found == nil || !explains {
		return remark.Place{}, nil
	}
	// Back to the first step that is come to by both: there the ways meet.
	slip := *found
	for w := *found; w.from.is == within; w = came[w.from] {
		if _, both := came[knowing{w.from.step, outside}]; !both {
			break
		}
		slip = came[w.from]
	}
	return slip.at, slip.from.step
}
