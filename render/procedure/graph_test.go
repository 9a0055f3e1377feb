package procedure

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func TestProve(t *testing.T) {
	exit := Step{Exit: true}
	for _, c := range []struct {
		name  string
		graph Graph
		want  Findings
	}{
		{"empty", Graph{}, Findings{}},
		{"one step that ends", Graph{Steps: []Step{exit}}, Findings{}},
		{"a dead end", Graph{Steps: []Step{{To: []int{1}}, {}}}, Findings{DeadEnds: []int{1}}},
		{"a step nobody reaches", Graph{Steps: []Step{exit, exit}}, Findings{Unreached: []int{1}}},
		{"a loop with a way out", Graph{Steps: []Step{{To: []int{1}}, {To: []int{0}, Exit: true}}}, Findings{}},
		{"a loop without one", Graph{Steps: []Step{{To: []int{1}, Exit: true}, {To: []int{2}}, {To: []int{1}}}}, Findings{Trapped: []int{1}}},
		{"two loops", Graph{Steps: []Step{{To: []int{1, 2}}, {To: []int{1}}, {To: []int{2}}}}, Findings{Trapped: []int{1, 2}}},
		{"a loop that nobody reaches", Graph{Steps: []Step{exit, {To: []int{1}}}}, Findings{Unreached: []int{1}}},
		{"a way to a dead end is no trap", Graph{Steps: []Step{{To: []int{1}}, {To: []int{0, 2}}, {}}}, Findings{DeadEnds: []int{2}}},
		{"an end nobody finds", Graph{Steps: []Step{{End: []int{1}}}, Ends: 2}, Findings{UnreachedEnds: []int{0}}},
		{"an end of an unreached step", Graph{Steps: []Step{exit, {End: []int{0}}}, Ends: 1}, Findings{Unreached: []int{1}}},
		{"warned in the step", Graph{Steps: []Step{{Exit: true, Guards: []int{7}, Meets: []int{7}}}}, Findings{}},
		{"warned before", Graph{Steps: []Step{{To: []int{1}, Guards: []int{7}}, {Exit: true, Meets: []int{7}}}}, Findings{}},
		{"warned after", Graph{Steps: []Step{{To: []int{1}, Meets: []int{7}}, {Exit: true, Guards: []int{7}}}}, Findings{Late: []Meeting{{0, 7}}}},
		{"warned on one way of two",
			Graph{Steps: []Step{{To: []int{1, 2}}, {To: []int{2}, Guards: []int{7}}, {Exit: true, Meets: []int{7}}}},
			Findings{Late: []Meeting{{2, 7}}}},
		{"warned on the way to the cause",
			Graph{Steps: []Step{{End: []int{0}, Guards: []int{7}}, {Exit: true, Meets: []int{7}}}, Ends: 1, Verify: []int{1}}, Findings{}},
		{"a check that no cause leads to", Graph{Steps: []Step{{End: []int{0}}, exit}, Ends: 1, Verify: []int{-1}}, Findings{Unreached: []int{1}}},
		{"a check of a cause that nobody finds is no second mistake",
			Graph{Steps: []Step{exit, exit}, Ends: 1, Verify: []int{1}}, Findings{UnreachedEnds: []int{0}}},
		{"checks without a way out", Graph{Steps: []Step{{End: []int{0}}, {End: []int{0}}}, Ends: 1, Verify: []int{1}}, Findings{Trapped: []int{1}}},
	} {
		if got := Prove(c.graph); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// TestProveAgainstPaths holds the findings on random graphs against a search
// of all simple ways, which shares no code with the proofs.
func TestProveAgainstPaths(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		g := randomGraph(r)
		got, want := Prove(g), byPaths(g)
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v\ngot  %+v\nwant %+v", g, got, want)
		}
	}
}

// TestProveAfterRepair holds the findings on graphs whose ends lead on to checks
// after the repair against those of the same graph with every end as a step.
func TestProveAfterRepair(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	led, trapped, lateEnds := 0, 0, 0
	for range 6000 {
		g := randomGraph(r)
		n := len(g.Steps)
		whole := Graph{Steps: slices.Clone(g.Steps)}
		for range g.Ends {
			end, check := Step{Exit: true}, r.IntN(n+1)-1
			if check >= 0 {
				end = Step{To: []int{check}}
				led++
			}
			if r.IntN(2) == 0 {
				end.Meets = []int{0}
			}
			g.Verify, g.Meets = append(g.Verify, check), append(g.Meets, end.Meets)
			whole.Steps = append(whole.Steps, end)
		}
		for i, s := range g.Steps {
			whole.Steps[i].To, whole.Steps[i].End = slices.Clone(s.To), nil
			for _, e := range s.End {
				whole.Steps[i].To = append(whole.Steps[i].To, n+e)
			}
		}
		want := byPaths(whole)
		var steps []int
		for _, i := range want.Unreached {
			if i < n {
				steps = append(steps, i)
			} else {
				want.UnreachedEnds = append(want.UnreachedEnds, i-n)
			}
		}
		want.Unreached = steps
		var late []Meeting
		for _, m := range want.Late {
			if m.Step < n {
				late = append(late, m)
			} else {
				want.LateEnds = append(want.LateEnds, EndMeeting{m.Step - n, m.Hazard})
				lateEnds++
			}
		}
		want.Late = late
		trapped += len(want.Trapped)
		if got := Prove(g); !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v\ngot  %+v\nwant %+v", g, got, want)
		}
	}
	if led < 1000 || trapped < 100 || lateEnds < 100 {
		t.Errorf("only %d ends that lead on, %d traps, %d late ends", led, trapped, lateEnds)
	}
}

func randomGraph(r *rand.Rand) Graph {
	g := Graph{Steps: make([]Step, 1+r.IntN(6)), Ends: r.IntN(3)}
	for i := range g.Steps {
		s := &g.Steps[i]
		for range r.IntN(3) {
			s.To = append(s.To, r.IntN(len(g.Steps)))
		}
		if g.Ends > 0 && r.IntN(3) == 0 {
			s.End = append(s.End, r.IntN(g.Ends))
		}
		s.Exit = r.IntN(4) == 0
		if r.IntN(3) == 0 {
			s.Guards = []int{0}
		}
		if r.IntN(3) == 0 {
			s.Meets = []int{0}
		}
	}
	return g
}

// byPaths finds the same as Prove, by the definitions and all simple paths.
func byPaths(g Graph) Findings {
	n := len(g.Steps)
	// way[i][j]: a simple path leads from i to j, the empty one to itself.
	way := make([][]bool, n)
	unwarned := make([]bool, n) // a path from the first step passes no guard before
	for i := range way {
		way[i] = make([]bool, n)
		paths(g, []int{i}, func(path []int) {
			way[i][path[len(path)-1]] = true
			if i != 0 {
				return
			}
			for _, p := range path[:len(path)-1] {
				if len(g.Steps[p].Guards) > 0 {
					return
				}
			}
			unwarned[path[len(path)-1]] = true
		})
	}
	var f Findings
	ends := map[int]bool{}
	for i, s := range g.Steps {
		leads := len(s.To)+len(s.End) > 0 || s.Exit
		if !leads {
			f.DeadEnds = append(f.DeadEnds, i)
		}
		for _, e := range s.End {
			ends[e] = true
		}
		if !way[0][i] {
			// Told unless another unreached step leads to it: in a loop, the first is told.
			told := true
			for j := range g.Steps {
				told = told && (way[0][j] || !way[j][i] || j >= i && way[i][j])
			}
			if told {
				f.Unreached = append(f.Unreached, i)
			}
			continue
		}
		// Trapped: no path from here comes to a way out or a dead end. The first
		// step of an innermost trap is the least of those that lead to each other.
		trap, first, innermost := true, true, true
		for j, t := range g.Steps {
			if !way[i][j] {
				continue
			}
			trap = trap && len(t.To) > 0 && len(t.End) == 0 && !t.Exit
			innermost = innermost && way[j][i]
			first = first && (j >= i || !way[j][i])
		}
		if trap && innermost && first {
			f.Trapped = append(f.Trapped, i)
		}
	}
	for e := range g.Ends {
		if !ends[e] {
			f.UnreachedEnds = append(f.UnreachedEnds, e)
		}
	}
	for i, s := range g.Steps {
		if len(s.Meets) > 0 && len(s.Guards) == 0 && unwarned[i] {
			f.Late = append(f.Late, Meeting{i, 0})
		}
	}
	return f
}

func paths(g Graph, path []int, visit func([]int)) {
	visit(path)
next:
	for _, to := range g.Steps[path[len(path)-1]].To {
		for _, p := range path {
			if p == to {
				continue next
			}
		}
		paths(g, append(path[:len(path):len(path)], to), visit)
	}
}
