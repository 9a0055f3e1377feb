package handbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Earlier is a value that a specification had before. One with Until held for its machines
// until that day; one with serial numbers alone holds for those machines still.
type Earlier struct {
	From     string   // the first day, or "" where nobody says so
	Until    string   // the day from which another one holds, or ""
	Serials  *Serials // nil: every machine
	Bulletin string   // the key of the bulletin by which it was changed, or ""
	General  *Limit
	ByModel  map[string]*Limit

	Place, FromPlace, UntilPlace, BulletinPlace remark.Place
}

// For returns the limit that it was for a model, or nil.
func (e *Earlier) For(m *Model) *Limit {
	if m == nil {
		return e.General
	}
	if e.Serials != nil && !slices.ContainsFunc(m.Serials, func(s Serials) bool { _, ok := s.common(*e.Serials); return ok }) {
		return nil
	}
	if l, ok := e.ByModel[m.ID]; ok {
		return l
	}
	return e.General
}

// Ranges are the earlier values of a model that hold still, each for some serial numbers. The
// specification's own holds for all others.
func (s *Spec) Ranges(m *Model) (ranges []*Earlier) {
	for _, e := range s.History {
		if m != nil && e.Until == "" && e.For(m) != nil {
			ranges = append(ranges, e)
		}
	}
	return ranges
}

// Next is the serial number behind a range that has an end.
func (s Serials) Next() string {
	figures := counting.FindStringSubmatch(s.To)
	return figures[1] + counted(s.High) + figures[3]
}

// counted is the number that follows in the same figures.
func counted(figures string) string {
	kept := strings.TrimRight(figures, "9")
	zeros := strings.Repeat("0", len(figures)-len(kept))
	if kept == "" {
		return "1" + zeros
	}
	return kept[:len(kept)-1] + string(kept[len(kept)-1]+1) + zeros
}

type earlierYAML struct {
	Place    remark.Place
	From     source.Text `yaml:"from"`
	Until    source.Text `yaml:"until,needed unless serial"`
	Serial   serialYAML  `yaml:"serial" noun:"a range of serial numbers"`
	Bulletin source.Text `yaml:"bulletin"`

	Nominal   number `yaml:"nominal"`
	Min       number `yaml:"min"`
	Max       number `yaml:"max"`
	Tolerance number `yaml:"tolerance"`

	Models source.Map[limitYAML] `yaml:"models" noun:"a model's limits"`
}

// history reads the earlier values of a specification, the oldest first.
func (r *resolver) history(s *Spec, list []earlierYAML) {
	for _, y := range list {
		e, ok := r.earlier(s, y)
		if !ok {
			continue
		}
		for _, other := range slices.Backward(s.History) {
			if r.follows(other, e) {
				break
			}
		}
		s.History = append(s.History, e)
	}
}

func (r *resolver) earlier(s *Spec, y earlierYAML) (e *Earlier, ok bool) {
	e = &Earlier{
		ByModel: map[string]*Limit{}, Bulletin: y.Bulletin.Value, Place: y.Place,
		FromPlace: y.From.Place, UntilPlace: y.Until.Place, BulletinPlace: y.Bulletin.Place,
	}
	if y.From.Given() {
		e.From = checkDay(&r.remarks, y.From)
	}
	if y.Until.Given() {
		if e.Until = checkDay(&r.remarks, y.Until); e.Until == "" {
			s.Faulty = true // nobody knows which value holds
			return nil, false
		}
		if d := r.book.Date; d != "" && e.Until > d {
			r.remarks = append(r.remarks, remark.HistoryLater.At(e.UntilPlace, "until "+e.Until, d).
				About(remark.Subject{Name: "the day of the edition", Place: r.datePlace}))
		}
	}
	if d := r.book.Date; d != "" && e.From > d && e.Until == "" {
		r.remarks = append(r.remarks, remark.HistoryLater.At(e.FromPlace, "from "+e.From, d).
			Instead("Leave the value out until then, or correct the day or the `date` of the edition.").
			About(remark.Subject{Name: "the day of the edition", Place: r.datePlace}))
	}
	if e.From != "" && e.Until != "" && e.From >= e.Until {
		r.remarks.Add(remark.HistoryOrder, e.FromPlace, e.From, e.Until)
		return nil, false
	}
	if y.Serial.From.Given() {
		n, ok := serialRange(&r.remarks, y.Serial)
		if ok && n.To == "" {
			r.remarks.Add(remark.KeyMissing, y.Serial.From.Place, "to", "a range of an earlier value")
		}
		if !ok || n.To == "" {
			return nil, false
		}
		e.Serials = &n
	}
	if !y.Until.Given() && e.Serials == nil { // a remark says so
		return nil, false
	}
	general := limitYAML{y.Nominal, y.Min, y.Max, y.Tolerance}
	if general.given() {
		e.General = r.limit(s, general, y.Place)
	}
	for _, m := range y.Models {
		switch found := find(r, kindModel, r.book.Models, m.ID); {
		case !m.Value.given():
			r.remarks.Add(remark.LimitMissing, m.ID.Place)
			return nil, false
		case found != nil:
			e.ByModel[found.ID] = r.limit(s, m.Value, m.ID.Place)
		}
	}
	if e.General == nil && len(y.Models) == 0 {
		r.remarks.Add(remark.LimitMissing, y.Place)
		return nil, false
	}
	if e.Serials != nil && !slices.ContainsFunc(r.book.Models, func(m *Model) bool { return e.For(m) != nil }) {
		r.remarks.Add(remark.HistorySerial, y.Serial.From.Place, e.Serials.From, e.Serials.To)
		return nil, false
	}
	return e, true
}

// follows holds a value against one that stands before it, and tells whether the two are of
// the same machines, so that nothing before needs to be looked at.
func (r *resolver) follows(before, e *Earlier) bool {
	if !r.ofOneModel(before, e) {
		return false
	}
	if before.Until == "" || e.Until == "" {
		return before.Until == "" && e.Until == "" && r.followsInNumbers(before, e)
	}
	if before.Serials != nil && e.Serials != nil {
		if _, ok := before.Serials.common(*e.Serials); !ok {
			return false
		}
	}
	switch {
	case e.Until <= before.Until:
		r.remarks.Add(remark.HistoryOrder, e.UntilPlace, before.Until, e.Until)
	case e.From == "":
		e.From = before.Until
	case e.From < before.Until:
		r.remarks.Add(remark.HistoryOverlap, e.FromPlace, "from "+e.From+" to "+before.Until)
	case e.From > before.Until:
		r.remarks.Add(remark.HistoryGap, e.FromPlace, "from "+before.Until+" to "+e.From)
	}
	return true
}

func (r *resolver) ofOneModel(a, b *Earlier) bool {
	if len(r.book.Models) == 0 {
		return true
	}
	return slices.ContainsFunc(r.book.Models, func(m *Model) bool { return a.For(m) != nil && b.For(m) != nil })
}

// followsInNumbers does that with values of which each holds for some serial numbers.
func (r *resolver) followsInNumbers(before, e *Earlier) bool {
	a, b := before.Serials, e.Serials
	if number, ok := a.common(*b); ok {
		r.remarks.Add(remark.HistoryOverlap, e.Place, "for "+number)
		return true
	}
	if a.Head != b.Head || a.Tail != b.Tail {
		return false
	}
	next := a.Next()
	switch number := counting.FindStringSubmatch(next)[2]; {
	case compareFigures(b.Low, a.Low) < 0:
		r.remarks.Add(remark.HistoryOrder, e.Place, a.From, b.From)
	case compareFigures(number, b.Low) < 0:
		r.remarks.Add(remark.HistoryGap, e.Place, fmt.Sprintf("for %s and up, before %s", next, b.From))
	}
	return true
}

// compareFigures compares numbers by their figures: more of them are more.
func compareFigures(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }

// sameAs tells whether two limits are written alike.
func (l *Limit) sameAs(o *Limit) bool {
	text := func(n *Number) string {
		if n == nil {
			return ""
		}
		return n.Text
	}
	return l != nil && o != nil && text(l.Nominal) == text(o.Nominal) && text(l.Min) == text(o.Min) && text(l.Max) == text(o.Max)
}
