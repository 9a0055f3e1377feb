package remark

import (
	"cmp"
	"container/heap"
	"fmt"
	"slices"
	"strings"
)

// Subject is something that a remark is about: a specification, a name that nothing
// has. Several remarks about one subject are one mistake, and one remark, at the place
// of the subject where it has one, else at the first of theirs.
type Subject struct {
	Name  string // "" for none
	Place Place
}

// About returns the remark with its subjects. Where several have it in common with
// others, it is told with the most of them.
func (r Remark) About(subjects ...Subject) Remark {
	copy(r.Subjects[:], subjects)
	return r
}

// gather makes one remark of those about one subject, of that with the most remarks first.
// The list is sorted. A hostile page brings a hundred thousand remarks about as many subjects:
// none is looked for among all.
func (l *List) gather() {
	g := gathering{list: *l, about: map[string]*gathered{}, gone: make([]bool, len(*l))}
	for i, r := range *l {
		for k, s := range r.Subjects {
			if s.Name == "" {
				continue
			}
			about := g.about[s.Name]
			if about == nil {
				about = &gathered{}
				g.about[s.Name] = about
				g.Push(about)
			}
			about.count++
			about.at = append(about.at, standing{i, k})
		}
	}
	heap.Init(&g)
	var ones List
	for len(g.heap) > 0 && g.heap[0].count > 1 {
		ones = append(ones, g.one())
	}
	var others List
	for i, r := range *l {
		if !g.gone[i] {
			others = append(others, r)
		}
	}
	*l = append(others, ones...)
}

// standing is where a remark has a subject: which remark of the list, and which of its subjects.
type standing struct{ remark, subject int }

// gathered are the remarks about one subject.
type gathered struct {
	at    []standing // those at the end are not gone
	count int        // of those that are not gone
	index int        // in the heap
}

// last is where the last of them stands; it has the subject as it is told.
func (x *gathered) last() standing { return x.at[len(x.at)-1] }

// gathering is a heap of subjects: on top that with the most remarks, of several the one that has
// all of its own before the others have theirs.
type gathering struct {
	list  List
	about map[string]*gathered
	gone  []bool // those that became part of one
	heap  []*gathered
}

func (g *gathering) Len() int { return len(g.heap) }

func (g *gathering) Less(i, j int) bool {
	a, b := g.heap[i], g.heap[j]
	if a.count != b.count || a.count == 0 {
		return a.count > b.count
	}
	return cmp.Or(cmp.Compare(a.last().remark, b.last().remark), cmp.Compare(a.last().subject, b.last().subject)) < 0
}

func (g *gathering) Swap(i, j int) {
	g.heap[i], g.heap[j] = g.heap[j], g.heap[i]
	g.heap[i].index, g.heap[j].index = i, j
}

// Push implements heap.Interface.
func (g *gathering) Push(x any) {
	about := x.(*gathered)
	about.index = len(g.heap)
	g.heap = append(g.heap, about)
}

// Pop implements heap.Interface.
func (g *gathering) Pop() any {
	last := g.heap[len(g.heap)-1]
	g.heap = g.heap[:len(g.heap)-1]
	return last
}

// one makes one remark of those about the subject on top: the first error, else the first.
func (g *gathering) one() Remark {
	top := g.heap[0]
	s := g.list[top.last().remark].Subjects[top.last().subject]
	var same []int
	for _, at := range top.at {
		if !g.gone[at.remark] {
			same = append(same, at.remark)
		}
	}
	first := same[max(0, slices.IndexFunc(same, func(i int) bool { return g.list[i].Severity == Error }))]
	one := g.list[first]
	var at []string
	for _, i := range same {
		if i != first || s.Place.File != "" {
			at = append(at, g.list[i].Place.String())
		}
	}
	if len(at) > 4 {
		at = append(at[:3], fmt.Sprintf("%d more places", len(at)-3))
	}
	if s.Place.File == "" {
		one.Message += "; so too at " + strings.Join(at, ", ")
	} else {
		one.Message += "; so at " + strings.Join(at, ", ")
		one.Place = s.Place
	}
	one.Subjects = [2]Subject{}
	for _, i := range same {
		g.let(i)
	}
	return one
}

// let lets a remark go: its subjects have one less.
func (g *gathering) let(i int) {
	g.gone[i] = true
	for _, s := range g.list[i].Subjects {
		about := g.about[s.Name]
		if about == nil {
			continue
		}
		about.count--
		for len(about.at) > 0 && g.gone[about.last().remark] {
			about.at = about.at[:len(about.at)-1]
		}
		heap.Fix(g, about.index)
	}
}
