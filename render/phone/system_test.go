package phone

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// chooseSystem chooses the system of units in the page's first choice of it.
func (b *tab) chooseSystem(s unit.System) {
	b.Helper()
	eval[bool](b, fmt.Sprintf(`(() => {
		const s = document.querySelector("select[name=units]");
		s.value = %s;
		s.dispatchEvent(new Event("change", {bubbles: true}));
		return true;
	})()`, quoted(s)))
}

// converted is what stands in a field after its value has gone into another
// unit: four digits, more where four would leave the range, or the size next to
// it.
func (r *reckoning) converted(q calc.Quantity, to unit.Unit, si float64) string {
	text := r.figure(to, si)
	for digits := 5; digits < 10 && !to.IsGauge() && fits(q, si); digits++ {
		v, _ := strconv.ParseFloat(strings.NewReplacer(",", ".", "−", "-").Replace(text), 64)
		if fits(q, to.ToSI(v)) {
			break
		}
		v, _ = strconv.ParseFloat(unit.Format(to.FromSI(si), digits), 64)
		text = strings.NewReplacer(".", string(rune(unit.DecimalSign(r.page.Lang))), "-", "−").Replace(strconv.FormatFloat(v, 'f', -1, 64))
	}
	return text
}

// into asks that every field of the page that has a unit of the system is in it
// now, with the value of before.
func (r *reckoning) into(before *reckoning, s unit.System) {
	r.Helper()
	r.system = s
	for _, c := range r.page.Calculators {
		for i, q := range c.Calc.Inputs {
			was, now := before.forms[c.ID].Fields[i], r.forms[c.ID].Fields[i]
			unitNow := q.Unit.In(s)
			if q.Unit.In(unit.Metric) == q.Unit.In(unit.Inch) {
				if !r.taken(c, i) && (now.Text != was.Text || now.Unit != was.Unit) {
					r.Errorf("%s: %s was %s %s and is %s %s", s, q.Name, was.Text, was.Unit, now.Text, now.Unit)
				}
				continue
			}
			if now.unit(q) != unitNow {
				r.Errorf("%s: %s is in %s, want %s", s, q.Name, now.Unit, unitNow.Symbol)
			}
			if r.taken(c, i) || was.Unit == now.Unit {
				continue
			}
			if want := r.converted(q, unitNow, before.inputs[c][i]); now.Text != want {
				r.Errorf("%s: %s was %s %s and is %q %s, want %s", s, q.Name, was.Text, was.Unit, now.Text, now.Unit, want)
			}
		}
	}
	r.hold("in the system " + string(s))
}

// TestSystem switches the system of units, and fields, to and fro.
func TestSystem(t *testing.T) {
	for _, d := range benches(t) {
		t.Run(d.book.Languages[0], func(t *testing.T) {
			t.Parallel()
			p := d.page(t, "bench")
			b := open(t, "")
			b.goLive(d.address(p.Path))
			now := reckon(b, d, p)
			now.hold("as it opens")
			number := func(text string) string {
				return strings.Replace(text, ".", string(rune(unit.DecimalSign(p.Lang))), 1)
			}
			to := func(s unit.System) *reckoning {
				before := now
				b.chooseSystem(s)
				now = reckon(b, d, p)
				now.into(before, s)
				if chosen := eval[string](b, `[...document.querySelectorAll("select[name=units]")].map((s) => s.value).join()`); strings.Trim(strings.ReplaceAll(chosen, string(s), ""), ",") != "" {
					t.Errorf("the choices say %s after %s was chosen", chosen, s)
				}
				return now
			}
			for range 3 {
				to(unit.Inch)
				to(unit.Metric)
			}
			// Typed figures go along, those at the ends of their ranges too.
			now = reckonOf(b, d, p, b.enter([]entry{
				{"calculator-cable", "length", "50"}, {"calculator-cable", "area", number("1.31")},
				{"calculator-fit", "bore", "14"}, {"calculator-fit", "shaft", "9"}, {"calculator-fit", "warmth", "-40"},
			})[0])
			now.system = unit.Metric
			now.hold("typed")
			for range 3 {
				to(unit.Inch)
				if f := now.forms["calculator-cable"].Fields[2]; f.Text != "16" || f.Unit != "AWG" {
					t.Errorf("1.31 mm² became %s %s, want 16 AWG", f.Text, f.Unit) // 1.309 mm²: ASTM B258
				}
				to(unit.Metric)
				if f := now.forms["calculator-cable"].Fields[2]; f.Text != number("1.309") || f.Unit != "mm²" {
					t.Errorf("16 AWG became %s %s, want 1.309 mm²", f.Text, f.Unit)
				}
			}
			to(unit.Inch)
			b.ownUnits(d, p, number)

			// An entry's own unit counts in either system.
			for _, s := range []unit.System{unit.Inch, unit.Metric} {
				b.chooseSystem(s)
				r := reckonOf(b, d, p, b.enter([]entry{
					{"calculator-fit", "bore", number("0.5") + " in"}, {"calculator-fit", "shaft", number("12.65 mm")}, {"calculator-fit", "warmth", "68 °F"},
					{"calculator-cable", "area", "16 AWG"}, {"calculator-cable", "length", "10 ft"}, {"calculator-cable", "current", "10 A"},
				})[0])
				r.system = s
				r.hold("entries with units in " + string(s))
				// 0.5 in are 12.7 mm, 68 °F are 20 °C; 10 ft are 3.048 m.
				fit, cable := calculatorOf(p, "fit"), calculatorOf(p, "cable")
				if got := r.results(fit, moved{})[0]; math.Abs(got-0.05e-3) > 1e-12 {
					t.Errorf("%s: the clearance is %v m, want 0.05 mm", s, got)
				}
				if got, want := r.results(cable, moved{})[0], 0.0178*3.048*10/1.309; math.Abs(got-want) > 1e-3*want {
					t.Errorf("%s: the drop is %v V, want %v", s, got, want)
				}
			}

			// The choice is remembered, here and on the other sheets.
			b.chooseSystem(unit.Inch)
			b.leave("location.reload()")
			b.wait(`performance.getEntriesByType("navigation")[0].type === "reload"`)
			b.waitLive()
			r := reckon(b, d, p)
			r.system = unit.Inch
			r.hold("after a reload")
			other := d.page(t, "other")
			b.goLive(d.address(other.Path))
			r = reckon(b, d, other)
			r.system = unit.Inch
			r.hold("on another sheet")
			for i, q := range other.Calculators[0].Calc.Inputs {
				if f := r.forms[other.Calculators[0].ID].Fields[i]; q.Kind == calc.Number && f.unit(q) != q.Unit.In(unit.Inch) {
					t.Errorf("another sheet: %s is in %s", q.Name, f.Unit)
				}
			}
		})
	}
}

// ownUnits switches fields by their own choice of unit, in a page that is in
// inches: values that nobody typed go along, typed figures stay.
func (b *tab) ownUnits(d *demo, p *handbook.Page, number func(string) string) {
	b.Helper()
	b.goLive(d.address(p.Path))
	fresh := reckon(b, d, p)
	fresh.system = unit.Inch
	fresh.hold("fresh in inches")
	for _, c := range p.Calculators {
		for i, q := range c.Calc.Inputs {
			if q.Kind == calc.Choice {
				continue
			}
			for _, symbol := range fresh.forms[c.ID].Fields[i].Units {
				if symbol == "AWG" || len(fresh.forms[c.ID].Fields[i].Units) == 1 {
					continue // its sizes are rounded to: see TestSystem
				}
				before := reckon(b, d, p)
				if before.forms[c.ID].Fields[i].Unit == symbol {
					continue
				}
				r := reckonOf(b, d, p, b.enter([]entry{{c.ID, q.Name + ".unit", symbol}})[0])
				r.system = unit.Inch
				f := r.forms[c.ID].Fields[i]
				want := r.converted(q, f.unit(q), before.inputs[c][i])
				if !r.taken(c, i) && (f.Text != want || f.Unit != symbol) {
					b.Errorf("%s of %s was %s %s and is %s %s, want %s %s", q.Name, c.ID, before.forms[c.ID].Fields[i].Text, before.forms[c.ID].Fields[i].Unit, f.Text, f.Unit, want, symbol)
				}
				r.hold(c.ID + " " + q.Name + " in " + symbol)
			}
		}
	}
	for _, e := range []entry{{"calculator-fit", "bore", number("0.48")}, {"calculator-cable", "length", "12"}} {
		for _, symbol := range map[string][]string{"bore": {"mm", "cm", "in", "thou", "mm"}, "length": {"m", "ft", "m"}}[e[1]] {
			r := reckonOf(b, d, p, b.enter([]entry{e}, []entry{{e[0], e[1] + ".unit", symbol}})[1])
			r.system = unit.Inch
			r.hold(fmt.Sprint(e, symbol))
			for _, f := range r.forms[e[0]].Fields {
				if f.Name == e[1] && (f.Text != e[2] || f.Unit != symbol) {
					b.Errorf("%v typed became %s %s in %s", e, f.Text, f.Unit, symbol)
				}
			}
		}
	}
}
