package handbook

import (
	"fmt"
	"slices"
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
	Label source.Text       `yaml:"label"`
	Unit  source.Text       `yaml:"unit"`
	Start source.Text       `yaml:"start,needed unless from"`
	Range rangeYAML         `yaml:"range,needed"`
	From  source.Expression `yaml:"from"`
	Meter source.Text       `yaml:"meter"`
}

type resultYAML struct {
	Label   source.Text       `yaml:"label"`
	Unit    source.Text       `yaml:"unit"`
	Formula source.Expression `yaml:"formula,needed"`
	Limits  source.Text       `yaml:"limits"`
	Digits  source.Text       `yaml:"digits"`
}

// Digits that a result of an own calculator shows at most: those that a
// technician uses, and those that a float64 holds.
const (
	defaultDigits = 4
	mostDigits    = 15
)

// ownCalculator resolves a block that defines a calculator.
func (r *pageResolver) ownCalculator(b *source.Block, body *source.YAML) {
	var y ownYAML
	before := len(r.remarks)
	source.Decode(body, &y, "a calculator", &r.remarks)
	r.calculatorUnknown = r.calculatorUnknown || body.Broken || !y.Name.Given()
	if body.Broken {
		return
	}
	r.ownName(y.Name)
	c := &calc.Calculator{Name: y.Name.Value, Title: y.Title.Value, About: y.About.Value}
	for _, s := range y.Source {
		c.Sources = append(c.Sources, s.Value)
	}
	form := newCalculator(c, nil)
	form.Title = c.Title
	definition := formula.Definition{Name: c.Name}
	faulty := func() bool { return r.remarks[before:].Count(remark.Error) > 0 }
	misspelt := faulty() // a unit, for all we know
	for _, e := range y.Inputs {
		q := calc.Quantity{Name: e.ID.Value}
		if !misspelt || e.Value.Unit.Given() {
			q = r.ownInput(form, e)
		}
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
		if d := e.Value.Digits; d.Given() {
			var err error
			if q.Digits, err = strconv.Atoi(d.Value); err != nil || q.Digits < 1 || q.Digits > mostDigits {
				r.remarks.Add(remark.ValueText, d.Place, d.Value, "number of digits from 1 to 15", "3")
			}
		}
		r.formName(e.ID)
		q.Unit = r.ownUnit(e.Value.Unit)
		c.Results = append(c.Results, q)
		definition.Results = append(definition.Results, formula.Result{Name: q.Name, Unit: q.Unit, Formula: e.Value.Formula.Value})
	}
	if faulty() {
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

// ownName checks that a calculator's name can be one, and is no built-in's: a
// page that has a built-in twice numbers the second, "voltage-drop-2".
func (r *pageResolver) ownName(name source.Text) {
	if !name.Given() {
		return
	}
	if !source.IsID(name.Value) {
		r.remarks.Add(remark.ValueText, name.Place, name.Value, "name of a calculator", "heater-power: lower-case letters, digits and hyphens, a letter first")
		return
	}
	first := strings.TrimRight(name.Value, "0123456789")
	if cut, numbered := strings.CutSuffix(first, "-"); numbered && first != name.Value {
		if _, taken := calc.Find(cut); taken {
			r.remarks.Add(remark.CalculatorName, name.Place, name.Value, "the built-in calculator `"+cut+"` where a page has several")
		}
	}
	if _, taken := calc.Find(name.Value); taken {
		r.remarks.Add(remark.CalculatorName, name.Place, name.Value, "a built-in calculator")
	}
}

// formNames are what a page's form has for its own: fields and results, and what
// its script asks the form for, which a field of that name would stand before.
var formNames = []string{"elements", "id", "prepend", "units", "verdict"}

func (r *pageResolver) formName(name source.Text) {
	if slices.Contains(formNames, name.Value) {
		r.remarks.Add(remark.FormulaName, name.Place, "`"+name.Value+"` is a name that the page needs", "Write a longer one, such as "+name.Value+"-value.")
	}
}

// label is what a reader sees of a quantity: the author's words, or its name.
func label(t source.Text, name string) string {
	if words := strings.TrimSpace(t.Value); words != "" || name == "" {
		return words
	}
	return strings.ToUpper(name[:1]) + strings.ReplaceAll(name[1:], "-", " ")
}

// symbol is a quantity's name as it stands in formulas.
func symbol(name string) string { return strings.ReplaceAll(name, "-", "_") }

// ownUnit looks a unit up; none is the plain number.
func (r *pageResolver) ownUnit(t source.Text) unit.Unit {
	u, ok := unit.Lookup(t.Value)
	switch {
	case !ok:
		r.remarks = append(r.remarks, unitUnknown(t))
	case u.IsGauge(): // sizes fall as their numbers rise
		r.remarks = append(r.remarks, remark.UnitUnknown.At(t.Place, t.Value).
			Instead("Write mm²; an entry in %s is taken all the same.", u.Symbol))
		return unit.Unit{}
	}
	return u
}

// ownInput makes an input's quantity and its preset.
func (r *pageResolver) ownInput(form *Calculator, e source.Entry[inputYAML]) calc.Quantity {
	y := e.Value
	r.formName(e.ID)
	q := calc.Quantity{Name: e.ID.Value, Label: label(y.Label, e.ID.Value), Symbol: symbol(e.ID.Value), Unit: r.ownUnit(y.Unit)}
	if y.Unit.Given() && q.Unit.Symbol == "" {
		return q // an unknown unit has its remark
	}
	var ok bool
	if q.Min, q.Max, ok = r.ends(y.Range, q); !ok {
		return q
	}
	q.Start = (q.Min + q.Max) / 2
	switch {
	case y.From.Given():
		for key, beside := range map[string]source.Text{"start": y.Start, "meter": y.Meter} {
			if beside.Given() {
				r.besideFrom(key, beside)
			}
		}
		r.chains = append(r.chains, chain{form, q, y.From})
		return q
	case y.Start.Given():
		r.preset(form, q, y.Start)
		if p, ok := form.Presets[q.Name]; ok && p.Spec == nil {
			q.Start = q.FromSI(p.SI)
		}
	}
	if y.Meter.Given() {
		r.meter(form, q, y.Meter)
		q.Metered = true
	}
	return q
}

// ownConstant reads a named figure with its unit, "0.00393 1/K".
func (r *pageResolver) ownConstant(e source.Entry[source.Text]) formula.Constant {
	c := formula.Constant{Name: e.ID.Value}
	if !e.Value.Given() {
		return c // of another type, and told
	}
	text := strings.TrimSpace(e.Value.Value)
	number, symbol, _ := strings.Cut(text, " ")
	v, plain := plainFigure(number)
	u, ok := unit.Lookup(symbol)
	switch {
	case !plain:
		r.remarks.Add(remark.ValueText, e.Value.Place, text, "figure with a unit", "0.00393 1/K")
	case !ok:
		r.remarks = append(r.remarks, unitUnknown(source.Text{Value: symbol, Place: e.Value.Place}))
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
	if !r.complete[kindLanguage] {
		return // the pages of one that is unknown count as the first's
	}
	first := map[string]remark.Place{}
	for _, p := range r.book.Pages {
		for _, name := range r.pageAt[p.Source.Path].owned {
			id := p.Lang + " " + name.Value
			if at, ok := first[id]; ok {
				r.remarks.Add(remark.CalculatorName, name.Place, name.Value, fmt.Sprintf("the calculator at %s", at))
				continue
			}
			first[id] = name.Place
		}
	}
}
