package phone

import (
	"fmt"
	"slices"
	"testing"

	pages "github.com/chromedp/cdproto/page"
)

// tapScript keeps what is dear on a slow phone: formats of times that are made, and
// scrolls, each of which has the page laid out at once. A card is told to the script of jobs,
// which draws what the record adds to it, between "card" and "drawn".
const tapScript = `
	self.seen = [];
	const scroll = Element.prototype.scrollIntoView;
	Element.prototype.scrollIntoView = function (...args) { seen.push("scroll"); return scroll.apply(this, args); };
	Intl.DateTimeFormat = new Proxy(Intl.DateTimeFormat, {construct(...args) { seen.push("format"); return Reflect.construct(...args); }});
	addEventListener("click", () => (seen.length = 0), true);
	addEventListener("load", () => {
		document.addEventListener("benchleaf-step", () => seen.push("card"), true);
		document.addEventListener("benchleaf-step", () => seen.push("drawn"));
	});
`

// TestTap holds what is not left to a tap: the first format of times is made before it. A
// card is laid out once, when all is drawn.
func TestTap(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	call(m.tab, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: tapScript})
	m.opens(noHeat)
	m.wait(`seen.includes("format")`)
	for _, a := range []struct{ text, to string }{{"Cold", "fuse"}, {"Burnt", "cause-fuse-burnt"}} {
		m.answers(a.text, a.to)
		if seen := eval[[]string](m.tab, "seen"); !slices.Equal(seen, []string{"card", "drawn", "scroll"}) {
			t.Errorf("%s: the tap sets off %q, want a card that is scrolled to when it is drawn", a.text, seen)
		}
	}
}

// formatScript counts how often something that writes times is made: a slow phone takes milliseconds for each.
const formatScript = `
	self.made = 0;
	const count = (f) => function (...args) { made++; return f.apply(this, args); };
	for (const name of ["toLocaleString", "toLocaleTimeString", "toLocaleDateString"]) Date.prototype[name] = count(Date.prototype[name]);
	Intl.DateTimeFormat = new Proxy(Intl.DateTimeFormat, {construct(...args) { made++; return Reflect.construct(...args); }});
`

// TestManyJobs: a list of jobs makes what writes its times once, however many there are; of many the first
// ones are shown, the others are found by what the list says of them, and nobody passes it on the way to what stands above.
func TestManyJobs(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.jobs(d, "")
	const seen = `[...document.querySelectorAll(".jobs-list :is(.jobs li, [name=find], .more, p.told)")].filter((e) => e.getClientRects().length).length`
	if n := eval[int](b, seen); n != 1 {
		t.Errorf("without a job %d places are in sight, want that it says so", n)
	}
	var texts []string
	for i := range 20 {
		r := usual(fmt.Sprintf("%032x", i+1))
		r.Machine.Serial = fmt.Sprintf("M245-%05d", 100+i)
		texts = append(texts, encoded(t, r))
	}
	b.take(texts...)
	call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: formatScript})
	b.jobs(d, "")
	b.wait(`document.querySelectorAll("ul.jobs li").length === 20`)
	if made := eval[int](b, "made"); made == 0 || made > 4 {
		t.Errorf("for 20 jobs something that writes times is made %d times", made)
	}
	if n := eval[int](b, seen); n != 1+10+1 {
		t.Errorf("of 20 jobs %d places are in sight, want a field, 10 jobs and a key", n)
	}
	for sought, want := range map[string]int{"m245-00117 ": 1, "Burnt contacts": 10, "no such": 0} {
		b.tap(`document.querySelector("[name=find]")`)
		eval[bool](b, `(document.activeElement.select(), true)`)
		b.keys(sought)
		if n := eval[int](b, `[...document.querySelectorAll(".jobs li")].filter((e) => e.getClientRects().length).length`); n != want {
			t.Errorf("%q shows %d jobs, want %d", sought, n, want)
		}
		if says := eval[bool](b, `!document.querySelector("p.told").hidden`); says != (want == 0) {
			t.Errorf("%q: it says that no job has it: %t", sought, says)
		}
	}
	eval[bool](b, `(document.activeElement.select(), true)`)
	b.keys("M245")
	b.tap(`document.querySelector(".more")`)
	if n := eval[int](b, seen); n != 1+20 {
		t.Errorf("of all jobs %d places are in sight, want a field and 20 jobs", n)
	}
	b.tap(`document.querySelector("details:has([name=pasted]) summary")`)
	if !eval[bool](b, `document.querySelector("[data-do=take]").getBoundingClientRect().bottom < document.querySelector(".jobs").getBoundingClientRect().top`) {
		t.Error("what takes records in stands beneath the list")
	}
}
