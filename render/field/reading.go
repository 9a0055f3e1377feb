package field

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"benchleaf/render/record"
)

// readingKey is what readings can be compared by. The limits are those that the
// record has: another edition may have others.
type readingKey struct {
	spec, model, unit string
	min, max          float64 // infinite where there is none
}

// readings counts what was read.
type readings struct {
	measure                                string // as a record has it
	editions                               map[string]int
	low, within, high, close, none, others int // by verdict
	power                                  int // of ten, in whose multiples values are counted
	values                                 map[int64]int
}

// expected is the unit of times whose limits move with the day: what a curve expects
// then is 100 of it.
const expected = "% of expected"

// likeOthers is a reading as it can be compared with others of its kind.
func likeOthers(e *record.Entry) record.Reading {
	g := *e.Reading
	t := e.Timing
	if t == nil || t.Tolerance == nil || !(*t.Expected > 0) {
		return g
	}
	share := func(v float64) *float64 {
		v = math.Round(1e6*v) / 1e4 // 100 · 1.1 is no 110
		return &v
	}
	g.Unit, g.Min, g.Max = expected, share(1-*t.Tolerance), share(1+*t.Tolerance)
	if g.Value != nil {
		g.Value = share(*g.Value / *t.Expected)
	}
	return g
}

func (s *Sum) reading(r *record.Record, e *record.Entry, sign int) {
	g := likeOthers(e)
	if !s.book.knowsSpec(g.Spec) {
		s.stranger("specification", e.Page, g.Spec, sign)
	}
	key := readingKey{g.Spec, r.Machine.Model, g.Unit, math.Inf(-1), math.Inf(1)}
	if g.Min != nil {
		key.min = *g.Min + 0 // -0 and 0 are one limit
	}
	if g.Max != nil {
		key.max = *g.Max + 0
	}
	c := row(s, s.readings, key, sign)
	if c == nil {
		return
	}
	if c.editions == nil {
		c.editions, c.values, c.power = map[string]int{}, map[int64]int{}, key.power()
	}
	if g.Measure != "" {
		c.measure = g.Measure
	}
	bump(s, c.editions, r.Handbook.Edition, sign)
	switch g.Verdict {
	case "low":
		c.low += sign
	case "within":
		c.within += sign
	case "high":
		c.high += sign
	case "close":
		c.close += sign
	case "none":
		c.none += sign
	default:
		c.others += sign
	}
	if g.Value != nil && key.limited() {
		bump(s, c.values, multiple(*g.Value, c.power), sign)
	}
}

func (c *readings) seen() int { return c.low + c.within + c.high + c.close + c.none + c.others }

// readingKeys lists what was read.
func (s *Sum) readingKeys() []readingKey {
	var keys []readingKey
	for k, c := range s.readings {
		if c.seen() > 0 {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b readingKey) int {
		return cmp.Or(cmp.Compare(a.spec, b.spec), cmp.Compare(a.model, b.model), cmp.Compare(a.unit, b.unit), cmp.Compare(a.min, b.min), cmp.Compare(a.max, b.max))
	})
	return keys
}

func (s *Sum) readingsTable() Table {
	t := Table{
		Name: "readings", Title: "Readings against the limits", Group: 2,
		About: "With the limits as the records have them: other limits are another row, with the editions that had them.",
		Columns: columns("specification=Specification", "title=Title", "!model=Model", "model_title=Model", "#min=Lower limit", "#max=Upper limit", "unit=Unit", "editions=Editions",
			"#readings=Readings", "#low=Low", "#within=Within", "#high=High", "#close=Too close", "#none=No reading", "#other=Not judged"),
		Pictures: []Picture{},
	}
	for i, k := range s.readingKeys() {
		c := s.readings[k]
		t.Rows = append(t.Rows, append([]string{k.spec, s.specTitle(k), modelText(k.model), s.book.modelTitle(k.model), trimmed(k.min), trimmed(k.max), k.unit, editionsText(c.editions)},
			figures(c.seen(), c.low, c.within, c.high, c.close, c.none, c.others)...))
		t.Pictures = append(t.Pictures, s.histogramPicture(i, k))
	}
	return t
}

func (s *Sum) specTitle(k readingKey) string {
	if s.book != nil {
		if title := s.book.specs[k.spec]; title != "" {
			return title
		}
	}
	return s.readings[k].measure
}

// editionsText lists editions with how many readings each has.
func editionsText(editions map[string]int) string {
	var list []string
	for _, e := range slices.Sorted(maps.Keys(editions)) {
		if editions[e] > 0 {
			list = append(list, cmp.Or(e, none)+" ("+grouped(editions[e])+")")
		}
	}
	return strings.Join(list, ", ")
}

// inUnit is a value with its unit, which stay on one line.
func (k readingKey) inUnit(v float64) string { return separated(trimmed(v)) + "\u00a0" + k.unit }

func (k readingKey) limitsText() string {
	var limits []string
	if k.lower() {
		limits = append(limits, "at least "+k.inUnit(k.min))
	}
	if k.upper() {
		limits = append(limits, "at most "+k.inUnit(k.max))
	}
	return "Limits: " + strings.Join(limits, ", ") + "."
}
