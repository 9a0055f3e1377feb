package phone

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// reckoning computes a page's calculators in their chains from what stands in
// the fields, by the modules run in Go.
type reckoning struct {
	*tab
	d      *demo
	page   *handbook.Page
	model  *handbook.Model
	system unit.System
	forms  map[string]shownForm // by the calculator's id
	// inputs are what is entered, and half the worth of its last digit; NaN where
	// an input is chained.
	inputs, halves map[*handbook.Calculator][]float64
	refused        map[*handbook.Calculator][]bool // an entry cannot be taken
}

// moved is one input of the page, moved by so much.
type moved struct {
	c     *handbook.Calculator
	input int
	by    float64
}

const allScript = `Object.fromEntries([...document.querySelectorAll("form.calculator")].map((f) => [f.id, ` + showScript + `(f)]))`

// reckon reads all forms of the page.
func reckon(b *tab, d *demo, p *handbook.Page) *reckoning {
	b.Helper()
	return reckonOf(b, d, p, eval[map[string]shownForm](b, allScript))
}

func reckonOf(b *tab, d *demo, p *handbook.Page, forms map[string]shownForm) *reckoning {
	b.Helper()
	r := &reckoning{
		tab: b, d: d, page: p, system: d.book.System, forms: forms,
		inputs: map[*handbook.Calculator][]float64{}, halves: map[*handbook.Calculator][]float64{}, refused: map[*handbook.Calculator][]bool{},
	}
	for _, c := range p.Calculators {
		at := r.bench(c)
		in, half, refused := make([]float64, len(c.Calc.Inputs)), make([]float64, len(c.Calc.Inputs)), make([]bool, len(c.Calc.Inputs))
		for i, q := range c.Calc.Inputs {
			f := forms[c.ID].Fields[i]
			switch {
			case q.Kind == calc.Choice:
				in[i] = float64(slices.Index(q.Options, f.Text))
			case r.taken(c, i):
				in[i] = math.NaN()
			default:
				si, used, complaint := at.value(q, f)
				in[i], half[i] = si, unit.LastPlace(f.Text, p.Lang)*used.Factor/2
				refused[i] = complaint != ""
			}
		}
		r.inputs[c], r.halves[c], r.refused[c] = in, half, refused
	}
	return r
}

func (r *reckoning) bench(c *handbook.Calculator) *bench {
	return &bench{tab: r.tab, d: r.d, page: r.page, c: c, model: r.model}
}

// chain is where an input's value comes from, nil where it is entered.
func (r *reckoning) chain(c *handbook.Calculator, input int) *handbook.Chain {
	if r.forms[c.ID].Fields[input].Typed {
		return nil
	}
	return c.Presets[c.Calc.Inputs[input].Name].From
}

// leader is the input that another one follows; -1 where it has a value of its own.
func (r *reckoning) leader(c *handbook.Calculator, input int) int {
	q := c.Calc.Inputs[input]
	if _, given := c.Presets[q.Name]; given || q.Follows == "" || r.forms[c.ID].Fields[input].Typed {
		return -1
	}
	return slices.IndexFunc(c.Calc.Inputs, func(other calc.Quantity) bool { return other.Name == q.Follows })
}

// taken tells whether an input's value comes from another calculator, by its own
// chain or that of its leader.
func (r *reckoning) taken(c *handbook.Calculator, input int) bool {
	if i := r.leader(c, input); i >= 0 {
		return r.chain(c, i) != nil
	}
	return r.chain(c, input) != nil
}

// values are a calculator's inputs, some input of the page moved; ok tells which
// have a value that can be taken.
func (r *reckoning) values(c *handbook.Calculator, m moved) (in []float64, ok []bool) {
	in, ok = slices.Clone(r.inputs[c]), make([]bool, len(c.Calc.Inputs))
	for i, q := range c.Calc.Inputs {
		ok[i] = !r.refused[c][i]
		if from := r.chain(c, i); from != nil {
			in[i] = math.NaN()
			if out := r.results(from.Calculator, m); out != nil {
				in[i] = out[from.Result]
			}
		}
		if r.taken(c, i) {
			if leader := r.leader(c, i); leader >= 0 {
				in[i] = in[leader]
			}
			ok[i] = !math.IsNaN(in[i]) && (m.c != nil || fits(q, in[i]))
		} else if m.c == c && (m.input == i || m.input == r.leader(c, i)) {
			in[i] += m.by
		}
	}
	return in, ok
}

// results are a calculator's results, nil where there are none.
func (r *reckoning) results(c *handbook.Calculator, m moved) []float64 {
	r.Helper()
	in, ok := r.values(c, m)
	if slices.Contains(ok, false) {
		return nil
	}
	out, err := c.Module.Run(in)
	if err != nil {
		r.Fatal(err)
	}
	return out
}

// above lists a calculator and those that it rests on.
func (r *reckoning) above(c *handbook.Calculator) []*handbook.Calculator {
	list := []*handbook.Calculator{c}
	for i := range c.Calc.Inputs {
		if from := r.chain(c, i); from != nil {
			for _, other := range r.above(from.Calculator) {
				if !slices.Contains(list, other) {
					list = append(list, other)
				}
			}
		}
	}
	return list
}

// spread moves every input that a result rests on by its width to both sides:
// the root of the sum of the squares of half the differences (JCGM 100:2008,
// 5.1.2), and the label of the input that has the largest part.
func (r *reckoning) spread(c *handbook.Calculator, result int, width func(*handbook.Calculator, int) float64) (by float64, most string) {
	largest := 0.0
	for _, form := range r.above(c) {
		for i, q := range form.Calc.Inputs {
			w := width(form, i)
			if q.Kind == calc.Choice || r.taken(form, i) || !(w > 0) {
				continue
			}
			part := math.Inf(1)
			up, down := r.results(c, moved{form, i, w}), r.results(c, moved{form, i, -w})
			if up != nil && down != nil && !math.IsNaN(up[result]-down[result]) {
				part = math.Abs(up[result]-down[result]) / 2
			}
			by += part * part
			if part > largest {
				largest, most = part, r.forms[form.ID].Fields[i].Label
			}
		}
	}
	return math.Sqrt(by), most
}

// doubt is the standard uncertainty of what is read for an input.
func (r *reckoning) doubt(c *handbook.Calculator, i int) float64 {
	q := c.Calc.Inputs[i]
	a, ok := c.Accuracy(q, r.d.book)
	if !ok {
		return 0
	}
	return (a.Share*math.Abs(q.FromSI(r.inputs[c][i])) + a.Added) * q.Unit.Factor / math.Sqrt(3)
}

// figure is what stands in a chained field.
func (r *reckoning) figure(shown unit.Unit, si float64) string {
	if shown.IsGauge() {
		return unit.SizeName(shown.FromSI(si))
	}
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return ""
	}
	v, _ := strconv.ParseFloat(unit.Format(shown.FromSI(si), 4), 64)
	return strings.NewReplacer(".", string(rune(unit.DecimalSign(r.page.Lang))), "-", "−").Replace(strconv.FormatFloat(v, 'f', -1, 64))
}

// hold compares all that the forms show with what is reckoned. It counts the
// calculators that have results, and those that have none.
func (r *reckoning) hold(name string) (computed, refused int) {
	r.Helper()
	for _, c := range r.page.Calculators {
		form := r.forms[c.ID]
		fail := func(what string, got, want any) {
			r.Helper()
			entries := ""
			for _, f := range form.Fields {
				entries += fmt.Sprintf(" %s=%s %s", f.Name, f.Text, f.Unit)
			}
			r.Errorf("%s: %s of %s is %q, want %q;%s", name, what, c.ID, got, want, entries)
		}
		in, _ := r.values(c, moved{})
		out := r.results(c, moved{})
		if out == nil {
			refused++
		} else {
			computed++
		}
		for i, q := range c.Calc.Inputs {
			f := form.Fields[i]
			if q.Kind == calc.Choice {
				continue
			}
			text, complaint := f.Text, ""
			if from := c.Presets[q.Name].From; from != nil {
				words := r.d.words.Word("calculator.from")
				if f.Typed {
					words = r.d.words.Word("calculator.cut")
				}
				title := cmp.Or(from.Calculator.Title, r.d.words.Word("calculator."+from.Calculator.Calc.Name))
				label := cmp.Or(from.Calculator.Calc.Results[from.Result].Label, r.d.words.Word(from.Calculator.Calc.Name+"."+from.Calculator.Calc.Results[from.Result].Name))
				if label != title { // it is named once
					title += ": " + label
				}
				if want := words + " " + title; f.From != want {
					fail("where "+q.Name, f.From, want)
				}
			}
			if !r.taken(c, i) {
				_, _, complaint = r.bench(c).value(q, f)
			} else {
				text = r.figure(f.unit(q), in[i])
				if !math.IsNaN(in[i]) && !fits(q, in[i]) {
					complaint = r.bench(c).complaint(q, f, "range")
				}
			}
			if f.Text != text {
				fail(q.Name, f.Text, text)
			}
			if f.Error != complaint || f.Invalid != (complaint != "") || f.Invalid && !f.Described {
				fail("the message of "+q.Name, f.Error, complaint)
			}
		}
		for i, q := range c.Calc.Results {
			want := r.d.words.Word("verdict.none")
			switch shown := resultUnit(q, r.system); {
			case out == nil:
			case q.Kind == calc.Choice:
				want = r.d.words.Word(c.Calc.Name + "." + q.Name + "." + q.Options[int(out[i])])
			case shown.IsGauge():
				want = cmp.Or(unit.SizeName(shown.FromSI(out[i])), "–")
			default:
				by, _ := r.spread(c, i, func(form *handbook.Calculator, i int) float64 { return r.halves[form][i] })
				want = unit.FormatIn(shown.FromSI(out[i]), unit.ResultDigits(shown.FromSI(out[i]), by/shown.Factor, q.Digits), r.page.Lang)
			}
			if got := form.Outputs[q.Name]; got != want {
				fail(q.Name, got, want)
			}
		}
		r.verdict(c, out, fail)
	}
	return computed, refused
}

// readings tells whether anything was read of what a calculator rests on, lists
// the labels of what should be and is still the sheet's example, and tells
// whether a figure depends on the model and none is chosen.
func (r *reckoning) readings(c *handbook.Calculator) (read bool, missing []string, model bool) {
	for _, s := range c.Limits {
		model = model || r.model == nil && differs(r.page, s)
	}
	for _, form := range r.above(c) {
		for i, q := range form.Calc.Inputs {
			f := r.forms[form.ID].Fields[i]
			if s := form.Presets[q.Name].Spec; s != nil && !f.Typed && r.model == nil && differs(r.page, s) {
				model = true
			}
			switch _, metered := form.Accuracy(q, r.d.book); {
			case !metered || r.taken(form, i):
			case f.Typed:
				read = true
			case !q.Optional:
				missing = append(missing, f.Label)
			}
		}
	}
	return read, missing, model
}

// verdict holds a verdict and what it says to do against the decision rule.
func (r *reckoning) verdict(c *handbook.Calculator, out []float64, fail func(what string, got, want any)) {
	if len(c.Limits) != 1 {
		return
	}
	form, want, next := r.forms[c.ID], "", ""
	read, missing, model := r.readings(c)
	switch { // no verdict is given on the sheet's example, nor on another model's figures
	case out == nil:
	case missing != nil:
		next = r.d.words.Fill("verdict.enter", "input", strings.Join(missing, ", "))
	case model:
		next = r.d.words.Word("verdict.model")
	}
	for i, q := range c.Calc.Results {
		s := c.Limits[q.Name]
		if s == nil || out == nil || missing != nil || model {
			continue
		}
		model := r.model
		if model == nil {
			model = r.page.Applicability[0]
		}
		by, most := r.spread(c, i, r.doubt)
		bound := math.Sqrt(3) * by / s.Unit.Factor
		want, _ = judge(s.Unit.FromSI(out[i]), s.For(model), bound)
		switch {
		case want == "within" && read:
			next = r.d.words.Word("verdict.verifies")
		case want == "outside" && read:
			next = r.d.words.Word("verdict.condemns")
		case want == "close" && most != "" && math.IsInf(by, 0):
			next = r.d.words.Fill("verdict.noResult", "input", most)
		case want == "close" && most != "":
			next = r.d.words.Fill("verdict.doubt", "bound", unit.FormatIn(0.95*bound, 2, r.page.Lang)+"\u00a0"+s.Unit.Symbol, "input", most)
		}
	}
	if got := form.Verdicts["verdict"]; got != want {
		fail("the verdict", got, want)
	}
	if got, says := form.Outputs["verdict"], r.d.words.Word("verdict."+cmp.Or(want, "none")); got != says {
		fail("the verdict's words", got, says)
	}
	if form.Next != next {
		fail("what to do", form.Next, next)
	}
}

// setAll sets fields of several forms, a list of form, name and text, and
// returns what all forms show after each set.
const setAll = `((sets) => sets.map((set) => {
	for (const [id, name, text] of set ?? []) {
		const e = document.getElementById(id).elements.namedItem(name);
		e.value = text;
		e.dispatchEvent(new Event("input", {bubbles: true}));
	}
	return ` + allScript + `;
}))`

type entry [3]string // form, field, text

func (b *tab) enter(sets ...[]entry) []map[string]shownForm {
	b.Helper()
	return eval[[]map[string]shownForm](b, fmt.Sprintf("%s(%s)", setAll, quoted(sets)))
}

// TestChain types into the first of chained forms, and over what the others take.
func TestChain(t *testing.T) {
	for _, d := range benches(t) {
		lang := d.book.Languages[0]
		t.Run(lang, func(t *testing.T) {
			t.Parallel()
			p := d.page(t, "bench")
			b := open(t, "")
			b.goLive(d.address(p.Path))
			reckon(b, d, p).hold("as it opens")

			const joint, power, warming, opening, energy = "calculator-joint", "calculator-coil-power", "calculator-warming", "calculator-time-to-open", "calculator-energy"
			number := func(text string) string {
				return strings.Replace(text, ".", string(rune(unit.DecimalSign(lang))), 1)
			}
			// What a reader does in turn, each step upon the one before.
			steps := []struct {
				name string
				set  []entry
			}{
				{"a joint", []entry{{joint, "joint", "400"}}},
				{"digits that say more", []entry{{joint, "joint", number("412.5")}, {joint, "current", number("1.503")}}},
				{"a unit of its own", []entry{{joint, "joint", number("0.6") + " Ω"}}},
				{"too great a drop: out of the heater's range", []entry{{joint, "joint", "5000"}, {joint, "current", "2"}}},
				{"not readable", []entry{{joint, "joint", "bad"}}},
				{"empty", []entry{{joint, "joint", ""}}},
				{"good again", []entry{{joint, "joint", "300"}}},
				{"too little voltage to open: no time", []entry{{joint, "joint", "1500"}, {joint, "supply", "12"}}},
				{"typed over", []entry{{power, "voltage", number("13.1")}}},
				{"the first no longer matters", []entry{{joint, "joint", "100"}}},
				{"typed over and wrong", []entry{{power, "voltage", "40"}}},
				{"cleared", []entry{{power, "voltage", ""}}},
				{"spaces clear too", []entry{{power, "voltage", "13"}, {power, "voltage", " "}}},
				{"the last typed over", []entry{{warming, "power", number("18.5")}, {energy, "time", "2 min"}}},
				{"the last cleared", []entry{{warming, "power", ""}, {energy, "time", ""}}},
				{"in the middle", []entry{{power, "coil", "12"}, {opening, "resistance", "8"}}},
				{"the unit of a chained field", []entry{{power, "voltage.unit", "mV"}}},
				{"and a chain that goes on", []entry{{joint, "joint", "250"}}},
				{"another unit of what comes in", []entry{{energy, "time.unit", "min"}, {warming, "ambient.unit", "°F"}}},
			}
			for _, s := range steps {
				forms := b.enter(s.set)[0]
				reckonOf(b, d, p, forms).hold(s.name)
			}
			last := reckon(b, d, p)
			if f := last.forms[power].Fields[0]; f.Unit != "mV" || f.Typed || f.Text == "" {
				t.Errorf("the chained field shows %+v", f)
			}

			sets, computed, refused := chainSets(joint, number), 0, 0
			for i, forms := range b.enter(sets...) {
				c, n := reckonOf(b, d, p, forms).hold(fmt.Sprint(sets[i]))
				computed, refused = computed+c, refused+n
			}
			if computed < 500 || refused < 100 {
				t.Errorf("%d calculators had results, %d none", computed, refused)
			}
		})
	}
}

// chainSets are entries for all inputs of the first form.
func chainSets(form string, number func(string) string) [][]entry {
	var sets [][]entry
	for _, supply := range []string{"6", "12.6", "13.85", "16"} {
		for _, current := range []string{"0", "0.52", "1.5", "1.503", "20"} {
			for _, joint := range []string{"0", "120", "333.3", "1250", "5000", "5001"} {
				sets = append(sets, []entry{{form, "supply", number(supply)}, {form, "current", number(current)}, {form, "joint", number(joint)}})
			}
		}
	}
	return sets
}
