package page

import (
	"cmp"
	"encoding/base64"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"benchleaf/calc"
	"benchleaf/calc/run"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// calculatorView is a calculator's form.
type calculatorView struct {
	*theme.Words
	ID, Name, Title, About string
	Fields                 []fieldView
	Results                []resultView
	Limits                 []limitView
	HasVerdict             bool // limits give one; the module's own is a result
	Verdict, VerdictText   string
	VerdictFor             string // the model, where the limits differ
	Example                string
	Formula, Sources       []string
	Code                   template.HTML
	Module                 template.HTML // base64
}

// fieldView is an input: a number with its units, or a choice.
type fieldView struct {
	ID, Name, Label, Symbol string
	Value, Input            string
	Unit                    string
	Units                   []optionView // "" where there is but one
	Options                 []optionView // of a choice
	For                     string       // the model whose specification is preset
}

type optionView struct {
	Value, Text        string
	Selected, Disabled bool
}

// resultView is a result. Words are shown in place of a figure.
type resultView struct {
	Name, Label, Symbol string
	Value, Unit         string
	Choice, Verdict     bool
	Word                string // the option's word, for a verdict
}

// limitView is a result's specification.
type limitView struct {
	Label string
	Spec  template.HTML
}

// calculatorData is what the script needs to run a calculator.
type calculatorData struct {
	Inputs  []inputData  `json:"inputs"`
	Results []resultData `json:"results"`
	Limits  [][2]string  `json:"limits,omitempty"` // result, specification
}

type inputData struct {
	Name     string     `json:"name"`
	Units    []unitData `json:"units,omitempty"` // none: a choice
	Min      float64    `json:"min,omitempty"`   // in SI
	Max      float64    `json:"max,omitempty"`
	Range    string     `json:"range,omitempty"` // the same in words
	Optional bool       `json:"optional,omitempty"`
	Follows  string     `json:"follows,omitempty"`
	Spec     string     `json:"spec,omitempty"` // what is preset follows the model
	Within   bool       `json:"within,omitempty"`
}

type resultData struct {
	Name   string    `json:"name"`
	Unit   *unitData `json:"unit,omitempty"`
	Digits int       `json:"digits,omitempty"`
	Words  []string  `json:"words,omitempty"` // of a choice, in place of a unit
	Keys   []string  `json:"keys,omitempty"`  // of a verdict: what data-verdict says
}

// verdictName is the name of the result that is a verdict.
const verdictName = "verdict"

func (w *writer) calculatorTitle(c *handbook.Calculator) string {
	return cmp.Or(c.Title, w.words.Word("calculator."+c.Calc.Name))
}

func (w *writer) calculator(c *handbook.Calculator) {
	w.reads.add(ReadCalculator, c.Calc.Name)
	v := calculatorView{
		Words: w.words, ID: c.ID, Name: c.Calc.Name, Title: w.calculatorTitle(c),
		About:   w.words.Word("calculator." + c.Calc.Name + ".about"),
		Formula: c.Calc.Formula, Sources: c.Calc.Sources, Code: w.code(c.Calc),
		Module: template.HTML(base64.StdEncoding.EncodeToString(c.Module)),
	}
	data := &calculatorData{}
	in := make([]float64, len(c.Calc.Inputs))
	for i, q := range c.Calc.Inputs {
		f, d, si := w.field(c, q)
		v.Fields, data.Inputs, in[i] = append(v.Fields, f), append(data.Inputs, d), si
	}
	out, err := w.run(c.Module, in)
	if err == nil && len(out) != len(c.Calc.Results) {
		err = fmt.Errorf("the module of %s gives %d results instead of %d", c.Calc.Name, len(out), len(c.Calc.Results))
	}
	if err != nil {
		if w.err == nil {
			w.err = err
		}
		return
	}
	for i, q := range c.Calc.Results {
		r, d := w.result(c.Calc, q, out[i])
		v.Results, data.Results = append(v.Results, r), append(data.Results, d)
	}
	w.limits(c, &v, data, out)
	v.Example = w.example(v)
	if w.data.Calculators == nil {
		w.data.Calculators = map[string]*calculatorData{}
	}
	w.data.Calculators[c.ID] = data
	w.template("calculator", v)
}

// field returns an input as it stands on the page, what the script needs of it,
// and its value in SI.
func (w *writer) field(c *handbook.Calculator, q calc.Quantity) (fieldView, inputData, float64) {
	name := c.Calc.Name + "." + q.Name
	f := fieldView{ID: "_" + c.ID + "." + q.Name, Name: q.Name, Label: w.words.Word(name), Symbol: q.Symbol}
	d := inputData{Name: q.Name, Optional: q.Optional, Follows: q.Follows}
	preset, isPreset := c.Presets[q.Name]
	if q.Kind == calc.Choice {
		chosen := q.Start
		if isPreset {
			chosen = preset.SI
		}
		for i, o := range q.Options {
			// With a specification for the nominal value, the choice is made: another
			// one would be held against figures that are not its own.
			fixed := q.Name == "specification" && c.Presets["nominal"].Spec != nil && float64(i) != chosen
			f.Options = append(f.Options, optionView{Value: o, Text: w.words.Word(name + "." + o), Selected: float64(i) == chosen, Disabled: fixed})
		}
		return f, d, chosen
	}
	shown, si := q.Unit, q.ToSI(q.Start)
	switch {
	case preset.Spec != nil:
		d.Spec, d.Within = preset.Spec.ID, preset.Within
		w.data.spec(w, preset.Spec)
		shown = preset.Spec.Unit
		number, model := w.presetNumber(preset)
		if number == nil {
			si = math.NaN()
			break
		}
		f.Value, si = decimal(number.Text, w.lang), unitOf(shown, q.Unit).ToSI(number.Value)
		if model != nil {
			f.For = model.Title.In(w.lang)
		}
	case isPreset:
		shown, si = preset.Shown, preset.SI
		f.Value = w.typed(preset.Text, shown, si)
	case !math.IsNaN(q.Start):
		f.Value = decimal(strconv.FormatFloat(q.Start, 'f', -1, 64), w.lang)
	}
	f.Input = inputMode(shown)
	units := w.data.alternatives(q.Unit)
	if !slices.ContainsFunc(units, func(u unit.Unit) bool { return unitSymbol(u) == unitSymbol(shown) }) {
		units = append(units, unitOf(shown, q.Unit))
	}
	for _, u := range units {
		d.Units = append(d.Units, newUnitData(u))
		f.Units = append(f.Units, optionView{Value: unitSymbol(u), Text: unitSymbol(u), Selected: unitSymbol(u) == unitSymbol(shown)})
	}
	f.Unit = unitSymbol(q.Unit)
	if len(units) == 1 {
		f.Units = nil
	}
	d.Min, d.Max = q.ToSI(q.Min), q.ToSI(q.Max)
	plain := func(v float64) string { return figure(strconv.FormatFloat(v, 'f', -1, 64), w.lang) }
	d.Range = w.words.Fill("limit.range", "min", plain(q.Min), "max", withUnit(plain(q.Max), q.Unit))
	return f, d, si
}

// unitOf is a unit as a field of another reads it: in a field for a temperature
// difference, degrees are degrees of difference.
func unitOf(u, field unit.Unit) unit.Unit {
	if field.Kind == unit.TemperatureDifference && u.Kind == unit.Temperature {
		if difference, ok := unit.Lookup("Δ" + u.Symbol); ok {
			return difference
		}
	}
	return u
}

// presetNumber is the figure of a preset specification: of the first model of
// the page that has one. The model is nil where all have the same.
func (w *writer) presetNumber(p handbook.Preset) (*handbook.Number, *handbook.Model) {
	groups := w.groups(p.Spec)
	for _, g := range groups {
		n := g.Limit.Nominal
		if p.Within {
			n = g.Limit.Tolerance
		}
		if n == nil {
			continue
		}
		if len(groups) == 1 || len(g.Models) == 0 {
			return n, nil
		}
		return n, g.Models[0]
	}
	return nil, nil
}

// typed is the figure of a preset without its unit, digits as typed.
func (w *writer) typed(text string, shown unit.Unit, si float64) string {
	if shown.IsGauge() {
		return unit.SizeName(shown.FromSI(si))
	}
	number := strings.TrimSpace(text)
	if i := strings.IndexFunc(number, func(r rune) bool { return !strings.ContainsRune("+-.0123456789", r) }); i >= 0 {
		number = number[:i]
	}
	// Grouped thousands, a comma or a power of ten are written out anew.
	if v, err := strconv.ParseFloat(number, 64); err != nil || shown.ToSI(v) != si {
		return unit.FormatIn(shown.FromSI(si), 6, w.lang)
	}
	return decimal(number, w.lang)
}

// decimal puts the decimal sign of a language into a plain figure, without
// grouping: it stands in a field where it can be typed over.
func decimal(text, lang string) string {
	return strings.Replace(text, ".", string(rune(unit.DecimalSign(lang))), 1)
}

func (w *writer) result(c *calc.Calculator, q calc.Quantity, si float64) (resultView, resultData) {
	name := c.Name + "." + q.Name
	r := resultView{Name: q.Name, Label: w.words.Word(name), Symbol: q.Symbol, Verdict: q.Name == verdictName}
	d := resultData{Name: q.Name}
	if q.Kind == calc.Choice {
		r.Choice = true
		for _, o := range q.Options {
			d.Words = append(d.Words, w.words.Word(name+"."+o))
		}
		if i := int(si); i >= 0 && i < len(q.Options) {
			r.Value, r.Word = d.Words[i], q.Options[i]
		}
		if r.Verdict {
			d.Keys = q.Options
		}
		return r, d
	}
	u := newUnitData(q.Unit)
	d.Unit, d.Digits = &u, q.Digits
	r.Unit = unitSymbol(q.Unit)
	r.Value = unit.FormatIn(q.FromSI(si), q.Digits, w.lang)
	return r, d
}

// limits holds results against specifications. Where its models differ, the
// verdict on the static page is for the first, as the presets are.
func (w *writer) limits(c *handbook.Calculator, v *calculatorView, data *calculatorData, out []float64) {
	worst := "within"
	for i, q := range c.Calc.Results {
		s := c.Limits[q.Name]
		if s == nil {
			continue
		}
		v.HasVerdict = true
		w.data.spec(w, s)
		data.Limits = append(data.Limits, [2]string{q.Name, s.ID})
		v.Limits = append(v.Limits, limitView{w.words.Word(c.Calc.Name + "." + q.Name), w.html(func() { w.specification(s) })})
		groups := w.groups(s)
		if len(groups) == 0 {
			worst = ""
			continue
		}
		if len(groups) > 1 {
			v.VerdictFor = groups[0].Models[0].Title.In(w.lang)
		}
		worst = worse(worst, verdict(s.Unit.FromSI(out[i]), groups[0].Limit, w.meter(s.Unit.Symbol)))
	}
	if !v.HasVerdict {
		return
	}
	v.Verdict, v.VerdictText = worst, w.words.Word("verdict.none")
	if worst != "" {
		v.VerdictText = w.words.Word("verdict." + worst)
	}
}

// worse joins two verdicts; no verdict on one of them is none on both, unless
// the other is outside already.
func worse(a, b string) string {
	order := []string{"within", "close", "", "outside"}
	if slices.Index(order, b) > slices.Index(order, a) {
		return b
	}
	return a
}

// example is the worked example: the values on the static page as a sentence.
func (w *writer) example(v calculatorView) string {
	var given, found []string
	statements := ""
	for _, f := range v.Fields {
		text := f.Value
		for _, o := range f.Options {
			if o.Selected {
				text = o.Text
			}
		}
		if text == "" {
			continue
		}
		symbol := f.Unit
		for _, o := range f.Units {
			if o.Selected {
				symbol = o.Text
			}
		}
		if symbol != "" && f.Options == nil {
			text += nbsp + symbol
		}
		given = append(given, lowerFirst(f.Label)+" "+text)
	}
	for _, r := range v.Results {
		switch {
		case r.Choice && r.Value != "":
			statements += " " + r.Label + ": " + strings.TrimSuffix(r.Value, ".") + "."
		case r.Unit != "":
			found = append(found, lowerFirst(r.Label)+" "+r.Value+nbsp+r.Unit)
		default:
			found = append(found, lowerFirst(r.Label)+" "+r.Value)
		}
	}
	return w.words.Fill("calculator.given", "inputs", strings.Join(given, "; "), "results", strings.Join(found, "; ")) + statements
}

// lowerFirst lets a label stand inside a sentence; an abbreviation stays.
func lowerFirst(s string) string {
	r := []rune(s)
	if len(r) > 1 && strings.ToLower(string(r[1])) == string(r[1]) {
		return strings.ToLower(string(r[0])) + string(r[1:])
	}
	return s
}

// code is a calculator's own text, highlighted once for all pages.
func (w *writer) code(c *calc.Calculator) template.HTML {
	if known, ok := w.listings.Load(c.Name); ok {
		return known.(template.HTML)
	}
	text := w.html(func() { w.listing("go", c.Code) })
	w.listings.Store(c.Name, text)
	return text
}

// instance is a module that runs; made once for all pages that carry it.
type instance struct {
	load func() (*run.Instance, error)
}

// run computes with the very bytes that the page carries.
func (r *Renderer) run(module []byte, in []float64) ([]float64, error) {
	known, _ := r.modules.LoadOrStore(string(module), &instance{sync.OnceValues(func() (*run.Instance, error) {
		return run.Load(module)
	})})
	m, err := known.(*instance).load()
	if err != nil {
		return nil, err
	}
	return m.Call(in)
}
