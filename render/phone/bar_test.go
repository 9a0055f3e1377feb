package phone

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	pages "github.com/chromedp/cdproto/page"

	"benchleaf/render/handbook"
)

// watchKeys looks in every frame where the keys of the bar are, from the foot of the screen, and keeps each
// change: whoever aims at a key hits it, whatever comes late.
const watchKeys = `(() => {
	window.keysMoved = [];
	let before;
	const look = () => {
		const now = [...document.querySelectorAll(".bar .keys > *")].map((e) => {
			const r = e.getBoundingClientRect();
			return [r.left, innerHeight - r.bottom, r.width, r.height].map(Math.round).join(" ");
		}).join(", ");
		if (before !== undefined && now !== before) keysMoved.push(before + " -> " + now);
		before = now;
		requestAnimationFrame(look);
	};
	look();
	return before !== "";
})()`

func (b *tab) keysStayed(what string) {
	b.Helper()
	for _, moved := range eval[[]string](b, "keysMoved") {
		b.Errorf("%s: the keys of the bar moved: %s", what, moved)
	}
}

// jobReadScript tells whether the job at hand has more than two lines in the bar, or its model is cut. The arrow of a choice has about 20 pixels.
const jobReadScript = `(() => {
	const name = document.createRange(), model = document.querySelector("select[name=model]"), text = document.createElement("canvas").getContext("2d");
	name.selectNodeContents(document.querySelector(".bar .job"));
	const lines = new Set([...name.getClientRects()].map((r) => Math.round(r.top))).size;
	text.font = getComputedStyle(model).font;
	const wide = Math.ceil(text.measureText(model.selectedOptions[0].text).width), room = model.clientWidth - 20;
	return [lines > 2 ? "the job has " + lines + " lines" : "", wide > room ? "the model has " + room + " of " + wide + " pixels" : ""].filter(Boolean).join(", ");
})()`

// TestBarStays walks the longest ways of two procedures on a slow phone, with a job that is called by its
// machine and with what is to be put back, and goes back again: no key of the bar moves.
func TestBarStays(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, key := range []string{"speed-hunts", "choke-opens-late"} {
		t.Run(key, func(t *testing.T) {
			t.Parallel()
			i := slices.IndexFunc(d.procedures(), func(p *handbook.Page) bool { return p.Key == "procedures/"+key })
			p := d.procedures()[i]
			b := open(t, "")
			b.size(320, 640)
			b.slow()
			b.goLive(d.address(p.Path))
			if !eval[bool](b, watchKeys) {
				t.Fatal("there is no bar")
			}
			b.choose(d.book.Models[0].ID)
			way := longestWay(d, p)
			w := &walker{tab: b, d: d, page: p}
			for _, l := range way {
				b.tap(w.answer(l.step.ID, l.out))
				b.wait(fmt.Sprintf(`document.querySelector(".current").id === %s`, quoted(l.out.target)))
				if l.check != nil {
					b.tap(fmt.Sprintf(`document.querySelector("#%s .verify a")`, l.out.target))
					b.wait(fmt.Sprintf(`document.querySelector(".current").id === %s`, quoted(l.check.ID)))
				}
			}
			for range 3 {
				before := eval[string](b, `document.querySelector(".current").id`)
				b.tap(`document.querySelector("[data-do=back]")`)
				b.wait(fmt.Sprintf(`document.querySelector(".current").id !== %s`, quoted(before)))
			}
			b.keysStayed(key)
			if name := eval[string](b, `document.querySelector(".bar .job").textContent`); !strings.Contains(name, d.book.Models[0].Title.In("en")) {
				t.Errorf("the job is called %q", name)
			}
			if got := eval[string](b, jobReadScript); got != "" {
				t.Errorf("on a narrow phone %s", got)
			}
		})
	}
}

// TestResumedStands opens a procedure anew that was left in its middle: its head stays where it was painted first, and
// in the bar the end of the way so far is seen. From right to left that is the left one.
func TestResumedStands(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	arabic, _ := openRightToLeft(t, "ar")
	for _, c := range []struct {
		d     *demo
		key   string
		steps int
	}{{d, "procedures/battery-flat", 4}, {arabic, "procedures/opens-late", 2}} {
		i := slices.IndexFunc(c.d.procedures(), func(p *handbook.Page) bool { return p.Key == c.key })
		p := c.d.procedures()[i]
		b := open(t, "")
		b.size(320, 640)
		b.goLive(c.d.address(p.Path))
		for _, l := range longestWay(c.d, p)[:c.steps] {
			b.tap(fmt.Sprintf(`document.querySelector("#%s a[href='#%s']")`, l.step.ID, l.out.target))
			b.wait(fmt.Sprintf(`document.querySelector(".current").id === %s`, quoted(l.out.target)))
		}
		b.settled()
		b.size(200, 640) // two steps fill the bar
		b.goLive(c.d.address(p.Path))
		b.settled()
		if !eval[bool](b, `document.querySelector(".resumed").getClientRects().length > 0`) {
			t.Errorf("%s is not resumed", p.Path)
		}
		if y := eval[float64](b, `scrollY`); y != 0 {
			t.Errorf("%s: the page was scrolled by %v", p.Path, y)
		}
		if hidden := eval[float64](b, `(() => {
			const way = document.querySelector(".way ol"), [box, last] = [way, way.lastElementChild].map((e) => e.getBoundingClientRect());
			return way.scrollWidth <= way.clientWidth ? 999 : Math.round(Math.max(last.right - box.right, box.left - last.left));
		})()`); hidden > 1 {
			t.Errorf("%s: of the way's end %v pixels are hidden, 999: the way is not longer than the bar", p.Path, hidden)
		}
	}
}

// TestBarPlaces: the keys by which one leaves a page, the search and the jobs, are at the thumb on every kind of
// page that has a bar, in one place on all of them, and the bar has one row for its keys. The page of a practice's
// codes has it at its end alone.
func TestBarPlaces(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, 640)
	for _, key := range []string{"[href*=search]", ".job"} {
		first, at := "", ""
		for _, p := range append(d.kinds(), "models.html") {
			b.goLive(d.address(p))
			if strings.HasSuffix(p, ".practice.html") {
				if place := eval[string](b, `getComputedStyle(document.querySelector(".bar")).position`); place != "static" {
					t.Errorf("%s: the bar is %s, and covers codes", p, place)
				}
				eval[bool](b, `(scrollTo(0, 1e6), true)`)
			}
			got := eval[struct {
				Shown    bool
				At, Rows string
			}](b, `(() => {
				const seen = (e) => e && getComputedStyle(e).visibility !== "hidden" && e.getClientRects().length > 0;
				const e = document.querySelector(".bar `+key+`"), keys = [...document.querySelectorAll(".bar .keys > *")].map((k) => k.getBoundingClientRect());
				const r = e?.getBoundingClientRect();
				return {
					Shown: Boolean(seen(e)), At: r ? Math.round(r.left) + " " + Math.round(innerHeight - (r.top + r.bottom) / 2) : "",
					Rows: keys.length && Math.max(...keys.map((k) => k.top)) >= Math.min(...keys.map((k) => k.bottom)) ? "several" : "",
				};
			})()`)
			if !got.Shown {
				continue // none in a practice, nor where the page has no bar
			}
			if got.Rows != "" {
				t.Errorf("%s: the keys stand in several rows", p)
			}
			if first == "" {
				first, at = p, got.At
			} else if got.At != at {
				t.Errorf("%s: %s stands at %s, on %s at %s", p, key, got.At, first, at)
			}
		}
		if first == "" {
			t.Errorf("no page has %s at the thumb", key)
		}
	}
}

// longestWay is the way through a procedure with most steps that ends on its page.
func longestWay(d *demo, p *handbook.Page) route {
	var best route
	for _, r := range d.routes(p) {
		if last := r.last(); last.to.Kind != handbook.ToPage && last.to.Kind != handbook.ToHeading && len(r) > len(best) {
			best = r
		}
	}
	return best
}

// comingScript keeps what a page has asked for in its head and not got yet.
const comingScript = `
	self.coming = new Set();
	new MutationObserver((list) => {
		for (const e of list.flatMap((m) => [...m.addedNodes])) if (e.matches?.("script[src], link[rel=stylesheet]")) coming.add(e);
	}).observe(document, {childList: true, subtree: true});
	for (const kind of ["load", "error"]) document.addEventListener(kind, (e) => coming.delete(e.target), true);
`

// shiftScript waits until nothing is coming for ten frames, in each of which the page has had time for what it
// puts off, and lists what has moved since it was first painted.
const shiftScript = `(async () => {
	const moved = [];
	new PerformanceObserver((list) => {
		for (const e of list.getEntries()) if (e.value > 0) moved.push(e.value.toFixed(4) + " by " +
			e.sources.map((s) => (s.node?.outerHTML ?? s.node?.textContent ?? "what is gone").slice(0, 60) + " from " + Math.round(s.previousRect.top) + " to " + Math.round(s.currentRect.top)).join(", "));
	}).observe({type: "layout-shift", buffered: true});
	for (let still = 0; still < 10; still = coming.size ? 0 : still + 1) {
		await new Promise((next) => requestAnimationFrame(() => requestIdleCallback(next)));
	}
	return moved;
})()`

// TestNothingShifts opens a page of each kind on a slow phone; nothing on it moves once it is painted.
func TestNothingShifts(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.slow()
	call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: comingScript})
	for _, p := range d.kinds() {
		b.goLive(d.address(p))
		for _, moved := range eval[[]string](b, shiftScript) {
			t.Errorf("%s: %s", p, moved)
		}
	}
}

// files are what a page asks for besides itself.
var files = regexp.MustCompile(`<script defer[^>]*></script>|<link rel="(?:icon|apple-touch-icon|stylesheet)"[^>]*>|<img[^>]*>`)

// TestOpenedAtCard opens a procedure at a step and at a finding before its scripts are there: the card stands alone, as
// the guide will show it. Where no guide comes, who goes on has the whole sheet.
func TestOpenedAtCard(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	p := d.procedures()[0]
	name := filepath.Join(t.TempDir(), "alone.html")
	if err := os.WriteFile(name, files.ReplaceAll(d.read(t, p.Path), nil), 0o600); err != nil {
		t.Fatal(err)
	}
	const seen = `[...document.querySelectorAll(".step, .end, .facts, .intro")].filter((e) => e.getClientRects().length).map((e) => e.id || e.className)`
	b.goTo("file://" + name)
	all := eval[[]string](b, seen)
	if len(all) < len(p.Procedure.Steps)+2 {
		t.Fatalf("without an address of a card only %v can be seen", all)
	}
	for _, id := range []string{p.Procedure.Steps[2].ID, handbook.CauseAnchor(p.Procedure.Causes[0].ID)} {
		b.goTo("about:blank")
		b.goTo("file://" + name + "#" + id)
		if got := eval[[]string](b, seen); !slices.Equal(got, []string{id}) {
			t.Errorf("at %s %v can be seen", id, got)
		}
		eval[bool](b, `(location.hash = "#`+p.Procedure.Steps[1].ID+`", true)`)
		b.wait(fmt.Sprintf("(%s).length === %d", seen, len(all)))
	}
}

// kinds are pages of the edition, one of each kind.
func (d *demo) kinds() []string {
	pages, seen := []string{"index.html", "jobs.html", "search.html"}, map[string]bool{}
	for _, p := range d.book.Pages {
		kind := fmt.Sprint(p.Sheet, len(p.Calculators) > 0, p.PracticePath() != "")
		if p.Index || seen[kind] {
			continue
		}
		seen[kind] = true
		pages = append(pages, p.Path)
		if p.FlowPath() != "" {
			pages = append(pages, p.FlowPath())
		}
		if p.PracticePath() != "" {
			pages = append(pages, p.PracticePath())
		}
	}
	return pages
}
