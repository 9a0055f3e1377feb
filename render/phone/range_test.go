package phone

import (
	"fmt"
	"os"
	"path/filepath"
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
