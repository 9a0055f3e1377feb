package handbook

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Meter is an instrument of the handbook's users and how far to trust it.
type Meter struct {
	Unit unit.Unit
	Accuracy
	Resolution float64 // worth of its last digit, in Unit; 0 where the author does not say
	Min, Max   float64 // what it can read, in Unit; infinite where the author does not say
	RangePlace remark.Place
}

// Accuracy is a meter's bound: ±(Share · reading + Added), in the unit that it
// is stated for. The zero Accuracy counts as exact.
type Accuracy struct{ Share, Added float64 }

// Bound returns the accuracy at a reading, in the reading's unit.
func (a Accuracy) Bound(reading float64) float64 { return a.Share*math.Abs(reading) + a.Added }

// in states an accuracy for another unit of the kind. Where the zeros of the two
// scales differ the share counts from the new one.
func (a Accuracy) in(from, to unit.Unit) Accuracy {
	return Accuracy{a.Share, a.Added * from.Factor / to.Factor}
}

// Accuracy returns the accuracy of the handbook's meter for a unit, stated for
// that unit; ok is false where no meter reads that kind of quantity. A meter
// in the very unit comes first, then the first of the kind.
func (h *Handbook) Accuracy(u unit.Unit) (a Accuracy, ok bool) {
	m, ok := h.Meter(u)
	if !ok || m.Unit == u {
		return m.Accuracy, ok
	}
	return m.Accuracy.in(m.Unit, u), true
}

// Meter returns the handbook's meter for a unit: one in the very unit comes
// first, then the first of the kind.
func (h *Handbook) Meter(u unit.Unit) (meter Meter, ok bool) {
	for _, m := range h.Meters {
		switch {
		case m.Unit == u:
			return m, true
		case m.Unit.Kind == u.Kind && !ok:
			meter, ok = m, true
		}
	}
	return meter, ok
}

// meters takes the meters of the front file.
func (r *resolver) meters(list []meterYAML) {
	first := map[string]remark.Place{}
	for _, m := range list {
		u, ok := r.unit(m.Unit)
		if !ok || !m.Unit.Given() {
			r.complete[kindMeter] = false
			continue
		}
		if at, taken := first[u.Symbol]; taken {
			r.remarks = append(r.remarks, remark.IDDuplicate.At(m.Unit.Place, m.Unit.Value, at).
				Instead("Take one of the two meters out: a unit has one."))
			continue
		}
		first[u.Symbol] = m.Unit.Place
		percent := m.Percent.between(&r.remarks, "percentage of a reading", "0.5", 0, 100)
		digits := m.Digits.between(&r.remarks, "number of digits", "2", 0, maxFigure)
		resolution := m.Resolution.between(&r.remarks, "resolution of a meter", "0.01", 0, maxFigure)
		meter := Meter{u, Accuracy{percent / 100, digits * resolution}, resolution, math.Inf(-1), math.Inf(1), m.Range.low.Place}
		if m.Range.low.Given() {
			meter.Min, meter.Max = r.reach("range", m.Range, u)
		}
		r.book.Meters = append(r.book.Meters, meter)
	}
}

// reach reads a range under a key, such as what a meter can read, in its unit; all there
// is where a remark says that it is none.
func (r *resolver) reach(key string, y rangeYAML, u unit.Unit) (low, high float64) {
	var ends [2]float64
	for i, t := range []source.Text{y.low, y.high} {
		v, plain := plainFigure(t.Value)
		if !plain {
			si, _, err := unit.Parse(t.Value, u, "en")
			if err != nil {
				r.remarks.Add(remark.QuantityWrong, t.Place, t.Value, key, err.Error(), strings.TrimSpace("20 "+u.Symbol))
				return math.Inf(-1), math.Inf(1)
			}
			v = u.FromSI(si)
		}
		ends[i] = v
	}
	if !(ends[0] < ends[1]) {
		r.remarks.Add(remark.LimitOrder, y.low.Place, y.low.Value, y.high.Value)
		return math.Inf(-1), math.Inf(1)
	}
	return ends[0], ends[1]
}

// accuracy reads what an author writes of one input's meter: "no", "yes" for
// the handbook's meter, or its figures as a manual has them: "0.5 % + 0.02 V",
// "0.5 % + 2 digits of 0.01 V", or "±(0.5 % + 2 digits)" with the resolution of
// the handbook's meter.
func (r *pageResolver) accuracy(t source.Text, u unit.Unit) (a Accuracy, metered, ok bool) {
	switch t.Value {
	case "no", "false":
		return a, false, true
	case "yes", "true":
		if _, known := r.whole.book.Accuracy(u); !known && r.whole.complete[kindMeter] {
			r.remarks = append(r.remarks, remark.ReferenceUnknown.At(t.Place, kindMeter, u.Symbol).
				Instead("Add a meter for %s to %s, or write its accuracy here: 0.5 %% + 0.02 %s.", u.Kind, handbookFile, u.Symbol))
		}
		return a, true, true
	}
	text := strings.TrimSpace(strings.TrimPrefix(t.Value, "±"))
	if inner, open := strings.CutPrefix(text, "("); open {
		text = strings.TrimSuffix(inner, ")")
	}
	for part := range strings.SplitSeq(text, "+") {
		part = strings.TrimSpace(part)
		if count, resolution, is := r.lastDigits(part, u); is {
			a.Added += count * resolution
			if !(resolution > 0) {
				return a, false, r.noAccuracy(t, u)
			}
			continue
		}
		if number, percent := strings.CutSuffix(part, "%"); percent && u.Symbol != "%" {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			if err != nil || !(v >= 0 && v <= 100) {
				return a, false, r.noAccuracy(t, u)
			}
			a.Share += v / 100
			continue
		}
		si, used, err := unit.Parse(part, difference(u), "en")
		if err != nil || used.IsGauge() || !(si >= 0) {
			return a, false, r.noAccuracy(t, u)
		}
		a.Added += si / u.Factor
	}
	return a, true, true
}

var lastDigits = regexp.MustCompile(`^(\d+(?:\.\d+)?) digits?(?: of (.+))?$`)

// lastDigits reads "2 digits of 0.01 V", or "2 digits" of the handbook's meter.
// The resolution is in u, 0 where it is unknown.
func (r *pageResolver) lastDigits(part string, u unit.Unit) (count, resolution float64, is bool) {
	m := lastDigits.FindStringSubmatch(part)
	if m == nil {
		return 0, 0, false
	}
	count, _ = strconv.ParseFloat(m[1], 64)
	if m[2] != "" {
		if si, used, err := unit.Parse(m[2], difference(u), "en"); err == nil && !used.IsGauge() {
			resolution = si / u.Factor
		}
	} else if meter, ok := r.whole.book.Meter(u); ok {
		resolution = meter.Resolution * meter.Unit.Factor / u.Factor
	}
	return count, resolution, true
}

func (r *pageResolver) noAccuracy(t source.Text, u unit.Unit) bool {
	r.remarks.Add(remark.ValueText, t.Place, t.Value, "accuracy of a meter", strings.TrimSpace("0.5 % + 0.02 "+u.Symbol)+", or yes for the handbook's meter")
	return false
}

// difference is the unit of a difference of values in u: the same, but for a
// temperature.
func difference(u unit.Unit) unit.Unit {
	if u.Kind == unit.Temperature {
		if d, ok := unit.Lookup("Δ" + u.Symbol); ok {
			return d
		}
	}
	return u
}
