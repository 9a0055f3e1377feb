package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// unserved gives advice on engine states and models with which a technician finds no
// procedure. The finder lists procedures by the states in which their complaints show, and by
// model; a state in which steps alone are done is taken up. A handbook without procedures is
// not asked, nor one of which some page is not known.
func unserved(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	states, models := map[string]bool{}, map[string]bool{}
	procedures := 0
	for i, p := range h.Pages {
		if p.SheetUnknown || facts[i].Unsure {
			return
		}
		if p.Procedure != nil {
			procedures++
		}
		for _, s := range facts[i].States {
			states[s] = true
		}
		for _, m := range facts[i].Models {
			models[m] = true
		}
	}
	if procedures == 0 {
		return
	}
	if len(states) > 0 { // else procedures say no states at all
		for _, s := range h.States {
			if !states[s.ID] {
				remarks.Add(remark.StateUnserved, s.Place, s.ID)
			}
		}
	}
	for _, m := range h.Models {
		if !models[m.ID] {
			remarks.Add(remark.ModelUnserved, m.Place, m.ID)
		}
	}
}

// serves notes in which engine states, and for which models, the procedure is taken up.
func (f *Facts) serves(p *handbook.Page) {
	f.Unsure = p.ModelsUnknown || p.Procedure.ConductUnknown || p.Procedure.FiguresUnknown
	for _, s := range slices.Concat(p.Procedure.States, p.Procedure.StepStates()) {
		if s != nil && !slices.Contains(f.States, s.ID) {
			f.States = append(f.States, s.ID)
		}
	}
	for _, m := range p.Applicability {
		f.Models = append(f.Models, m.ID)
	}
	f.Checks = p.Procedure.ConductUnknown || slices.ContainsFunc(p.Procedure.Steps, (*handbook.Step).Verification)
}
