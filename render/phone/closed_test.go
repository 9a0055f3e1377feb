package phone

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"benchleaf/render/handbook"
	"benchleaf/render/record"
)

// often is how many procedures are closed at each step, those with most to lose
// first: what is typed and timed. What keeps them is the same in all.
const often = 2

// longest is how many answers a route may have that is closed at each of its steps.
const longest = 8

// richest returns, of the routes to the proof of a repair, the one with most
// readings and times, and of those the one with fewest answers.
func (d *demo) richest(p *handbook.Page) route {
	var best route
	for _, r := range d.routes(p) {
		if len(r) <= longest && r.last().target == handbook.EndAnchor(handbook.Repaired) && (best == nil || r.riches() > best.riches()) {
			best = r
		}
	}
	return best
}

// riches counts the readings and times of a route before its answers.
func (r route) riches() (n int) {
	for _, l := range r {
		if l.step.Reading != nil {
			n += 100
		}
	}
	return n - len(r)
}

// work is what a card shows of the work at a machine.
type work struct {
	Card, Model, Typed, Marks string
	Way, Left                 []string
	Running                   bool // its stopwatch
}

const workScript = `(() => {
	const card = document.querySelector(".current");
	return {
		Card: [...document.querySelectorAll(".step, .end")].filter((e) => e.getClientRects().length).map((e) => e.id).join(),
		Model: document.querySelector("select[name=model]")?.value ?? "",
		Typed: card.querySelector(".reading input")?.value ?? "", Marks: card.querySelector(".timing")?.dataset.marks ?? "",
		Way: [...document.querySelectorAll(".way li")].map((li) => li.textContent),
		Left: [...document.querySelectorAll(".bar .left [data-setting]")].map((e) => e.dataset.setting),
		Running: !!card.querySelector(".clock") && /[1-9]/.test(card.querySelector(".clock").textContent),
	};
})()`

// stand is where a technician works at one machine, with a phone that is put away
// again and again.
type stand struct {
	*tab
	d    *demo
	p    *handbook.Page
	away func() // closes the page, and opens another tab
	// ends says that the browser ends with the page, which may be told of it or not.
	ends bool
}

// opens opens the procedure from the finder.
func (b *stand) opens() {
	b.Helper()
	b.goLive(b.d.address("index.html"))
	b.tap(fmt.Sprintf(`document.querySelector('.answers a[href="%s"]')`, b.p.Path))
	b.wait("document.body?.dataset.page === " + quoted(b.p.Key))
	b.waitLive()
}

// goesOn goes on with the one job from the page of jobs: a job that came to an end
// is not taken up by who opens a sheet for the next machine.
func (b *stand) goesOn() {
	b.Helper()
	b.goTo(b.d.address("jobs.html"))
	b.wait(`document.querySelector(".jobs li .big")`)
	b.tap(`document.querySelector(".jobs li .big")`)
	b.wait("document.body?.dataset.page === " + quoted(b.p.Key))
	b.waitLive()
}

// isBack closes the page, opens it again, and asks that all is as it was, and that
// what the open step sets is on the list, if the page could see to it: nobody knows
// how far it was done.
func (b *stand) isBack(open func()) {
	b.Helper()
	before := eval[work](b.tab, workScript)
	untold := before
	begun := eval[[]string](b.tab, `document.body.dataset.job ? (document.querySelector(".current").dataset.sets ?? "").split(" ").filter(Boolean).reverse() : []`)
	before.Left = append(slices.DeleteFunc(begun, func(id string) bool { return slices.Contains(before.Left, id) }), before.Left...)
	b.away()
	open()
	b.wait(`document.querySelector(".current").id === ` + quoted(before.Card))
	b.wait(`!document.querySelector(".bar .job") || document.body.dataset.job === "" || document.querySelector(".bar .job").href.includes("#")`) // the record was read
	b.settled()
	if before.Marks != "" {
		b.wait("(" + workScript + ").Running")
		before.Running = true
	}
	untold.Running = before.Running
	if got := eval[work](b.tab, workScript); quoted(got) != quoted(before) && !(b.ends && quoted(got) == quoted(untold)) {
		b.Fatalf("after it was closed:\n%s, want\n%s", quoted(got), quoted(before))
	}
}

// works does what a step asks for, short of its answer.
func (b *stand) works(s *handbook.Step, text string) {
	b.Helper()
	switch {
	case metered(s):
		b.tap(`document.querySelector(".current .reading input")`)
		eval[bool](b.tab, `(document.querySelector(".current .reading input").select(), true)`)
		b.keys(text)
		eval[bool](b.tab, painted) // then it is kept
	case s.Reading != nil:
		b.tap(`document.querySelector(".current .watch .answers button")`)
		b.wait(`document.querySelector(".current .timing").dataset.marks`)
	}
}

// insists gives an answer that is asked for once more, since the reading says something else.
func (b *tab) insists(step string) {
	b.Helper()
	asked := fmt.Sprintf(`document.querySelector("#%s.current .answers li:has(a) + li:not(:has(a)) button")`, step)
	if eval[bool](b, asked+" !== null") {
		b.tap(asked)
	}
}

// answers takes a leg, mends what it finds, and goes on to the check.
func (b *stand) answers(l leg) {
	b.Helper()
	b.tap(fmt.Sprintf(`[...document.querySelectorAll("#%s .answers a")].find((a) => a.firstChild.textContent.trim() === %s)`, l.step.ID, quoted(l.out.said)))
	b.insists(l.step.ID)
	b.wait(`document.querySelector(".current").id === ` + quoted(l.out.target))
	if l.out.to.Kind != handbook.ToCause {
		return
	}
	b.tap(`document.querySelector(".current .mended input")`)
	b.keys(remedyText)
	b.tap(`document.querySelector(".current .mended button")`)
	b.wait(`!document.querySelector(".current .mended input")`)
	b.isBack(b.goesOn)
	b.tap(`document.querySelector(".current .verify a")`)
	b.wait(`document.querySelector(".current").id === ` + quoted(l.check.ID))
}

func (b *stand) begins() {
	b.Helper()
	b.opens()
	if len(b.p.Applicability) > 0 {
		b.choose(b.p.Applicability[0].ID)
	}
}

// recorded asks that there is one record, of the route, with what was read on it.
func (b *stand) recorded(r route) {
	b.Helper()
	b.wait(`!` + pendingScript)
	all := eval[map[string]string](b.tab, storedScript)
	if len(all) != 1 {
		b.Errorf("%d records", len(all))
	}
	for id := range all {
		got := b.stored(id)
		proved := proves(got)
		for i, l := range r {
			if i == len(got.Entries) {
				break
			}
			e := &got.Entries[i]
			switch {
			case metered(l.step):
				if e.Reading == nil || e.Reading.Text != figureAt(i) {
					b.Errorf("%s: %s was typed, the record has %s", l.step.ID, figureAt(i), quoted(e.Reading))
				}
			case l.step.Reading != nil:
				if e.Timing == nil || len(e.Timing.Marks) != 1 {
					b.Errorf("%s: the record has the times %s", l.step.ID, quoted(e.Timing))
				}
			}
			if e.Reading != nil { // what it rules out is another test's
				got.RuledOut = slices.DeleteFunc(got.RuledOut, func(o record.RuledOut) bool { return o.Entry == i })
			}
			e.Said, _, _ = strings.Cut(b.d.bare(e.Said), ": ")
			e.Reading, e.Timing = nil, nil
		}
		for i := range got.Findings {
			got.Findings[i].CondemnedBy = nil
		}
		b.d.holds(b.tab, b.p, r, got, proved)
	}
}

// figureAt is what is read on the i-th card of a route.
func figureAt(i int) string { return strconv.Itoa(7 + i) }

// TestClosed closes the page at each step of a route of a procedure, with a
// reading typed or a stopwatch running, and opens it again from the finder.
func TestClosed(t *testing.T) {
	d := compiled(t)
	list := d.procedures()
	if !*every {
		slices.SortFunc(list, func(a, b *handbook.Page) int { return d.richest(b).riches() - d.richest(a).riches() })
		list = list[:often]
	}
	for _, p := range list {
		t.Run(strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			r := d.richest(p)
			if r == nil {
				t.Fatalf("no route of %d answers leads to the proof of a repair", longest)
			}
			phone := open(t, "")
			b := &stand{tab: phone.another(), d: d, p: p}
			b.away = func() {
				b.Helper()
				b.close()
				b.tab = phone.another()
			}
			b.begins()
			for i, l := range r {
				if i == 0 { // a reading belongs to a job, which the first answer begins
					b.isBack(b.opens)
				}
				b.works(l.step, figureAt(i))
				if i > 0 {
					b.isBack(b.opens)
				}
				b.answers(l)
			}
			b.recorded(r)
			t.Log(r)
		})
	}
}

// TestEnded ends the browser at each step of a job and starts it on the same
// profile again: it is killed at once after an answer, and quits with a reading
// typed or a stopwatch running.
func TestEnded(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	open(t, "") // skips where there is no browser
	all := d.procedures()
	p := all[slices.IndexFunc(all, func(p *handbook.Page) bool { return p.Key == "procedures/choke-opens-late" })]
	b := &stand{d: d, p: p, ends: true}
	stop := func() {}
	start := func() {
		t.Helper()
		var browser context.Context
		browser, stop = launch(browserProgram(), filepath.Join(scratch, "ended"))
		if err := chromedp.Do(browser); err != nil {
			t.Fatal(err)
		}
		ctx, _ := chromedp.NewContext(browser)
		b.tab = newTab(t, ctx, "")
	}
	t.Cleanup(func() { stop() })
	quit := func() {
		b.Helper()
		b.noFaults()
		stop()
		start()
	}
	kill := func() {
		b.Helper()
		b.wait(`!` + pendingScript) // what was answered is stored
		b.check(chromedp.FromContext(b.ctx).Browser.Process().Kill())
		<-b.ctx.Done()
		stop()
		start()
	}
	start()
	b.begins()
	r := d.richest(p)
	for i, l := range r {
		if i > 0 && r[i-1].check == nil { // the way on to the check is no answer, which the record has
			b.away = kill
			b.isBack(b.opens)
		}
		b.away = quit
		b.works(l.step, figureAt(i))
		b.isBack(b.opens)
		b.answers(l)
	}
	b.recorded(r)
}
