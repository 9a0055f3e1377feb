package procedure

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func to(steps ...int) Step { return Step{To: steps, Exit: true} }

func TestRepeats(t *testing.T) {
	for _, c := range []struct {
		name  string
		steps []Step
		want  []Way
	}{
		{"empty", nil, nil},
		{"a chain", []Step{to(1), to(2), to()}, nil},
		{"two ways that meet", []Step{to(1, 2), to(3), to(3), to()}, nil},
		{"to itself", []Step{to(1), to(1)}, []Way{{1, 1}}},
		{"to itself, by two answers", []Step{to(0, 0)}, []Way{{0, 0}}},
		{"back to the first", []Step{to(1), to(2), to(0)}, []Way{{2, 0}}},
		{"back past a step", []Step{to(1), to(2), to(3, 1), to()}, []Way{{2, 1}}},
		{"a loop in a loop", []Step{to(1), to(2), to(1, 3), to(0)}, []Way{{2, 1}, {3, 0}}},
		{"a loop that is entered at two steps", []Step{to(1, 2), to(2), to(1)}, []Way{{1, 2}, {2, 1}}},
		{"a loop that nobody reaches", []Step{to(), to(2), to(1)}, nil},
		{"a way into a loop from a step that nobody reaches", []Step{to(1), to(2), to(1), to(2)}, []Way{{2, 1}}},
	} {
		if got := Repeats(Graph{Steps: c.steps}); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A check after the repair that is done twice is a repetition; the way from it
// back into the search is none, since the machine is another then. What a check
// needs may lie on the way to the cause.
func TestAfterRepair(t *testing.T) {
	check := func(next ...int) Step { return Step{To: next, Exit: true, Verifies: true} }
	for _, c := range []struct {
		name  string
		graph Graph
		want  []Way
	}{
		{"back into the search", Graph{Steps: []Step{{To: []int{1}}, {End: []int{0}}, check(0)}, Ends: 1, Verify: []int{2}}, nil},
		{"a check done twice", Graph{Steps: []Step{{End: []int{0}}, check(2), check(1)}, Ends: 1, Verify: []int{1}}, []Way{{2, 1}}},
		{"checks that nobody comes to", Graph{Steps: []Step{{Exit: true}, check(2), check(1)}, Ends: 1, Verify: []int{-1}}, nil},
	} {
		if got := Repeats(c.graph); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	g := Graph{Steps: []Step{{To: []int{1}, End: []int{0}}, {End: []int{1}}, check()}, Ends: 2, Verify: []int{2, 2}}
	needs := [][]int{nil, nil, {1}}
	if got, want := ComesEarly(g, needs), []Early{{2, 1}}; !reflect.DeepEqual(got, want) {
		t.Errorf("past a need, by the first cause: %v, want %v", got, want)
	}
	if got, want := ComesEarly(g, [][]int{nil, {1}, nil}), []Early{{1, 1}}; !reflect.DeepEqual(got, want) {
		t.Errorf("a step that needs itself: %v, want %v", got, want)
	}
	g.Steps[0].End = nil
	if got := ComesEarly(g, needs); got != nil {
		t.Errorf("the need lies on the way to the cause: %v", got)
	}
}

// TestRepeatsAgainstPaths follows every reader until a step comes again.
func TestRepeatsAgainstPaths(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	single := 0
	for range 4000 {
		g := randomGraph(r)
		got := Repeats(g)
		met := map[Way]bool{} // some reader comes back by it, and by none before
		paths(g, []int{0}, func(path []int) {
			last := path[len(path)-1]
			for _, next := range g.Steps[last].To {
				if slices.Contains(path, next) {
					met[Way{last, next}] = true
				}
			}
		})
		for _, w := range got {
			if !met[w] {
				t.Fatalf("%+v: nobody comes back by %v", g, w)
			}
		}
		cut := without(g, got)
		paths(cut, []int{0}, func(path []int) {
			for _, next := range cut.Steps[path[len(path)-1]].To {
				if slices.Contains(path, next) {
					t.Fatalf("%+v: without %v, %v still comes back to %d", g, got, path, next)
				}
			}
		})
		reach, still := g.reach(0), cut.reach(0)
		if !slices.Equal(reach, still) {
			t.Fatalf("%+v: without %v not all steps are reached", g, got)
		}
		// Where every reader of a way back has been at its target, those are all.
		always := true
		for w := range met {
			paths(g, []int{0}, func(path []int) {
				always = always && (path[len(path)-1] != w.Step || slices.Contains(path, w.To))
			})
		}
		if always {
			single++
			if len(met) != len(got) {
				t.Fatalf("%+v: %v, but readers come back by %v", g, got, met)
			}
		}
	}
	if single < 2000 {
		t.Errorf("only %d graphs whose loops have one way in", single)
	}
}

// without returns a graph without some ways.
func without(g Graph, ways []Way) Graph {
	cut := Graph{Ends: g.Ends}
	for i, s := range g.Steps {
		s.To = slices.DeleteFunc(slices.Clone(s.To), func(next int) bool { return slices.Contains(ways, Way{i, next}) })
		cut.Steps = append(cut.Steps, s)
	}
	return cut
}

func TestComesEarlyAgainstPaths(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	found := 0
	for range 3000 {
		g := randomGraph(r)
		g.Begin = r.IntN(len(g.Steps))
		needs := make([][]int, len(g.Steps))
		for i := range needs {
			if need := r.IntN(len(needs)); need != i && r.IntN(2) == 0 {
				needs[i] = []int{need}
			}
		}
		var want []Early
		for i := range needs {
			early := false
			paths(g, []int{g.Begin}, func(path []int) {
				early = early || path[len(path)-1] == i && len(needs[i]) > 0 && !slices.Contains(path, needs[i][0])
			})
			if early {
				want = append(want, Early{i, needs[i][0]})
			}
		}
		if got := ComesEarly(g, needs); !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v %v\ngot  %v\nwant %v", g, needs, got, want)
		}
		found += len(want)
	}
	if found < 100 {
		t.Errorf("only %d early steps in all graphs", found)
	}
}

func TestAlike(t *testing.T) {
	g := Graph{Steps: []Step{to(1), to(), to()}, Ends: 3}
	for _, c := range []struct {
		name    string
		answers []Answer
		want    [][]int
	}{
		{"one answer an end", []Answer{{0, []int{0}}, {1, []int{1}}, {1, []int{2}}}, nil},
		{"one answer for two ends", []Answer{{0, []int{2}}, {1, []int{0, 1}}}, [][]int{{0, 1}}},
		{"told apart by a second answer", []Answer{{0, []int{1}}, {1, []int{0, 1}}}, nil},
		{"not by one that nobody gives", []Answer{{2, []int{1}}, {1, []int{0, 1}}}, [][]int{{0, 1}}},
		{"three", []Answer{{1, []int{2, 0, 1}}}, [][]int{{0, 1, 2}}},
		{"the same answer twice for an end", []Answer{{1, []int{0, 0, 1}}}, [][]int{{0, 1}}},
		{"no answers", nil, nil},
	} {
		if got := Alike(g, c.answers); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// TestAlikeAgainstSequences compares ends by all sequences of answers that lead
// to them, up to twice as many as there are steps.
func TestAlikeAgainstSequences(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	found := 0
	for range 2000 {
		g := Graph{Steps: make([]Step, 1+r.IntN(3)), Ends: 1 + r.IntN(4)}
		var answers []Answer
		for i := range g.Steps {
			for range r.IntN(3) {
				g.Steps[i].To = append(g.Steps[i].To, r.IntN(len(g.Steps)))
			}
			for range r.IntN(3) {
				a := Answer{Step: i}
				for e := range g.Ends {
					if r.IntN(2) == 0 {
						a.End = append(a.End, e)
					}
				}
				answers = append(answers, a)
			}
		}
		leads := make([]map[string]bool, g.Ends)
		for e := range leads {
			leads[e] = map[string]bool{}
		}
		var follow func(step int, said string, left int)
		follow = func(step int, said string, left int) {
			for i, a := range answers {
				if a.Step == step {
					for _, e := range a.End {
						leads[e][fmt.Sprint(said, "end ", i)] = true
					}
				}
			}
			if left > 0 {
				for i, next := range g.Steps[step].To {
					follow(next, fmt.Sprint(said, i, " "), left-1)
				}
			}
		}
		follow(0, "", 2*len(g.Steps))
		var want [][]int
		for e := range leads {
			var group []int
			for other := range leads {
				if len(leads[e]) > 0 && reflect.DeepEqual(leads[e], leads[other]) {
					group = append(group, other)
				}
			}
			if len(group) > 1 && group[0] == e {
				want = append(want, group)
			}
		}
		if got := Alike(g, answers); !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v %v\ngot  %v\nwant %v", g, answers, got, want)
		}
		found += len(want)
	}
	if found < 100 {
		t.Errorf("only %d groups in all graphs", found)
	}
}
