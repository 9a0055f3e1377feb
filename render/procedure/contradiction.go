package procedure

import "slices"

// Way leads from a step to another.
type Way struct{ Step, To int }

// Repeats returns ways that lead a reader back to a step whose outcome is known
// by then. Each is met by some reader; in a loop with one way in, by every
// reader who takes it. Every loop holds at least one of them, so that without
// them no way leads in a circle. They are in rising order. A check after the
// repair and the search for the cause know nothing of each other's outcomes: the
// machine is another then.
func Repeats(g Graph) []Way {
	on := g.ways()
	var back []Way
	for {
		n := len(back)
		reach := closure(on)
		for to := range on {
			if !g.entered(on, reach, to) {
				continue
			}
			// A reader who came in here, and went round, has been here.
			for from := range on {
				if on[from][to] && (from == to || reach[to].has(from)) {
					back = append(back, Way{from, to})
				}
			}
		}
		if len(back) == n {
			break
		}
		for _, w := range back[n:] {
			on[w.Step][w.To] = false
		}
		// A loop inside the one now cut is entered from what is left of it.
	}
	slices.SortFunc(back, func(a, b Way) int { return slices.Compare([]int{a.Step, a.To}, []int{b.Step, b.To}) })
	return back
}

// ways returns which steps lead to which, but for those between the search for
// the cause and the checks after the repair.
func (g Graph) ways() [][]bool {
	on := make([][]bool, len(g.Steps))
	for i, s := range g.Steps {
		on[i] = make([]bool, len(g.Steps))
		for _, to := range s.To {
			on[i][to] = s.Verifies == g.Steps[to].Verifies
		}
	}
	return on
}

// steps is a set of steps, a bit for each: a procedure may have thousands, and every
// pair of them is looked at.
type steps []uint64

func (s steps) has(i int) bool { return s[i/64]>>(i%64)&1 != 0 }

// closure returns which steps lead to which by one way or more.
func closure(on [][]bool) []steps {
	reach := make([]steps, len(on))
	for i := range on {
		reach[i] = make(steps, len(on)/64+1)
		for to, leads := range on[i] {
			if leads {
				reach[i][to/64] |= 1 << (to % 64)
			}
		}
	}
	for by := range reach {
		for i := range reach {
			if reach[i].has(by) {
				for word, bits := range reach[by] {
					reach[i][word] |= bits
				}
			}
		}
	}
	return reach
}

// entered tells whether a reader comes to a step from outside the loops that it
// stands in.
func (g Graph) entered(on [][]bool, reach []steps, step int) bool {
	begins := func(i int) bool { return i == g.Begin || slices.Contains(g.Verify, i) }
	if begins(step) {
		return true
	}
	for from := range on {
		if !on[from][step] || reach[step].has(from) {
			continue
		}
		for start := range on {
			if begins(start) && (from == start || reach[start].has(from)) {
				return true
			}
		}
	}
	return false
}

// Early is a step that a reader can come to before one that it needs.
type Early struct{ Step, Need int }

// ComesEarly returns the steps that can be reached past what they need. Needs
// holds for each step those that must come before it.
func ComesEarly(g Graph, needs [][]int) []Early {
	var early []Early
	reached := g.reach(g.Begin)
	without := map[int][]bool{} // what is reached past a step that is needed
	for i := range needs {
		for _, need := range needs[i] {
			if reached[i] && without[need] == nil {
				past := Graph{Steps: slices.Clone(g.Steps), Begin: g.Begin, Verify: g.Verify}
				past.Steps[need] = Step{} // nobody who came to it goes on
				without[need] = past.reach(g.Begin)
			}
			if reached[i] && without[need][i] {
				early = append(early, Early{i, need})
			}
		}
	}
	return early
}

// Shows returns whether a step can show a listed end: a way leads there that is not
// the one by which the search goes on. Where all who do not leave the procedure go one
// way, what comes later shows the end.
func Shows(g Graph) func(step, end int) bool {
	forward := g.forward()
	return func(step, end int) bool {
		if slices.Contains(g.Steps[step].End, end) {
			return true
		}
		passing := goesOn(forward, step, len(g.Steps[step].End))
		return slices.ContainsFunc(forward[step], func(to int) bool {
			return to != passing && slices.ContainsFunc(region(forward, to), func(i int) bool { return slices.Contains(g.Steps[i].End, end) })
		})
	}
}

// goesOn returns the step to which one leads on when it shows nothing: that way has
// more than twice the steps of all others together, each of its own ends counted as
// one. -1 where several ways may be it.
func goesOn(forward [][]int, step, ends int) int {
	for _, to := range forward[step] {
		var others []int
		for _, other := range forward[step] {
			if other != to {
				others = append(others, region(forward, other)...)
			}
		}
		slices.Sort(others)
		if len(region(forward, to)) > 2*(len(slices.Compact(others))+ends) {
			return to
		}
	}
	return -1
}

// Answer is what a reader can answer at a step, and the ends that it leads to:
// several, where the answer does not say which of them it is.
type Answer struct {
	Step int
	End  []int
}

// Alike returns groups of ends that no sequence of answers tells apart: every
// sequence that leads to one of them leads to the others. The answers of a step
// are told apart by the reader, so an answer that has the words of another is
// the same answer.
func Alike(g Graph, answers []Answer) [][]int {
	reached := g.reach(g.Begin)
	// A sequence is the way to a step and the answer there, so ends are alike
	// when the same answers of steps that are reached lead to them.
	by := make([][]int, g.Ends)
	for i, a := range answers {
		for _, e := range a.End {
			if reached[a.Step] && !slices.Contains(by[e], i) {
				by[e] = append(by[e], i)
			}
		}
	}
	var groups [][]int
	told := make([]bool, g.Ends)
	for e := range by {
		group := []int{e}
		for other := e + 1; other < g.Ends; other++ {
			if !told[other] && len(by[e]) > 0 && slices.Equal(by[e], by[other]) {
				group = append(group, other)
				told[other] = true
			}
		}
		if len(group) > 1 {
			groups = append(groups, group)
		}
	}
	return groups
}
