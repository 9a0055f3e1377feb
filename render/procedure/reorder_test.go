package procedure

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestOrdersAgainstProofs holds what the plan of a line allows, and the best order,
// on random procedures with settings, warnings and checks after the repair against
// the proofs of each procedure that another order makes.
func TestOrdersAgainstProofs(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	lines, allowed, forbidden, refused, better := 0, 0, 0, 0, 0
	for range 60_000 {
		n := naturalProcedure(r)
		line, o, err := n.graph.Line(n.plan, n.course)
		if err != nil {
			t.Fatal(err)
		}
		if o.Kind != noObstacle || !n.clean() {
			continue
		}
		lines++
		keeps := func(order []int) bool { return line.Keeps(n.graph, n.course, n.needs, order) }
		least := math.Inf(1)
		eachOrder(len(line.Steps), func(order []int) {
			last := len(order) - 1
			if order[0] != 0 || !n.graph.Steps[line.Steps[last]].Exit && order[last] != last {
				return // the first stays first, and a last one that leads only to ends stays last
			}
			minutes, err := line.Plan.Expected(order)
			ok := keeps(order)
			switch {
			case n.graph.Verify == nil && (err == nil) != ok && !(ok && n.shared):
				t.Fatalf("%+v\n%+v\n%+v\n%+v\norder %v: %v, but the proof says %v", n.graph, n.course, n.needs, line, order, err, ok)
			case err == nil && ok:
				allowed++
				least = min(least, minutes)
			case err == nil:
				refused++
			default:
				forbidden++
			}
		})
		best, err := line.Plan.Best(keeps)
		if err != nil || !keeps(best.Checks) || best.Minutes < least*(1-1e-9) || best.Exact && !near(best.Minutes, least) {
			t.Fatalf("%+v\n%+v\n%+v\nbest %+v %v, want %v", n.graph, n.course, line, best, err, least)
		}
		if n.graph.Verify == nil && !best.Exact {
			t.Fatalf("%+v\n%+v: not known to be the best", n.graph, n.course)
		}
		if !slices.IsSorted(best.Checks) {
			better++
		}
	}
	if lines < 3000 || allowed < 10_000 || forbidden < 4000 || refused < 100 || better < 500 {
		t.Errorf("only %d lines, %d orders allowed, %d not, %d refused for ways back, %d better", lines, allowed, forbidden, refused, better)
	}
}

// TestKeeps: a check that fails leads back to the coil, behind the step that warns. In another
// order it leads past the warning, to what meets the hazard.
func TestKeeps(t *testing.T) {
	g, p := fuses()
	g.Steps = append(g.Steps, Step{To: []int{2}, Exit: true, Verifies: true})
	g.Verify = []int{6, -1, -1, -1, -1}
	p.Checks = append(p.Checks, Check{})
	g.Steps[1].Guards, g.Steps[3].Meets = []int{7}, []int{7}
	c := idleCourse(g)
	line, o, err := g.Line(p, c)
	if err != nil || o.Kind != noObstacle {
		t.Fatalf("%+v %v", o, err)
	}
	for _, test := range []struct {
		order []int
		ok    bool
	}{
		{[]int{0, 1, 2, 3}, true},
		{[]int{0, 2, 1, 3}, true},  // from the check to the coil, the fuse, the volts
		{[]int{0, 1, 3, 2}, true},  // from the check to the coil, which is the last
		{[]int{0, 3, 1, 2}, false}, // the volts before the warning
	} {
		if line.Keeps(g, c, make([][]int, len(g.Steps)), test.order) != test.ok {
			t.Errorf("%v", test.order)
		}
	}
	// Behind the coil the check needs to find the fuse out, as the fuse's step leaves it.
	c[1].Sets, c[2].Requires, c[6].Sets = []int{0}, []int{0}, []int{0}
	for i := range g.Ends + 1 {
		c[len(g.Steps)+i].Restores = []int{0}
	}
	c[3].Restores = []int{0}
	for _, test := range []struct {
		order []int
		ok    bool
	}{
		{[]int{0, 1, 2, 3}, true},
		{[]int{0, 1, 3, 2}, false}, // the volts put it in before the coil
		{[]int{0, 2, 1, 3}, false}, // nobody has taken it out yet
	} {
		if line.Keeps(g, c, make([][]int, len(g.Steps)), test.order) != test.ok {
			t.Errorf("settings: %v", test.order)
		}
	}
}

// natural is a procedure as an author may write it.
type natural struct {
	graph  Graph
	plan   Plan
	course Course
	needs  [][]int
	// shared: two steps lead to one branch. A setting that is done there twice on the
	// way from one of them is no clash in the course, but the plan does not allow it.
	shared bool
}

// clean tells whether nothing contradicts it as written.
func (n natural) clean() bool {
	if len(Prove(n.graph).Late)+len(ComesEarly(n.graph, n.needs)) > 0 {
		return false
	}
	for s := range 2 {
		for _, clash := range n.course.Follow(s).Clashes {
			if !n.course[clash.Stop].Bare || clash.Kind != Idle {
				return false
			}
		}
	}
	return true
}

// naturalProcedure makes a line with branches of one step, some that click on, two
// hazards, two settings, and in one of two a check after the repair that leads back.
func naturalProcedure(r *rand.Rand) natural {
	var n natural
	n.plan.Change = [][]float64{{0, float64(r.IntN(20))}, {float64(r.IntN(40)), 0}}
	on := func(of int) bool { return r.IntN(of) == 0 }
	one := func() []int { return []int{r.IntN(2)} }
	long := 3 + r.IntN(3)
	g := &n.graph
	g.Steps = make([]Step, long)
	end := func(step int) {
		g.Steps[step].End = append(g.Steps[step].End, g.Ends)
		g.Ends++
	}
	for i := range long {
		s := &g.Steps[i]
		s.Exit = i == long-1 && !on(4)
		if i+1 < long {
			s.To = append(s.To, i+1)
		}
		if i+2 < long && on(8) {
			s.To = append(s.To, i+2+r.IntN(long-i-2))
		}
		if i > 0 || on(3) {
			end(i)
		}
	}
	for range r.IntN(3) { // a branch; another step may lead there, too
		side := len(g.Steps)
		g.Steps = append(g.Steps, Step{Exit: on(2)})
		end(side)
		for k := range 1 + r.IntN(2) {
			if from := &g.Steps[r.IntN(long-1)]; !slices.Contains(from.To, side) {
				from.To = append(from.To, side)
				n.shared = n.shared || k > 0
			}
		}
	}
	if on(2) {
		back := Step{Verifies: true, Exit: true, To: []int{r.IntN(long)}}
		g.Steps = append(g.Steps, back)
		for range g.Ends {
			verify := -1
			if on(2) {
				verify = len(g.Steps) - 1
			}
			g.Verify = append(g.Verify, verify)
		}
	}
	n.needs = make([][]int, len(g.Steps))
	for i := range g.Steps {
		s := &g.Steps[i]
		if i < long && on(3) {
			s.Guards = one()
		}
		if on(4) {
			s.Meets = one()
		}
		if i > 0 && !s.Verifies && on(8) {
			n.needs[i] = []int{r.IntN(min(i, long))}
		}
		n.plan.Checks = append(n.plan.Checks, Check{Minutes: float64(1 + r.IntN(9)), State: r.IntN(2), Needs: n.needs[i]})
	}
	for range g.Ends {
		n.plan.Frequencies = append(n.plan.Frequencies, float64(1+r.IntN(9)))
	}
	n.course = idleCourse(*g)
	for i := range n.course {
		stop := &n.course[i]
		if stop.Bare {
			for s := range 2 {
				if !on(3) {
					stop.Restores = append(stop.Restores, s)
				}
			}
			continue
		}
		for _, x := range []struct {
			list *[]int
			of   int
		}{{&stop.Requires, 10}, {&stop.Forbids, 12}, {&stop.Restores, 8}, {&stop.Sets, 5}, {&stop.Bars, 16}} {
			if on(x.of) {
				*x.list = one()
			}
		}
	}
	return n
}
