package procedure

import "slices"

// Keeps tells whether the graph of a line still holds when its checks are done in an
// order, every way counted, those of checks after the repair that lead back into
// the search, too: no step then comes before one that it needs, meets a hazard
// without a warning, or contradicts a setting, unless it does in the order as written.
// Needs holds for each step those that must come before it.
func (l Line) Keeps(g Graph, c Course, needs [][]int, order []int) bool {
	other, course := l.reorder(g, c, order)
	g, c = l.reorder(g, c, l.asWritten())
	late := g.late()
	for _, m := range other.late() {
		if !slices.Contains(late, m) {
			return false
		}
	}
	early := ComesEarly(g, needs)
	for _, e := range ComesEarly(other, needs) {
		if !slices.Contains(early, e) {
			return false
		}
	}
	for s := range c.settings() {
		before := c.Follow(s).Clashes
		for _, clash := range course.Follow(s).Clashes {
			same := func(b Clash) bool { return b.Kind == clash.Kind && b.Stop == clash.Stop }
			if clash.Kind == Idle && c[clash.Stop].Bare {
				continue // an end may put back what does not stand
			}
			if !slices.ContainsFunc(before, same) {
				return false
			}
		}
	}
	return true
}

func (l Line) asWritten() []int {
	order := make([]int, len(l.Steps))
	for k := range order {
		order[k] = k
	}
	return order
}

// settings returns the number of settings of a course.
func (c Course) settings() int {
	n := 0
	for _, stop := range c {
		for _, list := range [][]int{stop.Requires, stop.Forbids, stop.Restores, stop.Bars, stop.Sets} {
			for _, s := range list {
				n = max(n, s+1)
			}
		}
	}
	return n
}

// reorder returns a graph and a course in which the steps of a line are done in an
// order. Each leads on to the next, and no way clicks on past one. The last leads
// out as the one that was written last.
func (l Line) reorder(g Graph, c Course, order []int) (Graph, Course) {
	other, course := g, slices.Clone(c)
	other.Steps = slices.Clone(g.Steps)
	written := l.Steps[len(l.Steps)-1]
	for n, k := range order {
		step := l.Steps[k]
		on := func(to int) bool { return slices.Index(l.Steps, to) > k }
		s, stop := &other.Steps[step], &course[step]
		s.To, stop.To = slices.DeleteFunc(slices.Clone(s.To), on), slices.DeleteFunc(slices.Clone(stop.To), on)
		if n+1 < len(order) {
			next := l.Steps[order[n+1]]
			s.To, stop.To = append(s.To, next), append(stop.To, next)
			continue
		}
		for _, to := range c[written].To {
			if to >= len(g.Steps)+g.Ends {
				stop.To = append(stop.To, to)
			}
		}
	}
	return other, course
}
