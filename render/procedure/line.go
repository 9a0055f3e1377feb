package procedure

import (
	"math"
	"slices"
)

// Line is a graph whose checks can be put into another order: one step after
// another, with branches off some of them that lead to ends and do not come back.
// A step shows the ends of its branches, as it leads to them. Ways that click on
// past some steps of the line may be there, too.
type Line struct {
	Steps []int // as written
	Plan  Plan  // a check for each of Steps, in that order
	// Branches are expected minutes on the branches that are the same in every
	// order, and come on top of those of the plan. They are a span where a branch
	// forks on the way to an end, or can miss it.
	Branches Span
	// Written is what it takes as written. It is a span where a branch forks, and
	// where two ways lead to one end: past some steps of the line or not, by a branch
	// or a later step. Nothing then says which way is taken.
	Written Span

	open []bool // the ends that several steps show, one of them by a branch
}

// Minutes returns what it takes to come to an end when the steps of the line are
// done in an order and no way clicks on past one.
func (l Line) Minutes(order []int) (Span, error) {
	if _, err := l.Plan.ranks(); err != nil {
		return Span{}, err
	}
	if err := l.Plan.allows(order); err != nil {
		return Span{}, err
	}
	span, sum := l.Branches, total(l.Plan.Frequencies)
	for end, f := range l.Plan.Frequencies {
		one := l.Plan
		one.Frequencies = make([]float64, len(l.Plan.Frequencies))
		one.Frequencies[end] = 1
		least := one.minutes(order)
		most := least
		if l.open[end] {
			least, most = one.either(order, end)
		}
		span.Least += f / sum * least
		span.Most += f / sum * most
	}
	return span, nil
}

// either returns the least and most minutes to an end when any check that shows it
// may be the one that does.
func (p Plan) either(order []int, end int) (least, most float64) {
	clock, state, misses := 0.0, p.Start, true
	least = math.Inf(1)
	for _, k := range order {
		clock += p.cost(state, k)
		state = p.Checks[k].State
		for _, s := range p.Checks[k].Shows {
			if s.Cause == end && s.Power > 0 {
				least, most = min(least, clock+s.Minutes), max(most, clock+s.Minutes)
				misses = misses && s.Power < 1
			}
		}
	}
	if misses {
		most = max(most, clock)
	}
	return min(least, clock), most
}

// ObstacleKind says what keeps a graph from being a line.
type ObstacleKind int

// The kinds of obstacle.
const (
	noObstacle ObstacleKind = iota
	NothingReached
	ComesBack   // the branch of step A that step B is on leads back to the line
	Unclear     // both A and B show the end, one of them by a branch that forks or can miss it
	Contradicts // the line as written does not keep what its steps need
	TooMuch     // more steps or settings than can be judged
)

// Obstacle is what keeps a graph from being a line.
type Obstacle struct {
	Kind      ObstacleKind
	A, B, End int // steps and an end, as the kind says
}

// Line returns a graph as a line, or what keeps it from being one: what another
// order would take, or whether it could be done, is then not known.
//
// The plan is as for Route, but its checks' Shows tell the power for the ends
// that the checks do not always show. The course has the steps first, in the same
// order, then the ends.
//
// The first step, which confirms the complaint, stays first, and a last step that
// finds an end whatever is seen stays last. A step stays behind those that it needs and
// behind some step that warns of what it meets. It finds each setting as it and its
// branches need it, and as the ends there put it back. An end that is not reached
// counts as never there.
func (g Graph) Line(p Plan, c Course) (line Line, o Obstacle, err error) {
	r, err := g.Route(p)
	if err != nil {
		return Line{}, o, err
	}
	if !r.Expected.Reached {
		return Line{}, Obstacle{Kind: NothingReached}, nil
	}
	l := newLiner(g, p, c)
	if l.settings > maxSettings {
		return Line{}, Obstacle{Kind: TooMuch}, nil
	}
	line = Line{Steps: l.line, Plan: Plan{Change: p.Change, Start: p.Start, Frequencies: slices.Clone(p.Frequencies)}}
	for end, span := range r.Ends {
		if !span.Reached {
			line.Plan.Frequencies[end] = 0
		}
	}
	if o := l.comesBack(); o.Kind != noObstacle {
		return Line{}, o, nil
	}
	for k, step := range line.Steps {
		check := Check{Minutes: p.Checks[step].Minutes, State: p.Checks[step].State}
		check.Needs, check.Any = l.needs(k)
		line.Plan.Checks = append(line.Plan.Checks, check)
	}
	if o := l.addShows(&line); o.Kind != noObstacle {
		return Line{}, o, nil
	}
	l.addSettings(&line.Plan)
	line.Written, err = line.Minutes(line.asWritten())
	if err != nil {
		return Line{}, Obstacle{Kind: Contradicts}, nil
	}
	if l.clicksOn || slices.Contains(line.open, true) {
		// Who clicks on saves the steps between. A check that misses takes longer
		// than one that does not, so the least holds of those, too.
		line.Written = Span{min(line.Written.Least, r.Expected.Least), max(line.Written.Most, r.Expected.Most), true}
	}
	return line, o, nil
}

// liner makes a line of a graph.
type liner struct {
	graph    Graph
	plan     Plan
	course   Course
	line     []int
	off      [][]int // the steps that each leads on to, without ways of the line to the line
	clicksOn bool    // some way of the line leads on past its next step
	owner    []int   // the place on the line of each step, or of the first that it branches off; -1 for one that is not reached
	settings int
}

func newLiner(g Graph, p Plan, c Course) *liner {
	forward := g.forward()
	l := &liner{graph: g, plan: p, course: c, line: trunk(forward), off: forward, settings: c.settings(), owner: slices.Repeat([]int{-1}, len(forward))}
	for k, step := range l.line {
		l.owner[step] = k
		l.off[step] = slices.DeleteFunc(slices.Clone(forward[step]), func(to int) bool {
			place := slices.Index(l.line, to)
			l.clicksOn = l.clicksOn || place > k+1
			return place >= 0
		})
	}
	for k, step := range l.line {
		for _, i := range region(l.off, step) {
			if l.owner[i] < 0 {
				l.owner[i] = k
			}
		}
	}
	return l
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

// comesBack finds a branch that leads back to the line.
func (l *liner) comesBack() Obstacle {
	onLine := func(i int) bool { return l.owner[i] >= 0 && l.line[l.owner[i]] == i }
	for i, place := range l.owner {
		if place >= 0 && !onLine(i) && slices.ContainsFunc(l.off[i], onLine) {
			return Obstacle{Kind: ComesBack, A: l.line[place], B: i}
		}
	}
	return Obstacle{}
}

// addShows adds what each check of the line shows. What a branch takes after it
// counts at the check, but for what every check that shows the end has in common.
func (l *liner) addShows(line *Line) Obstacle {
	sum := total(line.Plan.Frequencies)
	line.Branches.Reached = true
	for end := range l.graph.Ends {
		type at struct {
			place int
			power float64
			span  Span
		}
		var shown []at
		common, forks, missed := math.Inf(1), -1, 1.0
		for k, step := range l.line {
			w := walker{Plan: l.plan, graph: l.graph, forward: l.off, end: end, spans: make([]*Span, len(l.graph.Steps))}
			if span := w.from(step); span.Reached {
				power := l.plan.Checks[step].power(end)
				if l.misses(step, end) {
					span.Most = max(span.Most, l.longest(step))
				}
				shown = append(shown, at{k, power, span})
				common = min(common, span.Least)
				missed *= 1 - power
				if span.Least < span.Most {
					forks = len(shown) - 1
				}
			}
		}
		if forks >= 0 && len(shown) > 1 {
			a, b := shown[0].place, shown[max(forks, 1)].place
			return Obstacle{Kind: Unclear, A: l.line[a], B: l.line[b], End: end}
		}
		line.open = append(line.open, len(shown) > 1 && slices.ContainsFunc(shown, func(s at) bool {
			return s.power == 1 && !slices.Contains(l.graph.Steps[l.line[s.place]].End, end)
		}))
		share := line.Plan.Frequencies[end] / sum * (1 - missed)
		for _, s := range shown {
			c := &line.Plan.Checks[s.place]
			c.Shows = append(c.Shows, Show{end, s.power, s.span.Least - common})
		}
		if len(shown) > 0 {
			line.Branches.Least += share * common
			line.Branches.Most += share * (common + shown[0].span.Most - shown[0].span.Least)
		}
	}
	return Obstacle{}
}

// misses tells whether a step on a branch of a step can miss an end.
func (l *liner) misses(step, end int) bool {
	return slices.ContainsFunc(region(l.off, step)[1:], func(i int) bool { return l.plan.Checks[i].power(end) < 1 })
}

// longest returns the most minutes that a branch of a step can take: who misses an
// end there does not come back.
func (l *liner) longest(step int) float64 {
	most := 0.0
	for _, to := range l.off[step] {
		most = max(most, l.plan.cost(l.plan.Checks[step].State, to)+l.longest(to))
	}
	return most
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
