package phone

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var rangeFiles = map[string]string{
	"handbook.yaml": "title: Test\npublisher: Example\nedition: \"1\"\nlanguages: [en]\nstates: {cold: {title: Cold}}\n",
	"models.yaml":   "k1: {title: K1, serial: {from: K1-1000}}\nk2: {title: K2, serial: {from: K2-1000}}\n",
	"specs/a.yaml": `coil:
  title: Coil
  unit: Ω
  conditions: Cold
  models: {k1: {min: 4, max: 5}, k2: {min: 6, max: 7}}
  history:
    - {serial: {from: K1-1000, to: K1-1999}, models: {k1: {min: 2, max: 3}}}
`,
	"en/t.md": "# Theory\n\nThe coil has <spec:coil>.\n",
	"en/p.md": "---\nsheet: procedure\ntitle: No spark\nsymptom: No spark\nstates: [cold]\n---\n\n## Measure <id:measure>\n\n" +
		"```reading\nmeasure: Coil\nmeter: Ohms\nred: One end\nblack: The other\nspec: coil\nlow: end:hand-over\nwithin: end:hand-over\nhigh: end:hand-over\n```\n",
}

// TestRanges: of a value that depends on the serial number a page shows both as long as the number is not known,
// and judges nothing; of a machine whose number is known it shows and judges the right one.
func TestRanges(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	writeTexts(t, dir, rangeFiles)
	d, err := compile(dir, "ranges")
	if err != nil {
		t.Fatal(err)
	}
	const shown = `[...document.querySelectorAll(%q)].filter((e) => e.offsetParent).map((e) => e.innerText.replaceAll("\u00a0", " ").trim()).join(" | ")`
	for _, c := range []struct{ serial, model, rows, inline, low, high string }{
		{"", "k1", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "2 to 3 Ω, K1-1000 to K1-1999; 4 to 5 Ω, K1-2000 and up", "", ""},
		{"K1-1500", "k1", "2 to 3 Ω, K1-1000 to K1-1999 (Serial number K1-1500)", "2 to 3 Ω, K1-1000 to K1-1999 (Serial number K1-1500)", "within", "outside"},
		{"k1 2000", "k1", "4 to 5 Ω, K1-2000 and up (Serial number k1 2000)", "4 to 5 Ω, K1-2000 and up (Serial number k1 2000)", "outside", "within"},
		{"k1 2000", "k2", "6 to 7 Ω", "6 to 7 Ω", "outside", "outside"},
		{"K1-0999", "k1", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "2 to 3 Ω, K1-1000 to K1-1999; 4 to 5 Ω, K1-2000 and up", "", ""},
	} {
		b := open(t, "")              // a reading is a job of its machine
		follow := func(page string) { // as a link does: the tab keeps what it knows
			b.leave("location.href = " + quoted(d.address(page)))
			b.wait("location.href === " + quoted(d.address(page)))
			b.waitLive()
		}
		b.goLive(d.address("models.html"))
		if c.serial != "" {
			b.typeSerial(c.serial)
		}
		follow("en/t.html")
		b.chooseAnew(c.model)
		if got := eval[string](b, fmt.Sprintf(shown, ".spec")); got != c.inline {
			t.Errorf("%s %s: in the text stands %q, want %q", c.serial, c.model, got, c.inline)
		}
		follow("en/p.html")
		b.chooseAnew(c.model)
		if got := eval[string](b, fmt.Sprintf(shown, ".limits td")); got != c.rows {
			t.Errorf("%s %s: limits %q, want %q", c.serial, c.model, got, c.rows)
		}
		for text, want := range map[string]string{"2.5": c.low, "4.5": c.high} {
			got := eval[[]shownReading](b, fmt.Sprintf(`(%s)("measure", [%q])`, readingScript, text))[0]
			if got.Verdict != want || want == "" && got.Says == "" {
				t.Errorf("%s %s: %s Ω is %+v, want %q", c.serial, c.model, text, got, want)
			}
		}
	}
}

// chooseAnew chooses a model, if it is not the chosen one. A page that has gone by a number is read anew.
func (b *tab) chooseAnew(model string) {
	b.Helper()
	if eval[string](b, `document.querySelector("select[name=model]").value`) == model {
		return
	}
	if !eval[bool](b, `document.body.innerText.includes("(Serial number")`) {
		b.choose(model)
		return
	}
	b.leave(`window.before = true; (() => { const s = document.querySelector("select[name=model]"); s.value = ` + quoted(model) + `; s.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.wait("!window.before")
	b.waitLive()
}

// TestNumberInForce: a number holds as long as its model is the chosen one. Another model, "all models", or a number that
// nobody has forget it: all values stand again, and neither a reading nor a calculator judges. Until then the value says
// whose it is.
func TestNumberInForce(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	files := maps.Clone(rangeFiles)
	files["specs/b.yaml"] = "idle:\n  title: Idle\n  unit: rpm\n  conditions: Warm\n  models: {k1: {nominal: 1900, tolerance: 100}, k2: {nominal: 1500, tolerance: 100}}\n" +
		"  history:\n    - {serial: {from: K1-1000, to: K1-1999}, models: {k1: {nominal: 1750, tolerance: 100}}}\n"
	files["en/t.md"] = "# Theory\n\nThe coil has <spec:coil>.\n\n```calculator idle-speed\npulses: 1\nspecification: governed-idle\nnominal: spec:idle\naccuracy: 2 rpm\n```\n"
	writeTexts(t, dir, files)
	d, err := compile(dir, "number-in-force")
	if err != nil {
		t.Fatal(err)
	}
	const (
		value   = `document.querySelector("p .spec").innerText.replaceAll("\u00a0", " ").trim()`
		verdict = `(() => { const f = document.querySelector("form.calculator"); const i = [...f.elements].find((e) => e.name === "measured"); i.value = %q; i.dispatchEvent(new Event("input", {bubbles: true}));
			return f.querySelector("output[name=verdict]").dataset.verdict + " " + f.querySelector("output[name=verdict]").textContent; })()`
		first   = "2 to 3 Ω, K1-1000 to K1-1999"
		both    = first + "; 4 to 5 Ω, K1-2000 and up"
		unknown = " The limits differ: choose the model, or find it by its number."
	)
	b := open(t, "")
	follow := func(page string) {
		b.leave("location.href = " + quoted(d.address(page)))
		b.wait("location.href === " + quoted(d.address(page)))
		b.waitLive()
	}
	find := func(serial string) { // as a technician does, who does not choose before
		b.wait(`document.body.dataset.page === "models"`)
		eval[bool](b, `(document.querySelector("#_serial").value = `+quoted(serial)+`, true)`)
		b.tap(`document.querySelector("form.search button")`)
		b.wait(`!!document.querySelector(".answer").textContent`)
	}
	judges := func(when string, at map[string]string) {
		t.Helper()
		for reading, want := range at {
			if got := eval[string](b, fmt.Sprintf(verdict, reading)); got != want && !(strings.Trim(want, " ") == want && strings.HasPrefix(got, want+" ")) {
				t.Errorf("%s: of %s rpm the calculator says %q, want %q", when, reading, got, want)
			}
		}
		eval[bool](b, `(sessionStorage.removeItem(Object.keys(sessionStorage).find((k) => k.includes(" bench "))), true)`)
	}
	shows := func(when, want string) {
		t.Helper()
		if got := eval[string](b, value); got != want {
			t.Errorf("%s: %q, want %q", when, got, want)
		}
	}
	for _, end := range []struct {
		name string
		way  func()
		all  string
	}{
		{"a number that no model has", func() { follow("models.html"); find("K1-0999"); follow("en/t.html") }, "K1: " + both + "; K2: 6 to 7 Ω"},
		{"all models", func() { b.chooseAnew("") }, "K1: " + both + "; K2: 6 to 7 Ω"},
		{"another model", func() { b.chooseAnew("k2") }, "6 to 7 Ω"},
	} {
		b.goLive(d.address("models.html"))
		find("K1-1500")
		follow("en/t.html")
		shows("found", first+" (Serial number K1-1500)")
		judges("found", map[string]string{"1750": "within", "1900": "outside"})
		end.way()
		shows(end.name, end.all)
		if end.name != "another model" {
			judges(end.name, map[string]string{"1750": unknown, "1900": unknown})
		}
		b.chooseAnew("k1")
		shows(end.name+", then the one before", both)
		judges(end.name+", then the one before", map[string]string{"1750": unknown, "1900": unknown})
		b.leave("window.before = true; location.reload()")
		b.wait("!window.before")
		b.waitLive()
		shows(end.name+", read anew", both)
	}
	// The way back brings a page as it was.
	b.goLive(d.address("models.html"))
	find("K1-1500")
	follow("en/t.html")
	follow("models.html")
	find("K1-2500")
	b.leave("history.back()")
	b.wait(`document.body.dataset.page === "t" && document.readyState === "complete" && ` + value + `.includes("K1-2500")`)
	shows("another number, and back", "4 to 5 Ω, K1-2000 and up (Serial number K1-2500)")
}

// TestRangesEdges walks over the edges of ranges, written in several ways: the page shows and judges by the range that a
// count of the last figures gives. Of a number that is none of the model's, all values stay.
func TestRangesEdges(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	files := map[string]string{
		"handbook.yaml": rangeFiles["handbook.yaml"],
		"models.yaml":   "k1: {title: K1, serial: [{from: A-0500-X, to: A-0899-X}, {from: A-1000-X, to: A-12000-X}]}\n",
		"specs/a.yaml": `coil:
  title: Coil
  unit: Ω
  conditions: Cold
  models: {k1: {min: 30, max: 40}}
  history:
    - {serial: {from: A-1000-X, to: A-1009-X}, models: {k1: {min: 10, max: 20}}}
    - {serial: {from: A-1010-X, to: A-9999-X}, models: {k1: {min: 20, max: 30}}}
`,
		"en/p.md": rangeFiles["en/p.md"],
	}
	writeTexts(t, dir, files)
	d, err := compile(dir, "ranges-edges")
	if err != nil {
		t.Fatal(err)
	}
	// least is the least ohms for a number, 0 where none can be told. Leading zeros belong to numbers of the first
	// one's width alone: A0500X has four figures.
	least := func(figures string) int {
		n, err := strconv.Atoi(figures)
		short := len(figures) == 4
		switch {
		case err != nil || len(figures) < 4 || figures[0] == '0' && !short:
			return 0
		case short && n >= 500 && n <= 899:
			return 30
		case n >= 1000 && n <= 1009:
			return 10
		case n >= 1010 && n <= 9999:
			return 20
		case n >= 10000 && n <= 12000:
			return 30
		}
		return 0
	}
	b := open(t, "")
	b.goLive(d.address("en/p.html"))
	// The ways to write a number are tried in turn, and all of them on both sides of an edge and of a leading zero.
	forms := []string{"A-%s-X", "a %s x", "A%sX", " a.%s/X "}
	for i, figures := range []string{"0499", "0500", "0899", "0900", "0999", "1000", "1001", "1009", "1010", "1011", "9998", "9999", "10000", "11999", "12000", "12001", "99999", "01005", "00500", "500", "100", "", "1O05"} {
		for k, form := range forms {
			if k != i%len(forms) && !slices.Contains([]string{"0500", "1009", "1010"}, figures) && !*every {
				continue
			}
			serial := fmt.Sprintf(form, figures)
			b.leave(fmt.Sprintf(`window.before = true; localStorage.clear(); sessionStorage.setItem("benchleaf " + new URL("../", location.href).href + " serial", JSON.stringify([%s, "k1"])); location.reload()`, quoted(serial))) // a reading has begun a job
			b.wait("!window.before")
			b.waitLive()
			want := "10 to 20 Ω, A-1000-X to A-1009-X | 20 to 30 Ω, A-1010-X to A-9999-X | 30 to 40 Ω, all other serial numbers"
			value := least(figures)
			if value > 0 {
				for _, row := range strings.Split(want, " | ") {
					if strings.HasPrefix(row, strconv.Itoa(value)) {
						want = row + " (Serial number " + strings.TrimLeft(serial, " ") + ")"
					}
				}
			}
			const shown = `[...document.querySelectorAll(".limits td, .limit dd")].filter((e) => e.offsetParent).map((e) => e.innerText.replaceAll("\u00a0", " ").trim()).join(" | ")`
			if got := eval[string](b, shown); got != want {
				t.Errorf("%q: %s, want %s", serial, got, want)
			}
			got := eval[string](b, `JSON.stringify(JSON.parse(document.querySelector("#page-data").textContent).specs.coil.limits.k1)`)
			if wantData := map[bool]string{true: fmt.Sprintf("[%d,%d,null,null]", value, value+10), false: "null"}[value > 0]; got != wantData {
				t.Errorf("%q: judged by %s, want %s", serial, got, wantData)
			}
			if k != i%len(forms) {
				continue
			}
			for ohms, verdict := range map[int]string{15: "outside", 25: "outside", 35: "outside"} {
				if value == 0 {
					verdict = ""
				} else if ohms == value+5 {
					verdict = "within"
				}
				if got := eval[[]shownReading](b, fmt.Sprintf(`(%s)("measure", [%q])`, readingScript, strconv.Itoa(ohms)))[0]; got.Verdict != verdict {
					t.Errorf("%q: %d Ω is %+v, want %q", serial, ohms, got, verdict)
				}
			}
			eval[bool](b, painted)
		}
	}
}
