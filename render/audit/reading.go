package audit

import (
	"math"
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

// BeyondFact is a figure of a reading that a meter does not read.
type BeyondFact struct {
	Meter        int // its number among the handbook's
	Figure, Spec string
	Place        remark.Place
}

// beyond notes what the handbook's meter for the unit of a reading does not read: limits,
// and what is called possible, for the phone takes such a reading for a slip.
func (f *Facts) beyond(h *handbook.Handbook, p *handbook.Page, r *handbook.Reading) {
	own, _ := h.Meter(r.Spec.Unit)
	for i, m := range h.Meters {
		if own.Unit != m.Unit {
			continue
		}
		note := func(v float64, text string, at remark.Place) {
			read := m.Unit.FromSI(r.Spec.Unit.ToSI(v))
			spare := 1e-9 * math.Abs(read)                            // what the way to SI and back may cost
			if v != 0 && (read < m.Min-spare || read > m.Max+spare) { // nothing is nothing on every meter
				f.Beyond = append(f.Beyond, BeyondFact{i, text + " " + r.Spec.Unit.Symbol, r.Spec.ID, at})
			}
		}
		for _, l := range limitsOf(p, r.Spec) {
			if l == nil {
				continue
			}
			for _, n := range []*handbook.Number{l.Min, l.Max} {
				if n != nil {
					note(n.Value, n.Text, r.SpecPlace)
				}
			}
		}
		for _, v := range r.Spec.Possible {
			if !math.IsInf(v, 0) {
				note(v, plain(v), r.Spec.PossibleAt)
			}
		}
	}
}

// beyondMeters remarks on what the handbook's meter for its unit does not read: once for
// each meter, at the reading, or at what is called possible; where several specifications
// lie beyond it, at its range.
func beyondMeters(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	for i, m := range h.Meters {
		var first *BeyondFact
		var also []string
		several := false
		for _, f := range facts {
			for _, b := range f.Beyond {
				text := b.Figure + " of `" + b.Spec + "`"
				switch {
				case b.Meter != i || slices.Contains(also, text):
				case first == nil:
					first = &b
				case b.Figure != first.Figure || b.Spec != first.Spec:
					also = append(also, text)
					several = several || b.Spec != first.Spec
				}
			}
		}
		if first == nil {
			continue
		}
		at := first.Place
		if several {
			at = m.RangePlace
		}
		remarks.Add(remark.ReadingRange, at, first.Figure, first.Spec, reach(m), soToo(also))
	}
}

// reach is what a meter reads, in words.
func reach(m handbook.Meter) string {
	return plain(m.Min) + " to " + plain(m.Max) + " " + m.Unit.Symbol
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// limitsOf are a specification's limits for the models of a page.
func limitsOf(p *handbook.Page, s *handbook.Spec) []*handbook.Limit {
	if len(p.Applicability) == 0 {
		return []*handbook.Limit{s.General}
	}
	var limits []*handbook.Limit
	for _, m := range p.Applicability {
		limits = append(limits, s.For(m))
		for _, e := range s.Ranges(m) {
			limits = append(limits, e.For(m))
		}
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
