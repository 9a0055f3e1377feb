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

// contradictions remarks on what the order of a procedure's steps contradicts.
func contradictions(p *handbook.Page, g procedure.Graph, remarks *remark.List) {
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
		if to := pr.Steps[way.To]; (to.Conduct == nil || !to.Conduct.Again) && placeOf(pr, way).File != "" {
			remarks.Add(remark.StepRepeated, placeOf(pr, way), pr.Steps[way.Step].ID, to.ID)
		}
	}
}

// placeOf is where an author leads from a step to another; nowhere, where only a link that has
// its remark may have been meant for it.
func placeOf(pr *handbook.Procedure, way procedure.Way) (place remark.Place) {
	pr.Steps[way.Step].EachWay(func(t handbook.Target, at remark.Place) {
		if place.File == "" && t.Kind == handbook.ToHeading && pr.Step(t) == pr.Steps[way.To] {
			place = at
		}
	})
	return place
}

// judgeOrder gives advice on an order of the steps that would find the cause sooner.
func judgeOrder(p *handbook.Page, g procedure.Graph, remarks *remark.List) {
	o := orderOf(p, g)
	if o.Why != "" || o.Saves < worthwhile*o.Written.Least {
		return
	}
	remarks.Add(remark.OrderBetter, p.Source.Top(), minutes(o.Written), strings.Join(o.Steps, ", "), minutes(o.Best))
}

// order is what is known of the order of a procedure's steps.
type order struct {
	Written procedure.Span // minutes to the cause; not reached where nobody knows
	// Why says why no other order is judged, in words that end a sentence; "" where one is.
	Why   string
	Best  procedure.Span // minutes in the best order that was found
	Steps []string       // that order
	Exact bool           // no other one is better
	// AsWritten: it is the one that the author wrote.
	AsWritten bool
	// Saves are the minutes that it saves whichever ways are taken.
	Saves float64
}

// orderOf judges the order of a procedure's steps.
func orderOf(p *handbook.Page, g procedure.Graph) (o order) {
	pr := p.Procedure
	needs := needsOf(pr)
	plan, unknown := planOf(p, needs)
	if unknown != "" {
		return order{Why: unknown}
	}
	const contradicts = "it contradicts itself as written"
	route, err := g.Route(plan)
	if err != nil {
		return order{Why: contradicts}
	}
	o.Written = route.Expected
	course := pr.Course().Course
	line, obstacle, err := g.Line(plan, course)
	if err != nil {
		o.Why = contradicts
		return o
	}
	step := func(i int) string { return "`" + pr.Steps[i].ID + "`" }
	switch obstacle.Kind {
	case procedure.NothingReached:
		o.Why = "no way leads to a cause"
	case procedure.ComesBack:
		o.Why = "some go from " + step(obstacle.A) + " by " + step(obstacle.B) + " and come back, some do not come there"
	case procedure.Unclear:
		o.Why = "cause `" + pr.Causes[obstacle.End].ID + "` is shown by both " + step(obstacle.A) + " and " + step(obstacle.B) + ", and from one of them by several ways or not always"
	case procedure.Contradicts:
		o.Why = contradicts
	case procedure.TooMuch:
		o.Why = "it has too many settings"
	}
	if o.Why != "" {
		return o
	}
	o.Written = line.Written
	keeps := func(order []int) bool { return line.Keeps(g, course, needs, order) }
	best, err := line.Plan.Best(keeps)
	if err == nil {
		o.Best, err = line.Minutes(best.Checks)
	}
	if err != nil {
		o.Why = contradicts
		return o
	}
	// A span of branches that is the same in every order leaves no doubt which is better.
	same := line.Branches.Most - line.Branches.Least
	o.Saves = o.Written.Least - (o.Best.Most - same)
	o.Exact, o.AsWritten = best.Exact, slices.IsSorted(best.Checks)
	for _, k := range best.Checks {
		o.Steps = append(o.Steps, pr.Steps[line.Steps[k]].ID)
	}
	return o
}

// minutes prints a span.
func minutes(s procedure.Span) string {
	least, most := strconv.FormatFloat(s.Least, 'f', 1, 64), strconv.FormatFloat(s.Most, 'f', 1, 64)
	if least == most {
		return least
	}
	return least + " to " + most
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

// planOf returns what a procedure says of its checks, or what the author has not
// yet said of what order depends on: minutes of every step, the frequency of every
// cause, and a step block.
func planOf(p *handbook.Page, needs [][]int) (plan procedure.Plan, unknown string) {
	pr := p.Procedure
	if len(pr.Causes) == 0 {
		return plan, "it has no causes"
	}
	for _, c := range pr.Causes {
		if c.Frequency <= 0 {
			return plan, "cause `" + c.ID + "` has no frequency"
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
	unknown = "no step has a step block"
	engine := pr.StepStates()
	for i, s := range pr.Steps {
		if s.Minutes <= 0 && !s.Verification() {
			return plan, "step `" + s.ID + "` has no minutes"
		}
		check := procedure.Check{Minutes: s.Minutes, Needs: needs[i]}
		if s.Conduct != nil {
			unknown = ""
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
		return plan, unknown
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
	return plan, unknown
}
