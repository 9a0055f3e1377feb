package handbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"benchleaf/calc"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Plot is a calculator of the page drawn over one input's range.
type Plot struct {
	ID         string // anchor
	Title      string // or ""
	Calculator *Calculator
	Over, Show int     // which input and which result
	Min, Max   float64 // of the input, as far as it is drawn, in SI
	Limits     []*Spec // of the result, a band across; or of the input, a band upright
}

// PlotPoints is how many values a line is drawn through; the script takes as
// many.
const PlotPoints = 97

// plotYAML is the body of a plot block; the calculator's name stands beside the
// block's.
type plotYAML struct {
	Place  remark.Place
	Over   source.Text   `yaml:"over,needed"`
	Show   source.Text   `yaml:"show,needed"`
	Range  rangeYAML     `yaml:"range"`
	Limits []source.Text `yaml:"limits"`
	Title  source.Text   `yaml:"title"`
}

// plot resolves a plot block, once the page's calculators are known.
func (r *pageResolver) plot(b *source.Block) {
	var y plotYAML
	body := b.YAML(&r.remarks)
	source.Decode(body, &y, "a plot", &r.remarks)
	if body.Broken {
		return
	}
	if p := r.drawn(source.Text{Value: b.Arg, Place: b.Place}, y); p != nil {
		r.page.Blocks[b] = p
	}
}

// drawn resolves what is drawn of the calculator of that name; nil where a remark
// says why it cannot be.
func (r *pageResolver) drawn(name source.Text, y plotYAML) *Plot {
	if r.plots++; r.plots > maxForms {
		if r.plots == maxForms+1 {
			r.remarks.Add(remark.TextLimit, name.Place, "the page", fmt.Sprintf("more than %d plots", maxForms), fmt.Sprint(maxForms))
		}
		return nil
	}
	form, ids := r.calculatorNamed(name.Value)
	switch {
	case form != nil:
	case name.Value == "":
		r.remarks = append(r.remarks, remark.ReferenceUnknown.At(name.Place, "calculator of this page", "").
			Instead("Write the name of the calculator behind `plot`, on the same line."))
		return nil
	case r.calculatorUnknown:
		return nil
	default:
		unknownHere(&r.remarks, "calculator of this page", ids, name)
		return nil
	}
	p := &Plot{ID: fmt.Sprintf("plot-%d", r.plots), Title: y.Title.Value, Calculator: form}
	var ok1, ok2 bool
	p.Over, ok1 = r.numberNamed("input", form.Calc.Name, form.Calc.Inputs, y.Over)
	p.Show, ok2 = r.numberNamed("result", form.Calc.Name, form.Calc.Results, y.Show)
	if !ok1 || !ok2 {
		return nil
	}
	x, shown := form.Calc.Inputs[p.Over], form.Calc.Results[p.Show]
	low, high := x.Min, x.Max
	if y.Range.low.Given() {
		if low, high, ok1 = r.ends(y.Range, x); !ok1 {
			return nil
		}
		if !x.Takes(x.ToSI(low)) || !x.Takes(x.ToSI(high)) {
			r.remarks = append(r.remarks, remark.QuantityWrong.At(y.Range.low.Place, y.Range.low.Value+" to "+y.Range.high.Value, x.Name, rangeText(x), "").
				Instead("Draw a part of that range, or leave `range` out for the whole."))
			return nil
		}
	}
	p.Min, p.Max = x.ToSI(max(low, x.Min)), x.ToSI(min(high, x.Max))
	for _, text := range distinct(&r.remarks, y.Limits) {
		name := source.Text{Value: strings.TrimPrefix(text.Value, "spec:"), Place: text.Place}
		s := r.spec(name)
		switch {
		case s == nil || s.Faulty:
		case s.Unit.Kind != shown.Unit.Kind && s.Unit.Kind != x.Unit.Kind:
			r.wrongKind(name, shown, s)
		default:
			p.Limits = append(p.Limits, s)
		}
	}
	if s := form.Limits[shown.Name]; s != nil && !slices.Contains(p.Limits, s) {
		p.Limits = append(p.Limits, s)
	}
	return p
}

// Value computes the result that is drawn for one value of the input, both in
// SI, all other inputs as the page has them; NaN where there is none.
func (p *Page) Value(c *Plot, si float64) float64 { return c.value(p.Inputs(c.Calculator), si) }

// value computes that with all other inputs as in has them.
func (c *Plot) value(in []float64, si float64) float64 {
	in = slices.Clone(in)
	name := c.Calculator.Calc.Inputs[c.Over].Name
	in[c.Over] = si
	for i, q := range c.Calculator.Calc.Inputs {
		if _, given := c.Calculator.Presets[q.Name]; q.Follows == name && !given {
			in[i] = si
		}
	}
	out, err := c.Calculator.Module.Run(in)
	if err != nil {
		return math.NaN()
	}
	return out[c.Show]
}

// numberNamed finds the input or result that is drawn.
func (r *pageResolver) numberNamed(kind, of string, list []calc.Quantity, name source.Text) (int, bool) {
	if !name.Given() {
		return 0, false
	}
	switch q, ok := quantity(list, name.Value); {
	case ok && q.Kind == calc.Choice:
		r.remarks = append(r.remarks, remark.ReferenceUnknown.At(name.Place, kind+" with a number", name.Value).
			Instead("It is a choice. A plot takes one of: %s.", strings.Join(numbers(list), ", ")))
		return 0, false
	case !ok:
		unknownHere(&r.remarks, kind+" of "+of, numbers(list), name)
		return 0, false
	}
	return slices.IndexFunc(list, func(q calc.Quantity) bool { return q.Name == name.Value }), true
}
