package audit

import (
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// judgeReading holds a reading against what it must say besides its outcomes:
// its conditions, and limits that the handbook's meter can read.
func judgeReading(h *handbook.Handbook, p *handbook.Page, r *handbook.Reading, remarks *remark.List) {
	if r.Conditions == "" && len(r.Spec.Conditions) == 0 {
		remarks.Add(remark.ReadingConditions, r.SpecPlace, r.Spec.ID)
	}
	m, ok := h.Meter(r.Spec.Unit)
	if !ok || r.Timing != nil { // the phone's watch is no meter of the handbook
		return
	}
	told := map[string]bool{}
	for _, l := range limitsOf(p, r.Spec) {
		if l == nil {
			continue
		}
		for _, n := range []*handbook.Number{l.Min, l.Max} {
			if n == nil || told[n.Text] || n.Value == 0 {
				continue // nothing is nothing on every meter
			}
			if v := m.Unit.FromSI(r.Spec.Unit.ToSI(n.Value)); v < m.Min || v > m.Max {
				told[n.Text] = true
				remarks.Add(remark.ReadingRange, r.SpecPlace, n.Text+" "+r.Spec.Unit.Symbol, r.Spec.ID, reach(m))
			}
		}
	}
}

// reach is what a meter reads, in words.
func reach(m handbook.Meter) string {
	figure := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	return figure(m.Min) + " to " + figure(m.Max) + " " + m.Unit.Symbol
}

// limitsOf are a specification's limits for the models of a page.
func limitsOf(p *handbook.Page, s *handbook.Spec) []*handbook.Limit {
	if len(p.Applicability) == 0 {
		return []*handbook.Limit{s.General}
	}
	var limits []*handbook.Limit
	for _, m := range p.Applicability {
		limits = append(limits, s.For(m))
	}
	return limits
}

// absentParts remarks on causes and steps that are about a part which a model of
// the page does not have.
func absentParts(p *handbook.Page, remarks *remark.List) {
	lacking := func(part *handbook.Part) string {
		if part.Models == nil {
			return ""
		}
		var without []string
		for _, m := range p.Applicability {
			if !slices.Contains(part.Models, m) {
				without = append(without, m.ID)
			}
		}
		return strings.Join(without, ", ")
	}
	for _, spot := range partsOf(p) {
		for _, part := range spot.parts {
			if without := lacking(part); without != "" {
				remarks.Add(remark.PartAbsent, spot.place, spot.name, part.ID, without)
			}
		}
	}
}
