package audit

import (
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// unsaidProbes gives advice on readings that do not say the meter or, where two leads
// touch two points, both of them, in a handbook in which others do.
func unsaidProbes(facts []*Facts, remarks *remark.List) {
	meter, probes := false, false // some reading says them
	for _, f := range facts {
		for _, r := range f.Readings {
			meter, probes = meter || r.Meter, probes || r.Red && r.Black
		}
	}
	for _, f := range facts {
		for _, r := range f.Readings {
			var lacks []string
			if meter && !r.Meter {
				lacks = append(lacks, "`meter`, the meter and its function")
			}
			if probes && r.Leads {
				if !r.Red {
					lacks = append(lacks, "`red`, where the red lead is")
				}
				if !r.Black {
					lacks = append(lacks, "`black`, where the black lead is")
				}
			}
			if lacks != nil {
				remarks.Add(remark.ProbeMissing, r.Place, strings.Join(lacks, ", nor "))
			}
		}
	}
}

// ReadingFact is a reading with a meter, and which of its words it has.
type ReadingFact struct {
	Meter, Red, Black bool
	Leads             bool // two leads touch two points
	Place             remark.Place
}

// readings notes the page's readings with a meter, and limits that the handbook's meter for
// their unit does not read.
func (f *Facts) readings(h *handbook.Handbook, p *handbook.Page) {
	for _, s := range p.Procedure.Steps {
		r := s.Reading
		if r == nil || s.Broken || r.Spec == nil || r.Timing != nil { // the phone's watch is no meter of the handbook
			continue
		}
		kind := r.Spec.Unit.Kind
		f.Readings = append(f.Readings, ReadingFact{
			Meter: r.Meter != "", Red: r.Red != "", Black: r.Black != "",
			Leads: kind == unit.Voltage || kind == unit.Resistance, Place: r.SpecPlace,
		})
		if !r.Spec.Faulty {
			f.beyond(h, p, r)
		}
	}
}

// judgeProbes remarks on leads that are on one point, and on a meter that is set to
// another quantity than is read.
func judgeProbes(p *handbook.Page, r *handbook.Reading, remarks *remark.List) {
	kind := r.Spec.Unit.Kind
	if r.Red != "" && words(r.Red) == words(r.Black) {
		remarks.Add(remark.ProbeSame, r.SpecPlace, r.Red)
	}
	if _, without := p.WithoutLimit(r.Spec); without {
		return // another one was meant, most likely
	}
	reads := func(f function) bool { return slices.Contains(f.reads, kind) }
	if set := functionsOf(r.Meter); set != nil && slices.ContainsFunc(functions, reads) && !slices.ContainsFunc(set, reads) {
		*remarks = append(*remarks, remark.MeterUnfit.At(r.SpecPlace, set[0].name, r.Spec.ID, r.Spec.Unit.Symbol).About(p.Lacks(r.Spec, "unit")...))
	}
}

// function is what a meter can be set to: how a word for it begins, in the languages
// of the theme, symbols that are no word of them, and what it reads.
type function struct {
	name    string
	begins  []string
	symbols []string
	reads   []unit.Kind
}

var functions = []function{
	{"volts", []string{"volt"}, []string{"mV"}, []unit.Kind{unit.Voltage}},
	{"ohms", []string{"ohm", "óhm"}, []string{"Ω", "kΩ", "MΩ"}, []unit.Kind{unit.Resistance}},
	{"amperes", []string{"amper", "amp"}, []string{"mA"}, []unit.Kind{unit.Current}},
	{"hertz", []string{"hertz", "hercio"}, []string{"Hz"}, []unit.Kind{unit.Frequency, unit.RotationalFrequency}},
	{"farads", []string{"farad"}, []string{"µF", "nF"}, []unit.Kind{unit.Capacitance}},
}

// functionsOf lists the functions that the words for a meter name.
func functionsOf(meter string) (set []function) {
	for _, w := range strings.FieldsFunc(meter, func(c rune) bool { return strings.ContainsRune(" ,.;:()/", c) }) {
		for _, f := range functions {
			if slices.Contains(f.symbols, w) || slices.ContainsFunc(f.begins, func(b string) bool { return strings.HasPrefix(strings.ToLower(w), b) }) {
				set = append(set, f)
			}
		}
	}
	return set
}
