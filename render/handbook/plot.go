package handbook

import (
	"fmt"
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
	Min, Max   float64 // of the input, in SI
	Limits     []*Spec // of the result, a band across; or of the input, a band upright
}

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
	if r.plots++; r.plots > maxForms {
		if r.plots == maxForms+1 {
			r.remarks.Add(remark.TextLimit, b.Place, "the page", fmt.Sprintf("more than %d plots", maxForms), fmt.Sprint(maxForms))
		}
		return
	}
	body := b.YAML(&r.remarks)
	source.Decode(body, &y, "a plot", &r.remarks)
	if body.Broken {
		return
	}
	form, ids := r.calculatorNamed(b.Arg)
	switch {
	case form != nil:
	case b.Arg == "":
		r.remarks = append(r.remarks, remark.ReferenceUnknown.At(b.Place, "calculator of this page", "").
			Instead("Write the name of the calculator behind `plot`, on the same line."))
		return
	case r.calculatorUnknown:
		return
	default:
		unknownHere(&r.remarks, "calculator of this page", ids, source.Text{Value: b.Arg, Place: b.Place})
		return
	}
	p := &Plot{Title: y.Title.Value, Calculator: form}
	var ok1, ok2 bool
	p.Over, ok1 = r.numberNamed("input", form.Calc.Name, form.Calc.Inputs, y.Over)
	p.Show, ok2 = r.numberNamed("result", form.Calc.Name, form.Calc.Results, y.Show)
	if !ok1 || !ok2 {
		return
	}
	x, shown := form.Calc.Inputs[p.Over], form.Calc.Results[p.Show]
	low, high := x.Min, x.Max
	if y.Range.low.Given() {
		if low, high, ok1 = r.ends(y.Range, x); !ok1 {
			return
		}
		if !x.Takes(x.ToSI(low)) || !x.Takes(x.ToSI(high)) {
			r.remarks = append(r.remarks, remark.QuantityWrong.At(y.Range.low.Place, y.Range.low.Value+" to "+y.Range.high.Value, x.Name, rangeText(x), "").
				Instead("Draw a part of that range, or leave `range` out for the whole."))
			return
		}
	}
	p.Min, p.Max = x.ToSI(max(low, x.Min)), x.ToSI(min(high, x.Max))
	for _, text := range distinct(&r.remarks, y.Limits) {
		name := source.Text{Value: strings.TrimPrefix(text.Value, "spec:"), Place: text.Place}
		s := findIn(&r.remarks, r.whole.complete[kindSpec], kindSpec, r.whole.book.Specs, name)
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
	p.ID = fmt.Sprintf("plot-%d", r.plots)
	r.page.Blocks[b] = p
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
