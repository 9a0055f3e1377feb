package main

import (
	"bytes"
	"encoding/json"
	"math"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render"
)

// object is a JSON object that keeps the order of its members.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON implements json.Marshaler.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		for j, part := range []any{m.key, m.value} {
			if j > 0 {
				b.WriteByte(':')
			}
			text, err := marshal(part)
			if err != nil {
				return nil, err
			}
			b.Write(text)
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// marshal leaves <, > and & as they are: the text is no part of a page.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}

// encode prints v, indented. Nothing that the command prints fails to be JSON.
func (p *printer) encode(v any) {
	e := json.NewEncoder(p)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		panic(err)
	}
}

// listObject names the calculators.
func listObject(known []*render.Calculator) object {
	list := make([]object, len(known))
	for i, c := range known {
		list[i] = object{{"name", c.Name}, {"title", c.Title}}
		if c.Own() {
			list[i] = append(list[i], member{"page", c.Page})
		}
	}
	return object{{"calculators", list}}
}

// description is what describe prints. Ranges and start values are in the
// quantity's unit.
func description(c *render.Calculator, values []render.Input) object {
	inputs, results := object{}, object{}
	for i, q := range c.Inputs {
		about := aboutQuantity(c, q)
		if q.Kind == calc.Number {
			about = append(about, member{"min", q.Min}, member{"max", q.Max}, member{"optional", q.Optional})
		}
		about = append(about, member{"start", plain(q, values[i].SI)})
		if q.Follows != "" {
			about = append(about, member{"follows", q.Follows})
		}
		inputs = append(inputs, member{q.Name, about})
	}
	for _, q := range c.Results {
		results = append(results, member{q.Name, aboutQuantity(c, q)})
	}
	examples := make([]object, len(c.Examples))
	for i, e := range c.Examples {
		examples[i] = object{{"inputs", assigned(e.Inputs)}, {"results", assigned(e.Results)}}
	}
	return object{
		{"calculator", c.Name}, {"title", c.Title}, {"about", c.About}, {"inputs", inputs}, {"results", results},
		{"formulas", append([]string{}, c.Formula...)}, {"sources", append([]string{}, c.Sources...)}, {"examples", examples},
	}
}

func aboutQuantity(c *render.Calculator, q calc.Quantity) object {
	about := object{{"label", q.Label}, {"symbol", q.Symbol}}
	if q.Kind == calc.Number {
		return append(about, member{"unit", q.Unit.Symbol})
	}
	options := object{}
	for _, o := range q.Options {
		options = append(options, member{o, c.OptionText(q, o)})
	}
	return append(about, member{"options", options})
}

func assigned(list []calc.Assignment) object {
	o := object{}
	for _, a := range list {
		o = append(o, member{a.Name, a.Value})
	}
	return o
}

// resultObject is what a run gives, with the values that it was run with.
func resultObject(c *render.Calculator, inputs []render.Input, out []float64) object {
	used, results := object{}, object{}
	for i, q := range c.Inputs {
		used = append(used, member{q.Name, quantityObject(c, q, inputs[i].SI)})
	}
	for i, q := range c.Results {
		results = append(results, member{q.Name, quantityObject(c, q, out[i])})
	}
	return object{{"calculator", c.Name}, {"inputs", used}, {"results", results}}
}

// quantityObject is a value in the quantity's own unit, as near as a float can
// be, or the name of an option with its words. A size of wire is its number,
// with 0 for 1/0 and -3 for 4/0, and its name.
func quantityObject(c *render.Calculator, q calc.Quantity, si float64) object {
	value := plain(q, si)
	if q.Kind == calc.Choice {
		o := object{{"value", value}}
		if option, ok := value.(string); ok {
			o = append(o, member{"text", c.OptionText(q, option)})
		}
		return o
	}
	o := object{{"value", value}, {"unit", q.Unit.Symbol}}
	if q.Unit.IsGauge() && value != nil {
		o = append(o, member{"text", unit.SizeName(q.FromSI(si))})
	}
	return o
}

// plain is a value for JSON: nil where it is no number, the name of an option.
func plain(q calc.Quantity, si float64) any {
	v := q.FromSI(si)
	if option, ok := optionAt(q, v); ok {
		return option
	}
	if q.Kind == calc.Choice || math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}
