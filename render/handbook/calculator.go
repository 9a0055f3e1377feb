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

// Calculator is a calculator on a page: a built-in with its presets, or one of
// the handbook's own.
type Calculator struct {
	ID     string // the anchor: of its name, numbered where the page has it twice
	Title  string // or ""
	Calc   *calc.Calculator
	Module *Module
	// Presets are values of inputs, by their name.
	Presets map[string]Preset
	// Limits are specifications of results, by their name.
	Limits map[string]*Spec
	// Meters says for inputs, by their name, how far to trust what is read, where
	// the author says so: stated for the input's unit. A metered input without
	// an entry is read with the handbook's meter.
	Meters   map[string]Accuracy
	Examples []calc.Example

	// guessed: a value of it has a remark, so that its figures say nothing.
	guessed bool
}

// Preset is a value of an input: a quantity as typed, an option's word, a
// specification whose nominal value counts, or another calculator's result.
type Preset struct {
	Text   string  // as typed, for quantities and options
	SI     float64 // the quantity in SI, or the option's index
	Shown  unit.Unit
	Spec   *Spec  // or nil
	Within bool   // the specification's tolerance, not its nominal value
	From   *Chain // or nil
	Place  remark.Place
}

// Chain says which result of another calculator of the page an input takes.
type Chain struct {
	Calculator *Calculator
	Result     int
}

// maxForms bounds the calculators of a page, and the plots: each may rest on all
// others, and every entry runs those that rest on it.
const maxForms = 40

// CalculatorKeys are the keys of a calculator block beside its inputs.
var CalculatorKeys = []string{"title", "limits", "meters", "examples"}

// calculator resolves a calculator block: without a name beside it, one of the
// handbook's own.
func (r *pageResolver) calculator(b *source.Block) {
	if r.calculators++; r.calculators > maxForms {
		r.calculatorUnknown = true
		if r.calculators == maxForms+1 {
			r.remarks.Add(remark.TextLimit, b.Place, "the page", fmt.Sprintf("more than %d calculators", maxForms), fmt.Sprint(maxForms))
		}
		return
	}
	if b.Arg != "" {
		r.builtin(b)
		return
	}
	y := b.YAML(&r.remarks)
	if y.Broken || y.HasKey("inputs") || y.HasKey("results") {
		r.ownCalculator(b, y)
		return
	}
	r.builtin(b) // its name was forgotten
}

// builtin resolves a block that presets a built-in calculator.
func (r *pageResolver) builtin(b *source.Block) {
	c, ok := calc.Find(b.Arg)
	y := b.YAML(&r.remarks)
	if !ok && (y.HasKey("inputs") || y.HasKey("results")) {
		r.calculatorUnknown = true
		r.remarks = append(r.remarks, remark.ReferenceUnknown.At(b.Place, "built-in "+kindCalculator, b.Arg).
			Instead("For a calculator of your own write nothing beside `calculator`, and `name: %s` in the block.", b.Arg))
		return
	}
	if !ok {
		var names []string
		for _, c := range calc.All() {
			names = append(names, c.Name)
		}
		near := unknown(&r.remarks, kindCalculator, names, source.Text{Value: b.Arg, Place: b.Place})
		if c, ok = calc.Find(near); !ok {
			last := &r.remarks[len(r.remarks)-1]
			*last = last.Instead("The name beside `calculator` is that of a built-in one: %s. One of your own stands on its own page.", strings.Join(names, ", "))
			r.calculatorUnknown = true
			return
		}
	}
	if y.Broken {
		r.calculatorUnknown = true
		return
	}
	before := r.remarks.Count(remark.Error)
	form := newCalculator(c, BuiltinModule(c))
	form.ID = r.calculatorID(c.Name)
	var examples []exampleYAML
	source.DecodeFields(y, "calculator "+c.Name, &r.remarks, func(d *source.Decoder, key source.Text, value source.Node) {
		switch input, ok := quantity(c.Inputs, key.Value); {
		case ok:
			r.inputValue(form, d, input, value)
		case key.Value == "title":
			form.Title, _ = d.Scalar(value, key.Value, "a text")
		case key.Value == "limits" && judgesItself(c):
			r.remarks = append(r.remarks, remark.KeyUnknown.At(key.Place, key.Value, "calculator "+c.Name, "").
				Instead("It judges by itself: give `nominal`, `tolerance` and `accuracy`."))
		case key.Value == "limits":
			d.Fields(value, key.Value, func(result source.Text, value source.Node) {
				q, ok := quantity(c.Results, result.Value)
				if !ok {
					d.UnknownKey(result, names(c.Results), "the results of "+c.Name)
				} else if text, ok := d.Scalar(value, result.Value, "a specification"); ok {
					r.calculatorLimit(form, q, source.Text{Value: text, Place: d.Place(value)})
				}
			})
		case key.Value == "meters":
			d.Fields(value, key.Value, func(input source.Text, value source.Node) {
				q, ok := quantity(c.Inputs, input.Value)
				if !ok || q.Kind == calc.Choice {
					d.UnknownKey(input, numbers(c.Inputs), "the inputs that a meter can read")
				} else if text, ok := d.Scalar(value, input.Value, "an accuracy"); ok {
					r.meter(form, q, source.Text{Value: text, Place: d.Place(value)})
				}
			})
		case key.Value == "examples":
			d.Into(value, &examples, key.Value, "an example")
		default:
			d.UnknownKey(key, append(names(c.Inputs), CalculatorKeys...), "calculator "+c.Name)
		}
	})
	if nominal, ok := form.Presets["nominal"]; ok && nominal.Spec != nil {
		if _, given := form.Presets["tolerance"]; !given && hasTolerance(nominal.Spec) {
			form.Presets["tolerance"] = Preset{Spec: nominal.Spec, Within: true}
		}
	}
	r.accuracyOfNominal(form)
	r.withoutMeter(form, b.Place)
	form.guessed = form.guessed || r.remarks.Count(remark.Error) > before
	r.page.Calculators = append(r.page.Calculators, form)
	r.page.Blocks[b] = form
	r.keepExamples(form, examples)
}

// withoutMeter gives advice on readings that count as exact in a verdict, since
// the handbook has no meter for them.
func (r *pageResolver) withoutMeter(form *Calculator, at remark.Place) {
	var exact []string
	for _, q := range form.Calc.Inputs {
		_, own := form.Meters[q.Name]
		if _, known := r.whole.book.Accuracy(q.Unit); q.Metered && !own && !known {
			exact = append(exact, "`"+q.Name+"`")
		}
	}
	if len(form.Limits) > 0 && len(exact) > 0 && r.whole.complete[kindMeter] {
		r.remarks.Add(remark.MeterMissing, at, strings.Join(exact, ", "))
	}
}

// judgesItself tells whether a verdict is among a calculator's own results.
func judgesItself(c *calc.Calculator) bool {
	_, ok := quantity(c.Results, "verdict")
	return ok
}

// accuracyOfNominal gives a calculator that judges by itself the accuracy of the
// handbook's meter at the nominal value, where its author says no other.
func (r *pageResolver) accuracyOfNominal(form *Calculator) {
	q, ok := quantity(form.Calc.Inputs, "accuracy")
	if _, given := form.Presets["accuracy"]; !ok || given || !judgesItself(form.Calc) {
		return
	}
	a, ok := r.whole.book.Accuracy(q.Unit)
	for i, input := range form.Calc.Inputs {
		if input.Name == "nominal" && ok {
			at := r.page.Inputs(form)[i]
			text := unit.Format(a.Bound(q.Unit.FromSI(at)), 2) + " " + q.Unit.Symbol
			if si, shown, err := unit.Parse(text, q.Unit, "en"); err == nil {
				form.Presets["accuracy"] = Preset{Text: text, SI: si, Shown: shown}
			}
		}
	}
}

func newCalculator(c *calc.Calculator, m *Module) *Calculator {
	return &Calculator{Calc: c, Module: m, Presets: map[string]Preset{}, Limits: map[string]*Spec{}, Meters: map[string]Accuracy{}}
}

// inputValue resolves what a block says of an input: a value, that and a part of
// the range, or where it comes from.
func (r *pageResolver) inputValue(form *Calculator, d *source.Decoder, q calc.Quantity, value source.Node) {
	if !source.IsMapping(value) {
		if text, ok := d.Scalar(value, q.Name, "a value"); ok {
			r.preset(form, q, source.Text{Value: text, Place: d.Place(value)})
		}
		return
	}
	var y struct {
		From  source.Expression `yaml:"from,needed unless start"`
		Start source.Text       `yaml:"start"`
		Range rangeYAML         `yaml:"range"`
	}
	d.Into(value, &y, q.Name, "`"+q.Name+"`")
	if y.From.Given() {
		for key, beside := range map[string]source.Text{"start": y.Start, "range": y.Range.low} {
			if beside.Given() {
				r.besideFrom(key, beside)
			}
		}
		r.chains = append(r.chains, chain{form, q, y.From})
		return
	}
	if q.Kind == calc.Number {
		q = r.narrowed(form, q, y.Range)
	}
	if y.Start.Given() {
		r.preset(form, q, y.Start)
	}
}

// besideFrom remarks on what an input cannot have that takes another calculator's result.
func (r *pageResolver) besideFrom(key string, beside source.Text) {
	r.remarks = append(r.remarks, remark.KeyUnknown.At(beside.Place, key, "an input with `from`", "").
		Instead("Take `%s` or `from` out: the value comes from the other calculator.", key))
}

// narrowed gives an input of a form a part of its range.
func (r *pageResolver) narrowed(form *Calculator, q calc.Quantity, y rangeYAML) calc.Quantity {
	low, high, ok := r.ends(y, q)
	if !ok {
		return q
	}
	if !q.Takes(q.ToSI(low)) || !q.Takes(q.ToSI(high)) {
		r.remarks = append(r.remarks, remark.QuantityWrong.At(y.low.Place, y.low.Value+" to "+y.high.Value, q.Name, rangeText(q), "").
			Instead("Give a part of that range, or leave `range` out for the whole."))
		return q
	}
	q.Min, q.Max = low, high
	own := *form.Calc
	own.Inputs = slices.Clone(own.Inputs)
	for i, input := range own.Inputs {
		if input.Name == q.Name {
			own.Inputs[i] = q
		}
	}
	form.Calc = &own
	return q
}

// meter keeps what a block says of the meter that an input is read with.
func (r *pageResolver) meter(form *Calculator, q calc.Quantity, text source.Text) {
	a, metered, ok := r.accuracy(text, q.Unit)
	if !ok {
		return
	}
	if metered && (text.Value == "yes" || text.Value == "true") {
		a, _ = r.whole.book.Accuracy(q.Unit)
	}
	form.Meters[q.Name] = a
}

// hasTolerance tells whether every limit of a specification is a nominal value
// with a tolerance.
func hasTolerance(s *Spec) bool {
	if s.General != nil && s.General.Tolerance == nil {
		return false
	}
	for _, l := range s.ByModel {
		if l.Tolerance == nil {
			return false
		}
	}
	return true
}

// calculatorID makes a calculator's anchor, and numbers a calculator that the
// page has already.
func (r *pageResolver) calculatorID(name string) string {
	n := 1
	for _, c := range r.page.Calculators {
		if c.Calc.Name == name {
			n++
		}
	}
	if n == 1 {
		return CalculatorAnchor(name)
	}
	return CalculatorAnchor(fmt.Sprintf("%s-%d", name, n))
}

func quantity(list []calc.Quantity, name string) (calc.Quantity, bool) {
	for _, q := range list {
		if q.Name == name {
			return q, true
		}
	}
	return calc.Quantity{}, false
}

func names(list []calc.Quantity) []string {
	var names []string
	for _, q := range list {
		names = append(names, q.Name)
	}
	return names
}

// numbers are the names of what is no choice.
func numbers(list []calc.Quantity) []string {
	return names(slices.DeleteFunc(slices.Clone(list), func(q calc.Quantity) bool { return q.Kind == calc.Choice }))
}

// calculatorLimit holds a result against a specification.
func (r *pageResolver) calculatorLimit(form *Calculator, q calc.Quantity, text source.Text) {
	name := source.Text{Value: strings.TrimPrefix(text.Value, "spec:"), Place: text.Place}
	if s := r.spec(name); s != nil {
		if s.Unit.Kind != q.Unit.Kind {
			r.wrongKind(name, q, s)
			return
		}
		if models, without := r.page.WithoutLimit(s); without && !s.Faulty {
			r.remarks = append(r.remarks, r.page.LimitMissing(name.Place, s, models))
			return
		}
		form.Limits[q.Name] = s
	}
}

// WithoutLimit tells whether a specification has neither a least nor a greatest value,
// and for which of the page's models; none are named in a handbook without models.
func (p *Page) WithoutLimit(s *Spec) (models []*Model, without bool) {
	none := func(l *Limit) bool { return l == nil || l.Min == nil && l.Max == nil }
	if len(p.Applicability) == 0 {
		return nil, none(s.General)
	}
	for _, m := range p.Applicability {
		if none(s.For(m)) {
			models = append(models, m)
		}
	}
	return models, models != nil
}

// LimitMissing makes the remark on it.
func (p *Page) LimitMissing(at remark.Place, s *Spec, models []*Model) remark.Remark {
	var ids []string
	for _, m := range models {
		ids = append(ids, m.ID)
	}
	if ids == nil {
		ids = []string{"any model"}
	}
	return remark.ReadingLimit.At(at, s.ID, strings.Join(ids, ", ")).About(p.Lacks(s, "limits", models...)...)
}

func (r *pageResolver) wrongKind(at source.Text, q calc.Quantity, s *Spec) {
	if s.Unit.Symbol == "" {
		return // the specification's unit has a remark of its own
	}
	r.remarks = append(r.remarks, remark.QuantityWrong.At(at.Place, at.Value, q.Name,
		fmt.Sprintf("it is in %s, a unit of %s", s.Unit.Symbol, s.Unit.Kind), "").
		Instead("Name a specification in %s or another unit of %s.", q.Unit.Symbol, q.Unit.Kind).
		About(r.page.Lacks(s, "unit")...))
}
