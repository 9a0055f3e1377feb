package audit

import (
	"fmt"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// entry is a step at which answers of other pages begin a procedure.
type entry struct {
	page *handbook.Page
	step *handbook.Step
}

// proveEntries remarks on ways from one procedure into the middle of another. Each
// is a second beginning, on a machine on which nothing stands. Nothing is proved of
// pages that are not whole.
func proveEntries(h *handbook.Handbook, whole map[*handbook.Page]bool, remarks *remark.List) {
	var entries []entry
	from := map[entry][]remark.Place{}
	for _, p := range h.Pages {
		if p.Procedure == nil {
			continue
		}
		for _, s := range p.Procedure.Steps {
			s.EachWay(func(t handbook.Target, at remark.Place) {
				if t.Kind != handbook.ToPage || !whole[t.Page] {
					return
				}
				e := entry{t.Page, t.Page.Procedure.Heading(t.ID)}
				switch {
				case e.step == nil || e.step.Number == 1:
					return
				case e.step.Verification() && !s.Verification():
					remarks.Add(remark.CheckEarly, at, "step `"+s.ID+"`", e.step.ID)
					return
				case from[e] == nil:
					entries = append(entries, e)
				}
				from[e] = append(from[e], at)
			})
		}
	}
	for _, e := range entries {
		passed := e.passed()
		if passed == nil {
			continue
		}
		var also []string
		for _, at := range from[e][1:] {
			also = append(also, at.String())
		}
		why := remark.EntryEarly.At(from[e][0], e.page.Source.Path, e.step.ID, strings.Join(passed, "; "), soToo(also))
		if better := e.better(); better != "" {
			why = why.Instead("Lead it to `#%s` there, from where nothing is passed, or to the page itself.", better)
		}
		*remarks = append(*remarks, why)
	}
}

// passed says what a technician lacks who begins there and would not lack as one
// who begins at the first step.
func (e entry) passed() (lacks []string) {
	pr := e.page.Procedure
	begin := e.step.Number - 1
	g, hazards := graph(e.page)
	needs := needsOf(pr)
	fromFirst, early := procedure.Prove(g), procedure.ComesEarly(g, needs)
	g.Begin = begin
	for _, x := range procedure.ComesEarly(g, needs) {
		if !slices.Contains(early, x) {
			lacks = append(lacks, fmt.Sprintf("`%s` needs `%s`", pr.Steps[x.Step].ID, pr.Steps[x.Need].ID))
		}
	}
	c := pr.Course()
	for k, setting := range c.Settings {
		lacking := func(begin int) (stops []int) {
			for _, clash := range c.FollowFrom(k, begin).Clashes {
				if clash.Kind == procedure.Lacking {
					stops = append(stops, clash.Stop)
				}
			}
			return stops
		}
		told := lacking(0)
		for _, stop := range lacking(begin) {
			if !slices.Contains(told, stop) {
				lacks = append(lacks, fmt.Sprintf("`%s` requires the setting `%s`", c.Stops[stop].Name(), setting.ID))
			}
		}
	}
	meets := func(name string, hazard int) {
		if h := hazards[hazard]; warnsOf(e.page, h) || !slices.Contains(pr.Hazards, h) {
			lacks = append(lacks, fmt.Sprintf("%s meets `%s`, of which a step before warns", name, h.ID))
		}
	}
	found := procedure.Prove(g)
	for _, x := range found.Late {
		if !slices.Contains(fromFirst.Late, x) {
			meets("`"+pr.Steps[x.Step].ID+"`", x.Hazard)
		}
	}
	for _, x := range found.LateEnds {
		if !slices.Contains(fromFirst.LateEnds, x) {
			meets("the remedy of `"+pr.Causes[x.End].ID+"`", x.Hazard)
		}
	}
	return lacks
}

// better returns the nearest step before at which a technician can begin, "" for
// none but the first.
func (e entry) better() string {
	steps := e.page.Procedure.Steps[1 : e.step.Number-1]
	for _, s := range slices.Backward(steps) {
		if s.Verification() == e.step.Verification() && (entry{e.page, s}).passed() == nil {
			return s.ID
		}
	}
	return ""
}
