package audit

import (
	"fmt"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// crossings notes the ways from the procedure's steps to other pages.
func (f *Facts) crossings(p *handbook.Page) {
	for _, s := range p.Procedure.Steps {
		s.EachWay(func(t handbook.Target, at remark.Place) {
			if t.Kind == handbook.ToPage && t.ID != "" {
				f.Crossings = append(f.Crossings, CrossingFact{s.ID, t.Page.Source.Path, t.ID, s.Verification(), at})
			}
		})
	}
}

// entry is a step at which answers of other pages begin a procedure.
type entry struct {
	page int // its number in the handbook
	step *handbook.Step
}

// proveEntries remarks on ways from one procedure into the middle of another. Each
// is a second beginning, on a machine on which nothing stands. Nothing is proved of
// pages that are not whole.
func proveEntries(h *handbook.Handbook, facts []*Facts, whole func(*handbook.Page) *handbook.Page, remarks *remark.List) {
	number := map[string]int{}
	for i, p := range h.Pages {
		number[p.Source.Path] = i
	}
	var entries []entry
	from := map[entry][]remark.Place{}
	for _, f := range facts {
		for _, c := range f.Crossings {
			i := number[c.To]
			if !facts[i].Proved {
				continue
			}
			e := entry{i, h.Pages[i].Procedure.Heading(c.Heading)}
			switch {
			case e.step == nil || e.step.Number == 1:
				continue
			case e.step.Verification() && !c.Check:
				remarks.Add(remark.CheckEarly, c.Place, "step `"+c.Step+"`", e.step.ID)
				continue
			case from[e] == nil:
				entries = append(entries, e)
			}
			from[e] = append(from[e], c.Place)
		}
	}
	sheets := map[int]*sheet{}
	for _, e := range entries {
		p, f := h.Pages[e.page], facts[e.page]
		passed, known := f.Passed[e.step.ID]
		if !known {
			if sheets[e.page] == nil {
				sheets[e.page] = newSheet(whole(p))
			}
			passed = sheets[e.page].passedBy(e.step.Number - 1)
			if f.Passed == nil {
				f.Passed = map[string][]string{}
			}
			f.Passed[e.step.ID] = passed
		}
		if len(passed) == 0 {
			continue
		}
		var also []string
		for _, at := range from[e][1:] {
			also = append(also, at.String())
		}
		remarks.Add(remark.EntryEarly, from[e][0], p.Source.Path, e.step.ID, strings.Join(passed, "; "), soToo(also))
	}
}

// sheet is a procedure into which others lead.
type sheet struct {
	page    *handbook.Page
	graph   procedure.Graph
	hazards []*handbook.Hazard
	needs   [][]int
	course  handbook.Course
	first   []lack // what is lacking from the first step on, which has its remarks
}

// lack is something that a stop of the course lacks: a step that it needs, a setting,
// or the warning of a hazard, by its number.
type lack struct {
	kind     lackKind
	stop, of int
}

type lackKind int

const (
	lacksStep lackKind = iota
	lacksSetting
	lacksWarning
)

func newSheet(p *handbook.Page) *sheet {
	s := &sheet{page: p, needs: needsOf(p.Procedure), course: p.Procedure.Course()}
	s.graph, s.hazards = graph(p)
	s.first = s.lacks(0)
	return s
}

// lacks returns what is lacking from a step on for a technician who begins there.
func (s *sheet) lacks(begin int) (lacks []lack) {
	g := s.graph
	g.Begin = begin
	for _, x := range procedure.ComesEarly(g, s.needs) {
		lacks = append(lacks, lack{lacksStep, x.Step, x.Need})
	}
	for k := range s.course.Settings {
		for _, clash := range s.course.FollowFrom(k, begin).Clashes {
			if clash.Kind == procedure.Lacking {
				lacks = append(lacks, lack{lacksSetting, clash.Stop, k})
			}
		}
	}
	steps, ends := g.Late()
	for _, x := range steps {
		lacks = append(lacks, lack{lacksWarning, x.Step, x.Hazard})
	}
	for _, x := range ends { // in a course the causes follow the steps
		lacks = append(lacks, lack{lacksWarning, len(g.Steps) + x.End, x.Hazard})
	}
	return lacks
}

// mostPassed is how many reasons a remark lists.
const mostPassed = 3

// passedBy says what is lacking for a technician who begins at a step, and not for one
// who begins at the first.
func (s *sheet) passedBy(begin int) (passed []string) {
	pr := s.page.Procedure
	more := 0
	for _, l := range s.lacks(begin) {
		if slices.Contains(s.first, l) {
			continue
		}
		name, what := "`"+s.course.Stops[l.stop].Name()+"` ", ""
		switch l.kind {
		case lacksStep:
			what = "needs `" + pr.Steps[l.of].ID + "`"
		case lacksSetting:
			what = "requires the setting `" + s.course.Settings[l.of].ID + "`"
		case lacksWarning:
			h := s.hazards[l.of]
			if !warnsOf(s.page, h) && slices.Contains(pr.Hazards, h) {
				continue // it has no panel at all, which has its remark
			}
			what = "meets `" + h.ID + "`, of which a step before warns"
		}
		if len(passed) == mostPassed {
			more++
		} else {
			passed = append(passed, name+what)
		}
	}
	if more > 0 {
		passed = append(passed, fmt.Sprintf("and %d more", more))
	}
	return passed
}
