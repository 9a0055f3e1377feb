package compare

import (
	"maps"
	"math"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// Book are the facts of a handbook's data.
type Book struct {
	Format    int      `json:"format"`
	Lang      string   `json:"lang"` // of the source
	Languages []string `json:"languages"`
	Models    []Item   `json:"models"`
	Specs     []Spec   `json:"specs"`
	Parts     []Item   `json:"parts"`
	// Data is what else is written once for all pages, by its kind.
	Data map[string][]Item `json:"data,omitempty"`
}

// The kinds of data, in the order in which they are told.
const (
	DataHandbook = "handbook"
	DataModel    = "model"
	DataState    = "state"
	DataSetting  = "setting"
	DataHazard   = "hazard"
	DataTerm     = "term"
	DataCircuit  = "circuit"

	dataSpec = "spec" // these have lists of their own
	dataPart = "part"
)

var dataKinds = []string{DataHandbook, DataModel, DataState, DataSetting, DataHazard, DataTerm, DataCircuit}

// Fields of the data that somebody asks for.
const (
	fieldNumber  = "number"  // of a part
	fieldMinutes = "minutes" // to an engine state
	fieldText    = "text"
	fieldRestore = "restore"
	fieldNotice  = "notice"
)

// value is what blocks call something that is written elsewhere.
func value(kind, id string) string { return kind + ":" + id }

// Item is something of the data, with its name in all languages.
type Item struct {
	Thing
	Titles handbook.Words `json:"titles"`
}

// newItem names a thing; its title is that of the source language.
func newItem(id string, titles handbook.Words, lang string) Item {
	i := Item{Thing{ID: id, Title: titles.In(lang)}, titles}
	i.say(fieldTitle, wordLines(titles, lang)...)
	return i
}

// wordLines are words in all their languages, those of the source as they are.
func wordLines(w handbook.Words, source string) (lines []string) {
	for _, lang := range slices.Sorted(maps.Keys(w)) {
		line := folded(w[lang])
		if lang != source && lang != "" {
			line = lang + ": " + line
		}
		lines = append(lines, line)
	}
	return lines
}

// OfBook takes the facts of a handbook's data.
func OfBook(h *handbook.Handbook) *Book {
	b := &Book{Format: Format, Models: []Item{}, Specs: []Spec{}, Parts: []Item{}, Data: map[string][]Item{}}
	b.Languages = h.Languages
	if len(h.Languages) > 0 {
		b.Lang = h.Languages[0]
	}
	for _, m := range h.Models {
		item := newItem(m.ID, m.Title, b.Lang)
		item.say("serial", serialLines(m.Serials...)...)
		item.say(fieldText, wordLines(m.Text, b.Lang)...)
		b.Models = append(b.Models, item)
	}
	for _, s := range h.Specs {
		b.Specs = append(b.Specs, specOf(s, h, b.Lang))
	}
	for _, p := range h.Parts {
		item := newItem(p.ID, p.Title, b.Lang)
		item.say(fieldNumber, p.Number)
		item.say("system", wordLines(p.System, b.Lang)...)
		item.say("models", idsOf(p.Models, func(m *handbook.Model) string { return m.ID })...)
		b.Parts = append(b.Parts, item)
	}
	add := func(kind string, items ...Item) { b.Data[kind] = append(b.Data[kind], items...) }
	add(DataHandbook, frontOf(h, b.Lang))
	for _, s := range h.States {
		item := newItem(s.ID, s.Title, b.Lang)
		item.say(fieldText, wordLines(s.Text, b.Lang)...)
		var minutes []string
		if s.Minutes > 0 {
			minutes = append(minutes, figure(s.Minutes))
		}
		for _, from := range slices.Sorted(maps.Keys(s.From)) {
			minutes = append(minutes, "from "+from+": "+figure(s.From[from]))
		}
		item.say(fieldMinutes, minutes...)
		add(DataState, item)
	}
	for _, s := range h.Settings {
		item := newItem(s.ID, s.Title, b.Lang)
		item.say(fieldRestore, wordLines(s.Restore, b.Lang)...)
		item.say("states", stateIDs(s.States)...)
		add(DataSetting, item)
	}
	for _, z := range h.Hazards {
		add(DataHazard, newItem(z.ID, z.Title, b.Lang))
	}
	for _, lang := range slices.Sorted(maps.Keys(h.Glossary)) {
		for _, t := range h.Glossary[lang] {
			item := newItem(termID(lang, t), handbook.Words{"": t.Term}, b.Lang)
			item.say("meaning", folded(t.Meaning))
			item.say("instead-of", slices.Clone(t.InsteadOf)...)
			add(DataTerm, item)
		}
	}
	for _, c := range h.Circuits {
		add(DataCircuit, circuitOf(c, b.Lang))
	}
	return b
}

// termID tells terms of two languages apart.
func termID(lang string, t handbook.Term) string { return lang + "/" + t.Term }

// frontOf is what the handbook says of itself, but for the name of the edition and its day.
func frontOf(h *handbook.Handbook, lang string) Item {
	item := newItem(DataHandbook, h.Title, lang)
	item.say("publisher", h.Publisher)
	item.say("check-by", h.CheckBy)
	item.say("languages", slices.Clone(h.Languages)...)
	item.say("address", h.Address)
	item.say(fieldNotice, wordLines(h.Notice, lang)...)
	item.say("units", string(h.System))
	var meters, synonyms []string
	for _, m := range h.Meters {
		line := m.Unit.Symbol + ": ±(" + figure(m.Share*100) + " % + " + figure(m.Added) + ")"
		if m.Resolution > 0 {
			line += ", d = " + figure(m.Resolution)
		}
		if !math.IsInf(m.Min, 0) || !math.IsInf(m.Max, 0) {
			line += ", " + figure(m.Min) + " … " + figure(m.Max)
		}
		meters = append(meters, line)
	}
	item.say("meters", meters...)
	for _, lang := range slices.Sorted(maps.Keys(h.Synonyms)) {
		for _, list := range h.Synonyms[lang] {
			synonyms = append(synonyms, lang+": "+strings.Join(list, ", "))
		}
	}
	item.say("synonyms", synonyms...)
	if l := h.Labels; l != nil {
		item.say("labels", l.Paper.Name, figure(float64(l.Columns))+" × "+figure(float64(l.Rows)),
			figure(l.Width)+" mm × "+figure(l.Height)+" mm, "+figure(l.Gap)+" mm")
	}
	return item
}

func serialLines(list ...handbook.Serials) (lines []string) {
	for _, s := range list {
		line := "from " + s.From
		if s.To != "" {
			line += " to " + s.To
		}
		lines = append(lines, line)
	}
	return lines
}

// practiceLines are the faults that a class can look for on a page.
func practiceLines(c *handbook.Circuit) (lines []string) {
	if c == nil {
		return nil
	}
	for _, f := range c.Faults {
		line := f.Cause
		switch {
		case f.Element >= 0 && f.Element < len(c.Elements):
			line += " at " + c.Elements[f.Element].ID
		case f.Electrical():
			line += " between " + c.Points[f.From].Name + " and " + c.Points[f.To].Name
		}
		for _, lang := range slices.Sorted(maps.Keys(f.Title)) {
			line += ", " + folded(f.Title[lang])
		}
		if f.Volts {
			line += ", volts"
		}
		for _, m := range f.Magnitudes {
			line += ", " + m.Text
		}
		for _, s := range stateIDs(f.In) {
			line += ", in " + s
		}
		if f.Intermittent {
			line += ", intermittent"
		}
		for _, step := range slices.Sorted(maps.Keys(f.Shows)) {
			shown := f.Shows[step]
			if shown.Outcome == "" {
				shown.Outcome = "answer " + figure(float64(shown.Answer+1))
			}
			line += ", " + step + " shows " + shown.Outcome
		}
		lines = append(lines, line)
	}
	return lines
}

func stateIDs(list []*handbook.State) []string {
	return idsOf(list, func(s *handbook.State) string { return s.ID })
}

// DataChange is something of the data that is new, gone or another one.
type DataChange struct {
	Kind string `json:"kind"` // one of the kinds of data
	ThingChange
}

func compareData(old, new *Book) []DataChange {
	changes := []DataChange{}
	for _, kind := range dataKinds {
		before, after := old.Data[kind], new.Data[kind]
		if kind == DataModel {
			before, after = old.Models, new.Models
		}
		for _, t := range compareItems(before, after) {
			changes = append(changes, DataChange{kind, t})
		}
	}
	return changes
}

// compareItems compares two lists, whatever their order.
func compareItems(old, new []Item) []ThingChange {
	titles := map[string]handbook.Words{}
	things := func(items []Item) (list []Thing) {
		for _, i := range items {
			list = append(list, i.Thing)
			titles[i.ID] = i.Titles
		}
		return list
	}
	before := things(old)
	changes := compareThings(before, things(new))
	for i := range changes {
		changes[i].Titles = titles[changes[i].ID]
	}
	return changes
}
