package phone

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/handbook"
)

// TestWithoutScript opens pages as a phone does that shows a file with
// scripting off: all of it can be seen, nothing waits for a script.
func TestWithoutScript(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.script(false)
	for _, p := range d.looked(t) {
		b.goTo(d.address(p))
		got := eval[struct {
			Steps, Ends, Hidden, Answers, Dead, Empty, Enabled int
			Note, Bar, Live                                    bool
		}](b, `(() => {
			const all = (s) => [...document.querySelectorAll(s)], seen = (e) => e.getClientRects().length > 0;
			return {
				Steps: all(".step").length, Ends: all(".end").length, Hidden: all(".step, .end, .answers a, .reading .answers, .spec > *").filter((e) => !seen(e)).length,
				Answers: all(".answers a").length,
				Dead: all(".answers a").filter((a) => a.hash && a.pathname === location.pathname && !document.getElementById(a.hash.slice(1))).length,
				Empty: all("form output").filter((o) => !o.textContent.trim()).length,
				Enabled: all("button, input, select").filter((e) => seen(e) && !e.matches(":disabled")).length,
				Note: seen(document.querySelector(".script-note")), Bar: all(".bar").some(seen),
				Live: document.documentElement.classList.contains("live"),
			};
		})()`)
		if got.Live || got.Bar || !got.Note || got.Hidden > 0 || got.Dead > 0 || got.Empty > 0 || got.Enabled > 0 {
			t.Errorf("%s without script: %+v", p, got)
		}
		for _, page := range d.procedures() {
			if page.Path == p && (got.Steps != len(page.Procedure.Steps) || got.Ends < len(page.Procedure.Causes) || got.Answers < got.Steps) {
				t.Errorf("%s without script: %+v", p, got)
			}
		}
	}
}

// layoutScript finds what a finger or an eye would miss: what sticks out at
// the side, and controls that are too small. A link in the midst of a
// sentence has the height of its line (WCAG 2.2, 2.5.8, exception "Inline").
const layoutScript = `(() => {
	const seen = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden";
	const name = (e) => e.tagName + " " + (e.textContent.trim() || e.name || e.getAttribute("class")).slice(0, 50);
	const small = (selector, height) => [...document.querySelectorAll(selector)].filter(seen).filter((e) => {
		const r = (e.labels?.[0]?.contains(e) ? e.labels[0] : e).getBoundingClientRect();
		const inline = e.matches("a") && getComputedStyle(e).display === "inline";
		return !inline && r.right > 0 && r.bottom > 0 && (r.height < height - 0.01 || r.width < 44 - 0.01);
	}).map((e) => name(e) + " has " + e.getBoundingClientRect().height + " of " + height);
	const width = document.documentElement.clientWidth;
	const wide = document.documentElement.scrollWidth > width || document.body.scrollWidth > width;
	return [
		...(wide ? [...document.body.querySelectorAll("*")].filter((e) => seen(e) && e.getBoundingClientRect().right > width + 0.5).slice(0, 3).map((e) => name(e) + " sticks out") : []),
		...(wide ? ["the page is " + document.documentElement.scrollWidth + " wide"] : []),
		...small(".answers a, .sheets a", 56),
		...small("button, input, select, summary, .jump a, .top a, .way a, .bar .keys a, .bulletins a, .proofs a, .lone", 44),
		...small(".flow-box", 44),
	];
})()`

// TestLayout measures pages at the width of a common phone and of a small
// one, a procedure step by step and whole.
func TestLayout(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	widths := []int64{phoneWidth, 320}
	measure := func(what string) {
		for _, width := range widths {
			b.size(width, phoneHeight)
			for _, fault := range eval[[]string](b, layoutScript) {
				t.Errorf("%s at %d: %s", what, width, fault)
			}
		}
	}
	for i, p := range d.looked(t) {
		b.size(widths[i%2], phoneHeight) // the page is turned to the other
		b.goLive(d.address(p))
		measure(p)
		if b.all() {
			b.wait(viewScript + `.Cards.length === document.querySelectorAll(".step, .end").length`)
			measure(p + ", all steps")
		}
		if eval[bool](b, `[...document.querySelectorAll("details:not([open])")].filter((e) => (e.open = true)).length > 0`) {
			measure(p + ", opened")
		}
	}
}

// TestModel chooses models on each page, and looks for the one chosen last on the next.
func TestModel(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	models := d.book.Models
	b.goLive(d.address("index.html"))
	b.choose(models[0].ID)
	differ, last := 0, 0
	for i, p := range d.openedPages() {
		b.goLive(d.address(p.Path))
		tried := len(models)
		if i%3 != 0 && len(p.Applicability) == len(models) && !*every {
			tried = 2 // the one that was chosen, and the next
		}
		for j := range tried {
			// The first is that of the page before, where it was the last.
			m := models[(last+j)%len(models)]
			if j > 0 {
				b.choose(m.ID)
			}
			got := eval[struct {
				Chosen string
				Notice bool
				Specs  map[string][]string
			}](b, `({
				Chosen: document.querySelector("select[name=model]").value,
				Notice: !!document.querySelector(".not-applicable:not([hidden])"),
				Specs: Object.fromEntries([...document.querySelectorAll(".spec[data-spec]")].map((s) => [s.dataset.spec,
					[...s.children].filter((e) => e.matches("[data-model]:not(.amended)") && !e.hidden).map((e) => e.dataset.model)])),
			})`)
			holds := applies(p, m)
			if got.Chosen != m.ID || got.Notice == holds {
				t.Errorf("%s: chosen is %q, want %s; the sheet holds for it: %t", p.Path, got.Chosen, m.ID, !got.Notice)
			}
			for spec, groups := range got.Specs {
				if !holds || len(groups) == 0 || d.spec(spec).For(m) == nil {
					continue // one value for all, or none for this model
				}
				differ++
				if groups = slices.Compact(groups); len(groups) != 1 || !strings.Contains(" "+groups[0]+" ", " "+m.ID+" ") { // of one model there may be several, by serial number
					t.Errorf("%s: %s shows %v for %s", p.Path, spec, groups, m.ID)
				}
			}
		}
		last = (last + tried - 1) % len(models)
	}
	if differ == 0 {
		t.Error("no value of the demo differs by model")
	}
	b.goLive(d.address("index.html"))
	b.choose("")
	b.goLive(d.address(d.procedures()[0].Path))
	if got := eval[string](b, `document.querySelector("select[name=model]").value`); got != "" {
		t.Errorf("all models were chosen, and %q came back", got)
	}
}

func (d *demo) spec(id string) *handbook.Spec {
	for _, s := range d.book.Specs {
		if s.ID == id {
			return s
		}
	}
	return nil
}

func applies(p *handbook.Page, m *handbook.Model) bool {
	for _, other := range p.Applicability {
		if other == m {
			return true
		}
	}
	return len(p.Applicability) == 0
}

// TestSubfolder serves the edition from a folder of a plain host.
func TestSubfolder(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	server := httptest.NewServer(http.StripPrefix("/a/b/", http.FileServer(http.Dir(d.dir))))
	t.Cleanup(server.Close)
	b := open(t, server.URL+"/a/b/")
	b.goLive(server.URL + "/a/b/index.html")
	p := d.procedures()[0]
	b.tap(fmt.Sprintf(`document.querySelector('.answers a[href="%s"]')`, p.Path))
	b.wait("document.body.dataset.page === " + quoted(p.Key))
	b.waitLive()
	// To an end by the first answer that leads on, as often as there are steps.
	for range p.Procedure.Steps {
		if eval[bool](b, `document.querySelector(".end.current") !== null`) {
			break
		}
		here := eval[string](b, `document.querySelector(".step.current").id`)
		b.tap(`[...document.querySelectorAll(".step.current .answers a")].findLast((a) => a.getAttribute("href").startsWith("#"))`)
		b.wait(fmt.Sprintf(`document.querySelector(".current").id !== %s`, quoted(here)))
	}
	if !eval[bool](b, `document.querySelector(".end.current") !== null`) {
		t.Error("no end was reached")
	}
	for _, page := range d.cover(t) { // where each address leads TestLinks asks
		b.goLive(server.URL + "/a/b/" + page)
		if n := eval[int](b, `[...document.images].filter((i) => i.complete && !i.naturalWidth).length`); n > 0 {
			t.Errorf("%s: %d pictures are missing", page, n)
		}
	}
}
