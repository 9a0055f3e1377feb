// Package procedure proves what can be proved of a troubleshooting procedure as
// a graph of steps and ends, and computes the minutes that it takes to an end.
//
// In: a Graph, and a Plan of its checks. Out: findings, minutes and orders, by
// the index of the step or end that they concern. It imports nothing of the
// project, and knows nothing of pages or places.
package procedure

import "slices"

// Graph is a procedure; every way on from a step leads to a step or out of the
// graph.
type Graph struct {
	Steps []Step
	// Begin is the step at which a technician begins: 0, but for one who comes from
	// elsewhere. An order of checks is that of one who begins at 0.
	Begin int
	Ends  int // how many ends the author listed, which some way should reach
	// Verify holds for each listed end the step that proves the repair, -1 where
	// none does. It is nil where no end has one.
	Verify []int
	// Meets holds for each listed end the hazards that are met there. It is nil where
	// none are.
	Meets [][]int
}

// Step is one step.
type Step struct {
	// To holds the steps that a way leads to, End the listed ends.
	To, End []int
	// Exit: a way leads out otherwise: handed over, not reproduced, to another
	// page, or where it is unknown.
	Exit bool
	// Verifies: the step is a check after the repair, and no part of the search.
	Verifies bool
	// Guards are the hazards that the step warns of before its action, Meets
	// those that its action meets.
	Guards, Meets []int
}

// next returns the steps that a reader can come to from one, by an answer or
// after the repair.
func (g Graph) next(step int) []int {
	s := g.Steps[step]
	if g.Verify == nil {
		return s.To
	}
	to := slices.Clone(s.To)
	for _, e := range s.End {
		if g.Verify[e] >= 0 {
			to = append(to, g.Verify[e])
		}
	}
	return to
}

// leadsOut tells whether a way from a step leads out of the graph for good.
func (g Graph) leadsOut(step int) bool {
	s := g.Steps[step]
	return s.Exit || !s.leadsOn() || slices.ContainsFunc(s.End, func(e int) bool { return g.Verify == nil || g.Verify[e] < 0 })
}

func (s Step) leadsOn() bool { return len(s.To) > 0 || len(s.End) > 0 || s.Exit }

// Findings are what is wrong with a graph; indexes are in rising order.
type Findings struct {
	DeadEnds      []int // steps that nothing leads on from
	Unreached     []int // steps that no way leads to; of those that one leads to from another, the first
	Trapped       []int // the first step of each loop that no way leads out of
	UnreachedEnds []int
	Late          []Meeting // hazards met by a reader who may not have been warned
	LateEnds      []EndMeeting
}

// Meeting is a step that meets a hazard.
type Meeting struct{ Step, Hazard int }

// EndMeeting is an end at which a hazard is met.
type EndMeeting struct{ End, Hazard int }

// Prove checks a graph.
func Prove(g Graph) Findings {
	var f Findings
	reached := g.reach(g.Begin)
	ends := make([]bool, g.Ends)
	for i, s := range g.Steps {
		if !s.leadsOn() {
			f.DeadEnds = append(f.DeadEnds, i)
		}
		for _, e := range s.End {
			ends[e] = ends[e] || reached[i]
		}
	}
	f.Unreached = g.unreached(reached)
	for e, ok := range ends {
		// An end that only an unreached step leads to is that step's mistake.
		if !ok && !g.leadsToEnd(e) {
			f.UnreachedEnds = append(f.UnreachedEnds, e)
		}
	}
	f.Trapped = g.trapped(reached)
	f.Late, f.LateEnds = g.Late()
	return f
}

// unreached returns the steps that nothing leads to; what only they lead to is
// no second mistake. Of an unreached loop it is the first step.
func (g Graph) unreached(reached []bool) (first []int) {
	covered := make([]bool, len(g.Steps))
	for e, step := range g.Verify {
		if step >= 0 && !g.leadsToEnd(e) { // the end's own mistake
			for i, in := range g.reach(step) {
				covered[i] = covered[i] || in
			}
		}
	}
	for i := range g.Steps {
		if reached[i] || covered[i] {
			continue
		}
		from := g.reach(i)
		kept := first[:0]
		for _, j := range first { // an earlier one that this one leads to is none any more
			if !from[j] {
				kept = append(kept, j)
			}
		}
		first = append(kept, i)
		for j := range from {
			covered[j] = covered[j] || from[j]
		}
	}
	slices.Sort(first)
	return first
}

func (g Graph) leadsToEnd(e int) bool {
	for _, s := range g.Steps {
		if slices.Contains(s.End, e) {
			return true
		}
	}
	return false
}

// walk returns the steps reached from one, not going on from those that stop
// returns true for.
func (g Graph) walk(from int, stop func(Step) bool) []bool {
	seen := make([]bool, len(g.Steps))
	if from >= len(g.Steps) {
		return seen
	}
	seen[from] = true
	next := []int{from}
	for len(next) > 0 {
		i := next[len(next)-1]
		next = next[:len(next)-1]
		if stop(g.Steps[i]) {
			continue
		}
		for _, to := range g.next(i) {
			if !seen[to] {
				seen[to] = true
				next = append(next, to)
			}
		}
	}
	return seen
}

// trapped returns the first step of each set of steps that lead to each other
// and nowhere else, among those reached. A dead end is no trap, nor is what leads only to one: the
// finding on the dead end says enough.
func (g Graph) trapped(reached []bool) []int {
	back := make([][]int, len(g.Steps))
	out := make([]bool, len(g.Steps))
	var next []int
	for i := range g.Steps {
		for _, to := range g.next(i) {
			back[to] = append(back[to], i)
		}
		if g.leadsOut(i) {
			out[i] = true
			next = append(next, i)
		}
	}
	for len(next) > 0 {
		i := next[len(next)-1]
		next = next[:len(next)-1]
		for _, from := range back[i] {
			if !out[from] {
				out[from] = true
				next = append(next, from)
			}
		}
	}
	var trapped []int
	told := make([]bool, len(g.Steps))
	for i := range g.Steps {
		if out[i] || !reached[i] || told[i] {
			continue
		}
		// A loop that leads on into another is told by the innermost one: the
		// one whose every step leads back to it.
		loop := g.reach(i)
		innermost := true
		for j := range g.Steps {
			innermost = innermost && (!loop[j] || g.reach(j)[i])
		}
		if innermost {
			trapped = append(trapped, i)
			for j, in := range loop {
				told[j] = told[j] || in
			}
		}
	}
	return trapped
}

// reach returns the steps that ways from a step lead to, the step itself too.
func (g Graph) reach(from int) []bool { return g.walk(from, func(Step) bool { return false }) }

// Late finds steps that meet a hazard and can be reached without its warning, and
// ends alike.
func (g Graph) Late() (steps []Meeting, ends []EndMeeting) {
	known := map[int][]bool{}
	unwarned := func(hazard int) []bool {
		if known[hazard] == nil {
			known[hazard] = g.unwarned(hazard)
		}
		return known[hazard]
	}
	for i, s := range g.Steps {
		for _, h := range s.Meets {
			if unwarned(h)[i] {
				steps = append(steps, Meeting{i, h})
			}
		}
	}
	for e, hazards := range g.Meets {
		for _, h := range hazards {
			for i, late := range unwarned(h) {
				if late && slices.Contains(g.Steps[i].End, e) {
					ends = append(ends, EndMeeting{e, h})
					break
				}
			}
		}
	}
	return steps, ends
}

// late is Late of the steps.
func (g Graph) late() []Meeting {
	steps, _ := g.Late()
	return steps
}

// unwarned returns the steps at which a reader may not have been warned of a hazard
// by the time of their action.
func (g Graph) unwarned(hazard int) []bool {
	warns := func(s Step) bool { return slices.Contains(s.Guards, hazard) }
	unwarned := g.walk(g.Begin, warns)
	for i, s := range g.Steps {
		unwarned[i] = unwarned[i] && !warns(s)
	}
	return unwarned
}
