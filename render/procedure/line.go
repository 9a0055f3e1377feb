package procedure

import "slices"

// Line is a graph whose checks can be put into another order: one step after
// another, with branches off some of them that lead to ends and do not come back.
// A step shows the ends of its branches, as it leads to them.
type Line struct {
	Steps []int // as written
	Plan  Plan  // a check for each of Steps, in that order
	// Branches are expected minutes on the branches. They are the same in every
	// order, and come on top of those of the plan. They are a span where a branch
	// forks on the way to an end.
	Branches Span
}

// Line returns a graph as a line. It is none where a branch leads to an end that
// another step of the line shows, or where a check off the line can miss an
// end: what another order would take is then not known.
//
// The plan is as for Route, but its checks' Shows tell the power for the ends
// that the checks do not always show. The first step, which confirms the
// complaint, stays first, and a step stays behind the one that warns of what it
// meets. An end that is not reached counts as never there.
func (g Graph) Line(p Plan) (line Line, ok bool, err error) {
	r, err := g.Route(p)
	if err != nil || !r.Expected.Reached {
		return Line{}, false, err
	}
	forward := g.forward()
	line.Steps = trunk(forward)
	line.Plan = Plan{Change: p.Change, Start: p.Start, Frequencies: slices.Clone(p.Frequencies)}
	for end, span := range r.Ends {
		if !span.Reached {
			line.Plan.Frequencies[end] = 0
		}
	}
	sum := total(line.Plan.Frequencies)
	owner := owners(forward, line.Steps)
	for i, c := range p.Checks {
		for _, s := range c.Shows {
			if s.Power < 1 && owner[i] >= 0 && line.Steps[owner[i]] != i {
				return Line{}, false, nil
			}
		}
	}
	line.Branches.Reached = true
	shown := make([]bool, g.Ends)
	branched := make([]bool, g.Ends)
	for k, step := range line.Steps {
		c := Check{Minutes: p.Checks[step].Minutes, State: p.Checks[step].State, Needs: g.needs(p, line.Steps, owner, k)}
		for end := range g.Ends {
			branch := g.shownAt(p, forward, line.Steps, k, end)
			if !branch.Reached {
				continue
			}
			off := !slices.Contains(g.Steps[step].End, end)
			if shown[end] && (off || branched[end]) {
				return Line{}, false, nil
			}
			shown[end], branched[end] = true, off
			power := p.Checks[step].power(end)
			c.Shows = append(c.Shows, Show{end, power})
			share := line.Plan.Frequencies[end] / sum * power
			line.Branches.Least += share * branch.Least
			line.Branches.Most += share * branch.Most
		}
		line.Plan.Checks = append(line.Plan.Checks, c)
	}
	return line, true, nil
}

// trunk follows, from the first step, the way that leads on to the most steps.
func trunk(forward [][]int) []int {
	steps := []int{0}
	for at := 0; ; {
		next, most := -1, 0
		for _, to := range forward[at] {
			if n := len(region(forward, to)); n > most {
				next, most = to, n
			}
		}
		if next < 0 {
			return steps
		}
		steps = append(steps, next)
		at = next
	}
}

// region returns a step and those that it leads on to.
func region(forward [][]int, step int) []int {
	steps := []int{step}
	for i := 0; i < len(steps); i++ {
		for _, to := range forward[steps[i]] {
			if !slices.Contains(steps, to) {
				steps = append(steps, to)
			}
		}
	}
	return steps
}

// owners returns for each step its place on the line, or that of the step that
// it branches off, -1 for one that is not reached.
func owners(forward [][]int, line []int) []int {
	owner := make([]int, len(forward))
	for i := range owner {
		owner[i] = -1
	}
	for k, step := range line {
		owner[step] = k
	}
	for k, step := range line {
		for _, to := range forward[step] {
			if k+1 < len(line) && to == line[k+1] {
				continue
			}
			for _, i := range region(forward, to) {
				if owner[i] < 0 {
					owner[i] = k
				}
			}
		}
	}
	return owner
}

// shownAt returns the minutes from a step of the line to an end to which it
// leads otherwise than along the line.
func (g Graph) shownAt(p Plan, forward [][]int, line []int, k, end int) Span {
	off := slices.Clone(forward)
	if k+1 < len(line) {
		off[line[k]] = slices.DeleteFunc(slices.Clone(off[line[k]]), func(to int) bool { return to == line[k+1] })
	}
	w := walker{Plan: p, graph: g, forward: off, end: end, spans: make([]*Span, len(g.Steps))}
	return w.from(line[k])
}

// power is that of showing a cause which the check leads to.
func (c Check) power(cause int) float64 {
	for _, s := range c.Shows {
		if s.Cause == cause {
			return s.Power
		}
	}
	return 1
}

// needs returns the places on the line that must come before the k-th: what it
// and its branches need, the first step, and who warns of what they meet.
func (g Graph) needs(p Plan, line, owner []int, k int) []int {
	var needs []int
	add := func(place int) {
		if place >= 0 && place != k && !slices.Contains(needs, place) {
			needs = append(needs, place)
		}
	}
	if k > 0 {
		add(0)
	}
	for i, s := range g.Steps {
		if owner[i] != k {
			continue
		}
		for _, need := range p.Checks[i].Needs {
			add(owner[need])
		}
		for _, h := range s.Meets {
			if slices.Contains(s.Guards, h) {
				continue
			}
			for place := k; place >= 0; place-- {
				if slices.Contains(g.Steps[line[place]].Guards, h) {
					add(place)
					break
				}
			}
		}
	}
	slices.Sort(needs)
	return needs
}
