package handbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/formula"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// ownYAML is a calculator of the trainer's own.
type ownYAML struct {
	Place     remark.Place
	Name      source.Text                   `yaml:"name,needed"`
	Title     source.Text                   `yaml:"title,needed"`
	About     source.Text                   `yaml:"about"`
	Inputs    source.Map[inputYAML]         `yaml:"inputs,needed" noun:"an input"`
	Constants source.Map[source.Text]       `yaml:"constants" noun:"a constant"`
	Values    source.Map[source.Expression] `yaml:"values" noun:"a value"`
	Results   source.Map[resultYAML]        `yaml:"results,needed" noun:"a result"`
	Source    []source.Text                 `yaml:"source"`
	Examples  []exampleYAML                 `yaml:"examples" noun:"an example"`
}

type inputYAML struct {
	Label source.Text `yaml:"label"`
	Unit  source.Text `yaml:"unit"`
	Start source.Text `yaml:"start"`
	Range rangeYAML   `yaml:"range,needed"`
	From  source.Text `yaml:"from"`
	Meter source.Text `yaml:"meter"`
}

type resultYAML struct {
	Label   source.Text       `yaml:"label"`
	Unit    source.Text       `yaml:"unit"`
	Formula source.Expression `yaml:"formula,needed"`
	Limits  source.Text       `yaml:"limits"`
	Digits  float64           `yaml:"digits"`
}

// rangeYAML is two figures, "6 to 16" or [6, 16], each with or without a unit.
type rangeYAML struct {
	low, high source.Text
}

// DecodeYAML takes a text or a list of two.
func (v *rangeYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	var ends []source.Text
	if source.IsScalar(n) {
		text, _ := d.Scalar(n, key, "a range")
		for part := range strings.SplitSeq(text, " to ") {
			ends = append(ends, source.Text{Value: strings.TrimSpace(part), Place: d.Place(n)})
		}
	} else {
		d.Into(n, &ends, key, "a range")
	}
	if len(ends) != 2 {
		d.Remark(remark.ValueText, n, key, "range", "6 to 16")
		return
	}
	v.low, v.high = ends[0], ends[1]
}

// defaultDigits is how many digits a result of an own calculator shows at most.
const defaultDigits = 4

// ownCalculator resolves a block that defines a calculator.
func (r *pageResolver) ownCalculator(b *source.Block, body *source.YAML) {
	var y ownYAML
	before := len(r.remarks)
	source.Decode(body, &y, "a calculator", &r.remarks)
	r.calculatorUnknown = r.calculatorUnknown || body.Broken || !y.Name.Given()
	if body.Broken {
		return
	}
	if _, taken := calc.Find(y.Name.Value); taken {
		r.remarks.Add(remark.CalculatorName, y.Name.Place, y.Name.Value, "a built-in calculator")
	}
	c := &calc.Calculator{Name: y.Name.Value, Title: y.Title.Value, About: y.About.Value}
	for _, s := range y.Source {
		c.Sources = append(c.Sources, s.Value)
	}
	form := newCalculator(c, nil)
	form.Title = c.Title
	definition := formula.Definition{Name: c.Name}
	for _, e := range y.Inputs {
		q := r.ownInput(form, e)
		c.Inputs = append(c.Inputs, q)
		definition.Inputs = append(definition.Inputs, formula.Input{Name: q.Name, Unit: q.Unit, Min: q.Min, Max: q.Max, Start: q.Start})
	}
	for _, e := range y.Constants {
		definition.Constants = append(definition.Constants, r.ownConstant(e))
	}
	for _, e := range y.Values {
		definition.Values = append(definition.Values, formula.Value{Name: e.ID.Value, Formula: e.Value.Value})
	}
	for _, e := range y.Results {
		q := calc.Quantity{Name: e.ID.Value, Label: label(e.Value.Label, e.ID.Value), Symbol: symbol(e.ID.Value), Digits: defaultDigits}
		if d := e.Value.Digits; d >= 1 && d <= 15 {
			q.Digits = int(d)
		}
		q.Unit = r.ownUnit(e.Value.Unit)
		c.Results = append(c.Results, q)
		definition.Results = append(definition.Results, formula.Result{Name: q.Name, Unit: q.Unit, Formula: e.Value.Formula.Value})
	}
	if len(r.remarks) > before && r.remarks[before:].Count(remark.Error) > 0 {
		r.calculatorUnknown = true // what is left out would be told as unknown a second time
		return
	}
	program, problems := formula.Compile(definition)
	for _, p := range problems {
		r.formulaProblem(&y, p)
	}
	if program == nil {
		r.calculatorUnknown = true
		return
	}
	c.Formula, c.Code = program.Formula, program.Code
	form.Module = NewModule(program.Module)
	form.ID = r.calculatorID(c.Name)
	for i, e := range y.Results {
		if e.Value.Limits.Given() {
			r.calculatorLimit(form, c.Results[i], e.Value.Limits)
		}
	}
	r.page.Calculators = append(r.page.Calculators, form)
	r.page.Blocks[b] = form
	r.keepExamples(form, y.Examples)
	r.owned = append(r.owned, y.Name)
}

// label is what a reader sees of a quantity: the author's words, or its name.
func label(t source.Text, name string) string {
	if t.Given() {
		return t.Value
	}
	return strings.ToUpper(name[:1]) + strings.ReplaceAll(name[1:], "-", " ")
}

// symbol is a quantity's name as it stands in formulas.
func symbol(name string) string { return strings.ReplaceAll(name, "-", "_") }

// ownUnit looks a unit up; none is the plain number.
func (r *pageResolver) ownUnit(t source.Text) unit.Unit {
	u, ok := unit.Lookup(t.Value)
	if !ok {
		r.unitUnknown(t)
	}
	return u
}

func (r *pageResolver) unitUnknown(t source.Text) {
	why := remark.UnitUnknown.At(t.Place, t.Value)
	if near := unit.Nearest(t.Value); near != "" {
		why = why.Instead("Did you mean `%s`?", near)
	}
	r.remarks = append(r.remarks, why)
}

// ownInput makes an input's quantity and its preset.
func (r *pageResolver) ownInput(form *Calculator, e source.Entry[inputYAML]) calc.Quantity {
	y := e.Value
	q := calc.Quantity{Name: e.ID.Value, Label: label(y.Label, e.ID.Value), Symbol: symbol(e.ID.Value), Unit: r.ownUnit(y.Unit)}
	if y.Unit.Given() && q.Unit.Symbol == "" {
		return q // an unknown unit has its remark
	}
	if !y.Range.low.Given() {
		return q
	}
	var ok1, ok2 bool
	q.Min, ok1 = r.figure(y.Range.low, q)
	q.Max, ok2 = r.figure(y.Range.high, q)
	if !ok1 || !ok2 {
		return q
	}
	if !(q.Min < q.Max) {
		r.remarks.Add(remark.LimitOrder, y.Range.low.Place, y.Range.low.Value, y.Range.high.Value)
		return q
	}
	q.Start = (q.Min + q.Max) / 2
	switch {
	case y.From.Given():
		if y.Start.Given() {
			r.remarks = append(r.remarks, remark.KeyUnknown.At(y.Start.Place, "start", "an input with `from`", "").
				Instead("Take `start` or `from` out: the value comes from the other calculator."))
		}
		r.chains = append(r.chains, chain{form, q, y.From})
	case y.Start.Given():
		r.preset(form, q, y.Start)
		if p, ok := form.Presets[q.Name]; ok && p.Spec == nil {
			q.Start = q.FromSI(p.SI)
		}
	default:
		r.remarks.Add(remark.KeyMissing, e.ID.Place, "start", "an input")
	}
	if y.Meter.Given() {
		r.meter(form, q, y.Meter)
		q.Metered = true
	}
	return q
}

// figure reads a number in a quantity's unit, or with a unit of its own.
func (r *pageResolver) figure(t source.Text, q calc.Quantity) (float64, bool) {
	if v, err := strconv.ParseFloat(t.Value, 64); err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
		return v, true
	}
	si, _, err := unit.Parse(t.Value, q.Unit, "en")
	if err != nil {
		r.remarks.Add(remark.QuantityWrong, t.Place, t.Value, q.Name, err.Error(), strings.TrimSpace("12 "+q.Unit.Symbol))
		return 0, false
	}
	return q.FromSI(si), true
}

// ownConstant reads a named figure with its unit, "0.00393 1/K".
func (r *pageResolver) ownConstant(e source.Entry[source.Text]) formula.Constant {
	c := formula.Constant{Name: e.ID.Value}
	text := strings.TrimSpace(e.Value.Value)
	number, symbol, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	u, ok := unit.Lookup(symbol)
	switch {
	case err != nil || math.IsInf(v, 0) || math.IsNaN(v):
		r.remarks.Add(remark.ValueText, e.Value.Place, text, "figure with a unit", "0.00393 1/K")
	case !ok:
		r.unitUnknown(source.Text{Value: symbol, Place: e.Value.Place})
	default:
		c.Unit, c.Value = u, v
	}
	return c
}

// faults tells which kind of remark a fault of a formula is.
var faults = map[formula.Fault]*remark.Kind{
	formula.Syntax:      remark.FormulaSyntax,
	formula.Limit:       remark.FormulaSyntax,
	formula.BadName:     remark.FormulaName,
	formula.Unknown:     remark.FormulaName,
	formula.Dimensions:  remark.FormulaDimensions,
	formula.Unused:      remark.FormulaUnused,
	formula.Cycle:       remark.FormulaCycle,
	formula.Domain:      remark.FormulaDomain,
	formula.DomainDoubt: remark.FormulaDoubt,
}

// formulaProblem remarks on a problem at its place in the block.
func (r *pageResolver) formulaProblem(y *ownYAML, p formula.Problem) {
	var name source.Text
	var text source.Expression
	switch p.Section {
	case formula.InInputs:
		name = y.Inputs[p.Index].ID
	case formula.InConstants:
		name = y.Constants[p.Index].ID
	case formula.InValues:
		name, text = y.Values[p.Index].ID, y.Values[p.Index].Value
	case formula.InResults:
		name, text = y.Results[p.Index].ID, y.Results[p.Index].Value.Formula
	}
	place := name.Place
	if text.Given() && (p.Offset != 0 || p.End != 0) {
		place = text.PlaceAt(p.Offset)
	}
	r.remarks.Add(faults[p.Fault], place, p.Message, p.Mend)
}

// ownNames holds a handbook's own calculators apart by name. The same page in
// another language has the same calculators.
func (r *resolver) ownNames() {
	type first struct {
		place remark.Place
		key   string
	}
	seen := map[string]first{}
	for _, p := range r.book.Pages {
		for _, name := range r.pageAt[p.Source.Path].owned {
			id := p.Lang + " " + name.Value
			if f, ok := seen[id]; ok {
				r.remarks.Add(remark.CalculatorName, name.Place, name.Value, fmt.Sprintf("the calculator at %s", f.place))
				continue
			}
			seen[id] = first{name.Place, p.Key}
		}
	}
}
