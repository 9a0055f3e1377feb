package procedure

import (
	"errors"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// fuses is a procedure of six steps and five causes:
//
//	0 confirm (2 min) -> 1
//	1 fuse    (3 min) -> 4 when blown, else 2
//	2 coil    (4 min) -> cause 0, else 3
//	3 volts   (5 min) -> cause 1, cause 2, or out
//	4 short   (7 min) -> cause 3, else 5
//	5 unplug  (6 min) -> cause 4
//
// Steps 3 and 5 want the engine warm, which takes 10 minutes from cold.
func fuses() (Graph, Plan) {
	g := Graph{Ends: 5, Steps: []Step{
		{To: []int{1}, Exit: true},
		{To: []int{4, 2}},
		{To: []int{3}, End: []int{0}},
		{End: []int{1, 2}, Exit: true},
		{To: []int{5}, End: []int{3}},
		{End: []int{4}},
	}}
	p := Plan{
		Checks:      []Check{{Minutes: 2}, {Minutes: 3}, {Minutes: 4}, {Minutes: 5, State: 1}, {Minutes: 7}, {Minutes: 6, State: 1}},
		Frequencies: []float64{4, 1, 2, 2, 1},
		Change:      [][]float64{{0, 10}, {240, 0}},
	}
	return g, p
}

func TestRoute(t *testing.T) {
	g, p := fuses()
	got, err := g.Route(p)
	// Cause 0: 2+3+4 = 9. Causes 1 and 2: 9 + 10 + 5 = 24. Cause 3: 2+3+7 = 12.
	// Cause 4: 12 + 10 + 6 = 28.
	want := []Span{{9, 9, true}, {24, 24, true}, {24, 24, true}, {12, 12, true}, {28, 28, true}}
	if err != nil || !reflect.DeepEqual(got.Ends, want) || got.Forks != nil {
		t.Errorf("%+v %v", got, err)
	}
	// (4*9 + 1*24 + 2*24 + 2*12 + 1*28)/10 = (36 + 24 + 48 + 24 + 28)/10 = 16.
	if !near(got.Expected.Least, 16) || !near(got.Expected.Most, 16) {
		t.Errorf("expected %+v", got.Expected)
	}

	// A blown fuse whose short is not found leads back to the coil: now causes 0
	// to 2 can be reached from both answers of step 1.
	g.Steps[5].To = []int{2}
	got, err = g.Route(p)
	// By 4 and 5 cause 0 takes 2+3+7+10+6 = 28, then 240 to be cold and 4: 272.
	// Causes 1 and 2: 272 + 10 + 5 = 287.
	want = []Span{{9, 272, true}, {24, 287, true}, {24, 287, true}, {12, 12, true}, {28, 28, true}}
	if err != nil || !reflect.DeepEqual(got.Ends, want) || !slices.Equal(got.Forks, []Fork{{1, 0}, {1, 1}, {1, 2}}) {
		t.Errorf("%+v %v", got, err)
	}

	// A way back to the fuse leads nowhere new.
	g, p = fuses()
	g.Steps[5].To = []int{1}
	if got, err = g.Route(p); err != nil || len(got.Forks) > 0 || !near(got.Expected.Most, 16) {
		t.Errorf("%+v %v", got, err)
	}

	// What no way leads to has no minutes, and no share in the others':
	// (36 + 24 + 48 + 24)/9 = 132/9.
	g, p = fuses()
	g.Steps[5].End = nil
	if got, err = g.Route(p); err != nil || got.Ends[4].Reached || !near(got.Expected.Least, 132.0/9) {
		t.Errorf("%+v %v", got, err)
	}
}

func TestLine(t *testing.T) {
	g, p := fuses()
	p.Checks[2].Minutes = 2
	g.Steps[2].Guards, g.Steps[3].Meets = []int{7, 8}, []int{7}
	g.Steps[1].Guards = []int{8, 9}
	g.Steps[5].Meets = []int{8} // after step 1 has warned
	g.Steps[2].To = []int{3, 6} // a step that warns of what it meets
	g.Steps = append(g.Steps, Step{Exit: true, Guards: []int{9}, Meets: []int{9}})
	p.Checks = append(p.Checks, Check{Minutes: 1})
	p.Checks[3].Needs = []int{5}
	line, o, err := g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle || !slices.Equal(line.Steps, []int{0, 1, 2, 3}) {
		t.Fatalf("%+v %v %v", line, o, err)
	}
	// The fuse shows causes 3 and 4, the branch from it takes 7 minutes for
	// cause 3 and 7 + 10 + 6 = 23 for cause 4: (2*7 + 1*23)/10 = 3.7.
	if want := []Show{{Cause: 3, Power: 1}, {Cause: 4, Power: 1}}; !slices.Equal(line.Plan.Checks[1].Shows, want) || line.Branches.Least != line.Branches.Most || !near(line.Branches.Least, 3.7) {
		t.Errorf("%+v", line)
	}
	// The volts need step 5, so the fuse from which it branches off, and the warning of the coil.
	for k, want := range [][]int{nil, {0}, {0}, {0, 1, 2}} {
		if got := line.Plan.Checks[k].Needs; !slices.Equal(got, want) {
			t.Errorf("check %d needs %v, want %v", k, got, want)
		}
	}
	// As written, the coil in 2 minutes: cause 0 takes 7, 1 and 2 take 22, 3 takes
	// 12, 4 takes 28: (4*7 + 22 + 2*22 + 2*12 + 28)/10 = 14.6.
	written, err := line.Plan.Expected([]int{0, 1, 2, 3})
	if err != nil || !near(written+line.Branches.Least, 14.6) {
		t.Errorf("as written %v %v", written, err)
	}
	// The coil before the fuse: cause 0 takes 4, causes 3 and 4 two more than
	// before: (4*4 + 22 + 2*22 + 2*14 + 30)/10 = 14.
	best, err := line.Plan.Best(nil)
	if err != nil || !slices.Equal(best.Checks, []int{0, 2, 1, 3}) || !near(best.Minutes+line.Branches.Least, 14) {
		t.Errorf("best %+v %v", best, err)
	}

	// A second answer of step 4 leads to cause 4, too, cold and in 9 minutes:
	// 7 + 9 = 16 instead of 23, so from (2*7 + 1*16)/10 = 3 to 3.7.
	g.Steps[4].To = []int{5, 7}
	g.Steps = append(g.Steps, Step{End: []int{4}})
	p.Checks = append(p.Checks, Check{Minutes: 9})
	line, o, err = g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle || !near(line.Branches.Least, 3) || !near(line.Branches.Most, 3.7) {
		t.Errorf("%+v %v %v", line, o, err)
	}

	// Step 4 misses cause 3 now and then; who has it then goes on to step 5, in 23
	// minutes in all: from 3.7 to (2*23 + 1*23)/10 = 6.9.
	g, p = fuses()
	p.Checks[4].Shows = []Show{{Cause: 3, Power: 0.9}}
	line, o, err = g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle || !near(line.Branches.Least, 3.7) || !near(line.Branches.Most, 6.9) {
		t.Errorf("%+v %v %v", line, o, err)
	}

	for name, c := range map[string]struct {
		want  Obstacle
		spoil func(*Graph, *Plan)
	}{
		"a branch comes back to the line": {Obstacle{Kind: ComesBack, A: 1, B: 4}, func(g *Graph, p *Plan) {
			g.Steps[4].To, g.Steps[5] = []int{3}, Step{To: []int{3}, End: []int{4}}
			g.Steps[2].To = []int{5}
		}},
		"an end of a branch that forks is shown before": {Obstacle{Kind: Unclear, A: 0, B: 1, End: 4}, func(g *Graph, p *Plan) {
			g.Steps[0].End, g.Steps[3].To, g.Steps[4].To = []int{4}, []int{7}, []int{5, 6}
			g.Steps = append(g.Steps, Step{End: []int{4}}, Step{Exit: true})
			p.Checks = append(p.Checks, Check{Minutes: 1}, Check{Minutes: 1})
		}},
		"an end of a branch that can miss is shown again": {Obstacle{Kind: Unclear, A: 1, B: 3, End: 3}, func(g *Graph, p *Plan) {
			g.Steps[3].End, p.Checks[4].Shows = []int{1, 2, 3}, []Show{{Cause: 3, Power: 0.9}}
		}},
		"no end is ever there": {Obstacle{Kind: NothingReached}, func(g *Graph, p *Plan) { g.Ends, p.Frequencies = 6, []float64{0, 0, 0, 0, 0, 1} }},
		"no step":              {Obstacle{Kind: NothingReached}, func(g *Graph, p *Plan) { g.Steps, p.Checks = nil, nil }},
		"a need comes later":   {Obstacle{Kind: Contradicts}, func(_ *Graph, p *Plan) { p.Checks[2].Needs = []int{3} }},
	} {
		g, p := fuses()
		c.spoil(&g, &p)
		if line, o, err := g.Line(p, idleCourse(g)); o != c.want || err != nil {
			t.Errorf("%s: %+v %+v %v", name, line, o, err)
		}
	}
}

// TestLineFoundTwice: a cause that the fuse's branch and the volts both find. Before
// the volts it takes the branch of 7 + 10 + 6 = 23 minutes, after them none.
func TestLineFoundTwice(t *testing.T) {
	g, p := fuses()
	g.Steps[3].End = []int{1, 2, 4}
	line, o, err := g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle {
		t.Fatalf("%+v %+v %v", line, o, err)
	}
	// As written 16, as TestRoute has it. With the volts first, after 10 minutes to warm up: 1,
	// 2 and 4 take 2 + 10 + 5 = 17; then 240 to be cold, 3 for the fuse, 260, and 7 for
	// cause 3; the coil 264: (4*264 + 17 + 2*17 + 2*267 + 17)/10 = 165.8.
	for _, c := range []struct {
		order []int
		want  float64
	}{{[]int{0, 1, 2, 3}, 16}, {[]int{0, 3, 1, 2}, 165.8}} {
		if minutes, err := line.Plan.Expected(c.order); err != nil || !near(minutes+line.Branches.Least, c.want) {
			t.Errorf("%v: %v %v, want %v", c.order, minutes+line.Branches.Least, err, c.want)
		}
	}
	// Who has cause 4 may as well come to the volts, in 24 minutes and not 28: as
	// written from 15.6. With the volts first 17, or 260 + 23 = 283 by the fuse: up to
	// (4*264 + 17 + 2*17 + 2*267 + 283)/10 = 192.4.
	if w := line.Written; !near(w.Least, 15.6) || !near(w.Most, 16) {
		t.Errorf("as written %v", w)
	}
	if span, err := line.Minutes([]int{0, 3, 1, 2}); err != nil || !near(span.Least, 165.8) || !near(span.Most, 192.4) {
		t.Errorf("volts first %v %v", span, err)
	}
}

// TestLineClicksOn: a step of the line that a way clicks on past. Who has a
// cause of steps 2 or 3 may take either way.
func TestLineClicksOn(t *testing.T) {
	g, p := fuses()
	g.Steps[5].To = []int{2}
	line, o, err := g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle || !slices.Equal(line.Steps, []int{0, 1, 4, 5, 2, 3}) {
		t.Fatalf("%+v %+v %v", line, o, err)
	}
	// As TestRoute has them: causes 0, 1, 2 from 9, 24, 24 to 272, 287, 287, cause 3 in 12, cause 4 in 28:
	// from 16 to (4*272 + 287 + 2*287 + 2*12 + 28)/10 = 200.1.
	if !near(line.Written.Least, 16) || !near(line.Written.Most, 200.1) {
		t.Errorf("%+v", line.Written)
	}
}

// TestLineWarnings: of two steps that warn of a hazard either may come first, also
// one that stands behind as written.
func TestLineWarnings(t *testing.T) {
	g, p := fuses()
	g.Steps[1].Guards, g.Steps[2].Guards, g.Steps[3].Meets = []int{7}, []int{7}, []int{7}
	line, o, err := g.Line(p, idleCourse(g))
	if err != nil || o.Kind != noObstacle {
		t.Fatalf("%+v %v", o, err)
	}
	for _, c := range []struct {
		order []int
		ok    bool
	}{{[]int{0, 1, 3, 2}, true}, {[]int{0, 2, 3, 1}, true}, {[]int{0, 3, 1, 2}, false}} {
		if _, err := line.Plan.Expected(c.order); (err == nil) != c.ok {
			t.Errorf("%v: %v", c.order, err)
		}
	}
}

// TestLineSettings: the coil takes something off that the volts need off, and that
// only the end of the volts and the last end put back.
func TestLineSettings(t *testing.T) {
	g, p := fuses()
	c := idleCourse(g)
	c[2].Sets, c[3].Requires = []int{0}, []int{0}
	c[6].Restores, c[7].Restores, c[8].Restores = []int{0}, []int{0}, []int{0}
	c[11].Restores = []int{0}
	line, o, err := g.Line(p, c)
	if err != nil || o.Kind != noObstacle {
		t.Fatalf("%+v %v", o, err)
	}
	for _, c := range []struct {
		order []int
		ok    bool
	}{
		{[]int{0, 1, 2, 3}, true},
		{[]int{0, 1, 3, 2}, false}, // the volts need it off
		{[]int{0, 2, 1, 3}, false}, // causes 3 and 4 put nothing back
	} {
		if _, err := line.Plan.Expected(c.order); (err == nil) != c.ok {
			t.Errorf("%v: %v", c.order, err)
		}
	}
}

// idleCourse is the course of a graph in which no step does anything: its steps,
// its listed ends, and one other end for its exits.
func idleCourse(g Graph) Course {
	c := make(Course, len(g.Steps)+g.Ends+1)
	for i := range c {
		if i >= len(g.Steps) {
			c[i].Bare = true
			if e := i - len(g.Steps); g.Verify != nil && e < g.Ends && g.Verify[e] >= 0 {
				c[i].To = []int{g.Verify[e]}
			}
			continue
		}
		c[i].To = slices.Clone(g.Steps[i].To)
		for _, e := range g.Steps[i].End {
			c[i].To = append(c[i].To, len(g.Steps)+e)
		}
		if g.Steps[i].Exit {
			c[i].To = append(c[i].To, len(c)-1)
		}
	}
	return c
}

func TestTrunk(t *testing.T) {
	forward := [][]int{{1, 2}, {}, {3, 4}, {}, {5}, {}}
	if got := trunk(forward); !slices.Equal(got, []int{0, 2, 4, 5}) {
		t.Errorf("%v", got)
	}
}

func TestRouteMistakes(t *testing.T) {
	for name, spoil := range map[string]func(*Plan){
		"a check too few":     func(p *Plan) { p.Checks = p.Checks[1:] },
		"a frequency too few": func(p *Plan) { p.Frequencies = p.Frequencies[1:] },
		"minutes negative":    func(p *Plan) { p.Checks[0].Minutes = -1 },
	} {
		g, p := fuses()
		spoil(&p)
		var mistake *PlanError
		if _, err := g.Route(p); !errors.As(err, &mistake) {
			t.Errorf("%s: %v", name, err)
		}
		if _, _, err := g.Line(p, idleCourse(g)); !errors.As(err, &mistake) {
			t.Errorf("%s: line: %v", name, err)
		}
	}
}

// TestRouteAgainstPaths holds routes and lines on random graphs against every
// way that a technician can take.
func TestRouteAgainstPaths(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	lines, open, orders, forks, clicks := 0, 0, 0, 0, 0 // open: lines whose branches fork; clicks: those that click on
	for range 6000 {
		g, p := randomProcedure(r)
		got, err := g.Route(p)
		if err != nil {
			t.Fatal(err)
		}
		onward := without(g, Repeats(g))
		want := make([]Span, g.Ends)
		var forked []Fork
		for end := range want {
			ways := make([]map[int]bool, len(g.Steps))
			technician(onward, end, []int{0}, func(path []int) {
				minutes, state := 0.0, p.Start
				for i, step := range path {
					minutes += p.cost(state, step)
					state = p.Checks[step].State
					if i > 0 {
						if ways[path[i-1]] == nil {
							ways[path[i-1]] = map[int]bool{}
						}
						ways[path[i-1]][step] = true
					}
				}
				if !want[end].Reached {
					want[end] = Span{minutes, minutes, true}
				}
				want[end].Least = min(want[end].Least, minutes)
				want[end].Most = max(want[end].Most, minutes)
			})
			for step, to := range ways {
				if len(to) > 1 {
					forked = append(forked, Fork{step, end})
				}
			}
		}
		if !reflect.DeepEqual(got.Forks, forked) {
			t.Fatalf("%+v\nforks %v, want %v", g, got.Forks, forked)
		}
		forks += len(forked)
		weights, least, most := 0.0, 0.0, 0.0
		for end, s := range want {
			if e := got.Ends[end]; e.Reached != s.Reached || !near(e.Least, s.Least) || !near(e.Most, s.Most) {
				t.Fatalf("%+v %+v\nend %d: %+v, want %+v", g, p, end, e, s)
			}
			if s.Reached {
				weights += p.Frequencies[end]
				least += p.Frequencies[end] * s.Least
				most += p.Frequencies[end] * s.Most
			}
		}
		if weights == 0 {
			continue
		}
		if !near(got.Expected.Least, least/weights) || !near(got.Expected.Most, most/weights) {
			t.Fatalf("%+v %+v\nexpected %+v, want %v to %v", g, p, got.Expected, least/weights, most/weights)
		}
		line, o, err := g.Line(p, idleCourse(g))
		if err != nil {
			t.Fatal(err)
		}
		if o.Kind != noObstacle {
			continue
		}
		lines++
		if line.Branches.Least < line.Branches.Most {
			open++
		}
		if line.Steps[0] != 0 {
			t.Fatalf("%+v: line %v", g, line.Steps)
		}
		written := make([]int, len(line.Steps))
		for k := range written {
			written[k] = k
		}
		misses := slices.ContainsFunc(p.Checks, func(c Check) bool { return len(c.Shows) > 0 })
		either := slices.Contains(line.open, true) || slices.ContainsFunc(line.Steps, func(i int) bool {
			return slices.ContainsFunc(onward.Steps[i].To, func(to int) bool {
				return slices.Index(line.Steps, to) > slices.Index(line.Steps, i)+1
			})
		})
		w := line.Written
		switch {
		case either:
			clicks++
			if w.Least > least/weights+1e-9 || !misses && w.Most < most/weights-1e-9 {
				t.Fatalf("%+v %+v\n%+v\nas written %v, want %v to %v", g, p, line, w, least/weights, most/weights)
			}
		case !misses && (!near(w.Least, least/weights) || !near(w.Most, most/weights)):
			t.Fatalf("%+v %+v\n%+v\nas written %v, want %v to %v", g, p, line, w, least/weights, most/weights)
		}
		eachOrder(min(len(written), 5), func(order []int) {
			if len(order) < len(written) || !needsKept(line.Plan, order) {
				return
			}
			orders++
			minutes, err := line.Minutes(order)
			least, most := inOrder(onward, p, line, order, got)
			if slices.Contains(line.open, true) {
				if err != nil || minutes.Least > least+1e-9 || minutes.Most < most-1e-9 {
					t.Fatalf("%+v %+v\n%+v\nin order %v %v %v, want %v to %v", g, p, line, order, minutes, err, least, most)
				}
				return
			}
			if err != nil || !near(minutes.Least, least) || !near(minutes.Most, most) {
				t.Fatalf("%+v %+v\n%+v\nin order %v %v %v, want %v to %v", g, p, line, order, minutes, err, least, most)
			}
			if e, err := line.Plan.Expected(order); err != nil || !near(e+line.Branches.Least, least) {
				t.Fatalf("%+v\nin order %v %v %v, want %v", line, order, e, err, least)
			}
		})
	}
	if lines < 500 || open < 5 || orders < 1000 || forks < 500 || clicks < 100 {
		t.Errorf("only %d lines, %d of them open, %d orders, %d forks, %d that click on", lines, open, orders, forks, clicks)
	}
}

// technician visits the ways to an end that the one who has that fault can take.
func technician(onward Graph, end int, path []int, visit func([]int)) {
	step := onward.Steps[path[len(path)-1]]
	if slices.Contains(step.End, end) {
		visit(path)
		return
	}
	taken := map[int]bool{}
	for _, next := range step.To {
		if !taken[next] {
			taken[next] = true
			technician(onward, end, append(path[:len(path):len(path)], next), visit)
		}
	}
}

// inOrder returns the least and most mean minutes to the ends of a line when its
// steps are done in an order and each is left, unless it misses, for an end that
// it or a branch of it ends at.
func inOrder(onward Graph, p Plan, line Line, order []int, r Route) (least, most float64) {
	weights := 0.0
	off := make([][]int, len(onward.Steps))
	for i, s := range onward.Steps {
		for _, to := range s.To {
			if !slices.Contains(line.Steps, i) || !slices.Contains(line.Steps, to) {
				off[i] = append(off[i], to)
			}
		}
	}
	for end, f := range p.Frequencies {
		if !r.Ends[end].Reached {
			continue
		}
		minutes, state, missed := 0.0, p.Start, 1.0
		for _, k := range order {
			step := line.Steps[k]
			minutes += p.cost(state, step)
			state = p.Checks[step].State
			var branches []float64
			technician(onward, end, []int{step}, func(path []int) {
				if len(path) > 1 && slices.Contains(line.Steps, path[1]) {
					return // along the line, that is for later
				}
				branch := 0.0
				for i, off := range path[1:] {
					branch += p.cost(p.Checks[path[i]].State, off)
				}
				branches = append(branches, branch)
			})
			for _, i := range region(off, step)[1:] {
				for _, s := range p.Checks[i].Shows {
					if branches != nil && s.Cause == end && s.Power < 1 {
						branches = append(branches, longWalk(off, p, step))
					}
				}
			}
			if branches == nil {
				continue
			}
			power := 1.0
			for _, s := range p.Checks[step].Shows {
				if s.Cause == end {
					power = s.Power
				}
			}
			least += f * missed * power * (minutes + slices.Min(branches))
			most += f * missed * power * (minutes + slices.Max(branches))
			missed *= 1 - power
		}
		least += f * missed * minutes
		most += f * missed * minutes
		weights += f
	}
	return least / weights, most / weights
}

// longWalk returns the minutes of the longest way from a step.
func longWalk(off [][]int, p Plan, step int) float64 {
	most := 0.0
	for _, to := range off[step] {
		most = max(most, p.cost(p.Checks[step].State, to)+longWalk(off, p, to))
	}
	return most
}

// randomProcedure makes a graph that mostly leads on, and its plan.
func randomProcedure(r *rand.Rand) (Graph, Plan) {
	g := Graph{Steps: make([]Step, 1+r.IntN(7)), Ends: 1 + r.IntN(5)}
	p := Plan{Change: [][]float64{{0, float64(r.IntN(20))}, {float64(r.IntN(200)), 0}}, Start: r.IntN(2)}
	for i := range g.Steps {
		s := &g.Steps[i]
		p.Checks = append(p.Checks, Check{Minutes: float64(r.IntN(9)), State: r.IntN(2)})
		if i > 0 { // most often a tree
			from := &g.Steps[max(i-1-r.IntN(2), 0)]
			from.To = append(from.To, i)
		}
		for r.IntN(3) == 0 {
			s.To = append(s.To, r.IntN(len(g.Steps)))
		}
		s.Exit = r.IntN(4) == 0
		if r.IntN(4) == 0 {
			s.Guards = []int{0}
		}
		if r.IntN(4) == 0 {
			s.Meets = []int{0}
		}
	}
	for end := range g.Ends {
		p.Frequencies = append(p.Frequencies, float64(r.IntN(9)))
		for range []int{0, 1, 1, 1, 1, 1, 1, 2}[r.IntN(8)] {
			s := &g.Steps[r.IntN(len(g.Steps))]
			s.End = append(s.End, end)
		}
	}
	if r.IntN(2) == 0 {
		c := &p.Checks[r.IntN(len(p.Checks))]
		for end := range g.Ends {
			c.Shows = append(c.Shows, Show{Cause: end, Power: float64(r.IntN(5)) / 5})
		}
	}
	p.Frequencies[0]++
	return g, p
}
