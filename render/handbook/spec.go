package handbook

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

type specYAML struct {
	Title      Words       `yaml:"title,needed"`
	Unit       source.Text `yaml:"unit,needed or blank"` // blank: a plain number
	Conditions Words       `yaml:"conditions"`
	Source     Words       `yaml:"source"`
	Revised    source.Text `yaml:"revised"`

	Nominal   number `yaml:"nominal"`
	Min       number `yaml:"min"`
	Max       number `yaml:"max"`
	Tolerance number `yaml:"tolerance"`

	Possible rangeYAML `yaml:"possible"`

	Models source.Map[limitYAML] `yaml:"models" noun:"a model's limits"`

	History []earlierYAML `yaml:"history" noun:"an earlier value"`

	unread bool // a key of it has a remark
}

type limitYAML struct {
	Nominal   number `yaml:"nominal"`
	Min       number `yaml:"min"`
	Max       number `yaml:"max"`
	Tolerance number `yaml:"tolerance"`
}

func (l limitYAML) given() bool {
	return l.Nominal.given() || l.Min.given() || l.Max.given() || l.Tolerance.given()
}

// readable tells whether every figure that was given could be read.
func (l limitYAML) readable() bool {
	for _, n := range []number{l.Nominal, l.Min, l.Max, l.Tolerance} {
		if n.given() && n.Number == nil {
			return false
		}
	}
	return true
}

// number is a figure with its digits and its place.
type number struct {
	*Number // nil if it was not given or cannot be read
	place   remark.Place
}

func (n number) given() bool { return n.place.File != "" }

// DecodeYAML takes a plain decimal number.
func (n *number) DecodeYAML(d *source.Decoder, node source.Node, key string) {
	n.place = d.Place(node)
	text, ok := d.Scalar(node, key, "a number")
	if !ok {
		return
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "+-.0123456789") != "" {
		d.Remark(remark.ValueText, node, text, "number", "2 or 0.50, without its unit")
		return
	}
	n.Number = &Number{v, text}
}

// Schema implements source.Value.
func (number) Schema(*source.Shapes) *jsonschema.Schema {
	return &jsonschema.Schema{Extras: map[string]any{"type": []string{"number", "string"}}, Pattern: `^[-+.0-9]+$`}
}

// between returns the figure; 0 with a remark where it lies outside of what its
// key can have.
func (n number) between(remarks *remark.List, noun, example string, least, greatest float64) float64 {
	switch {
	case n.Number == nil:
		return 0
	case n.Value < least || n.Value > greatest:
		remarks.Add(remark.ValueText, n.place, n.Text, noun, example)
		return 0
	}
	return n.Value
}

// specs reads every file of the specs folder; an id stands once in all of them.
func (r *resolver) specs() {
	var names []string
	broken := r.tree.Unread(strings.TrimSuffix(specsFolder, "/"))
	for name, y := range r.tree.Data {
		if isSpecs(name) {
			names = append(names, name)
			broken = broken || y.Broken
		}
	}
	slices.Sort(names)
	r.complete[kindSpec] = !broken
	if len(names) == 0 && !broken {
		r.remarks.Add(remark.DataMissing, remark.Place{File: specsFolder}, specsFolder+"*.yaml",
			"Add one, so that a limit is written once and shown wherever it is used.")
	}
	first := map[string]remark.Place{}
	for _, name := range names {
		var specs source.Map[specYAML]
		before := len(r.remarks)
		source.Decode(r.tree.Data[name], &specs, "a specification", &r.remarks)
		r.complete[kindSpec] = r.complete[kindSpec] && !r.tree.Data[name].Torn
		slips := r.remarks[before:]
		for i, e := range specs {
			end := math.MaxInt
			if i+1 < len(specs) {
				end = specs[i+1].ID.Place.Line
			}
			// A key that is misspelt, empty or at the wrong level was to say something.
			e.Value.unread = slices.ContainsFunc(slips, func(s remark.Remark) bool {
				return (s.ID == remark.KeyUnknown.ID || s.ID == remark.ValueEmpty.ID) && s.Place.Line >= e.ID.Place.Line && s.Place.Line < end
			})
			if at, ok := first[e.ID.Value]; ok {
				r.remarks.Add(remark.IDDuplicate, e.ID.Place, e.ID.Value, at)
				continue
			}
			first[e.ID.Value] = e.ID.Place
			r.book.Specs = append(r.book.Specs, r.spec(e.ID, e.Value))
		}
	}
	slices.SortFunc(r.book.Specs, func(a, b *Spec) int { return cmp.Compare(a.ID, b.ID) })
}

func (r *resolver) spec(id source.Text, y specYAML) *Spec {
	s := &Spec{
		ID: id.Value, Title: y.Title, Conditions: y.Conditions, Source: y.Source,
		ByModel: map[string]*Limit{}, Place: id.Place,
		Possible: [2]float64{math.Inf(-1), math.Inf(1)}, PossibleAt: y.Possible.low.Place,
	}
	if y.Revised.Given() {
		s.Revised = r.revised(&r.remarks, y.Revised)
	}
	known := false
	if y.Unit.Given() {
		s.Unit, known = r.unit(y.Unit)
	}
	if y.Possible.low.Given() && known {
		s.Possible[0], s.Possible[1] = r.reach("possible", y.Possible, s.Unit)
	}
	general := limitYAML{y.Nominal, y.Min, y.Max, y.Tolerance}
	s.Faulty = y.unread || !known || !general.readable()
	if general.given() {
		s.General = r.limit(s, general, id.Place)
	}
	for _, e := range y.Models {
		m := find(r, kindModel, r.book.Models, e.ID)
		switch {
		case !e.Value.given():
			r.remarks.Add(remark.LimitMissing, e.ID.Place)
			s.Faulty = true
		case m == nil || !e.Value.readable():
			s.Faulty = true
		default:
			s.ByModel[m.ID] = r.limit(s, e.Value, e.ID.Place)
		}
	}
	if s.General == nil && len(y.Models) == 0 && !y.unread {
		r.remarks.Add(remark.LimitMissing, id.Place)
		s.Faulty = true
	}
	if !s.Faulty {
		r.possible(s, y.Possible)
	}
	r.history(s, y.History)
	return s
}

// unsigned are the kinds of quantity that no sign can be before, as a reader calls them.
var unsigned = map[unit.Kind]string{
	unit.Resistance: "resistance", unit.Capacitance: "capacitance", unit.Inductance: "inductance",
	unit.Frequency: "frequency", unit.RotationalFrequency: "speed", unit.Time: "time",
	unit.Mass: "mass", unit.Volume: "volume", unit.Area: "area", unit.Density: "density",
}

func (r *resolver) limit(s *Spec, y limitYAML, at remark.Place) *Limit {
	l := &Limit{Nominal: y.Nominal.Number, Min: y.Min.Number, Max: y.Max.Number, Tolerance: y.Tolerance.Number}
	if l.Tolerance != nil {
		before := len(r.remarks)
		y.Tolerance.between(&r.remarks, "tolerance", "0.4", 0, math.Inf(1))
		if l.Nominal == nil && !y.Nominal.given() {
			r.remarks.Add(remark.KeyMissing, at, "nominal", "`tolerance`")
		}
		for _, beside := range []struct {
			key string
			number
		}{{"min", y.Min}, {"max", y.Max}} {
			if beside.given() {
				r.remarks = append(r.remarks, remark.KeyUnknown.At(beside.place, beside.key, "a limit with `tolerance`", "").
					Instead("Take `%s` or `tolerance` out: the tolerance gives both limits.", beside.key))
			}
		}
		if len(r.remarks) > before || l.Nominal == nil {
			s.Faulty = true
			return l
		}
		places := max(decimals(l.Nominal.Text), decimals(l.Tolerance.Text))
		l.Min = written(l.Nominal.Value-l.Tolerance.Value, places)
		l.Max = written(l.Nominal.Value+l.Tolerance.Value, places)
	}
	for _, n := range []number{y.Nominal, y.Min, y.Max} {
		if kind := unsigned[s.Unit.Kind]; kind != "" && n.Number != nil && n.Value < 0 {
			r.remarks.Add(remark.LimitNegative, n.place, n.Text+" "+s.Unit.Symbol, kind)
			s.Faulty = true
			return l
		}
	}
	for _, pair := range [][2]number{{y.Min, y.Max}, {y.Min, y.Nominal}, {y.Nominal, y.Max}} {
		low, high := pair[0], pair[1]
		if low.Number != nil && high.Number != nil && low.Value > high.Value {
			r.remarks.Add(remark.LimitOrder, low.place, low.Text+" "+s.Unit.Symbol, high.Text+" "+s.Unit.Symbol)
			s.Faulty = true
			break
		}
	}
	return l
}

// possible remarks on the first limit that by its own specification cannot be read.
func (r *resolver) possible(s *Spec, y rangeYAML) {
	limits := []*Limit{s.General}
	for _, id := range slices.Sorted(maps.Keys(s.ByModel)) {
		limits = append(limits, s.ByModel[id])
	}
	for _, l := range limits {
		if l == nil {
			continue
		}
		for _, n := range []*Number{l.Min, l.Nominal, l.Max} {
			if n == nil || n.Value >= s.Possible[0] && n.Value <= s.Possible[1] {
				continue
			}
			order := []string{y.low.Value, n.Text + " " + s.Unit.Symbol}
			if n.Value > s.Possible[1] {
				order = []string{order[1], y.high.Value}
			}
			r.remarks = append(r.remarks, remark.LimitOrder.At(y.low.Place, order[0], order[1]).
				Instead("Widen what is possible, or correct the limit."))
			s.Faulty = true
			return
		}
	}
}

// Readable returns what can be read of a specification, in its unit: what it calls possible,
// as far as the handbook's meter goes; infinite where nobody says so.
func (h *Handbook) Readable(s *Spec) (least, most float64) {
	least, most = s.Possible[0], s.Possible[1]
	if m, ok := h.Meter(s.Unit); ok {
		least = max(least, s.Unit.FromSI(m.Unit.ToSI(m.Min)))
		most = min(most, s.Unit.FromSI(m.Unit.ToSI(m.Max)))
	}
	return least, most
}

// written is a computed figure with so many decimals; its value is the one
// that the text says, so that the phone and the sheet agree.
func written(v float64, places int) *Number {
	text := strconv.FormatFloat(v, 'f', places, 64)
	v, _ = strconv.ParseFloat(text, 64)
	return &Number{v, text}
}

func decimals(text string) int {
	_, after, _ := strings.Cut(text, ".")
	return len(after)
}
