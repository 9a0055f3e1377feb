package phone

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// same compares numbers bit for bit, any two NaN alike.
func same(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool {
		return math.Float64bits(x) == math.Float64bits(y) || x != x && y != y
	})
}

// entries are what readers type into a field, by its unit: in the unit shown,
// in others, with a decimal comma (which is wrong in English), blank, and wrong
// in many ways.
var entries = map[string][]string{
	"": {
		"", "0", "1", "7.25", " 12 ", "1e1", "0.5", ".5", "5.", "+3", "-3", "−3", "1,234", "1 234", "1,5", "12,34.5",
		"1.2.3", "abc", "--1", "1e999", "1e-400", "99999999", "-99999999", "0x10", "1/2", "½", "NaN", "Infinity", "3 bananas", "12 V A", "OL", "0.L", "∞",
		"<b>1</b>",
	},
	"A":   {"2.4 A", "350 mA", "2400mA", "2,4 A", "5 V", "-1 A", "1000 A", "1000.1 A"},
	"m":   {"3 m", "250 cm", "1800 mm", "12 ft", "30 in", "2 yd", "1 km"},
	"mm²": {"2.5 mm²", "2.5 mm2", "16 AWG", "14 ga", "#14", "16awg", "AWG 18", "4/0 AWG", "1/0", "00 AWG", "41 AWG", "7/0 AWG", "0.04 mm²", "0.01 cm²", "0.002 in²"},
	"°C":  {"70 °F", "-40 °F", "-40 °C", "20 degC", "293.15 K", "25°C", "70 ºF", "300 °C", "1 m"},
	"V":   {"12.6 V", "230 V", "11500 mV", "0.0145 kV", "60.5 V", "14,1 V", "12.6V"},
	"Ω":   {"10 Ω", "10 ohm", "10 ohms", "4700 mΩ", "1.2 kΩ", "0.05 Ω", "10 Ohm"},
	"K/W": {"5.6 K/W", "4.9K/W", "0.05 K/W", "5.6 K"},
	"s":   {"200 s", "3.5 min", "1 h", "0.5 s", "500 ms", "20000 s"},
	"rpm": {"1750 rpm", "1,750 rpm", "29.2 Hz", "183.3 rad/s", "1750 1/min", "880", "3490", "1675", "1850", "20001"},
	"Hz":  {"29.17 Hz", "0.03 kHz", "1750 rpm", "60"},
}

// inAnyUnit are those of them, besides what names a unit and the ends of the range, that are tried with each unit that can
// be chosen: numbers, whose worth it is; what is no number is none in any.
var inAnyUnit = []string{"", "0", "1", "7.25", "-3", "1,234", "99999999", "-99999999", "abc", "OL"}

// setScript sets fields of a form, one set after the other, and returns what
// the form shows after each. A set is a list of names and texts; who types
// touches only what is to change. Nothing is kept of the thousands of entries
// before the last set: that takes as long as all else.
const setScript = `((form, sets) => {
	const keep = Storage.prototype.setItem;
	return sets.map((set, i) => {
		Storage.prototype.setItem = i < sets.length - 1 ? () => {} : keep;
		for (const [name, text] of new Map(set)) { // of two for one field the second
			const e = form.elements.namedItem(name);
			const joined = e.closest(".field").querySelector(".from") && !e.dataset.typed;
			if (e.value === text && !joined) continue;
			e.value = text;
			e.dispatchEvent(new Event("input", {bubbles: true}));
		}
		return show(form);
	});
})`

// showScript returns what a form shows.
const showScript = `((form) => ({
	Fields: [...form.querySelectorAll(".field")].map((f) => {
		const e = f.querySelector("input, select"), unit = f.querySelector("select[name$='.unit'], .unit");
		return {
			Name: e.name, Text: e.value, Unit: unit ? unit.value ?? unit.textContent : "",
			Label: e.labels[0].firstChild.textContent.trim(),
			Units: unit ? unit.options ? [...unit.options].map((o) => o.text) : [unit.textContent] : [],
			Invalid: e.getAttribute("aria-invalid") === "true",
			Error: f.querySelector(".error")?.textContent ?? "",
			Typed: !!e.dataset.typed,
			Described: (e.getAttribute("aria-describedby") ?? "") === (f.querySelector(".error")?.id ?? "-"),
			From: f.querySelector(".from")?.textContent ?? "",
		};
	}),
	Next: form.querySelector(".next")?.textContent ?? "",
	Outputs: Object.fromEntries([...form.querySelectorAll("output")].map((o) => [o.name, o.textContent])),
	Verdicts: Object.fromEntries([...form.querySelectorAll("output[data-verdict]")].map((o) => [o.name, o.dataset.verdict])),
}))`

type shownField struct {
	Name, Text, Unit, Label, Error, From string
	Units                                []string
	Invalid, Described, Typed            bool
}

type shownForm struct {
	Fields            []shownField
	Outputs, Verdicts map[string]string
	Next              string
}

// bench holds one calculator of one page against the Go.
type bench struct {
	*tab
	d     *demo
	page  *handbook.Page
	c     *handbook.Calculator
	model *handbook.Model
}

// Errorf names the calculator of the page.
func (b *bench) Errorf(format string, args ...any) {
	b.Helper()
	b.tab.Errorf(b.c.ID+": "+format, args...)
}

func (b *bench) form() string { return fmt.Sprintf("document.getElementById(%s)", quoted(b.c.ID)) }

// TestCalculators types into every calculator of every page, and of other languages of some, and compares what
// is shown with what the Go function gives for the same entries. Where one stands for the first time it gets all entries, elsewhere a few.
// For each model TestWhole looks at them.
func TestCalculators(t *testing.T) {
	all := compiled(t)
	tried := map[[2]string]bool{}
	others := 0
	for _, p := range all.openedPages() {
		d := all.in(p.Lang)
		if p.Lang != d.book.Languages[0] && len(p.Calculators) > 0 {
			if others++; others > 3 && !*every {
				continue // what differs is words and signs
			}
		}
		if len(p.Calculators) == 0 {
			continue
		}
		exhaust := map[*handbook.Calculator]bool{}
		for _, c := range p.Calculators {
			kind := [2]string{p.Lang, c.Calc.Name}
			exhaust[c] = !tried[kind] || *every
			tried[kind] = true
		}
		t.Run(p.Lang+"/"+p.Key[strings.LastIndex(p.Key, "/")+1:], func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.script(false)
			b.goTo(d.address(p.Path))
			static := eval[map[string]shownForm](b, allScript) // as the build computed it, before any script runs
			b.script(true)
			b.goLive(d.address(p.Path))
			live := eval[map[string]shownForm](b, allScript)
			for _, c := range p.Calculators {
				b := &bench{tab: b, d: d, page: p, c: c}
				b.opened(static[c.ID], live[c.ID])
				if p.Procedure != nil {
					b.goLive(d.address(p.Path) + "#" + c.ID) // the step that it stands in
				}
				b.typed()
				if exhaust[c] {
					b.entries(b.typedOver(static[c.ID], live[c.ID]))
				}
			}
		})
	}
}

// opened compares what a form shows without script and with it.
func (b *bench) opened(static, live shownForm) {
	b.Helper()
	for i, q := range b.c.Calc.Inputs {
		if b.c.Presets[q.Name].From != nil {
			continue // TestChain
		}
		want := static.Fields[i].Text
		if _, metered := b.c.Accuracy(q, b.d.book); metered && q.Optional && b.c.Presets[q.Name].Spec == nil {
			want = "" // what is measured is for the reader to enter
		}
		if got := live.Fields[i].Text; got != want {
			b.Errorf("%s is %q without script and %q with it", q.Name, static.Fields[i].Text, got)
		}
	}
	b.compare("without script", static)
	b.compare("with script", live)
}

// typedOver is what a form shows, once what would come from another one is typed.
func (b *bench) typedOver(static, live shownForm) shownForm {
	for i, q := range b.c.Calc.Inputs {
		if b.c.Presets[q.Name].From != nil {
			live.Fields[i].Text = static.Fields[i].Text
		}
	}
	return live
}

// typed types with the keyboard into the first field for a number.
func (b *bench) typed() {
	first := slices.IndexFunc(b.c.Calc.Inputs, func(q calc.Quantity) bool { return q.Kind == calc.Number })
	name := b.c.Calc.Inputs[first].Name
	b.tap(b.form() + ".elements.namedItem(" + quoted(name) + ")")
	b.wait("document.activeElement.name === " + quoted(name))
	eval[bool](b.tab, "(document.activeElement.select(), true)")
	b.keys("12.5")
	form := eval[shownForm](b.tab, showScript+"("+b.form()+")")
	if form.Fields[first].Text != "12.5" {
		b.Fatalf("the field has %q after 12.5 was typed", form.Fields[first].Text)
	}
	b.compare("typed", form)
}

// entries tries every entry in every field, the others as they stand, and then
// many together.
func (b *bench) entries(start shownForm) {
	var sets [][][2]string
	var restore [][2]string
	for _, f := range start.Fields {
		restore = append(restore, [2]string{f.Name, f.Text})
	}
	choices := map[string][]string{}
	for i, q := range b.c.Calc.Inputs {
		f := start.Fields[i]
		if q.Kind == calc.Choice {
			choices[q.Name] = q.Options
			for _, o := range q.Options {
				sets = append(sets, append(slices.Clone(restore), [2]string{q.Name, o}))
			}
			continue
		}
		list := slices.Concat(entries[""], entries[q.Unit.Symbol])
		for _, v := range []float64{q.Min, q.Max, q.Min - 0.001, q.Max + 0.001, (q.Min + q.Max) / 2} {
			list = append(list, strconv.FormatFloat(v, 'f', -1, 64))
		}
		choices[q.Name] = list
		for j, u := range f.Units {
			texts := list
			if j > 0 && !*every {
				texts = slices.Concat(inAnyUnit, list[len(entries[""]):])
			}
			for _, text := range texts {
				set := append(slices.Clone(restore), [2]string{q.Name, text})
				if len(f.Units) > 1 {
					set = append(set, [2]string{q.Name + ".unit", u})
				}
				sets = append(sets, set)
			}
		}
		if len(f.Units) > 1 {
			restore = append(restore, [2]string{q.Name + ".unit", f.Unit})
		}
	}
	sets = append(sets, restore)
	random := rand.New(rand.NewPCG(1, 2))
	for range 320 { // each types over two entries of those that stand
		var set [][2]string
		for range 2 {
			q := b.c.Calc.Inputs[random.IntN(len(b.c.Calc.Inputs))]
			text := choices[q.Name][random.IntN(len(choices[q.Name]))]
			if q.Kind == calc.Number && random.IntN(3) > 0 {
				text = strconv.FormatFloat(q.Min+(q.Max-q.Min)*math.Pow(random.Float64(), 4), 'g', 1+random.IntN(6), 64)
			}
			set = append(set, [2]string{q.Name, text})
		}
		sets = append(sets, set)
	}
	sets = append(sets, restore)
	forms := eval[[]shownForm](b.tab, fmt.Sprintf("((show) => %s(%s, %s))(%s)", setScript, b.form(), quoted(sets), showScript))
	computed, refused := 0, 0
	for i, form := range forms {
		if b.compare(fmt.Sprint(sets[i][len(sets[i])-1]), form) {
			computed++
		} else {
			refused++
		}
	}
	if computed < 100 || refused < 100 {
		b.Errorf("%d sets of entries were computed and %d refused", computed, refused)
	}
	b.Logf("%d sets of entries computed, %d refused", computed, refused)
}

// compare holds what a form shows against Go. It tells whether there was
// something to compute.
func (b *bench) compare(name string, form shownForm) bool {
	b.Helper()
	in := make([]float64, len(b.c.Calc.Inputs))
	whole := true
	halves := make([]float64, len(in))
	for i, q := range b.c.Calc.Inputs {
		f := form.Fields[i]
		if f.Name != q.Name {
			b.Fatalf("field %d is %s, want %s", i+1, f.Name, q.Name)
		}
		if q.Kind == calc.Choice {
			in[i] = float64(slices.Index(q.Options, f.Text))
			continue
		}
		if b.c.Presets[q.Name].From != nil && !f.Typed {
			return false // it follows another form: TestChain
		}
		if _, preset := b.c.Presets[q.Name]; q.Follows != "" && !preset && !f.Typed {
			in[i] = in[slices.IndexFunc(b.c.Calc.Inputs, func(other calc.Quantity) bool { return other.Name == q.Follows })]
			continue
		}
		si, used, complaint := b.value(q, f)
		halves[i] = unit.LastPlace(f.Text, b.page.Lang) * used.Factor / 2
		in[i] = si
		if complaint != "" {
			whole = false
		}
		if f.Invalid != (complaint != "") || f.Error != complaint || f.Invalid && !f.Described {
			b.Errorf("%s: %s = %q [%s] is told %q (%t), want %q", name, f.Name, f.Text, f.Unit, f.Error, f.Invalid, complaint)
		}
	}
	var out []float64
	if whole {
		out = b.results(in)
	}
	for i, q := range b.c.Calc.Results {
		want, verdict := b.d.words.Word("verdict.none"), ""
		if whole {
			if q.Kind == calc.Choice {
				verdict = q.Options[int(out[i])]
				want = b.d.words.Word(b.c.Calc.Name + "." + q.Name + "." + verdict)
			} else {
				shown := resultUnit(q, b.d.book.System)
				digits := unit.ResultDigits(shown.FromSI(out[i]), b.spread(halves, in, form)[i]/shown.Factor, q.Digits)
				want = unit.FormatIn(shown.FromSI(out[i]), digits, b.page.Lang)
				if shown.IsGauge() {
					want = cmp.Or(unit.SizeName(shown.FromSI(out[i])), "–")
				}
			}
		}
		if got := form.Outputs[q.Name]; got != want {
			b.Errorf("%s: %s is %q, want %q; entries %v", name, q.Name, got, want, form.Fields)
		}
		if got, has := form.Verdicts[q.Name]; q.Name == "verdict" && (!has || got != verdict) {
			b.Errorf("%s: the verdict is %q, want %q", name, got, verdict)
		}
	}
	b.limits(name, form, in, out)
	return whole
}

// resultUnit is the unit that a result is shown in.
func resultUnit(q calc.Quantity, s unit.System) unit.Unit {
	if q.Fixed {
		return q.Unit
	}
	return q.Unit.In(s)
}

// results computes natively; a handbook's own calculator has its module alone.
func (b *bench) results(in []float64) []float64 {
	if !b.c.Calc.Own() {
		return b.c.Calc.Native(in)
	}
	out, err := b.c.Module.Run(in)
	if err != nil {
		b.Fatal(err)
	}
	return out
}

// spread moves each input by its width to both sides and combines half the
// differences of the results.
func (b *bench) spread(width, in []float64, form shownForm) []float64 {
	sums := make([]float64, len(b.c.Calc.Results))
	for i, q := range b.c.Calc.Inputs {
		if q.Kind == calc.Choice || !(width[i] > 0) {
			continue
		}
		up, down := slices.Clone(in), slices.Clone(in)
		for j, other := range b.c.Calc.Inputs {
			_, preset := b.c.Presets[other.Name]
			if j == i || other.Follows == q.Name && !form.Fields[j].Typed && !preset {
				up[j] += width[i]
				down[j] -= width[i]
			}
		}
		high, low := b.results(up), b.results(down)
		for r := range sums {
			part := math.Abs(high[r]-low[r]) / 2
			if math.IsNaN(part) {
				part = math.Inf(1)
			}
			sums[r] += part * part
		}
	}
	for r := range sums {
		sums[r] = math.Sqrt(sums[r])
	}
	return sums
}

// doubts are the standard uncertainties of what was read.
func (b *bench) doubts(form shownForm, in []float64) []float64 {
	width := make([]float64, len(in))
	for i, q := range b.c.Calc.Inputs {
		a, ok := b.c.Accuracy(q, b.d.book)
		if ok {
			width[i] = a.Bound(q.FromSI(in[i])) * q.Unit.Factor / math.Sqrt(3)
		}
	}
	return width
}

// differs tells whether the models of a page have different figures in a
// specification.
func differs(p *handbook.Page, s *handbook.Spec) bool {
	seen := map[string]bool{}
	for _, m := range p.Applicability {
		if l := s.For(m); l != nil {
			seen[bounds(l)] = true
		}
	}
	return len(seen) > 1
}

// limits holds the verdict of a calculator's limits against the rule.
func (b *bench) limits(name string, form shownForm, in, out []float64) {
	b.Helper()
	if len(b.c.Limits) == 0 {
		return
	}
	order := []string{"within", "close", "", "outside"}
	want := "within"
	for i, q := range b.c.Calc.Inputs { // no verdict is given on the sheet's example, nor on another model's figures
		_, metered := b.c.Accuracy(q, b.d.book)
		spec := b.c.Presets[q.Name].Spec
		if !form.Fields[i].Typed && (metered && !q.Optional || spec != nil && b.model == nil && differs(b.page, spec)) {
			want = ""
		}
	}
	for _, s := range b.c.Limits {
		if b.model == nil && differs(b.page, s) {
			want = ""
		}
	}
	if name == "without script" {
		want = ""
	}
	example := want == ""
	for i, q := range b.c.Calc.Results {
		s := b.c.Limits[q.Name]
		if s == nil || example {
			continue
		}
		verdict := ""
		if out != nil {
			model := b.model
			if model == nil && len(b.page.Applicability) > 0 {
				model = b.page.Applicability[0]
			}
			verdict, _ = judge(s.Unit.FromSI(out[i]), s.For(model), math.Sqrt(3)*b.spread(b.doubts(form, in), in, form)[i]/s.Unit.Factor)
		}
		if slices.Index(order, verdict) > slices.Index(order, want) {
			want = verdict
		}
	}
	if got := form.Verdicts["verdict"]; got != want {
		b.Errorf("%s: the verdict is %q, want %q; %v", name, got, want, form.Outputs)
	}
	key := "verdict." + want
	if want == "" {
		key = "verdict.none"
	}
	if got := form.Outputs["verdict"]; got != b.d.words.Word(key) {
		b.Errorf("%s: the verdict says %q, want %q", name, got, b.d.words.Word(key))
	}
}

// value reads a field as calc/unit does. The complaint is the message that the
// field must show, "" where there is nothing to complain of.
func (b *bench) value(q calc.Quantity, f shownField) (si float64, used unit.Unit, complaint string) {
	if strings.TrimSpace(f.Text) == "" && q.Optional {
		return math.NaN(), q.Unit, ""
	}
	shown := f.unit(q)
	tell := func(key string) string { return b.complaint(q, f, key) }
	if overRange.MatchString(strings.TrimSpace(f.Text)) {
		return 0, q.Unit, tell("open")
	}
	si, used, err := unit.Parse(f.Text, shown, b.page.Lang)
	var fault *unit.Error
	number := !sizeName.MatchString(strings.TrimSpace(f.Text))
	switch {
	case used.IsGauge() && number && (err == nil || errors.As(err, &fault) && fault.Reason == unit.TooLarge):
		return 0, q.Unit, tell("size") // a size of the wire gauge is a name, not a number to reckon with
	case errors.As(err, &fault):
		return 0, q.Unit, tell(map[unit.Reason]string{
			unit.NotANumber: "number", unit.TooLarge: "number", unit.Ambiguous: "ambiguous",
			unit.UnknownUnit: "unit", unit.WrongKind: "unit", unit.NoSize: "size",
		}[fault.Reason])
	case !slices.Contains(f.Units, strings.TrimPrefix(used.Symbol, "Δ")):
		return 0, q.Unit, tell("unit")
	case !fits(q, si):
		return 0, q.Unit, tell("range")
	}
	return si, used, ""
}

// unit is the unit that a field shows.
func (f shownField) unit(q calc.Quantity) unit.Unit {
	shown, _ := unit.Lookup(f.Unit)
	if q.Unit.Kind == unit.TemperatureDifference {
		shown, _ = unit.Lookup("Δ" + f.Unit)
	}
	return shown
}

// fits tells whether a value lies in an input's range. One at its end may differ
// by what the conversion of units costs.
func fits(q calc.Quantity, si float64) bool {
	low, high := q.ToSI(q.Min), q.ToSI(q.Max)
	return si >= low-1e-12*math.Abs(low) && si <= high+1e-12*math.Abs(high)
}

// complaint is the message of a field, with the range in the unit that it shows.
func (b *bench) complaint(q calc.Quantity, f shownField, key string) string {
	low, high := b.ends(q, f.unit(q))
	limits := b.d.words.Fill("limit.range", "min", low, "max", strings.TrimSpace(high+"\u00a0"+f.Unit))
	return b.d.words.Fill("error."+key, "field", f.Label, "range", limits, "units", strings.Join(f.Units, ", "))
}

// ends are the ends of an input's range: as they were written in its own unit,
// in another one to four digits and rounded into the range, so that both are
// accepted. Of the wire gauge they are the sizes within the range.
func (b *bench) ends(q calc.Quantity, shown unit.Unit) (low, high string) {
	if shown.IsGauge() {
		for _, s := range unit.Sizes() { // thickest first
			if fits(q, s.Area) {
				low, high = s.Name, cmp.Or(high, s.Name)
			}
		}
		return low, high
	}
	sign := func(text string) string {
		return strings.NewReplacer("-", "−", ".", string(rune(unit.DecimalSign(b.page.Lang)))).Replace(text)
	}
	plain := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	if shown == q.Unit {
		return group(plain(q.Min), b.page.Lang), group(plain(q.Max), b.page.Lang)
	}
	end := func(v float64, inwards int) string {
		text := strconv.FormatFloat(shown.FromSI(q.ToSI(v)), 'e', 3, 64) // d.ddde±xx
		digits, exponent, _ := strings.Cut(text, "e")
		n, _ := strconv.Atoi(strings.Replace(digits, ".", "", 1))
		power, _ := strconv.Atoi(exponent)
		for range 3 {
			rounded, _ := strconv.ParseFloat(fmt.Sprintf("%de%d", n, power-3), 64)
			if text = plain(rounded); fits(q, shown.ToSI(rounded)) {
				break
			}
			n += inwards
		}
		return sign(text)
	}
	return end(q.Min, 1), end(q.Max, -1)
}

var sizeName = regexp.MustCompile(`(?i)^(awg|#)? *(0{1,4}|\d+(/0)?) *(awg|ga\.?|gauge)?$`)

// overRange is what a meter shows over its range.
var overRange = regexp.MustCompile(`(?i)^([o0]\.?l\.?|∞)$`)

// group parts thousands as the pages do: by commas from 1,000 on where the point is decimal, else by narrow spaces from
// 10 000 on.
func group(text, lang string) string {
	whole, rest, _ := strings.Cut(strings.Replace(text, "-", "−", 1), ".")
	digits := len(strings.TrimPrefix(whole, "−"))
	mark, decimal, least := ",", ".", 4
	if unit.DecimalSign(lang) == ',' {
		mark, decimal, least = "\u202f", ",", 5
	}
	for i := 3; digits >= least && i < digits; i += 3 {
		at := len(whole) - i - (i/3-1)*len(mark)
		whole = whole[:at] + mark + whole[at:]
	}
	if rest != "" {
		whole += decimal + rest
	}
	return whole
}

// presets asks that fields which follow a specification have the figure of the
// model.
func (b *bench) presets(form shownForm) {
	b.Helper()
	for i, q := range b.c.Calc.Inputs {
		preset, ok := b.c.Presets[q.Name]
		if !ok || preset.Spec == nil {
			continue
		}
		l := preset.Spec.For(b.model)
		number := l.Nominal
		if preset.Within {
			number = l.Tolerance
		}
		text := strings.Replace(form.Fields[i].Text, string(rune(unit.DecimalSign(b.page.Lang))), ".", 1)
		got, err := strconv.ParseFloat(text, 64)
		if err != nil || got != number.Value || form.Fields[i].Unit != preset.Spec.Unit.Symbol {
			b.Errorf("model %s: %s is preset to %q %s, want %s %s", b.model.ID, q.Name, form.Fields[i].Text, form.Fields[i].Unit, number.Text, preset.Spec.Unit.Symbol)
		}
	}
}
