// Package handbook turns the files of a folder into the resolved model of a
// handbook: every name looked up, every number in its unit, every link given
// its target.
//
// In: a source.Tree. Out: a *Handbook and remarks.
// It may import procedure, source, remark, and calc with what lies below it.
//
// The model is read-only once Resolve has returned it.
package handbook

import (
	"slices"

	"github.com/yuin/goldmark/ast"

	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Handbook is the whole model.
type Handbook struct {
	Title     Words
	Publisher string
	Edition   string
	Date      string   // ISO 8601 day, or ""
	CheckBy   string   // the day by which the publisher looks at it again, or ""
	Languages []string // BCP 47; the first is the source language
	Address   string   // of the edition's folder on its host, with a slash at its end; or ""
	Notice    Words
	States    []*State // in the author's order
	Settings  []*Setting
	Hazards   []*Hazard
	Meters    []Meter     // the first of a kind is the usual one
	System    unit.System // of the units that a reader finds set
	Models    []*Model    // in the author's order; empty in a handbook without models
	Others    []*Model    // those that a handbook for one model leaves out: its texts may still speak of them
	Specs     []*Spec     // by id
	Parts     []*Part     // by id
	Circuits  []*Circuit  // by id
	Pages     []*Page     // by source path
	Assets    []string    // files that pages show or link to, by path
	// Synonyms are lists of words and phrases that mean the same, by language.
	Synonyms map[string][][]string
	Glossary map[string][]Term // by language, in the author\'s order
	Labels   *Labels           // or nil
	Rules    remark.Rules
	Place    remark.Place // where its front file begins
	Torn     bool         // a line of a data file is lost, so that nothing can be judged

	data    map[string]*source.YAML // the files of data, by path
	allowed []remark.Allowance      // by comments in them
}

// PlaceOf is the place of a text in a file of data, at or behind the place of what it belongs to; that place where
// the text does not stand as it is.
func (h *Handbook) PlaceOf(text string, at remark.Place) remark.Place {
	if y := h.data[at.File]; y != nil {
		for _, t := range y.Texts() {
			if t.Value == text && t.Place.Line >= at.Line {
				return t.Place
			}
		}
	}
	return at
}

// Words is a text of the handbook's data, by language; the key "" holds for
// every language without words of its own.
type Words map[string]string

// In returns the words for a language, else those for all, else any.
func (w Words) In(lang string) string {
	if s, ok := w[lang]; ok {
		return s
	}
	if s, ok := w[""]; ok {
		return s
	}
	least := ""
	for k := range w {
		if least == "" || k < least {
			least = k
		}
	}
	return w[least]
}

// State is an engine state of the handbook's own list.
type State struct {
	ID    string
	Title Words
	Text  Words // what is normal in it; Markdown
	// Minutes is how long it takes to bring an engine into the state, From the same
	// where it depends on the state that it comes from, by that state's id.
	Minutes float64
	From    map[string]float64
	Place   remark.Place
}

// Hazard is a danger that procedures and safety panels name.
type Hazard struct {
	ID    string
	Title Words
}

// Model is an engine model.
type Model struct {
	ID      string
	Title   Words
	Serials []Serials
	Text    Words
	Place   remark.Place
}

// Part is a part of a system.
type Part struct {
	ID     string
	Title  Words
	System Words
	Number string
	Models []*Model // nil: every model has it
	Place  remark.Place
}

// Number is a figure as its author typed it: the text keeps its digits.
type Number struct {
	Value float64 // in the specification's unit
	Text  string  // decimal point, as typed
}

// Limit is what a value must be. A nil bound does not exist.
type Limit struct {
	Nominal, Min, Max *Number
	Tolerance         *Number // as typed, where Min and Max come from it
}

// Spec is a specified value.
type Spec struct {
	ID         string
	Title      Words
	Unit       unit.Unit
	Conditions Words
	Source     Words
	Revised    string
	General    *Limit            // for models that have none of their own; or nil
	ByModel    map[string]*Limit // by model id
	History    []*Earlier        // values before, the oldest first
	Possible   [2]float64        // what can be read at all, in Unit; infinite where the author does not say
	PossibleAt remark.Place
	Faulty     bool // a figure of it is missing, cannot be read or contradicts another
	Place      remark.Place
}

// For returns the limit for a model, or nil; a nil model asks for the general one.
func (s *Spec) For(m *Model) *Limit {
	if m != nil {
		if l, ok := s.ByModel[m.ID]; ok {
			return l
		}
	}
	return s.General
}

// Lacks are the subjects of a remark on what a specification says too little, or the wrong
// thing, of: the specification, and the models of the page for which it does, if it
// does for some.
func (p *Page) Lacks(s *Spec, what string, models ...*Model) []remark.Subject {
	subjects := []remark.Subject{s.lacks(what, models...)}
	if len(models) == 0 || models[0] == nil {
		return subjects
	}
	return append(subjects, p.AppliesTo(models...))
}

// lacks is the subject of what a specification says too little of: nothing at all of
// some models is one thing, whatever is asked for.
func (s *Spec) lacks(what string, models ...*Model) remark.Subject {
	if len(models) > 0 && !slices.ContainsFunc(models, func(m *Model) bool { return s.For(m) != nil }) {
		what = "models"
	}
	return remark.Subject{Name: what + " of spec " + s.ID, Place: s.Place}
}

// AppliesTo is the subject that the page applies to some models, for remarks on what
// those lack.
func (p *Page) AppliesTo(models ...*Model) remark.Subject {
	s := remark.Subject{Name: p.Source.Path, Place: p.Source.Top()}
	for _, m := range models {
		s.Name += " " + m.ID
	}
	if i := slices.Index(p.Applicability, models[0]); i >= 0 && i < len(p.ModelPlaces) {
		s.Place = p.ModelPlaces[i]
	}
	return s
}

// Page is one page of the handbook.
type Page struct {
	Source        *source.Page
	Path          string // of the HTML file in the edition, slash-separated
	Lang          string
	Key           string // the path without language folder and ending; the same in every language
	Index         bool   // the finder of its language
	Sheet         string
	SheetUnknown  bool // what the author meant by it cannot be told
	Title         string
	Purpose       string
	Revised       string
	CheckBy       string         // the day by which the publisher looks at it again, "" for the handbook's
	Supersedes    []Supersession // of a bulletin
	Superseded    []Notice       // of bulletins that supersede the procedure that the page is
	Notices       []Notice       // those, and those about a value on the page
	Allowances    []remark.Allowance
	Applicability []*Model       // every model of the handbook where the author names none
	ModelPlaces   []remark.Place // of each of Applicability, where the author names them
	ModelsUnknown bool           // one is named that nobody knows
	Procedure     *Procedure     // nil unless Sheet is "procedure"
	Circuit       *Circuit       // that the procedure measures, or nil
	// CircuitUnknown: what ties the circuit to the steps is not whole, so that
	// nothing is proved of it.
	CircuitUnknown bool
	Translation    *Translation // what is known of it against its source; nil of pages in the source language
	Calculators    []*Calculator
	// Blocks holds each block's resolved form: *Answers, *Calculator, *Glossary, *Picture, *Plot,
	// *Reading, *Safety, *SelfCheck or *Conduct. A block that stands where it cannot be is left out.
	Blocks map[*source.Block]any
	// Drawn is what the drawings say that the page shows.
	Drawn []Drawn
	// Links holds the target of each *ast.Link, *ast.AutoLink and *ast.Image
	// that leads somewhere in the handbook. Links to other hosts are left out.
	Links map[ast.Node]Target
	// Callouts holds the numbered lists that stand beneath pictures.
	Callouts map[*ast.List]*Callouts
	// IDs holds the id of every heading.
	IDs map[*ast.Heading]string

	head []piece // the texts of its front matter that are translated
}

// Drawn is a text in a drawing.
type Drawn struct {
	Text  string
	Place remark.Place // of the drawing on its page
}

// Procedure is a troubleshooting procedure.
type Procedure struct {
	Symptom   string
	States    []*State
	Hazards   []*Hazard
	Equipment []string

	SymptomPlace remark.Place
	StatesPlace  remark.Place   // of the first of States
	HazardPlaces []remark.Place // of each of Hazards
	// PanelsUnknown: a safety message, or the list of hazards, is not whole, so that nothing can be said
	// about what the procedure warns of.
	PanelsUnknown bool
	// ConductUnknown: what the front matter or a step block says of settings or of
	// the check after the repair is not whole, so that nothing is proved of them.
	ConductUnknown bool
	// FiguresUnknown: a frequency or the minutes of a step are not whole.
	FiguresUnknown bool
	Causes         []*Cause
	Ends           map[string]*Ending // what the author says of them, by their name
	Intro          []ast.Node         // what stands before the first step
	Steps          []*Step
}

// Cause is a fault that a procedure can find.
type Cause struct {
	ID        string
	Title     string
	Frequency float64 // relative frequency in the field; 0 where not given
	Remedy    source.Markdown
	Part      *Part
	Place     remark.Place

	Restores  []SettingAt // what the remedy puts back
	Who       string      // who may do the remedy: one of Roles
	Emissions bool        // the remedy touches what emissions depend on
	// Verification is the id of the step to which the cause leads once it is mended,
	// "" for the first check after the repair; Unchecked: there is none on this page.
	Verification      string
	VerificationPlace remark.Place
	Unchecked         bool
}

// Step is one step of a procedure: a level-2 heading and what follows it.
type Step struct {
	ID      string
	Number  int // from 1
	Heading *ast.Heading
	Minutes float64    // 0 where not given
	Body    []ast.Node // in order, its blocks among them
	Answers []Answer   // of all its answers blocks
	Reading *Reading   // or nil
	Panels  []*Safety
	Conduct *Conduct // its step block, or nil
	Broken  bool     // a block of it is not whole: unknown where else the step leads
	Place   remark.Place
}

// Ways returns where the step's answers and its reading's outcomes lead.
func (s *Step) Ways() []Target {
	var ways []Target
	for _, a := range s.Answers {
		ways = append(ways, a.To)
	}
	if s.Reading != nil {
		for _, o := range s.Reading.Outcomes {
			ways = append(ways, o.To)
		}
	}
	return ways
}

// EachWay calls f for each of Ways, with the place where it stands.
func (s *Step) EachWay(f func(to Target, at remark.Place)) {
	for _, a := range s.Answers {
		f(a.To, a.Place)
	}
	if s.Reading != nil {
		for _, o := range s.Reading.Outcomes {
			f(o.To, o.Place)
		}
	}
}

// Step returns the step that a way leads to, or was probably meant to; nil for
// what is no step of the page.
func (p *Procedure) Step(t Target) *Step {
	for _, s := range p.Steps {
		if s.ID == t.ID && (t.Kind == ToHeading || t.Kind == ToNowhere) {
			return s
		}
	}
	return nil
}

// Heading returns the step that a heading's id begins, or nil.
func (p *Procedure) Heading(id string) *Step { return p.Step(Target{Kind: ToHeading, ID: id}) }

// Answers is an answers block.
type Answers struct {
	Answers []Answer
}

// Answer leads from a step to its target.
type Answer struct {
	Text  string // plain text, as the button shows it
	To    Target
	Place remark.Place // of the link
}

// Reading is a measurement against a specification, with a meter or a stopwatch.
type Reading struct {
	Measure, Meter, Red, Black, Conditions string
	Spec                                   *Spec
	// Outcomes are in the order low, within, high, none, unstable; those that
	// the author left out are missing.
	Outcomes  []Outcome
	SpecPlace remark.Place
	Probes    *Probes // where the page's circuit gives the reading, or nil
	at, with  []source.Text
	Timing    *Timing // or nil; with a tolerance of its own it has no Spec, and SpecPlace is that of the tolerance
}

// Outcome is one result of a reading and where it leads.
type Outcome struct {
	Kind  string // low, within, high, none or unstable
	To    Target
	Place remark.Place // of the target
}

// Safety is a safety message.
type Safety struct {
	Level       string // danger, warning, caution or notice
	Hazard      *Hazard
	HazardPlace remark.Place
	Text        source.Markdown
}

// TargetKind says what a link leads to.
type TargetKind int

// The kinds of target.
const (
	ToNowhere TargetKind = iota // unresolved; a remark says so
	ToHeading                   // a heading or step of the page
	ToCause
	ToEnd // one of Ends
	ToPage
	ToAsset
	ToSpec
	ToPart
	ToCalculator
	ToHazard
	ToCallout // the text of a picture's number
	Unprinted // it says something about a step
)

// Target is where a link leads.
type Target struct {
	Kind    TargetKind
	ID      string // the heading, cause, end, calculator or callout; with ToPage the heading there, or ""
	Page    *Page  // for ToPage
	Asset   string // for ToAsset: the source path, which is the edition's path too
	Spec    *Spec
	Part    *Part
	Cause   *Cause
	Hazard  *Hazard
	Callout int // for ToCallout: the number
}
