package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// adviseEnds gives advice on what a technician needs at the beginning and at the
// ends of a procedure that says in which engine states its complaint shows.
func adviseEnds(p *handbook.Page, remarks *remark.List) {
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
		return
	}
	first := pr.Steps[0]
	if !slices.ContainsFunc(first.Ways(), func(t handbook.Target) bool {
		return t.Kind == handbook.ToPage || t.ID == handbook.EndAnchor(handbook.NotReproduced)
	}) {
		remarks.Add(remark.ComplaintUnconfirmed, first.Place)
	}
	if slices.ContainsFunc(pr.Causes, func(c *handbook.Cause) bool { return !c.Unchecked }) && !checkedIn(pr) {
		var names []string
		for _, s := range pr.States {
			names = append(names, "`"+s.ID+"`")
		}
		remarks.Add(remark.CheckMissing, pr.StatesPlace, strings.Join(names, " or "))
	}
}

// checkedIn tells whether a check after the repair is done in an engine state in
// which the complaint shows.
func checkedIn(pr *handbook.Procedure) bool {
	states := pr.StepStates()
	for i, s := range pr.Steps {
		if s.Verification() && slices.Contains(pr.States, states[i]) {
			return true
		}
	}
	return false
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
