package handbook

import (
	"slices"
	"strings"

	"benchleaf/calc"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// chain is an input that takes another calculator's result, as its author
// writes it: "voltage-drop.load-voltage".
type chain struct {
	form  *Calculator
	input calc.Quantity
	from  source.Text
}

// chained resolves the chains of a page, once all its calculators are known.
func (r *pageResolver) chained() {
	for _, c := range r.chains {
		name, result, _ := strings.Cut(c.from.Value, ".")
		var ids []string
		var from *Calculator
		for _, other := range r.page.Calculators {
			id := strings.TrimPrefix(other.ID, CalculatorAnchor(""))
			ids = append(ids, id)
			if id == name {
				from = other
			}
		}
		if from == nil {
			if !r.calculatorUnknown {
				unknown(&r.remarks, "calculator of this page", ids, source.Text{Value: name, Place: c.from.Place})
			}
			continue
		}
		i := slices.IndexFunc(from.Calc.Results, func(q calc.Quantity) bool { return q.Name == result })
		if i < 0 {
			unknown(&r.remarks, "result of "+name, names(from.Calc.Results), source.Text{Value: result, Place: c.from.Place})
			continue
		}
		if q := from.Calc.Results[i]; q.Kind != c.input.Kind || q.Unit.Kind != c.input.Unit.Kind {
			is := "a choice"
			if q.Kind == calc.Number {
				is = "in " + q.Unit.Symbol + ", a " + string(q.Unit.Kind)
			}
			r.remarks = append(r.remarks, remark.QuantityWrong.At(c.from.Place, c.from.Value, c.input.Name, "it is "+is, "").
				Instead("Take a result that is a %s.", c.input.Unit.Kind))
			continue
		}
		if ring := r.ring(c.form, from); ring != "" {
			r.remarks.Add(remark.CalculatorCycle, c.from.Place, c.from.Value, ring)
			continue
		}
		c.form.Presets[c.input.Name] = Preset{From: &Chain{from, i}}
	}
}

// ring returns the way from a calculator back to form, through the chains made
// so far, or "".
func (r *pageResolver) ring(form, from *Calculator) string {
	way := []*Calculator{from}
	var search func(c *Calculator) bool
	search = func(c *Calculator) bool {
		if c == form {
			return true
		}
		for _, q := range c.Calc.Inputs { // in their order, so that the words do not change
			if p := c.Presets[q.Name]; p.From != nil {
				way = append(way, p.From.Calculator)
				if search(p.From.Calculator) {
					return true
				}
				way = way[:len(way)-1]
			}
		}
		return false
	}
	if !search(from) {
		return ""
	}
	text := strings.TrimPrefix(form.ID, CalculatorAnchor(""))
	for _, c := range way {
		text += " from " + strings.TrimPrefix(c.ID, CalculatorAnchor(""))
	}
	return text
}
