package page

import (
	"cmp"
	"math"
	"slices"

	"benchleaf/calc"
	"benchleaf/render/handbook"
)

// Reads is the set of things that a page's bytes depend on, sorted.
type Reads []Read

// Read is one thing that was read.
type Read struct {
	Kind ReadKind
	ID   string
}

// ReadKind says what kind of thing was read.
type ReadKind string

// The kinds, with what their IDs are.
const (
	ReadHandbook   ReadKind = "handbook"   // title, publisher, languages, notice; no id
	ReadSource     ReadKind = "source"     // a page's file, whole
	ReadTitle      ReadKind = "title"      // a page's file: title, symptom, states, models or output path
	ReadAsset      ReadKind = "asset"      // a file
	ReadModel      ReadKind = "model"      // id
	ReadState      ReadKind = "state"      // id
	ReadSetting    ReadKind = "setting"    // id
	ReadHazard     ReadKind = "hazard"     // id
	ReadPart       ReadKind = "part"       // id
	ReadSpec       ReadKind = "spec"       // id
	ReadCircuit    ReadKind = "circuit"    // id
	ReadGlossary   ReadKind = "glossary"   // language
	ReadMeter      ReadKind = "meter"      // symbol of the unit that is read
	ReadCalculator ReadKind = "calculator" // name of the catalogue's entry
	ReadFormer     ReadKind = "former"     // a page's path in an older edition
)

// reads records what is read. The model's values are taken through the methods
// of writer below, so that nothing is shown without being recorded.
type reads map[Read]struct{}

func (r reads) add(kind ReadKind, id string) { r[Read{kind, id}] = struct{}{} }

func (r reads) sorted() Reads {
	list := make(Reads, 0, len(r))
	for read := range r {
		list = append(list, read)
	}
	slices.SortFunc(list, func(a, b Read) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.ID, b.ID))
	})
	return list
}

func (w *writer) model(m *handbook.Model) *handbook.Model {
	w.reads.add(ReadModel, m.ID)
	return m
}

func (w *writer) state(s *handbook.State) *handbook.State {
	w.reads.add(ReadState, s.ID)
	return s
}

func (w *writer) setting(s *handbook.Setting) *handbook.Setting {
	w.reads.add(ReadSetting, s.ID)
	return s
}

func (w *writer) hazard(z *handbook.Hazard) *handbook.Hazard {
	w.reads.add(ReadHazard, z.ID)
	return z
}

func (w *writer) part(p *handbook.Part) *handbook.Part {
	w.reads.add(ReadPart, p.ID)
	return p
}

func (w *writer) spec(s *handbook.Spec) *handbook.Spec {
	w.reads.add(ReadSpec, s.ID)
	return s
}

// meter returns what the script must know of the meter that reads a specification, stated
// for its unit; none is a meter without error.
func (w *writer) meter(s *handbook.Spec) meterData {
	w.reads.add(ReadMeter, s.Unit.Symbol)
	a, _ := w.book.Accuracy(s.Unit)
	data := meterData{a.Share, a.Added}
	if least, most := w.book.Readable(s); !math.IsInf(most, 1) {
		data = append(data, least, most)
	}
	return data
}

// accuracy returns how far an input of a calculator is to be trusted.
func (w *writer) accuracy(c *handbook.Calculator, q calc.Quantity) (handbook.Accuracy, bool) {
	if _, own := c.Meters[q.Name]; own || q.Metered {
		w.reads.add(ReadMeter, q.Unit.Symbol)
	}
	return c.Accuracy(q, w.book)
}

func (w *writer) readTitle(p *handbook.Page) *handbook.Page {
	w.reads.add(ReadTitle, p.Source.Path)
	return p
}
