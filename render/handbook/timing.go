package handbook

import (
	"fmt"
	"math"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Timing is what a reading has whose instrument is a stopwatch.
type Timing struct {
	Start string // what is seen or heard when the watch starts
	Marks []Mark // in the order in which they come; the last is judged
	// Tolerance is how far the last mark may be off its expected time, as a share of
	// it; 0 where the limits come from a specification.
	Tolerance float64
	Curve     *Plot // what is expected over time, or nil
}

// Mark is something whose time is taken.
type Mark struct {
	ID, Title string
	// At is the value of the curve's result then, in SI, and Text is that value as
	// typed; Text is "" for a mark that the curve does not know.
	At   float64
	Text string
}

// Last is the mark that is judged.
func (t *Timing) Last() Mark { return t.Marks[len(t.Marks)-1] }

type timingYAML struct {
	Measure    source.Text `yaml:"measure,needed with tolerance but spec"`
	Spec       source.Text `yaml:"spec,needed unless tolerance or curve"`
	Tolerance  source.Text `yaml:"tolerance,needed with curve but spec"`
	Start      source.Text `yaml:"start,needed"`
	Marks      markList    `yaml:"marks,needed" noun:"a mark"`
	Curve      curveYAML   `yaml:"curve,needed with tolerance but spec"`
	Conditions source.Text `yaml:"conditions"`
	Low        source.Text `yaml:"low"`
	Within     source.Text `yaml:"within"`
	High       source.Text `yaml:"high"`
	None       source.Text `yaml:"none"`
	Unstable   source.Text `yaml:"unstable"`
}

type markList = source.Map[markYAML]

type markYAML struct {
	Title source.Text `yaml:"title,needed"`
	At    source.Text `yaml:"at"`
}

type curveYAML struct {
	Place      remark.Place
	Calculator source.Text `yaml:"calculator,needed"`
	Over       source.Text `yaml:"over,needed"`
	Show       source.Text `yaml:"show,needed"`
	Range      rangeYAML   `yaml:"range"`
}

// seconds is the unit of a time that no specification has another unit for.
var seconds, _ = unit.Lookup("s")

// timing resolves a stopwatch. It leads on as a reading does, and its limits are
// proved with the procedure.
func (r *pageResolver) timing(b *source.Block) {
	if !r.onlyInSteps(b) {
		return
	}
	var y timingYAML
	before := len(r.remarks)
	body := b.YAML(&r.remarks)
	source.Decode(body, &y, "a timing", &r.remarks)
	t := &Timing{Start: y.Start.Value}
	form := &Reading{Measure: y.Measure.Value, Conditions: y.Conditions.Value, SpecPlace: y.Spec.Place, Timing: t}
	if y.Spec.Given() {
		form.Spec = r.specNamed(y.Spec)
		if s := form.Spec; s != nil && s.Unit.Kind != unit.Time {
			r.wrongKind(y.Spec, calc.Quantity{Name: "spec", Unit: seconds}, s)
		}
	}
	if y.Tolerance.Given() {
		form.SpecPlace = y.Tolerance.Place
		t.Tolerance = r.tolerance(y)
	}
	if y.Curve.Place.File != "" {
		t.Curve = r.curve(y.Curve)
	}
	for i, e := range y.Marks {
		t.Marks = append(t.Marks, r.mark(e, t, y, i == len(y.Marks)-1))
	}
	form.Outcomes = r.outcomes(y.Low, y.Within, y.High, y.None, y.Unstable)
	if t.Tolerance > 0 && t.Curve != nil && !t.Curve.Calculator.guessed {
		r.asked(t.Curve, y.Tolerance.Place)
	}
	if len(r.remarks) == before && t.Curve != nil && !t.Curve.Calculator.guessed {
		r.expect(t, y.Marks)
	}
	if r.broken[b] = len(r.remarks) > before; !body.Broken && len(t.Marks) > 0 {
		r.page.Blocks[b] = form
	}
}

// tolerance reads how far the last mark may be off.
func (r *pageResolver) tolerance(y timingYAML) float64 {
	if y.Spec.Given() {
		r.remarks = append(r.remarks, remark.KeyUnknown.At(y.Tolerance.Place, "tolerance", "a timing with `spec`", "").
			Instead("Take `spec` or `tolerance` out: the limits come from one of them."))
		return 0
	}
	text, percent := strings.CutSuffix(y.Tolerance.Value, "%")
	v, plain := plainFigure(strings.TrimSpace(text))
	if !percent || !plain || !(v > 0 && v < 100) {
		r.remarks.Add(remark.ValueText, y.Tolerance.Place, y.Tolerance.Value, "tolerance of a timing", "50 %, below 100 %")
		return 0
	}
	return v / 100
}

// curve resolves what a timing is expected to do.
func (r *pageResolver) curve(y curveYAML) *Plot {
	if !y.Calculator.Given() {
		return nil
	}
	p := r.drawn(y.Calculator, plotYAML{Over: y.Over, Show: y.Show, Range: y.Range})
	if p == nil {
		return nil
	}
	if q := p.Calculator.Calc.Inputs[p.Over]; q.Unit.Kind != unit.Time {
		r.remarks = append(r.remarks, remark.QuantityWrong.At(y.Over.Place, q.Name, "over",
			fmt.Sprintf("it is in %s, a unit of %s", q.Unit.Symbol, q.Unit.Kind), "").
			Instead("Name the input that is the time since the start."))
		return nil
	}
	return p
}

// mark resolves a mark; last is the one that is judged.
func (r *pageResolver) mark(e source.Entry[markYAML], t *Timing, y timingYAML, last bool) Mark {
	m := Mark{ID: e.ID.Value, Title: e.Value.Title.Value}
	at := e.Value.At
	switch {
	case at.Given() && t.Curve != nil:
		q := t.Curve.Calculator.Calc.Results[t.Curve.Show]
		if v, ok := r.figure(at, q); ok {
			m.At, m.Text = q.ToSI(v), at.Value
			if _, symbol := figureOf(at.Value); symbol == "" {
				m.Text = strings.TrimSpace(at.Value + " " + q.Unit.Symbol)
			}
		}
	case at.Given() && y.Curve.Place.File == "":
		r.remarks = append(r.remarks, remark.KeyUnknown.At(at.Place, "at", "a mark without a `curve`", "").
			Instead("Add `curve`, which tells when that value comes, or take `at` out."))
	case !at.Given() && last && y.Tolerance.Given() && y.Curve.Place.File != "":
		r.remarks = append(r.remarks, remark.KeyMissing.At(e.ID.Place, "at", "the last mark of a timing with `tolerance`").
			Instead("Say at which value of the curve the mark stands: `at: 100 %%`."))
	}
	return m
}

// Read lists the inputs that a curve depends on and that are read at the machine, by
// calculator and index.
func (t *Timing) Read(book *Handbook) []Input {
	return t.Curve.inputs(func(form *Calculator, q calc.Quantity) bool {
		_, read := form.Accuracy(q, book)
		return read && !q.Optional
	})
}

// Input is one of a calculator.
type Input struct {
	Of    *Calculator
	Index int
}

// inputs lists what a curve depends on besides the time, but what comes from another input or
// result, as far as it is wanted.
func (c *Plot) inputs(wanted func(*Calculator, calc.Quantity) bool) []Input {
	var list []Input
	for _, form := range c.Calculator.upstream(map[*Calculator]bool{}) {
		for i, q := range form.Calc.Inputs {
			preset, given := form.Presets[q.Name]
			same := form == c.Calculator && i == c.Over || preset.From != nil || !given && q.Follows != ""
			if q.Kind == calc.Number && !same && wanted(form, q) {
				list = append(list, Input{form, i})
			}
		}
	}
	return list
}

// asked remarks on what a curve takes from the page alone: neither a specification
// has it, nor is it read at the machine, nor does the author say that it need not be. Of
// a temperature, and of what a built-in calculator knows to be read, nobody can say that.
func (r *pageResolver) asked(c *Plot, at remark.Place) {
	var names []string
	for _, in := range c.inputs(func(form *Calculator, q calc.Quantity) bool {
		accuracy, told := form.Meters[q.Name]
		changes := q.Unit.Kind == unit.Temperature || q.Metered && builtIn(form) // from day to day, or with the machine
		return (!told && !q.Metered || told && changes && accuracy == Accuracy{}) && form.Presets[q.Name].Spec == nil
	}) {
		names = append(names, "`"+in.Of.Calc.Inputs[in.Index].Name+"`")
	}
	if len(names) > 0 {
		r.remarks = append(r.remarks, remark.TimingUnread.At(at, strings.Join(names, ", ")).
			About(remark.Subject{Name: "what " + c.Calculator.ID + " asks for on " + r.page.Source.Path})) // several timings have it
	}
}

// builtIn tells whether a calculator is none of the handbook's own.
func builtIn(form *Calculator) bool {
	_, found := calc.Find(form.Calc.Name)
	return found
}

// day is a set of values that a curve is proved with.
type day struct {
	name  string // as a remark says it
	in    []float64
	drawn bool // the picture shows what the curve does then
}

// days are the page's values, with each model's own, and those in the greatest cold
// that can be typed: cold makes what warms up slow, or stops it.
func (r *pageResolver) days(t *Timing) []day {
	var days []day
	models := r.page.Applicability
	if len(models) == 0 {
		models = []*Model{nil}
	}
	for _, m := range models {
		of := "with the values of this page"
		if m != nil && len(models) > 1 {
			of = fmt.Sprintf("with the values of this page for `%s`", m.ID)
		}
		in := func(s shift) []float64 {
			e := r.page.evaluation(s)
			e.model = m
			return e.in(t.Curve.Calculator)
		}
		days = append(days, day{of, in(shift{}), true})
		for _, read := range t.Read(r.whole.book) {
			if q := read.Of.Calc.Inputs[read.Index]; q.Unit.Kind == unit.Temperature {
				cold := fmt.Sprintf("%s, but at %s %s, the least `%s` that can be typed,", of, plainNumber(q.Min), q.Unit.Symbol, q.Name)
				days = append(days, day{cold, in(shift{read.Of, read.Index, q.ToSI(q.Min) - r.page.Inputs(read.Of)[read.Index]}), false})
			}
		}
	}
	return days
}

// expect holds the marks against the curve, at the values that the page has.
func (r *pageResolver) expect(t *Timing, marks markList) {
	for _, d := range r.days(t) {
		last, name := math.Inf(-1), ""
		for i, m := range t.Marks {
			if m.Text == "" {
				continue
			}
			at, ok := t.Curve.reached(d.in, m.At)
			place := marks[i].Value.At.Place
			switch {
			case !ok && d.drawn:
				r.remarks.Add(remark.TimingMark, place,
					fmt.Sprintf("%s the curve never comes to %s", d.name, m.Text),
					"Correct `at`, or preset the calculator as a machine in order has it.")
				return
			case !ok:
				r.remarks.Add(remark.TimingMark, place,
					fmt.Sprintf("%s the curve never comes to %s", d.name, m.Text),
					"Give that input a `range` in which the curve comes there.")
				return
			case d.drawn && at > t.Curve.Max:
				r.remarks.Add(remark.TimingMark, place,
					fmt.Sprintf("%s the curve comes to %s only after %s s, beyond what is drawn", d.name, m.Text, unit.Format(at, 3)),
					"Widen the `range` of the curve.")
				return
			case at < last:
				r.remarks.Add(remark.TimingMark, marks[i].ID.Place,
					fmt.Sprintf("by the curve `%s` comes before `%s`, which stands above it", m.ID, name),
					"List the marks in the order in which they come.")
				return
			}
			last, name = at, m.ID
		}
	}
}

// Reached returns when a curve first comes to a value, both in SI, with all
// other inputs as the page has them; ok is false where it never does.
func (p *Page) Reached(c *Plot, value float64) (at float64, ok bool) {
	return c.reached(p.Inputs(c.Calculator), value)
}

// reached looks between the values that the picture is drawn through, then between as
// many up to the end of the input's range, and halves the two that hold the value; the
// phone does the same, so that both find the same time.
func (c *Plot) reached(in []float64, value float64) (at float64, ok bool) {
	rising := false
	past := func(v float64) bool { return rising && v >= value || !rising && v <= value }
	before := math.NaN()
	over := c.Calculator.Calc.Inputs[c.Over]
	end := max(c.Max, over.ToSI(over.Max))
	for i := range 2 * PlotPoints {
		t := c.Min + (c.Max-c.Min)*float64(i)/(PlotPoints-1)
		if i >= PlotPoints {
			t = c.Max + (end-c.Max)*float64(i-PlotPoints)/(PlotPoints-1)
		}
		v := c.value(in, t)
		switch {
		case math.IsNaN(v):
			before = math.NaN()
		case math.IsNaN(before) && v == value:
			return t, true
		case math.IsNaN(before):
			before, rising = t, v < value
		case past(v):
			for range halvings {
				if middle := before + (t-before)/2; past(c.value(in, middle)) {
					t = middle
				} else {
					before = middle
				}
			}
			return t, true
		default:
			before = t
		}
	}
	return 0, false
}

// halvings of a 96th of the range leave less than a billionth of it.
const halvings = 30
