package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// warnsOf tells whether a page has a safety message for the hazard.
func warnsOf(p *handbook.Page, h *handbook.Hazard) bool {
	for _, block := range p.Blocks {
		if panel, ok := block.(*handbook.Safety); ok && panel.Hazard == h {
			return true
		}
	}
	return false
}

// lateHazards remarks on steps and remedies that name a hazard to a reader who may
// not have been warned of it, once for each hazard.
func lateHazards(p *handbook.Page, found procedure.Findings, hazards []*handbook.Hazard, early bool, remarks *remark.List) {
	pr := p.Procedure
	for i, h := range hazards {
		if !warnsOf(p, h) && slices.Contains(pr.Hazards, h) {
			continue // it has no panel at all, which has its remark
		}
		var names []string
		var first remark.Place
		note := func(name string, at remark.Place) {
			if names == nil {
				first = at
			}
			names = append(names, name)
		}
		for _, m := range found.Late {
			// A way to a check past its warnings has a remark.
			if s := pr.Steps[m.Step]; m.Hazard == i && (!early || !s.Verification()) {
				note("step `"+s.ID+"`", s.Place)
			}
		}
		for _, m := range found.LateEnds {
			if c := pr.Causes[m.End]; m.Hazard == i {
				note("the remedy of cause `"+c.ID+"`", c.Place)
			}
		}
		if names != nil {
			remarks.Add(remark.HazardLate, first, names[0], h.ID, soToo(names[1:]))
		}
	}
}

// notices gives advice on panels that call a notice what most others of the hazard, or
// as many, give a level of injury, and on the one panel that is below the level of all others.
func notices(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	panels := map[string][]*PanelFact{} // by hazard
	for _, f := range facts {
		for i := range f.Panels {
			panel := &f.Panels[i]
			panels[panel.Hazard] = append(panels[panel.Hazard], panel)
		}
	}
	for _, hazard := range h.Hazards {
		told := map[string][]*PanelFact{} // by level
		for _, panel := range panels[hazard.ID] {
			told[panel.Level] = append(told[panel.Level], panel)
		}
		count, most := len(panels[hazard.ID]), ""
		for _, level := range injuries {
			if len(told[level]) > len(told[most]) {
				most = level
			}
		}
		if len(told[most]) < len(told[notice]) {
			continue
		}
		for _, panel := range told[notice] {
			remarks.Add(remark.HazardNotice, panel.Place, notice, hazard.ID, most)
		}
		for _, level := range injuries[slices.Index(injuries, most)+1:] {
			if len(told[level]) == 1 && len(told[most]) >= mostSteps && len(told[most]) == count-1 {
				remarks.Add(remark.HazardNotice, told[level][0].Place, level, hazard.ID, most)
			}
		}
	}
}

// panels notes the page's safety messages.
func (f *Facts) panels(p *handbook.Page) {
	for _, block := range p.Blocks {
		if panel, ok := block.(*handbook.Safety); ok && panel.Hazard != nil && panel.Level != "" {
			f.Panels = append(f.Panels, PanelFact{panel.Hazard.ID, panel.Level, panel.HazardPlace})
		}
	}
}

const notice = "notice" // the level of damage without injury

// injuries are the levels of what can injure, the worst first.
var injuries = []string{"danger", "warning", "caution"}

// soToo lists what else a remark holds for.
func soToo(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "; so too " + strings.Join(names, ", ")
}

// unlistedHazards gives advice on panels of hazards that the head of the sheet does
// not name, at the first of them.
func unlistedHazards(pr *handbook.Procedure, remarks *remark.List) {
	var names []string
	var at remark.Place
	for _, s := range pr.Steps {
		for _, panel := range s.Panels {
			h := panel.Hazard
			if h == nil || slices.Contains(pr.Hazards, h) || slices.Contains(names, "`"+h.ID+"`") {
				continue
			}
			if names == nil {
				at = panel.HazardPlace
			}
			names = append(names, "`"+h.ID+"`")
		}
	}
	if names != nil {
		remarks.Add(remark.HazardUnlisted, at, names[0], soToo(names[1:]))
	}
}
