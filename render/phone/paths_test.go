package phone

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/record"
)

// takenLeg is a leg as the page's walker takes it.
type takenLeg struct {
	Step, Said, To string
	Leaves         bool   // to another page
	Cause          bool   // to a cause, which is mended
	Replaced       bool   // with a part
	Check          string // then to this step
}

func legs(r route) []takenLeg {
	var list []takenLeg
	for _, l := range r {
		t := takenLeg{Step: l.step.ID, Said: l.out.said, To: l.out.target, Leaves: l.out.to.Kind == handbook.ToPage, Cause: l.out.to.Kind == handbook.ToCause}
		if t.Cause {
			t.Replaced = l.out.to.Cause.Part != nil
		}
		if l.check != nil {
			t.Check = l.check.ID
		}
		list = append(list, t)
	}
	return list
}

// staticScript clicks a route's links in a page without script, where a click on
// a link within the page leads there at once. It returns what is wrong.
const staticScript = `((legs) => {
	const wrong = [];
	const arrive = (id) => {
		const e = document.getElementById(id), h = e.querySelector("h2"), r = h.getBoundingClientRect();
		if (!e.matches(":target")) wrong.push("the way leads to " + location.hash + ", not to " + id);
		if (r.top < 0 || r.bottom > innerHeight) wrong.push(id + " is not on the screen: " + r.top);
	};
	for (const leg of legs) {
		const found = [...document.querySelectorAll("#" + leg.Step + " .answers a")].filter((a) => a.firstChild.textContent.trim() === leg.Said);
		if (found.length !== 1) return [leg.Step + " has " + found.length + " answers " + leg.Said];
		if (leg.Leaves) return wrong;
		found[0].click();
		arrive(leg.To);
		if (leg.Check) {
			document.querySelector("#" + leg.To + " .verify a").click();
			arrive(leg.Check);
		}
	}
	return wrong;
})`

// TestPathsWithoutScript reads what stands on the cards of every procedure in a
// browser that runs no script, and clicks every answer on a route to its end: of
// a spread of them.
func TestPathsWithoutScript(t *testing.T) {
	first := compiled(t)
	clicked := map[string]bool{}
	for d, p := range first.everywhere() {
		clicked[d.address(p.Path)] = true
		t.Run(d.lang+"/"+strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.script(false)
			b.goTo(d.address(p.Path))
			d.staticSteps(b, p)
			d.staticEnds(b, p)
			all := d.routes(p)
			some, answers := walkedOf(all, route.singles), 0
			for part := range slices.Chunk(some, 20) {
				var list [][]takenLeg
				for _, r := range part {
					list = append(list, legs(r))
					answers += len(r)
				}
				for i, wrong := range eval[[][]string](b, quoted(list)+".map("+staticScript+")") {
					if len(wrong) > 0 {
						t.Errorf("%s: %q", part[i], wrong)
					}
				}
			}
			pages := d.staticPages(b, p)
			t.Logf("%d of %d routes, %d answers, %d other pages", len(some), len(all), answers, pages)
		})
	}
	t.Run("the others", func(t *testing.T) {
		t.Parallel()
		b := open(t, "")
		b.script(false)
		for _, p := range first.procedures() {
			if !clicked[first.address(p.Path)] {
				b.goTo(first.address(p.Path))
				first.staticSteps(b, p)
				first.staticEnds(b, p)
			}
		}
	})
}

// staticStep is what stands on the card of a step, in its order.
type staticStep struct {
	Panels  []struct{ Level, Hazard string }
	Before  bool // the panels stand before all that is to be done
	Answers []struct{ Said, Href string }
}

// staticSteps asks that every step warns, before all that is to be done, of each
// hazard that it names, and has its answers.
func (d *demo) staticSteps(b *tab, p *handbook.Page) {
	b.Helper()
	for _, s := range p.Procedure.Steps {
		got := eval[staticStep](b, fmt.Sprintf(`((step) => {
			const panels = [...step.querySelectorAll(":scope > .safety")].filter((e) => e.getClientRects().length);
			const acts = [...step.children].filter((e) => !e.matches("h2, .safety, .minutes, .part"));
			return {
				Panels: panels.map((e) => ({Level: e.dataset.level, Hazard: e.querySelector(".hazard")?.textContent ?? ""})),
				Before: panels.every((e) => acts.every((a) => e.compareDocumentPosition(a) & Node.DOCUMENT_POSITION_FOLLOWING)),
				Answers: [...step.querySelectorAll(".answers a")].filter((a) => a.getClientRects().length)
					.map((a) => ({Said: a.firstChild.textContent.trim(), Href: a.getAttribute("href")})),
			};
		})(document.getElementById(%s))`, quoted(s.ID)))
		if !got.Before {
			b.Errorf("%s: something is to be done before it is warned of", s.ID)
		}
		for _, h := range hazardsOf(p, s) {
			if !slices.ContainsFunc(got.Panels, func(panel struct{ Level, Hazard string }) bool {
				return panel.Hazard == h.Title.In(p.Lang) && panel.Level != ""
			}) {
				b.Errorf("%s names %q and does not warn of it", s.ID, h.ID)
			}
		}
		if len(got.Panels) < len(s.Panels) {
			b.Errorf("%s shows %d of %d safety messages", s.ID, len(got.Panels), len(s.Panels))
		}
		ways := d.ways(s)
		if len(got.Answers) != len(ways) {
			b.Errorf("%s has %d answers, want %d", s.ID, len(got.Answers), len(ways))
		}
		for _, out := range ways {
			if !slices.ContainsFunc(got.Answers, func(a struct{ Said, Href string }) bool {
				return a.Said == out.said && (out.to.Kind == handbook.ToPage || a.Href == "#"+out.target)
			}) {
				b.Errorf("%s lacks %q to %s: %v", s.ID, out.said, out.target, got.Answers)
			}
		}
	}
}

// hazardsOf are the hazards that a step names in its heading or its text.
func hazardsOf(p *handbook.Page, s *handbook.Step) (list []*handbook.Hazard) {
	for _, n := range append([]ast.Node{s.Heading}, s.Body...) {
		_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if h := p.Links[n].Hazard; entering && h != nil {
				list = append(list, h)
			}
			return ast.WalkContinue, nil
		})
	}
	return list
}

var linkText, valueText = regexp.MustCompile(`\[([^\]]*)\]\([^)]*\)`), regexp.MustCompile(`<spec:[^>]*>`)

// plain is a Markdown text as a reader sees it, its white space as one blank, in
// parts between the values of specifications; the demo has nothing else but links
// in these texts.
func plain(text []byte) []string {
	read := strings.Join(strings.Fields(string(linkText.ReplaceAll(text, []byte("$1")))), " ")
	return valueText.Split(read, -1)
}

// staticEnds asks that every end says what proves it, what is to be done, and what
// is put back.
func (d *demo) staticEnds(b *tab, p *handbook.Page) {
	b.Helper()
	reached := map[string]handbook.Target{}
	leading := map[string]int{}
	for _, s := range p.Procedure.Steps {
		for _, out := range d.ways(s) {
			if out.to.Kind == handbook.ToCause || out.to.Kind == handbook.ToEnd {
				reached[out.target] = out.to
				leading[out.target]++
			}
		}
	}
	for id, to := range reached {
		got := eval[struct {
			Text, Verify string
			Proofs       int
		}](b, fmt.Sprintf(`((end) => ({
			Text: end.innerText.replace(/\s+/g, " "), Proofs: end.querySelectorAll(".proofs li a").length,
			Verify: end.querySelector(".verify a")?.getAttribute("href") ?? "",
		}))(document.getElementById(%s))`, quoted(id)))
		var want []string
		restores, verify := []handbook.SettingAt(nil), ""
		if c := to.Cause; c != nil {
			want = append(plain(c.Remedy.Text), c.Title)
			if c.Part != nil {
				want = append(want, c.Part.Title.In(p.Lang))
			}
			if got.Proofs != leading[id] {
				b.Errorf("%s has %d proofs, want %d", id, got.Proofs, leading[id])
			}
			if check := p.Procedure.Check(c); check != nil {
				verify = "#" + check.ID
			}
			restores = c.Restores
		} else if said := p.Procedure.Ends[strings.TrimPrefix(id, handbook.EndAnchor(""))]; said != nil {
			want = slices.Concat(plain(said.Text.Text), said.Log, []string{said.Again})
			restores = said.Restores
		}
		for _, s := range restores {
			want = append(want, s.Restore.In(p.Lang))
		}
		for _, text := range want {
			if !strings.Contains(got.Text, text) {
				b.Errorf("%s does not say %q: %s", id, text, got.Text)
			}
		}
		if got.Verify != verify {
			b.Errorf("%s leads on to %q, want %q", id, got.Verify, verify)
		}
	}
}

// staticPages clicks the ways to other pages, each once, and returns how many
// there are.
func (d *demo) staticPages(b *tab, p *handbook.Page) int {
	b.Helper()
	gone := map[string]bool{}
	for _, s := range p.Procedure.Steps {
		for _, out := range d.ways(s) {
			if out.to.Kind != handbook.ToPage || gone[out.target] {
				continue
			}
			gone[out.target] = true
			path, id, _ := strings.Cut(out.target, "#")
			eval[bool](b, fmt.Sprintf(`([...document.querySelectorAll("#%s .answers a")].find((a) => a.firstChild.textContent.trim() === %s).click(), true)`, s.ID, quoted(out.said)))
			b.wait("location.href.split('#')[0] === " + quoted(d.address(path)) + " && document.readyState === 'complete'")
			if id != "" {
				b.wait(`(r => r.top >= 0 && r.top < innerHeight)(document.querySelector(":target").getBoundingClientRect())`)
			}
			b.goTo(d.address(p.Path))
		}
	}
	return len(gone)
}

// walkScript takes a route in the page, by clicks, and returns each card that it
// came to, and the record once it is stored.
const walkScript = `(async (legs, remedy) => {
	const shown = [];
	const look = () => shown.push({
		...` + viewScript + `,
		Left: [...document.querySelectorAll(".bar .left [data-setting]")].map((e) => e.dataset.setting),
	});
	const turn = () => new Promise((done) => setTimeout(done));
	const lead = async (e) => {
		const next = new Promise((done) => document.addEventListener("benchleaf-step", done, {once: true}));
		e.click();
		// What is asked for once more is meant.
		e.closest(".answers li")?.nextElementSibling?.querySelector(":scope > button")?.click();
		await next;
		look();
	};
	const stored = async () => {
		while (` + pendingScript + `) await turn();
		const id = document.body.dataset.job;
		return new Promise((done) => indexedDB.open("benchleaf").onsuccess = ({target: {result: db}}) => {
			const asked = db.transaction("records").objectStore("records").openCursor(null, "prev");
			asked.onsuccess = () => {
				const c = asked.result;
				if (!c || c.value.id === id) { db.close(); done(c ? JSON.stringify(c.value) : ""); } else c.continue();
			};
		});
	};
	// A phone has not the thousands of jobs of all routes: its stores would be full.
	const forget = async () => {
		for (const k of Object.keys(localStorage)) if (/ (way|timing|bar) [0-9a-f]{32}/.test(k)) localStorage.removeItem(k);
		await new Promise((done) => indexedDB.open("benchleaf").onsuccess = ({target: {result: db}}) => {
			const t = db.transaction("records", "readwrite");
			t.objectStore("records").clear();
			t.oncomplete = () => { db.close(); done(); };
		});
	};
	look();
	for (const leg of legs) {
		const a = [...document.querySelectorAll("#" + leg.Step + " .answers a")].find((a) => a.firstChild.textContent.trim() === leg.Said);
		if (leg.Leaves) {
			addEventListener("click", (e) => e.preventDefault(), {once: true}); // it stops at the door
			a.click();
			continue;
		}
		await lead(a);
		const card = document.querySelector(".current");
		if (leg.Cause) {
			card.querySelector(".mended input").value = remedy;
			card.querySelector(".mended button").click();
			look();
		}
		if (leg.Check) await lead(card.querySelector(".verify a"));
	}
	const text = await stored();
	let cleared = "";
	const left = [...document.querySelectorAll(".end.current .of-job .left [data-setting]")].map((e) => e.dataset.setting);
	for (const id of left) document.querySelector(".end.current .of-job .left [data-setting=" + id + "] button").click();
	if (left.length) cleared = await stored();
	await lead(document.querySelector("[data-do=other]"));
	shown.pop();
	await forget();
	return {Shown: shown, Record: text, Cleared: cleared};
})`

type walkedCard struct {
	view
	Left []string
}

type walked struct {
	Shown           []walkedCard
	Record, Cleared string
}

// TestPathsWithScript takes the routes of a spread of procedures card by card: all that
// show different cards, and of every eighth procedure every two answers that can follow one another. Each
// is a job of its own, whose record says what was answered and what stands.
func TestPathsWithScript(t *testing.T) {
	n := 0
	for d, p := range compiled(t).everywhere() {
		parts := route.singles
		if n++; n%8 == 0 {
			parts = route.pairs
		}
		t.Run(d.lang+"/"+strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.goLive(d.address(p.Path))
			eval[bool](b, `(document.documentElement.style.opacity = "0", true)`) // nobody looks: each card would be painted
			titles := eval[map[string]string](b, `Object.fromEntries([...document.querySelectorAll(".step")].map((e) => [e.id, e.querySelector("h2").textContent.trim()]))`)
			all := d.routes(p)
			some, answers := walkedOf(all, parts), 0
			for _, r := range some {
				got := eval[walked](b, fmt.Sprintf("%s(%s, %s)", walkScript, quoted(legs(r)), quoted(remedyText)))
				got.Record = d.bare(got.Record)
				for _, card := range got.Shown {
					for i := range card.Way {
						card.Way[i].Said = d.bare(card.Way[i].Said)
					}
				}
				d.compare(b, p, r, got, titles)
				answers += len(r)
			}
			t.Logf("%d of %d routes, %d answers", len(some), len(all), answers)
		})
	}
}

// bare is an answer, or a text with answers, without what a check was answered in
// spite of: something left on the machine, an engine that is not yet cold.
func (d *demo) bare(said string) string {
	for key, figures := range map[string][]string{"job.notBack": {"what"}, "job.since": {"minutes", "number", "wanted"}} {
		const any = "\x00"
		var pairs []string
		for _, f := range figures {
			pairs = append(pairs, f, any)
		}
		pattern := strings.ReplaceAll(regexp.QuoteMeta(d.words.Fill(key, pairs...)), any, "[^)]*")
		said = regexp.MustCompile(` \(`+pattern+`\)`).ReplaceAllString(said, "")
	}
	return said
}

// compare holds what a walk showed and what was recorded of it against the route.
func (d *demo) compare(b *tab, p *handbook.Page, r route, got walked, titles map[string]string) {
	b.Helper()
	var way []passed
	var standing machine
	first := p.Procedure.Steps[0].ID
	want := []walkedCard{{view: view{Cards: []string{first}, Way: []passed{}, Within: true}, Left: []string{}}}
	card := func(id string) {
		left := append([]string{}, standing...)
		slices.Reverse(left) // what was taken off last is put back first
		want = append(want, walkedCard{view{Cards: []string{id}, Way: slices.Clone(way), Focus: id, Within: true}, left})
	}
	for _, l := range r {
		if l.out.to.Kind == handbook.ToPage {
			break
		}
		way = append(way, passed{l.step.ID, titles[l.step.ID], l.out.said})
		standing = standing.after(l.step)
		card(l.out.target)
		if l.out.to.Kind == handbook.ToCause {
			card(l.out.target) // mended: what stands is put back by taps alone
			want[len(want)-1].Focus = ""
		}
		if l.check != nil {
			card(l.check.ID)
		}
	}
	if len(got.Shown) != len(want) {
		b.Errorf("%s shows %d cards, want %d", r, len(got.Shown), len(want))
		return
	}
	for i, w := range want {
		g := got.Shown[i]
		if w.Focus == "" { // where the walk before left it, or on what was pressed
			g.Focus, g.Within = "", true
		}
		if g, w := quoted(g), quoted(w); g != w {
			b.Errorf("%s shows\n%s, want\n%s", r, g, w)
		}
	}
	rec, err := record.Decode(strings.NewReader(got.Record))
	if err != nil {
		b.Errorf("%s: %v in %s", r, err, got.Record)
		return
	}
	d.holds(b, p, r, rec, proves(rec))
	left := machine(rec.Left)
	for _, l := range r {
		if l.out.to.Kind == handbook.ToCause {
			left = left.without(l.out.to.Cause.Restores)
		}
	}
	if got.Cleared != "" {
		if then, err := record.Decode(strings.NewReader(got.Cleared)); err != nil || len(then.Left) > 0 {
			b.Errorf("%s: put back by taps, %v (%v)", r, then, err)
		}
	}
	switch to := r.last().to; {
	case to.Kind == handbook.ToEnd:
		if e := p.Procedure.Ends[strings.TrimPrefix(to.ID, handbook.EndAnchor(""))]; e != nil {
			left = left.without(e.Restores)
		}
		fallthrough
	case to.Kind != handbook.ToHeading:
		if len(left) > 0 {
			b.Errorf("%s ends with %v", r, left)
		}
	}
}

// proves tells whether all checks of a record prove a repair: what is seen does, and
// a figure that lies within its limits.
func proves(r *record.Record) bool {
	return !slices.ContainsFunc(r.Entries, func(e record.Entry) bool {
		within := e.Reading != nil && e.Reading.Verdict == "within" && e.Outcome == "within"
		seen := e.Reading == nil && (e.Outcome == "" || e.Outcome == "none")
		return e.Verification && !within && !seen
	})
}

// holds holds a stored record against the route, and whether its checks prove it.
func (d *demo) holds(b *tab, p *handbook.Page, r route, got *record.Record, proved bool) {
	b.Helper()
	repaired := proved && r.last().target == handbook.EndAnchor(handbook.Repaired)
	for _, difference := range d.differences(got, d.expected(p, r), repaired) {
		b.Errorf("%s: the record differs in %s", r, difference)
	}
}
