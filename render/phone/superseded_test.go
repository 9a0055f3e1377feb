package phone

import (
	"fmt"
	"maps"
	"strings"
	"testing"
)

// TestSupersededProcedure begins a job on a procedure that a newer edition supersedes for one model. Then the job's place says so and
// its record stays, and so do the finder, the search, and each step, for who comes to it by a code too; of another model nobody is told.
func TestSupersededProcedure(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	files := maps.Clone(rangeFiles)
	files["en/p.md"] = "---\nsheet: procedure\ntitle: No spark\nsymptom: It has no spark\nstates: [cold]\n---\n\n## Look at the plug <id:look>\n\n```answers\n- [It is wet](#wire)\n- It is dry -> [hand over](end:hand-over)\n```\n\n" +
		"## Look at the wire <id:wire>\n\n```answers\n- It is whole -> [hand over](end:hand-over)\n```\n"
	writeTexts(t, dir, files)
	d, err := compile(dir, "superseded")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	const told = `[...document.querySelectorAll(%q)].filter((e) => e.offsetParent && e.getBoundingClientRect().top >= 0 && e.getBoundingClientRect().bottom < innerHeight).map((e) => e.innerText.replaceAll(/\s+/g, " ")).join(" | ")`
	b.goLive(d.address("en/p.html"))
	b.choose("k1")
	b.tap(`document.querySelector(".current .answers a")`)
	b.wait(`document.querySelector(".current").id === "wire"`)
	b.wait(`!!localStorage.getItem(Object.keys(localStorage).find((k) => k.endsWith(" job")))`)
	if got := eval[string](b, fmt.Sprintf(told, ".superseded li")); got != "" {
		t.Errorf("before the bulletin %q is told", got)
	}

	writeTexts(t, dir, map[string]string{"en/b.md": "---\nsheet: bulletin\ntitle: Another way\nsupersedes:\n  - {procedure: p, from: 2026-05-01, models: [k1]}\n---\n\nChange the plug.\n"})
	if _, err := compile(dir, "superseded"); err != nil {
		t.Fatal(err)
	}
	b.goLive(d.address("jobs.html"))
	b.wait(`!!document.querySelector("ul.jobs li a")`)
	const gone = "K1: superseded from May 1, 2026 on: Another way"
	if got := eval[string](b, `document.querySelector("ul.jobs li").innerText`); !strings.Contains(got, gone) || !strings.Contains(got, "No spark") {
		t.Errorf("the list of jobs says %q", got)
	}
	const head = "K1: This procedure is superseded from May 1, 2026 on: Another way"
	for _, address := range []string{d.address("en/p.html"), d.address("en/p.html") + "#wire"} {
		b.goLive(address)
		if got := eval[string](b, fmt.Sprintf(told, ".superseded li")); got != head {
			t.Errorf("%s: on the screen stands %q, want %q", address, got, head)
		}
	}
	// It does not lie over the card that is come to, however high it is.
	eval[bool](b, `(document.querySelector(".superseded li b").append(" and so on".repeat(20)), location.hash = "#wire", true)`)
	b.wait(`document.querySelector(".current").id === "wire"`)
	b.wait(`document.querySelector(".current h2").getBoundingClientRect().top >= document.querySelector(".superseded").getBoundingClientRect().bottom`)
	b.choose("k2")
	if got := eval[string](b, fmt.Sprintf(told, ".superseded li")); got != "" {
		t.Errorf("of another model is told %q", got)
	}
	eval[bool](b, `(() => { for (let i = 0; i < 200; i++) document.querySelector("main").append(Object.assign(document.createElement("p"), { textContent: "More of it." })); return true; })()`)
	sheets := b.sheets(b.print("A4"))
	if len(sheets) < 2 {
		t.Errorf("%d sheets are printed", len(sheets))
	}
	for i, sheet := range sheets {
		if !strings.Contains(sheet, gone) {
			t.Errorf("printed sheet %d does not say that the procedure is superseded: %s", i+1, sheet)
		}
	}
	b.goLive(d.address("en/b.html"))
	const of = "No spark K1, from May 1, 2026"
	if got := eval[string](b, `document.querySelector(".changes li").innerText.replaceAll(/\s+/g, " ")`); got != of {
		t.Errorf("the bulletin says %q, want %q", got, of)
	}
	b.goLive(d.address("index.html"))
	if got := eval[string](b, `document.querySelector(".state .answers a").innerText`); !strings.Contains(got, gone) {
		t.Errorf("the finder says %q", got)
	}
	b.goLive(d.address("search.html") + "#q=wire")
	b.wait(`!!document.querySelector(".found a")`)
	if got := eval[string](b, `document.querySelector(".found").innerText`); !strings.Contains(got, head) {
		t.Errorf("the search says %q", got)
	}
}

// TestLimitGone reads within limits that a newer edition supersedes: the record of the job says so beside the verdict, and what
// holds now. What that edition leaves as it is, it does not doubt.
func TestLimitGone(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	files := maps.Clone(rangeFiles)
	const spec = "coil:\n  title: Coil\n  unit: Ω\n  conditions: Cold\n  models: {k1: {min: %s}, k2: {min: 6, max: 7}}\n"
	files["specs/a.yaml"] = fmt.Sprintf(spec, "4, max: 5")
	writeTexts(t, dir, files)
	d, err := compile(dir, "limit-gone")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	b.goLive(d.address("en/p.html"))
	b.choose("k1")
	if got := eval[[]shownReading](b, fmt.Sprintf(`(%s)("measure", ["4.5"])`, readingScript))[0]; got.Verdict != "within" {
		t.Fatalf("4.5 Ω is %+v", got)
	}
	b.tap(`document.querySelector('.current [data-outcome="within"]')`)
	b.wait(`!!Object.keys(localStorage).find((k) => / bar \w/.test(k)) && document.querySelector(".current").id !== "measure"`)
	for _, c := range []struct{ edition, coil, says string }{
		{"the same", "", ""},
		{"one of the other model", fmt.Sprintf(spec, "4, max: 5") + "  history:\n    - {until: 2026-05-01, models: {k2: {min: 4, max: 5}}}\n", ""},
		{"one of this", fmt.Sprintf(spec, "8, max: 9") + "  history:\n    - {until: 2026-05-01, models: {k1: {min: 4, max: 5}}}\n",
			"This limit holds no more: now 8 to 9 Ω. Take the step again before you build on it."},
		{"one by numbers", fmt.Sprintf(spec, "8, max: 9") + "  history:\n    - {serial: {from: K1-1000, to: K1-1999}, models: {k1: {min: 4, max: 5}}}\n", ""},
		{"two by numbers", fmt.Sprintf(spec, "8, max: 9") + "  history:\n    - {serial: {from: K1-1000, to: K1-1999}, models: {k1: {max: 3}}}\n",
			"This limit holds no more: now at most 3 Ω; 8 to 9 Ω. Take the step again before you build on it."},
	} {
		if c.coil != "" {
			writeTexts(t, dir, map[string]string{"specs/a.yaml": c.coil})
		}
		if _, err := compile(dir, "limit-gone"); err != nil {
			t.Fatal(err)
		}
		b.goLive(d.address("jobs.html"))
		b.wait(`!!document.querySelector("ul.jobs li a")`)
		b.tap(`document.querySelector("ul.jobs li a")`)
		b.wait(`(document.querySelector(".record")?.textContent ?? "").includes("Within limits")`)
		if got := eval[string](b, `[...document.querySelectorAll(".record p")].map((p) => p.innerText.replaceAll("\u00a0", " ")).filter((t) => t.includes("no more")).join(" | ")`); got != c.says {
			t.Errorf("%s: the record says %q, want %q", c.edition, got, c.says)
		}
	}
}
