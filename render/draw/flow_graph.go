package draw

import (
	"cmp"
	"slices"
)

// graph is a flow by numbers. Edges that lead from one node to the same other
// are one.
type graph struct {
	nodes []FlowNode
	out   [][]exit
	ins   []int // how many lead to a node
}

// exit is what leads from a node to another.
type exit struct {
	to    int
	texts []string
}

// graph leaves out edges whose ends are not there.
func (f Flow) graph() graph {
	g := graph{f.Nodes, make([][]exit, len(f.Nodes)), make([]int, len(f.Nodes))}
	number := map[string]int{}
	for i, n := range f.Nodes {
		if _, ok := number[n.ID]; !ok {
			number[n.ID] = i
		}
	}
	for _, e := range f.Edges {
		from, ok := number[e.From]
		to, also := number[e.To]
		if !ok || !also {
			continue
		}
		k := slices.IndexFunc(g.out[from], func(x exit) bool { return x.to == to })
		if k < 0 {
			k = len(g.out[from])
			g.out[from] = append(g.out[from], exit{to: to})
			g.ins[to]++
		}
		if e.Text != "" {
			g.out[from][k].texts = append(g.out[from][k].texts, e.Text)
		}
	}
	return g
}

// leaf tells whether a node stands beside those that lead to it: nothing goes on
// from there.
func (g graph) leaf(n int) bool { return len(g.out[n]) == 0 && g.ins[n] > 0 }

// spine returns the nodes that stand below each other, a layer each. Every edge
// leads down but those that close a loop; of the nodes that may come next, the
// one that is told first does, those that come after at the end. So a flow that
// is told in order stays in order.
func (g graph) spine() (order []int) {
	waits := make([]int, len(g.nodes))
	back := g.loops()
	for n, exits := range g.out {
		for _, x := range exits {
			if !back[[2]int{n, x.to}] {
				waits[x.to]++
			}
		}
	}
	var ready []int
	for n := range g.nodes {
		if waits[n] == 0 {
			ready = append(ready, n)
		}
	}
	for len(ready) > 0 {
		n := slices.MinFunc(ready, func(a, b int) int {
			if g.nodes[a].After != g.nodes[b].After {
				return map[bool]int{false: -1, true: 1}[g.nodes[a].After]
			}
			return a - b
		})
		ready = slices.DeleteFunc(ready, func(m int) bool { return m == n })
		if !g.leaf(n) {
			order = append(order, n)
		}
		for _, x := range g.out[n] {
			if back[[2]int{n, x.to}] {
				continue
			}
			if waits[x.to]--; waits[x.to] == 0 {
				ready = append(ready, x.to)
			}
		}
	}
	return order
}

// loops returns the edges that close a loop: those to a node whose own ways are
// still being followed, in a search that goes into depth, and those from a node
// that comes after to one that does not.
func (g graph) loops() map[[2]int]bool {
	back := map[[2]int]bool{}
	const (
		unseen = iota
		open
		done
	)
	state := make([]int, len(g.nodes))
	var follow func(n int)
	follow = func(n int) {
		state[n] = open
		for _, x := range g.out[n] {
			switch {
			case state[x.to] == open || g.nodes[n].After && !g.nodes[x.to].After && !g.leaf(x.to):
				back[[2]int{n, x.to}] = true
			case state[x.to] == unseen:
				follow(x.to)
			}
		}
		state[n] = done
	}
	for n := range g.nodes {
		if state[n] == unseen {
			follow(n)
		}
	}
	return back
}

// lane is a line at the right side of a column. All that leads to one node from
// above shares one, and all that leads there from below.
type lane struct {
	to       int  // place in the column
	up       bool // it closes a loop
	from, at int  // first and last row that it passes
	number   int  // 0 is the innermost
}

// mostLanes is how many lanes have room beside a column.
const mostLanes = 4

// Rows count by step: its box is passed by what comes from above, then by what
// comes from below, then come its exits.
const rowsOfStep = 1 << 20

func boxRow(place int, up bool) int {
	if up {
		return place*rowsOfStep + 1
	}
	return place * rowsOfStep
}

func exitRow(place, exit int) int { return place*rowsOfStep + 2 + exit }

// laneKey names a lane.
type laneKey struct {
	to int
	up bool
}

// lanes gives what leads to another place of a column than the next its lane.
// A shorter one is further in: where one lies within another they do not cross.
// What has no room for a lane has none; the longest are left out first.
func (g graph) lanes(column []int, place map[int]int) map[laneKey]lane {
	found := map[laneKey]lane{}
	for i, n := range column {
		for k, x := range g.out[n] {
			to, ok := place[x.to]
			if !ok || to == i+1 {
				continue
			}
			key := laneKey{to, to <= i}
			row, box := exitRow(i, k), boxRow(to, key.up)
			l, ok := found[key]
			if !ok {
				l = lane{to: to, up: key.up, from: min(row, box), at: max(row, box)}
			}
			l.from, l.at = min(l.from, row), max(l.at, row)
			found[key] = l
		}
	}
	var list []lane
	for _, l := range found {
		list = append(list, l)
	}
	slices.SortFunc(list, func(a, b lane) int {
		return cmp.Or(cmp.Compare(a.at-a.from, b.at-b.from), cmp.Compare(a.from, b.from))
	})
	taken := map[laneKey]lane{}
	for _, l := range list {
		for _, other := range taken {
			if l.from <= other.at && other.from <= l.at {
				l.number = max(l.number, other.number+1)
			}
		}
		if l.number < mostLanes {
			taken[laneKey{l.to, l.up}] = l
		}
	}
	return taken
}
