package phone

import (
	"fmt"
	"os"
	"path/filepath"
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
	for name, text := range rangeFiles {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	d, err := compile(dir, "ranges")
	if err != nil {
		t.Fatal(err)
	}
	const shown = `[...document.querySelectorAll(%q)].filter((e) => e.offsetParent).map((e) => e.innerText.replaceAll("\u00a0", " ").trim()).join(" | ")`
	for _, c := range []struct{ serial, model, rows, inline, low, high string }{
		{"", "k1", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "", ""},
		{"K1-1500", "k1", "2 to 3 Ω, K1-1000 to K1-1999", "2 to 3 Ω, K1-1000 to K1-1999", "within", "outside"},
		{"k1 2000", "k1", "4 to 5 Ω, K1-2000 and up", "4 to 5 Ω, K1-2000 and up", "outside", "within"},
		{"k1 2000", "k2", "6 to 7 Ω", "6 to 7 Ω", "outside", "outside"},
		{"K1-0999", "k1", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "2 to 3 Ω, K1-1000 to K1-1999 | 4 to 5 Ω, K1-2000 and up", "", ""},
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
		b.choose(c.model)
		if got := eval[string](b, fmt.Sprintf(shown, ".spec > [data-model]")); got != c.inline {
			t.Errorf("%s %s: in the text stands %q, want %q", c.serial, c.model, got, c.inline)
		}
		follow("en/p.html")
		b.choose(c.model)
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
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
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
	again := func(first string) {
		b.leave("window.before = true; " + first + "; location.reload()")
		b.wait("!window.before")
		b.waitLive()
		b.choose("k1")
	}
	for _, figures := range []string{"0499", "0500", "0899", "0900", "0999", "1000", "1001", "1009", "1010", "1011", "9998", "9999", "10000", "11999", "12000", "12001", "99999", "01005", "00500", "500", "100", "", "1O05"} {
		for _, form := range []string{"A-%s-X", "a %s x", "A%sX", " a.%s/X "} {
			serial := fmt.Sprintf(form, figures)
			again(fmt.Sprintf(`sessionStorage.setItem("benchleaf " + new URL("../", location.href).href + " serial", JSON.stringify([%s, "k1"]))`, quoted(serial)))
			want := "10 to 20 Ω, A-1000-X to A-1009-X | 20 to 30 Ω, A-1010-X to A-9999-X | 30 to 40 Ω, all other serial numbers"
			value := least(figures)
			if value > 0 {
				for _, row := range strings.Split(want, " | ") {
					if strings.HasPrefix(row, strconv.Itoa(value)) {
						want = row
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
			if form != "A-%s-X" {
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
			again(`localStorage.clear()`) // a reading has begun a job
		}
	}
}
