package audit

import (
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// worthwhile is the share of the written order's minutes that another order must
// save to be worth a remark.
const worthwhile = 0.02

// judgeOrder remarks on what the order of a procedure's steps contradicts, and
// on one that would find the cause sooner.
func judgeOrder(p *handbook.Page, g procedure.Graph, remarks *remark.List) {
	pr := p.Procedure
	needs := needsOf(pr)
	for _, early := range procedure.ComesEarly(g, needs) {
		for _, need := range pr.Steps[early.Step].Conduct.Needs {
			if need.Step == pr.Steps[early.Need].ID {
				remarks.Add(remark.StepEarly, need.Place, pr.Steps[early.Step].ID, need.Step)
			}
		}
	}
	for _, group := range procedure.Alike(g, answersOf(p)) {
		for _, other := range group[1:] {
			remarks.Add(remark.CausesAlike, pr.Causes[other].Place, pr.Causes[group[0]].ID, pr.Causes[other].ID)
		}
	}
	for _, way := range procedure.Repeats(g) {
		if to := pr.Steps[way.To]; to.Conduct == nil || !to.Conduct.Again {
			remarks.Add(remark.StepRepeated, pr.Steps[way.Step].Place, pr.Steps[way.Step].ID, to.ID)
		}
	}
	plan, ok := planOf(p, needs)
	if !ok {
		return
	}
	line, ok, err := g.Line(plan)
	if !ok || err != nil {
		return // no mistake: another order cannot be judged
	}
	asWritten := make([]int, len(line.Steps))
	for i := range asWritten {
		asWritten[i] = i
	}
	written, err := line.Plan.Expected(asWritten)
	if err != nil {
		return // a need that is not kept has its remark
	}
	best, err := line.Plan.Best()
	if err != nil || written-best.Minutes < worthwhile*written {
		return
	}
	var names []string
	for _, k := range best.Checks {
		names = append(names, pr.Steps[line.Steps[k]].ID)
	}
	minutes := func(v float64) string { return strconv.FormatFloat(v+line.Branches.Least, 'f', 1, 64) }
	remarks.Add(remark.OrderBetter, p.Source.Top(), minutes(written), strings.Join(names, ", "), minutes(best.Minutes))
}

// needsOf returns for each step those that must come before it, by index.
func needsOf(pr *handbook.Procedure) [][]int {
	needs := make([][]int, len(pr.Steps))
	for i, s := range pr.Steps {
		if s.Conduct == nil {
			continue
		}
		for _, need := range s.Conduct.Needs {
			if k := slices.IndexFunc(pr.Steps, func(t *handbook.Step) bool { return t.ID == need.Step }); k >= 0 {
				needs[i] = append(needs[i], k)
			}
		}
	}
	return needs
}

// answersOf returns the answers that end at causes; those of one step in the
// same words are one answer.
func answersOf(p *handbook.Page) []procedure.Answer {
	pr := p.Procedure
	var answers []procedure.Answer
	for i, s := range pr.Steps {
		first := map[string]int{}
		add := func(words string, to handbook.Target) {
			end := slices.IndexFunc(pr.Causes, func(c *handbook.Cause) bool { return c == to.Cause })
			if end < 0 {
				return
			}
			k, ok := first[words]
			if !ok {
				k = len(answers)
				first[words] = k
				answers = append(answers, procedure.Answer{Step: i})
			}
			answers[k].End = append(answers[k].End, end)
		}
		for _, a := range s.Answers {
			add("answer "+words(a.Text), a.To)
		}
		if s.Reading != nil {
			for _, o := range s.Reading.Outcomes {
				add("outcome "+o.Kind, o.To)
			}
		}
	}
	return answers
}

// planOf returns what a procedure says of its checks. It is none until the
// author has said what order depends on: minutes of every step, the frequency of
// every cause, and a step block.
func planOf(p *handbook.Page, needs [][]int) (plan procedure.Plan, ok bool) {
	pr := p.Procedure
	for _, c := range pr.Causes {
		if c.Frequency <= 0 {
			return plan, false
		}
		plan.Frequencies = append(plan.Frequencies, c.Frequency)
	}
	var states []*handbook.State
	number := func(s *handbook.State) int {
		i := slices.Index(states, s)
		if i < 0 {
			i, states = len(states), append(states, s)
		}
		return i
	}
	engine := pr.StepStates()
	for i, s := range pr.Steps {
		if s.Minutes <= 0 && !s.Verification() {
			return plan, false
		}
		check := procedure.Check{Minutes: s.Minutes, Needs: needs[i]}
		if s.Conduct != nil {
			ok = true
			for end, c := range pr.Causes {
				if power, given := s.Conduct.Detects[c.ID]; given {
					check.Shows = append(check.Shows, procedure.Show{Cause: end, Power: power})
				}
			}
		}
		if engine[i] != nil {
			check.State = number(engine[i])
		}
		plan.Checks = append(plan.Checks, check)
	}
	if len(states) == 0 || len(plan.Checks) == 0 {
		return plan, ok
	}
	// The engine stands as the first step wants it: what it takes to get it there
	// is the same in every order.
	plan.Start = plan.Checks[0].State
	for _, from := range states {
		row := make([]float64, len(states))
		for j, to := range states {
			row[j] = to.Reach(from)
		}
		plan.Change = append(plan.Change, row)
	}
	return plan, ok
}
