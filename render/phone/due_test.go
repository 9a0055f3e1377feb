package phone

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
)

// TestCheckBy sets the phone's clock: from the day after the one by which a page is looked at again, it says so
// where it is seen, and nowhere in a step. The handbook's day holds for pages without one.
func TestCheckBy(t *testing.T) {
	t.Parallel()
	d, err := compile(filepath.Join("testdata", "pump"), "pump-due")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	at := clockOf(b)
	for _, c := range []struct {
		page, now string
		says      bool
	}{
		{"en/procedures/no-water.html", "2027-03-01T23:59", false},
		{"en/procedures/no-water.html", "2027-03-02T00:00", true},
		{"en/procedures/no-water.html#strainer", "2027-03-02T00:00", true},
		{"index.html", "2027-06-01T23:59", false},
		{"index.html", "2027-06-02T00:00", true},
		{"en/procedures/no-water.html", "2027-03-01T23:59", false},
	} {
		at(c.now)
		file, place, has := strings.Cut(c.page, "#")
		address := d.address(file)
		if has {
			address += "#" + place
		}
		b.goTo("about:blank") // a place on the same page loads nothing
		b.goLive(address)
		const short = `[...document.querySelectorAll("p, div")].filter((p) => p.children.length === 0 && p.textContent.includes("ask whether it still holds") && ((r) => r.height > 0 && r.top >= 0 && r.bottom <= innerHeight)(p.getBoundingClientRect())).length`
		if n := eval[int](b, short); (n == 1) != c.says {
			t.Errorf("%s on %s: in sight it stands %d times, want it: %t", c.page, c.now, n, c.says)
		}
		// What told the day before is not said beside it.
		if row := eval[bool](b, `[...document.querySelectorAll(".facts [data-by]")].some((e) => e.checkVisibility())`); row != !c.says && place == "" {
			t.Errorf("%s on %s: the row with the day is seen: %t", c.page, c.now, row)
		}
		if eval[bool](b, `[...document.querySelectorAll(".step, .end")].some((e) => e.textContent.includes("Was to be looked at again by"))`) {
			t.Errorf("%s: it stands in a step", c.page)
		}
	}
	// The last page lies open over the day, and is looked at again.
	if !eval[bool](b, `(Date.now = () => new Date("2027-03-02T07:00").getTime(), document.dispatchEvent(new Event("visibilitychange")),
		[...document.querySelectorAll("div")].filter((e) => !e.children.length && e.textContent.includes("Was to be looked at again by")).length === 1)`) {
		t.Error("a page that was open before does not say it")
	}
}

// clockOf returns what sets the clock of all that a tab loads from then on.
func clockOf(b *tab) func(now string) {
	clock := ""
	return func(now string) {
		if clock != "" {
			call(b, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: page.ScriptIdentifier(clock)})
		}
		added := call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: fmt.Sprintf("{ const now = new Date(%s).getTime(); Date.now = () => now; }", quoted(now)),
		})
		clock = string(added.Identifier)
	}
}

// TestCheckByEverywhere has the demo past its day, on each kind of page and in one file: every page says so in the
// words of its language, and by a clock that stands before the edition's day says that instead.
func TestCheckByEverywhere(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	at := clockOf(b)
	whole := bound(t)
	var addresses []string
	for _, name := range []string{
		"index.html", "es/index.html", "jobs.html", "search.html", "models.html", "labels.html", "en/procedures/choke-opens-late.html", "en/procedures/choke-opens-late.flow.html",
		"en/procedures/choke-opens-late.practice.html", "en/bench/air.html", "en/theory/choke.html", "en/reference/values.html", "en/bulletins/top-speed.html", "es/theory/safety.html",
	} {
		addresses = append(addresses, d.address(name))
	}
	addresses = append(addresses, whole.address("index.html", ""), whole.address("en/theory/choke.html", ""))
	const seen = `[...document.querySelectorAll(".bar, .head")].map((e) => e.textContent).join(" ")`
	for _, now := range []struct{ clock, en, es string }{
		{"2027-11-26T00:00", "Was to be looked at again by November 25, 2027", "Debía revisarse hasta el 25 de noviembre de 2027"},
		{"2025-01-01T00:00", "The clock of this phone stands before the day of this edition", "El reloj de este teléfono"},
	} {
		at(now.clock)
		for _, address := range addresses {
			b.goLive(address)
			want := now.en
			if strings.Contains(address, "/es/") {
				want = now.es
			}
			b.wait(fmt.Sprintf("(%s).includes(%s)", seen, quoted(want)))
		}
	}
}
