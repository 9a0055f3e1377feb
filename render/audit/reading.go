package audit

import (
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// judgeReading asks a reading for what it must say besides its outcomes: its conditions.
func judgeReading(r *handbook.Reading, remarks *remark.List) {
	if r.Conditions == "" && len(r.Spec.Conditions) == 0 {
		remarks.Add(remark.ReadingConditions, r.SpecPlace, r.Spec.ID)
	}
}

// beyondMeters remarks on limits that the handbook's meter for their unit does not read:
// once for each meter, at the reading; where several specifications lie beyond it, at
// its range.
func beyondMeters(h *handbook.Handbook, remarks *remark.List) {
	for _, m := range h.Meters {
		var specs []*handbook.Spec
		var at remark.Place
		var first, also []string
		note := func(p *handbook.Page, r *handbook.Reading) {
			for _, l := range limitsOf(p, r.Spec) {
				if l == nil {
					continue
				}
				for _, n := range []*handbook.Number{l.Min, l.Max} {
					if n == nil || n.Value == 0 {
						continue // nothing is nothing on every meter
					}
					v, said := m.Unit.FromSI(r.Spec.Unit.ToSI(n.Value)), []string{n.Text + " " + r.Spec.Unit.Symbol, r.Spec.ID}
					text := said[0] + " of `" + said[1] + "`"
					switch {
					case v >= m.Min && v <= m.Max || slices.Equal(first, said) || slices.Contains(also, text):
						continue
					case first == nil:
						first, at = said, r.SpecPlace
					default:
						also = append(also, text)
					}
					if !slices.Contains(specs, r.Spec) {
						specs = append(specs, r.Spec)
					}
				}
			}
		}
		for _, p := range h.Pages {
			if p.Procedure == nil {
				continue
			}
			for _, s := range p.Procedure.Steps {
				r := s.Reading
				if r == nil || s.Broken || r.Spec == nil || r.Spec.Faulty || r.Timing != nil { // the phone's watch is no meter of the handbook
					continue
				}
				if own, _ := h.Meter(r.Spec.Unit); own.Unit == m.Unit {
					note(p, r)
				}
			}
		}
		if first == nil {
			continue
		}
		if len(specs) > 1 {
			at = m.RangePlace
		}
		remarks.Add(remark.ReadingRange, at, first[0], first[1], reach(m), soToo(also))
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
	for _, spot := range partsOf(p) {
		for _, part := range spot.parts {
			var without []*handbook.Model
			var ids []string
			for _, m := range p.Applicability {
				if part.Models != nil && !slices.Contains(part.Models, m) {
					without, ids = append(without, m), append(ids, m.ID)
				}
			}
			if without != nil {
				*remarks = append(*remarks, remark.PartAbsent.At(spot.place, spot.name, part.ID, strings.Join(ids, ", ")).
					About(remark.Subject{Name: "models of part " + part.ID, Place: part.Place}, p.AppliesTo(without...)))
			}
		}
	}
}
