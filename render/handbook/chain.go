package handbook

import (
	"fmt"
	"slices"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// chain is an input that takes another calculator's result, as its author
// writes it: "voltage-drop.load-voltage".
type chain struct {
	form  *Calculator
	input calc.Quantity
	from  source.Expression
}

// chained resolves the chains of a page, once all its calculators are known.
func (r *pageResolver) chained() {
	for _, c := range r.chains {
		if !r.join(c) {
			c.form.guessed = true
		}
	}
	for _, c := range r.chains {
		r.weigh(c)
	}
	for _, c := range r.chains {
		r.outOfRange(c)
	}
}

// outOfRange remarks on a chain whose value, as the page shows it, the input
// would not take if it were entered.
func (r *pageResolver) outOfRange(c chain) {
	if c.form.Presets[c.input.Name].From == nil || c.form.restsOnGuess() {
		return
	}
	i := slices.IndexFunc(c.form.Calc.Inputs, func(q calc.Quantity) bool { return q.Name == c.input.Name })
	q := c.form.Calc.Inputs[i]
	v := q.FromSI(r.page.Inputs(c.form)[i])
	if !q.Takes(q.ToSI(v)) {
		gives := strings.TrimSpace(unit.Format(v, 4) + " " + q.Unit.Symbol)
		r.remarks = append(r.remarks, remark.QuantityWrong.At(c.from.Place, c.from.Value, q.Name, "it gives "+gives+" here; "+rangeText(q), "").
			Instead("Widen the range, or let the other calculator start with values that keep it."))
		c.form.guessed = true
	}
}

// maxEntries bounds the inputs that a calculator rests on by its chains, its own
// included. What a reading leaves open of a result is found by moving each of
// them, at every entry.
const maxEntries = 100

// weigh cuts a chain by which a calculator would rest on too many inputs.
func (r *pageResolver) weigh(c chain) {
	if c.form.Presets[c.input.Name].From == nil {
		return
	}
	if c.form.restsOnGuess() {
		return
	}
	n := 0
	for _, form := range c.form.upstream(map[*Calculator]bool{}) {
		n += len(form.Calc.Inputs)
	}
	if n > maxEntries {
		r.remarks.Add(remark.TextLimit, c.from.Place, "the calculator with those that it takes values from", fmt.Sprintf("%d inputs", n), fmt.Sprint(maxEntries))
		delete(c.form.Presets, c.input.Name)
		c.form.guessed = true
	}
}

// join makes one chain; false where it is not known what the input takes.
func (r *pageResolver) join(c chain) bool {
	name, result, whole := strings.Cut(c.from.Value, ".")
	from, ids := r.calculatorNamed(name)
	ids = slices.DeleteFunc(ids, func(id string) bool { return CalculatorAnchor(id) == c.form.ID }) // it cannot feed itself
	if from == nil {
		if !r.calculatorUnknown {
			unknownHere(&r.remarks, "calculator of this page", ids, source.Text{Value: name, Place: c.from.Place})
		}
		return false
	}
	if !whole {
		r.remarks = append(r.remarks, remark.ReferenceUnknown.At(c.from.Place, "result of "+name, "").
			Instead("Name it behind a point: %s.%s.", name, from.Calc.Results[0].Name))
		return false
	}
	i := slices.IndexFunc(from.Calc.Results, func(q calc.Quantity) bool { return q.Name == result })
	if i < 0 {
		unknownHere(&r.remarks, "result of "+name, names(from.Calc.Results), source.Text{Value: result, Place: c.from.PlaceAt(len(name) + 1)})
		return false
	}
	if r.kindsDiffer(c, from.Calc.Results[i]) {
		return false
	}
	if ring := r.ring(c.form, from); ring != "" {
		r.remarks.Add(remark.CalculatorCycle, c.from.Place, c.from.Value, ring)
		return false
	}
	c.form.Presets[c.input.Name] = Preset{From: &Chain{from, i}}
	return true
}

// restsOnGuess tells whether a value that a calculator rests on, be it by a chain, has
// a remark: what the page shows is then not what its author means.
func (c *Calculator) restsOnGuess() bool {
	return slices.ContainsFunc(c.upstream(map[*Calculator]bool{}), func(c *Calculator) bool { return c.guessed })
}

// calculatorNamed finds a calculator of the page by the name that its anchor
// has, and lists them all.
func (r *pageResolver) calculatorNamed(name string) (found *Calculator, ids []string) {
	for _, c := range r.page.Calculators {
		id := strings.TrimPrefix(c.ID, CalculatorAnchor(""))
		ids = append(ids, id)
		if id == name {
			found = c
		}
	}
	return found, ids
}

// kindsDiffer remarks on a result that measures another thing than the input.
func (r *pageResolver) kindsDiffer(c chain, result calc.Quantity) bool {
	is := "it is a choice"
	switch {
	case c.input.Kind == calc.Choice:
		is = fmt.Sprintf("`%s` is a choice", c.input.Name)
	case result.Kind == calc.Choice:
	case result.Unit.Kind == c.input.Unit.Kind:
		return false
	case result.Unit.Symbol == "":
		is = "it is a plain number"
	default:
		is = fmt.Sprintf("it is in %s, a unit of %s", result.Unit.Symbol, result.Unit.Kind)
	}
	mend := "Enter it."
	switch {
	case c.input.Kind == calc.Choice:
	case c.input.Unit.Symbol == "":
		mend = "Take a result that is a plain number."
	default:
		mend = fmt.Sprintf("Take a result in %s or another unit of %s.", c.input.Unit.Symbol, c.input.Unit.Kind)
	}
	r.remarks = append(r.remarks, remark.QuantityWrong.At(c.from.Place, c.from.Value, c.input.Name, is, "").Instead("%s", mend))
	return true
}

// ring returns the way from a calculator back to form, through the chains made
// so far, or "".
func (r *pageResolver) ring(form, from *Calculator) string {
	way := []*Calculator{from}
	seen := map[*Calculator]bool{} // without a way back: not searched twice
	var search func(c *Calculator) bool
	search = func(c *Calculator) bool {
		if c == form {
			return true
		}
		if seen[c] {
			return false
		}
		seen[c] = true
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
