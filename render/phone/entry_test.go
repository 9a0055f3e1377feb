package phone

import (
	"fmt"
	"strings"
	"testing"
)

// TestEntryErrors holds the messages of wrong entries against words written by
// hand: the field, and what it takes in the unit that it shows. Both ends that a
// message names are taken.
//
// 1 ft is 0.3048 m and 1 in 25.4 mm (NIST SP 811, B.8): 0.1 m are 0.32808 ft,
// 50 m 164.04 ft; 10 mm are 0.393701 in and 14 mm 0.551181 in, where four digits
// into the range end in 8 and 1. Of the wire gauge 20 has 0.518 mm² and 21
// 0.411 mm², 1 has 42.4 mm² and 1/0 53.5 mm² (ASTM B258).
func TestEntryErrors(t *testing.T) {
	t.Parallel()
	d := benches(t)[0]
	p := d.page(t, "bench")
	axe := axeScript(t)
	b := open(t, "")
	b.goLive(d.address(p.Path))
	for _, c := range []struct{ form, field, unit, text, says string }{
		{"cable", "length", "m", "60", "Length: 0.1 to 50\u00a0m is accepted."},
		{"cable", "length", "ft", "0", "Length: 0.3281 to 164\u00a0ft is accepted."},
		{"cable", "length", "ft", "long", "Length: enter a number, 0.3281 to 164\u00a0ft."},
		{"cable", "length", "ft", "3 V", "Length: the unit is not known here; use m, ft."},
		{"cable", "area", "mm²", "0.4", "Area: 0.5 to 50\u00a0mm² is accepted."},
		{"cable", "area", "AWG", "1/0", "Area: 20 to 1\u00a0AWG is accepted."},
		{"cable", "area", "AWG", "41", "Area: wire sizes run from 4/0 to 40."},
		{"cable", "current", "mA", "-1", "Current: 0 to 200000\u00a0mA is accepted."},
		{"fit", "bore", "mm", "9", "Bore: 10 to 14\u00a0mm is accepted."},
		{"fit", "bore", "in", "0.6", "Bore: 0.3938 to 0.5511\u00a0in is accepted."},
		{"fit", "bore", "in", "1,,2", "Bore: enter a number, 0.3938 to 0.5511\u00a0in."},
		{"fit", "warmth", "°C", "-41", "Temperature: −40 to 200\u00a0°C is accepted."},
		{"fit", "warmth", "°F", "400", "Temperature: −40 to 392\u00a0°F is accepted."},
	} {
		id := "calculator-" + c.form
		see := func(forms map[string]shownForm) (f shownField) {
			for _, f = range forms[id].Fields {
				if f.Name == c.field {
					return f
				}
			}
			t.Fatalf("%s has no field %s", id, c.field)
			return f
		}
		forms := b.enter([]entry{{id, c.field, c.text}, {id, c.field + ".unit", c.unit}})
		if f := see(forms[0]); f.Error != c.says || !f.Invalid || !f.Described || f.Text != c.text {
			t.Errorf("%s: %q in %s is told %q, want %q (%+v)", c.field, c.text, c.unit, f.Error, c.says, f)
		}
		_, ends, ok := strings.Cut(c.says, ": ")
		low, high, _ := strings.Cut(ends, " to ")
		if high, _, ok2 := strings.Cut(high, "\u00a0"); ok && ok2 && strings.HasSuffix(c.says, "accepted.") {
			for _, end := range []string{low, high} {
				if f := see(b.enter([]entry{{id, c.field, end}})[0]); f.Invalid || f.Error != "" {
					t.Errorf("%s takes %s to %s %s, but of %s it says %q", c.field, low, high, c.unit, end, f.Error)
				}
			}
		}
	}

	// A message is read out once, however often it is found again, and anew when
	// it changes; when the entry is right it goes.
	changes := func(texts ...string) []string {
		t.Helper()
		return eval[[]string](b, fmt.Sprintf(`(async () => {
			const form = document.getElementById("calculator-fit"), e = form.elements.namedItem("bore"), said = [];
			for (const text of %s) {
				const p = e.closest(".field").querySelector(".error[role=status]");
				let n = 0;
				const watch = new MutationObserver((list) => (n += list.length));
				watch.observe(p, {childList: true, characterData: true, subtree: true});
				e.value = text;
				e.dispatchEvent(new Event("input", {bubbles: true}));
				await new Promise((done) => setTimeout(done));
				watch.disconnect();
				said.push((n > 0) + " " + p.textContent);
			}
			return said;
		})()`, quoted(texts)))
	}
	b.enter([]entry{{"calculator-fit", "bore.unit", "mm"}, {"calculator-fit", "bore", "1"}})
	got := changes("2", "3", "x", "xy", "12", "12.1", "7")
	within, number := " Bore: 10 to 14\u00a0mm is accepted.", " Bore: enter a number, 10 to 14\u00a0mm."
	want := []string{"false" + within, "false" + within, "true" + number, "false" + number, "true ", "false ", "true" + within}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("the message went %q, want %q", got, want)
	}

	// With all fields wrong and their messages shown.
	var wrong []entry
	for _, c := range p.Calculators {
		for _, q := range c.Calc.Inputs {
			wrong = append(wrong, entry{c.ID, q.Name, "wrong"})
		}
	}
	for _, form := range b.enter(wrong)[0] {
		for _, f := range form.Fields {
			if !f.Invalid || !f.Described {
				t.Errorf("%s = %q has no message", f.Name, f.Text)
			}
		}
	}
	eval[bool](b, axe)
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		b.axe("all wrong, " + scheme)
	}
}

// TestLongEntries: whatever is pasted into a field, the page answers.
func TestLongEntries(t *testing.T) {
	t.Parallel()
	d := benches(t)[1]
	p := d.page(t, "bench")
	b := open(t, "")
	b.goLive(d.address(p.Path))
	var sets [][]entry
	for i, part := range []string{"1", " ", ".", ",", "1 ", "1,", "1.000,", "e", "1e", "-", "+1", "0", "/0", "1/0 ", "awg ", "° ", "\u00a0", "₂", "😀", "\u202e", "<", "&"} {
		text := strings.Repeat(part, 50_000)
		forms := []string{text, text + "m", "1" + text}
		for k, field := range []string{"area", "length", "current"} { // each has another form of each text
			for j, form := range forms {
				if j == (i+k)%len(forms) || *every {
					sets = append(sets, []entry{{"calculator-cable", field, form}})
				}
			}
		}
	}
	sets = append(sets, []entry{{"calculator-cable", "area", "4"}, {"calculator-cable", "length", "1"}, {"calculator-cable", "current", "1"}})
	for _, set := range sets {
		r := b.enter(set)[0]
		if got := r["calculator-cable"].Outputs["drop"]; got == "" {
			t.Errorf("after %.20q the drop is %q", set[0][2], got)
		}
	}
	reckon(b, d, p).hold("after long entries")
}
