package page

import (
	"cmp"
	"encoding/hex"
	"html/template"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// calculatorView is a calculator's form.
type calculatorView struct {
	*theme.Words
	ID, Name, Title, About string
	Topmost                bool // see writer.topmost
	Fields                 []fieldView
	Systems                bool // whether units depend on the reader's system
	Results                []resultView
	Limits                 []limitView
	Next                   string // what is asked for, for a verdict
	Example                string
	Formula                []formulaLine
	Sources                []string
	Code                   template.HTML
	Module                 template.HTML // base16, which packs smaller than base64
	Titled, Own            bool          // the title, and all words of it, are the author's
}

// Told marks an element that holds words of a calculator alone, Tell such words.
func (v calculatorView) Told() template.HTMLAttr {
	if v.Own {
		return ""
	}
	return v.Mark()
}

// Noted marks sources: those of the program are English.
func (v calculatorView) Noted() template.HTMLAttr {
	if v.Own {
		return ""
	}
	return v.English()
}

func (v calculatorView) Tell(text string) any {
	if v.Own {
		return text
	}
	return v.Marked(text)
}

// formulaLine is a formula as a page has it.
type formulaLine struct {
	Text string
	Mark template.HTMLAttr // of one with words
}

// formula is how a calculator computes, line by line, in the words and with the decimal sign of the page's language. A
// handbook's own calculator has its formulas as their author wrote them.
func (w *writer) formula(c *calc.Calculator) (lines []formulaLine) {
	for i, text := range c.Formula {
		line := formulaLine{Text: text}
		if key := c.FormulaKey(i); !c.Own() {
			if w.words.Has(key) {
				line.Text, line.Mark = w.words.Word(key), w.words.Mark()
				if line.Mark == "" && theme.Direction(w.lang) == "rtl" {
					line.Mark = ` dir="rtl"` // the words lead, and each formula among them is an isolate
				}
			}
			line.Text = pointed.ReplaceAllString(line.Text, "${1}"+string(rune(unit.DecimalSign(w.lang)))+"${2}")
		}
		lines = append(lines, line)
	}
	return lines
}

// pointed finds the decimal points of a text.
var pointed = regexp.MustCompile(`(\d)\.(\d)`)

// fieldView is an input: a number with its units, or a choice.
type fieldView struct {
	ID, Name, Label, Symbol string
	Value, Input            string
	Unit                    string
	Units                   []optionView  // "" where there is but one
	Options                 []optionView  // of a choice
	For                     string        // the model whose specification is preset
	Changed                 template.HTML // by bulletins
	From, FromText          string        // the calculator that the value comes from: its anchor, and which result
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
	Label      string
	Spec       template.HTML
	Conditions string // under which it holds
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
	Follows  *int       `json:"follows,omitempty"` // the index of the input whose value it takes
	From     *chainData `json:"from,omitempty"`
	Meter    []float64  `json:"meter,omitempty"` // share of the reading and what is added, in the first unit
	Spec     string     `json:"spec,omitempty"`  // what is preset follows the model
	Within   bool       `json:"within,omitempty"`
}

// chainData is [id of a calculator, index of its result].
type chainData [2]any

type resultData struct {
	Name   string     `json:"name"`
	Units  []unitData `json:"units,omitempty"` // what the reader's system of units may ask for
	Digits int        `json:"digits,omitempty"`
	Words  []string   `json:"words,omitempty"` // of a choice, in place of units
	Keys   []string   `json:"keys,omitempty"`  // of a verdict: what data-verdict says
}

// verdictName is the name of the result that is a verdict.
const verdictName = "verdict"

func (w *writer) calculatorTitle(c *handbook.Calculator) string {
	return cmp.Or(c.Title, w.words.Word("calculator."+c.Calc.Name))
}

// quantityName is what a reader sees of an input or a result.
func (w *writer) quantityName(c *calc.Calculator, q calc.Quantity) string {
	return cmp.Or(q.Label, w.words.Word(c.Name+"."+q.Name))
}

func (w *writer) calculator(c *handbook.Calculator) {
	w.reads.add(ReadCalculator, c.Calc.Name)
	v := calculatorView{
		Words: w.words, ID: c.ID, Name: c.Calc.Name, Title: w.calculatorTitle(c), Topmost: w.topmost(),
		About:   c.Calc.About,
		Formula: w.formula(c.Calc), Sources: c.Calc.Sources,
		Module: template.HTML(hex.EncodeToString(c.Module.Bytes)),
		Titled: c.Title != "" || c.Calc.Own(), Own: c.Calc.Own(),
	}
	switch {
	case w.page.Procedure == nil:
		v.Code = w.code(c.Calc)
	case !c.Calc.Own():
		v.Sources = nil // who works through steps has the formula, and less to load
	}
	if !c.Calc.Own() {
		v.About = w.words.Word("calculator." + c.Calc.Name + ".about")
	}
	data := &calculatorData{}
	out, err := w.page.Results(c)
	if err != nil {
		if w.err == nil {
			w.err = err
		}
		return
	}
	in := w.page.Inputs(c)
	for i, q := range c.Calc.Inputs {
		f, d := w.field(c, q, in[i])
		v.Fields, data.Inputs = append(v.Fields, f), append(data.Inputs, d)
	}
	spreads := w.page.Spread(c, w.halfPlace)
	for i, q := range c.Calc.Results {
		r, d := w.result(c.Calc, q, out[i], spreads[i].By)
		v.Results, data.Results = append(v.Results, r), append(data.Results, d)
	}
	for _, in := range data.Inputs {
		v.Systems = v.Systems || slices.ContainsFunc(in.Units, unitData.chosen)
	}
	for _, out := range data.Results {
		v.Systems = v.Systems || slices.ContainsFunc(out.Units, unitData.chosen)
	}
	w.limits(c, &v, data)
	if len(v.Limits) > 0 {
		v.Next = w.next(c)
	}
	v.Example = w.example(v)
	if w.data.Calculators == nil {
		w.data.Calculators = map[string]*calculatorData{}
	}
	w.data.Calculators[c.ID] = data
	w.template("calculator", v)
}

// field returns an input as it stands on the page with its value in SI, and
// what the script needs of it.
func (w *writer) field(c *handbook.Calculator, q calc.Quantity, si float64) (fieldView, inputData) {
	f := fieldView{ID: "_" + c.ID + "." + q.Name, Name: q.Name, Label: w.quantityName(c.Calc, q), Symbol: q.Symbol}
	d := inputData{Name: q.Name, Optional: q.Optional}
	preset, isPreset := c.Presets[q.Name]
	if i := slices.IndexFunc(c.Calc.Inputs, func(other calc.Quantity) bool { return other.Name == q.Follows }); i >= 0 && !isPreset {
		d.Follows = &i
	}
	if q.Kind == calc.Choice {
		for i, o := range q.Options {
			// With a specification for the nominal value, the choice is made: another
			// one would be held against figures that are not its own.
			fixed := q.Name == "specification" && c.Presets["nominal"].Spec != nil && float64(i) != si
			f.Options = append(f.Options, optionView{Value: o, Text: w.words.Word(c.Calc.Name + "." + q.Name + "." + o), Selected: float64(i) == si, Disabled: fixed})
		}
		return f, d
	}
	if a, ok := w.accuracy(c, q); ok {
		d.Meter = []float64{a.Share, a.Added}
	}
	shown := q.Unit
	switch {
	case preset.From != nil:
		from := preset.From.Calculator
		shown = q.Unit.In(w.book.System)
		d.From = &chainData{from.ID, preset.From.Result}
		f.From = from.ID
		f.FromText = w.calculatorTitle(from)
		if name := w.quantityName(from.Calc, from.Calc.Results[preset.From.Result]); name != f.FromText {
			f.FromText += ": " + name
		}
		f.Value = w.shownFigure(shown, si)
	case preset.Spec != nil:
		d.Spec, d.Within = preset.Spec.ID, preset.Within
		w.data.spec(w, preset.Spec)
		shown = handbook.FieldUnit(preset.Spec.Unit, q.Unit)
		w.spec(preset.Spec)
		if f.Changed = w.changedAlone(preset.Spec); slices.ContainsFunc(w.groups(preset.Spec), func(g group) bool { return g.Ranged() }) {
			f.Changed = w.html(func() { w.specification(preset.Spec, false, false) })
		}
		number, model := w.page.Nominal(preset)
		if number == nil {
			break
		}
		f.Value = decimal(number.Text, w.lang)
		if model != nil {
			f.For = w.in(w.model(model).Title)
		}
	case isPreset:
		shown = preset.Shown
		f.Value = w.typed(preset.Text, shown, si)
	case !math.IsNaN(si):
		if shown = q.Unit.In(w.book.System); shown == q.Unit && q.Follows == "" {
			f.Value = decimal(strconv.FormatFloat(q.Start, 'f', -1, 64), w.lang)
		} else {
			f.Value = w.shownFigure(shown, si)
		}
	}
	f.Input = inputMode(shown)
	units := w.data.alternatives(q.Unit)
	if !slices.ContainsFunc(units, func(u unit.Unit) bool { return unitSymbol(u) == unitSymbol(shown) }) {
		units = append(units, shown)
	}
	for _, u := range units {
		d.Units = append(d.Units, systemUnit(u, q.Unit))
		f.Units = append(f.Units, optionView{Value: unitSymbol(u), Text: unitSymbol(u), Selected: unitSymbol(u) == unitSymbol(shown)})
	}
	f.Unit = unitSymbol(q.Unit)
	if len(units) == 1 {
		f.Units = nil
	}
	d.Min, d.Max = q.ToSI(q.Min), q.ToSI(q.Max)
	plain := func(v float64) string { return figure(strconv.FormatFloat(v, 'f', -1, 64), w.lang) }
	d.Range = w.words.Fill("limit.range", "min", plain(q.Min), "max", withUnit(plain(q.Max), q.Unit))
	return f, d
}

// halfPlace is half the worth of the last digit that stands in a field, in SI.
func (w *writer) halfPlace(c *handbook.Calculator, input int, si float64) float64 {
	f, d := w.field(c, c.Calc.Inputs[input], si)
	place := unit.LastPlace(f.Value, w.lang)
	for i, u := range f.Units {
		if u.Selected {
			return place * d.Units[i][1].(float64) / 2
		}
	}
	return place * d.Units[0][1].(float64) / 2
}

// shownFigure prints a value in a field, without zeros that say nothing: four
// digits are what a technician reads and types.
func (w *writer) shownFigure(u unit.Unit, si float64) string {
	if u.IsGauge() {
		return unit.SizeName(u.FromSI(si))
	}
	v := u.FromSI(si)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	rounded, _ := strconv.ParseFloat(unit.Format(v, 4), 64)
	return decimal(strconv.FormatFloat(rounded, 'f', -1, 64), w.lang)
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

func (w *writer) result(c *calc.Calculator, q calc.Quantity, si, spread float64) (resultView, resultData) {
	r := resultView{Name: q.Name, Label: w.quantityName(c, q), Symbol: q.Symbol, Verdict: q.Name == verdictName}
	d := resultData{Name: q.Name}
	if q.Kind == calc.Choice {
		r.Choice = true
		for _, o := range q.Options {
			d.Words = append(d.Words, w.words.Isolated(c.Name+"."+q.Name+"."+o))
		}
		if i := int(si); i >= 0 && i < len(q.Options) {
			r.Value, r.Word = d.Words[i], q.Options[i]
		}
		if r.Verdict {
			d.Keys = q.Options
		}
		return r, d
	}
	d.Digits = q.Digits
	shown, units := q.Unit, []unit.Unit{q.Unit}
	if q.Fixed {
		d.Units = []unitData{newUnitData(q.Unit)}
	} else {
		shown = q.Unit.In(w.book.System)
		d.Units = []unitData{systemUnit(q.Unit, q.Unit)}
		for _, s := range []unit.System{unit.Metric, unit.Inch} {
			if u := q.Unit.In(s); u != q.Unit {
				units = append(units, u)
				d.Units = append(d.Units, systemUnit(u, q.Unit))
			}
		}
	}
	w.data.sizes(units)
	r.Unit = unitSymbol(shown)
	r.Value = w.resultFigure(shown, si, unit.ResultDigits(shown.FromSI(si), spread/shown.Factor, q.Digits))
	return r, d
}

// resultFigure prints a result: a size of wire by its name.
func (w *writer) resultFigure(u unit.Unit, si float64, digits int) string {
	if u.IsGauge() {
		return cmp.Or(unit.SizeName(u.FromSI(si)), "–")
	}
	return unit.FormatIn(u.FromSI(si), digits, w.lang)
}

// limits says what results are held against. The script gives the verdict, once
// what is metered has been read: the sheet's example is no reading.
func (w *writer) limits(c *handbook.Calculator, v *calculatorView, data *calculatorData) {
	for _, q := range c.Calc.Results {
		s := c.Limits[q.Name]
		if s == nil {
			continue
		}
		w.data.spec(w, s)
		data.Limits = append(data.Limits, [2]string{q.Name, s.ID})
		v.Limits = append(v.Limits, limitView{w.quantityName(c.Calc, q), w.html(func() { w.specification(s, false, true) }), w.in(s.Conditions)})
	}
}

// next says what to read or to choose before results are held against their limits, as the script says it of the sheet's example.
func (w *writer) next(c *handbook.Calculator) string {
	rests := []*handbook.Calculator{c} // on these, as in doubt.ts
	var names []string
	differ := false // whether what it is computed from or held against is another for each model
	for i := 0; i < len(rests); i++ {
		c := rests[i]
		for _, q := range c.Calc.Inputs {
			preset, isPreset := c.Presets[q.Name]
			differ = differ || preset.Spec != nil && len(w.groups(preset.Spec)) > 1
			_, metered := w.accuracy(c, q)
			switch {
			case metered && q.Optional && i > 0:
				return "" // it stands empty: nothing comes of it to be held against a limit
			case preset.From != nil:
				if !slices.Contains(rests, preset.From.Calculator) {
					rests = append(rests, preset.From.Calculator)
				}
			case metered && !q.Optional && (q.Follows == "" || isPreset):
				names = append(names, w.quantityName(c.Calc, q))
			}
		}
	}
	if len(names) > 0 {
		return w.words.Fill("verdict.enter", "input", strings.Join(names, w.words.Word("list.comma")))
	}
	for _, s := range c.Limits {
		differ = differ || s != nil && len(w.groups(s)) > 1
	}
	if differ {
		return w.words.Word("verdict.model")
	}
	return ""
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
			text = w.leftToRight(text + nbsp + symbol)
		}
		given = append(given, lowerFirst(f.Label)+" "+text)
	}
	for _, r := range v.Results {
		switch {
		case r.Choice && r.Value != "":
			statements += " " + r.Label + ": " + strings.TrimSuffix(r.Value, ".") + "."
		case r.Value == "–":
			// Nothing to be said of it with these values.
		case r.Unit != "":
			found = append(found, lowerFirst(r.Label)+" "+w.leftToRight(r.Value+nbsp+r.Unit))
		default:
			found = append(found, lowerFirst(r.Label)+" "+r.Value)
		}
	}
	return w.words.Fill("calculator.given", "inputs", w.words.Series(given...), "results", w.words.Series(found...)) + statements
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
	if known, ok := w.listings.Load(c.Code); ok {
		return known.(template.HTML)
	}
	text := w.html(func() { w.listing("go", c.Code) })
	w.listings.Store(c.Code, text)
	return text
}
