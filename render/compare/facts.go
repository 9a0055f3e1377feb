// Package compare tells what changed between two editions of a handbook, by facts that
// each edition keeps beside its pages.
//
// In: a handbook of which facts are taken, or two editions that have them. Out: the
// facts as files of an edition, or a Comparison, as text, as JSON and as marks on the
// nodes of a page. It may import edition, handbook, remark and source.
package compare

import (
	"encoding/base64"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// Format is the form of the facts that are written, and of the comparison.
const Format = 1

// folder is where facts lie in an edition; it is kept free of an author's files.
const folder = handbook.FactsFolder + "/"

// BookFile is where the facts of the handbook's data lie.
const BookFile = folder + "handbook.json"

// PageFile is where the facts of a page lie.
func PageFile(page string) string { return folder + page + ".json" }

// Book are the facts of a handbook's data.
type Book struct {
	Format int     `json:"format"`
	Lang   string  `json:"lang"` // of the source
	Models []Named `json:"models"`
	Specs  []Spec  `json:"specs"`
	Parts  []Part  `json:"parts"`
}

// Named is something with an id and words.
type Named struct {
	ID    string         `json:"id"`
	Title handbook.Words `json:"title"`
}

// Part is a part with its number.
type Part struct {
	Named
	Number string `json:"number,omitempty"`
}

// Spec is a specification.
type Spec struct {
	Named
	Unit       string            `json:"unit"`
	Conditions handbook.Words    `json:"conditions,omitempty"`
	Source     string            `json:"source,omitempty"`
	Revised    string            `json:"revised,omitempty"`
	General    *Limit            `json:"general,omitempty"`
	Models     map[string]*Limit `json:"models,omitempty"` // by model
}

// Limit is what a value must be: figures as typed, "" for none.
type Limit struct {
	Nominal   string `json:"nominal,omitempty"`
	Min       string `json:"min,omitempty"`
	Max       string `json:"max,omitempty"`
	Tolerance string `json:"tolerance,omitempty"`
}

func limitOf(l *handbook.Limit) *Limit {
	if l == nil {
		return nil
	}
	text := func(n *handbook.Number) string {
		if n == nil {
			return ""
		}
		return n.Text
	}
	out := &Limit{text(l.Nominal), text(l.Min), text(l.Max), text(l.Tolerance)}
	if l.Tolerance != nil {
		out.Min, out.Max = "", "" // they come from it
	}
	return out
}

// Resolved is the limit as the handbook's model has it, for who prints it. Only the texts of
// its figures are there.
func (l *Limit) Resolved() *handbook.Limit {
	if l == nil {
		return nil
	}
	number := func(text string) *handbook.Number {
		if text == "" {
			return nil
		}
		return &handbook.Number{Text: text}
	}
	return &handbook.Limit{Nominal: number(l.Nominal), Min: number(l.Min), Max: number(l.Max), Tolerance: number(l.Tolerance)}
}

// Text is a limit with its unit, as a terminal shows it; "none" where there is none.
func (l *Limit) Text(unit string) string {
	if l == nil {
		return "none"
	}
	var b strings.Builder
	switch {
	case l.Tolerance != "":
		b.WriteString(l.Nominal + " ± " + l.Tolerance)
	case l.Min != "" && l.Max != "":
		b.WriteString(l.Min + " to " + l.Max)
	case l.Min != "":
		b.WriteString("at least " + l.Min)
	case l.Max != "":
		b.WriteString("at most " + l.Max)
	default:
		b.WriteString(l.Nominal)
	}
	if unit != "" {
		b.WriteString(" " + unit)
	}
	if l.Nominal != "" && l.Tolerance == "" && l.Min+l.Max != "" {
		return strings.TrimRight(l.Nominal+" "+unit, " ") + " (" + b.String() + ")"
	}
	return b.String()
}

// For is what a specification says for a model, or nil; "" asks for what it says in general.
func (s *Spec) For(model string) *Limit {
	if s == nil {
		return nil
	}
	if l, ok := s.Models[model]; ok {
		return l
	}
	return s.General
}

// Symbol is the unit as it is printed: that a temperature is a difference stands in words.
func (s *Spec) Symbol() string { return strings.TrimPrefix(s.Unit, "Δ") }

// OfBook takes the facts of a handbook's data.
func OfBook(h *handbook.Handbook) *Book {
	b := &Book{Format: Format, Models: []Named{}, Specs: []Spec{}, Parts: []Part{}}
	if len(h.Languages) > 0 {
		b.Lang = h.Languages[0]
	}
	for _, m := range h.Models {
		b.Models = append(b.Models, Named{m.ID, m.Title})
	}
	for _, s := range h.Specs {
		spec := Spec{Named: Named{s.ID, s.Title}, Unit: s.Unit.Symbol, Conditions: s.Conditions, Source: s.Source, Revised: s.Revised, General: limitOf(s.General)}
		for id, l := range s.ByModel {
			if spec.Models == nil {
				spec.Models = map[string]*Limit{}
			}
			spec.Models[id] = limitOf(l)
		}
		b.Specs = append(b.Specs, spec)
	}
	for _, p := range h.Parts {
		b.Parts = append(b.Parts, Part{Named{p.ID, p.Title}, p.Number})
	}
	return b
}

// Page are the facts of a page.
type Page struct {
	Format int      `json:"format"`
	Path   string   `json:"path"`
	Lang   string   `json:"lang"`
	Sheet  string   `json:"sheet"`
	Models []string `json:"models,omitempty"` // ids of those that it applies to
	Page   Thing    `json:"page"`             // what it says of itself
	Steps  []Thing  `json:"steps,omitempty"`
	Causes []Thing  `json:"causes,omitempty"`
	Ends   []Thing  `json:"ends,omitempty"`
	Forms  []Thing  `json:"calculators,omitempty"`
	Blocks []Block  `json:"blocks,omitempty"` // its text, in order
	// Files are digests of the pictures and other files that it shows or leads to, by what
	// blocks call them.
	Files map[string]string `json:"files,omitempty"`
}

// Thing is something with an id of which something can be said: a step, a cause, an end, a
// calculator, or the page itself.
type Thing struct {
	ID     string  `json:"id"`
	Title  string  `json:"title,omitempty"`
	Fields []Field `json:"fields,omitempty"` // those that are empty are left out
}

// Field is one of the things that are said, line by line.
type Field struct {
	Name  string   `json:"name"`
	Lines []string `json:"lines"`
}

// say adds a field, but for empty lines.
func (t *Thing) say(name string, lines ...string) {
	lines = slices.DeleteFunc(lines, func(line string) bool { return line == "" })
	if len(lines) > 0 {
		t.Fields = append(t.Fields, Field{name, lines})
	}
}

// lines are those of a field, by its name.
func (t *Thing) lines(name string) []string {
	for _, f := range t.Fields {
		if f.Name == name {
			return f.Lines
		}
	}
	return nil
}

// Of takes the facts of a page that is resolved; files are what is known of the handbook's.
func Of(p *handbook.Page, files map[string]*handbook.Asset) *Page {
	f := &Page{Format: Format, Path: p.Path, Lang: p.Lang, Sheet: p.Sheet, Page: Thing{ID: p.Path, Title: p.Title}}
	for _, m := range p.Applicability {
		f.Models = append(f.Models, m.ID)
	}
	f.Page.say("title", p.Title)
	f.Page.say("purpose", p.Purpose)
	f.Page.say("revised", p.Revised)
	f.Page.say("check-by", p.CheckBy)
	f.Page.say("models", f.Models...)
	if p.Procedure != nil {
		f.procedure(p)
	}
	for _, c := range p.Calculators {
		f.Forms = append(f.Forms, formOf(c))
	}
	f.Blocks = blocksOf(p)
	for _, b := range f.Blocks {
		for _, value := range b.Shows {
			if a := files[strings.TrimPrefix(value, fileValue)]; a != nil && strings.HasPrefix(value, fileValue) {
				if f.Files == nil {
					f.Files = map[string]string{}
				}
				f.Files[value] = base64.RawURLEncoding.EncodeToString(a.Digest[:9])
			}
		}
	}
	return f
}

// Text is the facts as a file.
func (p *Page) Text() ([]byte, error) { return fileText(p) }

// Text is the facts as a file.
func (b *Book) Text() ([]byte, error) { return fileText(b) }

func fileText(facts any) ([]byte, error) {
	text, err := json.Marshal(facts)
	return append(text, '\n'), err
}

// fieldCode is the field with a digest of what a calculator runs.
const fieldCode = "code"

// formOf takes the facts of a calculator: what comes in and out, what is reckoned, and by
// which values.
func formOf(c *handbook.Calculator) Thing {
	t := Thing{ID: c.ID, Title: c.Title}
	if t.Title == "" {
		t.Title = c.Calc.Name
	}
	t.say("name", c.Calc.Name)
	t.say("formula", slices.Clone(c.Calc.Formula)...)
	t.say(fieldCode, digest(c.Calc.Code))
	var inputs, results []string
	for _, q := range c.Calc.Inputs {
		line := q.Name
		if preset, ok := c.Presets[q.Name]; ok {
			line += " = " + presetText(preset)
		}
		if q.Options == nil {
			line += strings.TrimRight(" ("+figure(q.Min)+" to "+figure(q.Max)+" "+q.Unit.Symbol, " ") + ")"
		}
		inputs = append(inputs, line)
	}
	for _, q := range c.Calc.Results {
		results = append(results, strings.TrimRight(q.Name+" "+q.Unit.Symbol, " "))
	}
	t.say("inputs", inputs...)
	t.say("results", results...)
	var limits []string
	for _, result := range slices.Sorted(maps.Keys(c.Limits)) {
		limits = append(limits, result+": spec:"+c.Limits[result].ID)
	}
	t.say("limits", limits...)
	return t
}

func presetText(p handbook.Preset) string {
	switch {
	case p.From != nil:
		return "the result " + p.From.Calculator.Calc.Results[p.From.Result].Name + " of " + p.From.Calculator.ID
	case p.Spec != nil && p.Within:
		return "the tolerance of spec:" + p.Spec.ID
	case p.Spec != nil:
		return "spec:" + p.Spec.ID
	}
	return p.Text
}
