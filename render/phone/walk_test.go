package phone

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/handbook"
	"benchleaf/render/page"
)

// passed is one line of the way so far.
type passed struct{ ID, Step, Said string }

// view is what the guided sheet shows.
type view struct {
	Cards  []string // ids of the cards that can be seen
	Way    []passed
	Focus  string // the id of the card whose heading has the focus
	Within bool   // the card's heading is on the screen
}

const viewScript = `(() => {
	const seen = (e) => e.getClientRects().length > 0;
	const cards = [...document.querySelectorAll(".step, .end")].filter(seen);
	const way = document.querySelector(".way");
	const top = cards[0]?.querySelector("h2").getBoundingClientRect();
	return {
		Cards: cards.map((c) => c.id),
		Way: seen(way) ? [...way.querySelectorAll("li")].map((li) => ({
			ID: li.querySelector("a").getAttribute("href").slice(1),
			Step: li.querySelector("a").textContent, Said: li.querySelector("span").textContent})) : [],
		Focus: document.activeElement.matches("h2") ? document.activeElement.parentElement.id : "",
		Within: top && top.top >= 0 && top.bottom <= innerHeight,
	};
})()`

// walker walks one procedure.
type walker struct {
	*tab
	d       *demo
	page    *handbook.Page
	steps   map[string]*handbook.Step
	seen    map[string]bool // cards and pages that were reached
	answers int
	back    int // alternates the ways back
	resumed bool
}

// way is a way out of a step.
type way struct {
	target, said string
	outcome      string // of a reading
	to           handbook.Target
}

// ways lists a step's ways out: a reading's outcomes, then answers.
func (d *demo) ways(s *handbook.Step) []way {
	var list []way
	if s.Reading != nil {
		for _, o := range s.Reading.Outcomes {
			list = append(list, way{d.target(o.To), d.words.Word(outcomeKey(s.Reading, o.Kind)), o.Kind, o.To})
		}
	}
	for _, a := range s.Answers {
		list = append(list, way{d.target(a.To), a.Text, "", a.To})
	}
	return list
}

// outcomeKey is the key of an answer's words; a time is too soon where a voltage
// is low.
func outcomeKey(r *handbook.Reading, kind string) string {
	if r.Timing != nil && kind != "within" {
		return "timing." + kind
	}
	return "outcome." + kind
}

// target is an id on the page, or the path of another page.
func (d *demo) target(to handbook.Target) string {
	if to.Kind != handbook.ToPage {
		return to.ID
	}
	path := to.Page.Path
	if to.Page.Index {
		path = page.FinderPath(d.book, to.Page.Lang)
	}
	if to.ID != "" {
		path += "#" + to.ID
	}
	return path
}

// TestWalk takes every answer of every second procedure of a spread once, with a finger, from the
// finder to each of its ends; with -every of all.
func TestWalk(t *testing.T) {
	n := 0
	for d, p := range compiled(t).everywhere() {
		if n++; n%2 != 1 && !*every {
			continue // TestPathsWithScript shows the same cards, without a finger
		}
		t.Run(d.lang+"/"+strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			w := &walker{tab: open(t, ""), d: d, page: p, steps: map[string]*handbook.Step{}, seen: map[string]bool{}}
			for _, s := range p.Procedure.Steps {
				w.steps[s.ID] = s
			}
			finder := page.FinderPath(d.book, d.lang)
			w.goLive(d.address(finder))
			way, _ := filepath.Rel(filepath.Dir(finder), p.Path)
			w.tap(fmt.Sprintf(`document.querySelector('.answers a[href="%s"]')`, filepath.ToSlash(way)))
			w.wait("document.body.dataset.page === " + quoted(p.Key))
			w.waitLive()
			first := p.Procedure.Steps[0].ID
			w.on(first, nil, false)
			w.walk(first, nil)
			w.complete()
			w.again(first)
		})
	}
}

// answer is the link of a way out, by what it says.
func (w *walker) answer(step string, out way) string {
	return fmt.Sprintf(`[...document.querySelectorAll("#%s .answers a")].find((a) => a.firstChild.textContent.trim() === %s)`, step, quoted(out.said))
}

// gives gives an answer, and once more where it is asked about.
func (w *walker) gives(step string, out way) {
	w.Helper()
	w.tap(w.answer(step, out))
	w.insists(step)
}

// on asks for the one card that can be seen and the way that led there.
func (w *walker) on(card string, way []passed, focus bool) {
	w.Helper()
	w.wait(fmt.Sprintf(`(v => v.Cards.join() === %s && v.Way.length === %d && v.Within >= %t)(%s)`, quoted(card), len(way), focus, viewScript))
	got := eval[view](w.tab, viewScript)
	for i := range got.Way {
		got.Way[i].Said = w.d.bare(got.Way[i].Said)
	}
	if !slices.Equal(got.Way, way) {
		w.Fatalf("at %s the way so far is %q, want %q", card, got.Way, way)
	}
	if focus && got.Focus != card {
		w.Errorf("at %s the focus is in %q", card, got.Focus)
	}
}

// walk takes every way out of a step that was not taken yet, and comes back.
func (w *walker) walk(id string, before []passed) {
	w.seen[id] = true
	s := w.steps[id]
	title := eval[string](w.tab, fmt.Sprintf(`document.querySelector("#%s h2").textContent.trim()`, id))
	ways := w.d.ways(s)
	if n := eval[int](w.tab, fmt.Sprintf(`document.querySelectorAll("#%s .answers a").length`, id)); n != len(ways) {
		w.Fatalf("%s has %d answers on the page, want %d", id, n, len(ways))
	}
	for _, out := range ways {
		w.answers++
		w.gives(id, out)
		if out.to.Kind == handbook.ToPage {
			w.away(out.target)
			w.on(id, before, false)
			continue
		}
		after := append(slices.Clip(before), passed{id, title, out.said})
		w.on(out.target, after, true)
		switch {
		case w.steps[out.target] == nil:
			w.end(out.target, after)
		case !w.seen[out.target]:
			w.walk(out.target, after)
		}
		w.goBack()
		w.on(id, before, true)
	}
}

// away checks the other page that an answer led to, and comes back.
func (w *walker) away(target string) {
	w.Helper()
	path, id, _ := strings.Cut(target, "#")
	w.wait("location.href.split('#')[0] === " + quoted(w.d.address(path)))
	w.waitLive()
	if id != "" {
		w.wait(fmt.Sprintf(`document.getElementById(%s).getClientRects().length`, quoted(id)))
	}
	w.seen[target] = true
	w.leave("history.back()")
	w.wait("document.body.dataset.page === " + quoted(w.page.Key))
	w.waitLive()
}

// end checks an end, and at the first one that the sheet comes up there again
// after the phone slept. From a cause it goes on to the check after the repair,
// which leaves the way as it is.
func (w *walker) end(id string, way []passed) {
	w.seen[id] = true
	found := eval[[]passed](w.tab, fmt.Sprintf(`[...document.querySelectorAll("#%s .ruled-out li")].map((li) => ({
		ID: "", Step: li.querySelector("b").textContent, Said: li.querySelector("span").textContent}))`, id))
	for i := range found {
		found[i].ID, found[i].Said = way[i].ID, w.d.bare(found[i].Said)
	}
	if !slices.Equal(found, way) {
		w.Errorf("%s lists %q, want %q", id, found, way)
	}
	if !w.resumed {
		w.resumed = true
		eval[bool](w.tab, "window.before = true")
		w.leave("location.reload()")
		w.wait("!window.before")
		w.waitLive()
		w.on(id, way, false)
	}
	check := eval[string](w.tab, fmt.Sprintf(`document.querySelector("#%s .verify a")?.getAttribute("href").slice(1) ?? ""`, id))
	if check == "" || w.seen[check] {
		return
	}
	w.tap(fmt.Sprintf(`document.querySelector("#%s .verify a")`, id))
	w.on(check, way, true)
	w.walk(check, way)
	w.goBack()
	w.on(id, way, true)
}

// goBack takes the browser's way back and the sheet's own in turn.
func (w *walker) goBack() {
	w.Helper()
	if w.back++; w.back%2 == 0 {
		w.tap(`document.querySelector("[data-do=back]")`)
	} else {
		w.leave("history.back()")
	}
}

// complete asks that the walk has been everywhere.
func (w *walker) complete() {
	want := map[string]bool{}
	for _, s := range w.page.Procedure.Steps {
		want[s.ID] = true
		for _, out := range w.d.ways(s) {
			want[out.target] = true
		}
	}
	ends := eval[[]string](w.tab, `[...document.querySelectorAll(".step, .end")].map((e) => e.id)`)
	for _, id := range ends {
		want[id] = true
	}
	if !maps.Equal(w.seen, want) {
		w.Errorf("reached %v, want %v", slices.Sorted(maps.Keys(w.seen)), slices.Sorted(maps.Keys(want)))
	}
	if len(w.page.Procedure.Causes) > len(ends)-len(w.steps) {
		w.Errorf("%d ends for %d causes", len(ends)-len(w.steps), len(w.page.Procedure.Causes))
	}
	w.Logf("%d steps, %d ends, %d answers taken", len(w.steps), len(ends)-len(w.steps), w.answers)
}

// again starts the procedure over, comes back to it from the finder where it
// was left, and shows all of it.
func (w *walker) again(first string) {
	title := eval[string](w.tab, fmt.Sprintf(`document.querySelector("#%s h2").textContent.trim()`, first))
	ways := w.d.ways(w.steps[first])
	i := slices.IndexFunc(ways, func(out way) bool { return w.steps[out.target] != nil })
	take := func() {
		w.gives(first, ways[i])
		w.on(ways[i].target, []passed{{first, title, ways[i].said}}, true)
	}
	take()
	w.tap(`document.querySelector("[data-do=again]")`)
	w.on(first, nil, true)
	take()
	w.goLive(w.d.address("index.html"))
	w.goLive(w.d.address(w.page.Path))
	w.on(ways[i].target, []passed{{first, title, ways[i].said}}, false)
	w.tap(`document.querySelector("[data-do=back]")`)
	w.on(first, nil, true)
	w.tap(`document.querySelector("[data-do=all]")`)
	w.wait(viewScript + `.Cards.length === document.querySelectorAll(".step, .end").length`)
}
