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
		if seen := eval[[]string](m.tab, "seen"); !slices.Equal(seen, []string{"card", "drawn", "scroll", "scroll"}) {
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

// TestListFormats: a list of jobs makes what writes its times once, however many there are.
func TestListFormats(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.jobs(d, "")
	var texts []string
	for i := range 20 {
		texts = append(texts, encoded(t, usual(fmt.Sprintf("%032x", i+1))))
	}
	b.take(texts...)
	call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: formatScript})
	b.jobs(d, "")
	b.wait(`document.querySelectorAll("ul.jobs li").length === 20`)
	if made := eval[int](b, "made"); made == 0 || made > 4 {
		t.Errorf("for 20 jobs something that writes times is made %d times", made)
	}
}
