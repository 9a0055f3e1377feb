package compare

import (
	"math"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
)

// Spec is a specification. Its fields are what it says beside its values.
type Spec struct {
	Item
	Unit    string            `json:"unit"`
	General *Limit            `json:"general,omitempty"`
	Models  map[string]*Limit `json:"models,omitempty"`  // by model
	History map[string][]Past `json:"history,omitempty"` // values before, by model; "" in a handbook without models
}

// Fields of a specification that somebody asks for.
const (
	fieldTitle      = "title"
	fieldUnit       = "unit"
	fieldConditions = "conditions"
	fieldRevised    = "revised"
	fieldHistory    = "history"
)

func specOf(s *handbook.Spec, h *handbook.Handbook, lang string) Spec {
	spec := Spec{Item: newItem(s.ID, s.Title, lang), Unit: s.Unit.Symbol, General: limitOf(s.General)}
	spec.say(fieldUnit, s.Unit.Symbol)
	spec.say(fieldConditions, wordLines(s.Conditions, lang)...)
	spec.say("source", wordLines(s.Source, lang)...)
	spec.say(fieldRevised, s.Revised)
	if !math.IsInf(s.Possible[0], 0) || !math.IsInf(s.Possible[1], 0) {
		spec.say("possible", figure(s.Possible[0])+" to "+figure(s.Possible[1]))
	}
	for id, l := range s.ByModel {
		if spec.Models == nil {
			spec.Models = map[string]*Limit{}
		}
		spec.Models[id] = limitOf(l)
	}
	models := h.Models
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	for _, m := range models {
		id := ""
		if m != nil {
			id = m.ID
		}
		for _, e := range s.History {
			if l := limitOf(e.For(m)); l != nil {
				if spec.History == nil {
					spec.History = map[string][]Past{}
				}
				spec.History[id] = append(spec.History[id], pastOf(e, l))
			}
		}
	}
	return spec
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

// same tells whether two limits come to the same figures, however they are spelt: a tolerance or the two
// bounds that come from it, with or without zeros at the end.
func (l *Limit) same(o *Limit) bool {
	if l == nil || o == nil {
		return l == o
	}
	if *l == *o {
		return true
	}
	a, b := l.figures(), o.figures()
	for i := range a {
		if math.IsNaN(a[i]) != math.IsNaN(b[i]) || math.Abs(a[i]-b[i]) > 1e-9*math.Abs(a[i]+b[i]) {
			return false
		}
	}
	return true
}

// figures are the nominal value, the least and the most; no number where there is none.
func (l *Limit) figures() [3]float64 {
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	f := [3]float64{number(l.Nominal), number(l.Min), number(l.Max)}
	if l.Tolerance != "" {
		tolerance := number(l.Tolerance)
		f[1], f[2] = f[0]-tolerance, f[0]+tolerance
	}
	return f
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
