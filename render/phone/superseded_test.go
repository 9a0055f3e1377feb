package phone

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
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
	write := func(name, text string) {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range files {
		write(name, text)
	}
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

	write("en/b.md", "---\nsheet: bulletin\ntitle: Another way\nsupersedes:\n  - {procedure: p, from: 2026-05-01, models: [k1]}\n---\n\nChange the plug.\n")
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
	b.choose("k2")
	if got := eval[string](b, fmt.Sprintf(told, ".superseded li")); got != "" {
		t.Errorf("of another model is told %q", got)
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
