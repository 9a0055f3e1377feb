package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// adviseEnds gives advice on what a technician needs at the beginning and at the
// ends of a procedure that says in which engine states its complaint shows. It returns
// whether causes lack a check in one of them.
func adviseEnds(p *handbook.Page, remarks *remark.List) (missing bool) {
	pr := p.Procedure
	said := pr.Ends[handbook.NotReproduced]
	var lacks []string
	if said == nil || len(said.Log) == 0 {
		lacks = append(lacks, "what to note")
	}
	if said == nil || said.Again == "" {
		lacks = append(lacks, "when to try again")
	}
	if leadsTo(pr, handbook.NotReproduced) && lacks != nil {
		at := p.Source.Top()
		if said != nil {
			at = said.Place
		}
		remarks.Add(remark.EndUnlogged, at, strings.Join(lacks, ", nor "))
	}
	if len(pr.States) == 0 {
		return false
	}
	first := pr.Steps[0]
	if !slices.ContainsFunc(first.Ways(), func(t handbook.Target) bool {
		return t.Kind == handbook.ToPage || t.ID == handbook.EndAnchor(handbook.NotReproduced)
	}) {
		remarks.Add(remark.ComplaintUnconfirmed, first.Place)
	}
	checked := checkedIn(pr)
	var causes []string
	all := true
	for _, c := range pr.Causes {
		if c.Unchecked {
			continue
		}
		if check := pr.Check(c); check == nil || !checked[check] {
			causes = append(causes, "`"+c.ID+"`")
		} else {
			all = false
		}
	}
	if causes != nil {
		var names []string
		for _, s := range pr.States {
			names = append(names, "`"+s.ID+"`")
		}
		of := ""
		if !all {
			of = " of cause " + strings.Join(causes, ", ")
		}
		remarks.Add(remark.CheckMissing, pr.StatesPlace, strings.Join(names, " or "), of)
	}
	return causes != nil
}

// checkedIn returns the steps from which checks after the repair come to one that is
// done in an engine state in which the complaint shows.
func checkedIn(pr *handbook.Procedure) map[*handbook.Step]bool {
	states := pr.StepStates()
	checked := map[*handbook.Step]bool{}
	for more := true; more; {
		more = false
		for i, s := range pr.Steps {
			if !s.Verification() || checked[s] {
				continue
			}
			if slices.Contains(pr.States, states[i]) || slices.ContainsFunc(s.Ways(), func(t handbook.Target) bool { return checked[pr.Step(t)] }) {
				checked[s], more = true, true
			}
		}
	}
	return checked
}

// leadsTo tells whether a step leads to an end.
func leadsTo(pr *handbook.Procedure, end string) bool {
	for _, s := range pr.Steps {
		for _, t := range s.Ways() {
			if t.Kind == handbook.ToEnd && t.ID == handbook.EndAnchor(end) {
				return true
			}
		}
	}
	return false
}
