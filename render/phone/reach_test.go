package phone

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestLargeText opens a page of each kind with letters twice as large, on a small phone: nothing sticks out, each
// target keeps its size, and at least half of the screen is left to the sheet (WCAG 2.2, 1.4.4 and 1.4.10). A heading's words
// stay whole up to eight letters, and longer ones are broken by the language's rules.
func TestLargeText(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, 640)
	pages := append(d.kinds(), "models.html", "labels.html")
	for _, p := range d.procedures() {
		pages = append(pages, p.Path)
	}
	for _, p := range d.opened() {
		if bytes.Contains(d.read(t, p), []byte(`class="plotted"`)) && !slices.Contains(pages, p) {
			pages = append(pages, p) // the figures of a plot are a table
		}
	}
	for _, p := range pages {
		b.goLive(d.address(p))
		eval[bool](b, `(document.documentElement.style.fontSize = "200%", true)`)
		for _, fault := range eval[[]string](b, layoutScript) {
			t.Errorf("%s: %s", p, fault)
		}
		if share := eval[float64](b, `(document.querySelector(".bar")?.offsetHeight ?? 0) / innerHeight`); share > 0.5 {
			t.Errorf("%s: the bar takes %.0f %% of the screen", p, 100*share)
		}
		if eval[bool](b, `document.querySelector('[data-do="all"]') !== null`) {
			eval[bool](b, `(document.querySelector('[data-do="all"]').click(), true)`)
			eval[bool](b, `(document.querySelectorAll(".step, .end").forEach((e) => e.style.contentVisibility = "visible"), true)`) // else what sticks out is cut
			for _, fault := range eval[[]string](b, layoutScript) {
				t.Errorf("%s, all steps: %s", p, fault)
			}
		}
		if grown := eval[float64](b, flowGrown); grown != 0 && grown < 1.99 {
			t.Errorf("%s: the letters of the picture grow by %.2f, want 2", p, grown)
		}
		for _, word := range eval[[]string](b, brokenWords) {
			t.Errorf("%s: in a heading %q is broken", p, word)
		}
		lang, _, found := strings.Cut(p, "/")
		if !found {
			lang = d.lang
		}
		if hyphens := eval[string](b, `getComputedStyle(document.querySelector("h1")).hyphens + " " + document.documentElement.lang`); hyphens != "auto "+lang {
			t.Errorf("%s: hyphens %s", p, hyphens)
		}
		if !eval[bool](b, `[...document.querySelectorAll("details:not([open])")].filter((e) => (e.open = true)).length > 0`) {
			continue
		}
		for _, fault := range eval[[]string](b, layoutScript) {
			t.Errorf("%s, opened: %s", p, fault)
		}
	}
}

// flowGrown is how much taller than with usual letters the picture of a procedure is, 0 where there is none. It is shifted in a frame that
// the keys reach.
const flowGrown = `(() => {
	const flow = document.querySelector(".table[tabindex='0'] .flow"), root = document.documentElement;
	if (!flow) return 0;
	const large = flow.getBoundingClientRect().height, was = root.style.fontSize;
	root.style.fontSize = "";
	const usual = flow.getBoundingClientRect().height;
	root.style.fontSize = was;
	return large / usual;
})()`

// brokenWords are the words of headings that go on in another line though they have room in one, without a hyphen.
const brokenWords = `[...document.querySelectorAll("h1, h2, h3")].filter((h) => h.getClientRects().length).flatMap((h) => {
	const found = [], texts = document.createTreeWalker(h, NodeFilter.SHOW_TEXT), range = document.createRange();
	while (texts.nextNode()) for (const m of texts.currentNode.data.matchAll(/(?<!\p{L})\p{L}{2,8}(?!\p{L})/gu)) {
		range.setStart(texts.currentNode, m.index);
		range.setEnd(texts.currentNode, m.index + m[0].length);
		if (new Set([...range.getClientRects()].map((r) => r.top)).size > 1) found.push(m[0]);
	}
	return found;
})`

// TestLongLeft: what is to be put back leaves half of a small screen to the sheet, also on pages that
// have no list of it, with letters twice as large.
func TestLongLeft(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, 568)
	b.goLive(d.address("index.html"))
	eval[bool](b, `(() => {
		const here = new URL(".", location.href).href, keep = (key, value) => localStorage.setItem("benchleaf " + here + " " + key, JSON.stringify(value));
		keep("job", "x");
		keep("bar x", ["Q150-10001", "To put back: Spark plug lead off, fuel valve closed, back-probe pins in, air cleaner element out, drive belt off", "", false]);
		return true;
	})()`)
	seen := 0
	for _, p := range append(d.kinds(), "models.html") {
		b.goLive(d.address(p))
		eval[bool](b, `(document.documentElement.style.fontSize = "200%", true)`)
		if !eval[bool](b, `document.querySelector(".bar > p") !== null`) {
			continue
		}
		seen++
		if share := eval[float64](b, `document.querySelector(".bar").offsetHeight / innerHeight`); share > 0.5 {
			t.Errorf("%s: the bar takes %.0f %% of the screen", p, 100*share)
		}
	}
	if seen < 3 {
		t.Errorf("%d pages say what is to be put back", seen)
	}
}

// TestFieldsWithoutScript: fields that take nothing do not look as if they did.
func TestFieldsWithoutScript(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	const look = `(() => {
		const { borderColor, backgroundColor, color, webkitTextFillColor } = getComputedStyle(document.querySelector(".field input"));
		return [borderColor, backgroundColor, color, webkitTextFillColor];
	})()`
	b.goLive(d.address("en/bench/wires.html"))
	live := eval[[]string](b, look)
	b.script(false)
	b.goTo(d.address("en/bench/wires.html"))
	still := eval[[]string](b, look)
	if still[0] == live[0] || still[1] == live[1] {
		t.Errorf("a field without script has the frame and the ground of a live one: %s", still)
	}
	if still[2] != live[2] || still[3] != live[3] {
		t.Errorf("its figure is %s, want %s", still[2:], live[2:])
	}
}

// TestNothingLeaves reads every page: what it loads is its own, and the only addresses of other hosts stand in
// links that are marked as such, or are the handbook's own address for paper.
func TestNothingLeaves(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, p := range d.pages {
		for n := range parse(t, d.read(t, p)).Descendants() {
			for _, a := range n.Attr {
				if !outward(a.Val) || a.Key == "xmlns" { // the name of SVG is no place

					continue
				}
				if n.Data != "a" || a.Key != "href" || attribute(n, "class") != "outside" {
					t.Errorf("%s: <%s %s=%q>", p, n.Data, a.Key, a.Val)
				}
			}
			if n.Data == "meta" && attribute(n, "http-equiv") != "" && attribute(n, "http-equiv") != "Content-Security-Policy" {
				t.Errorf("%s: <meta http-equiv=%q>", p, attribute(n, "http-equiv"))
			}
		}
	}
	b := open(t, "")
	for _, p := range d.kinds() {
		b.goLive(d.address(p))
		if cookies := eval[string](b, "document.cookie"); cookies != "" {
			t.Errorf("%s sets %q", p, cookies)
		}
	}
}

var outwardAddress = regexp.MustCompile(`^\s*(?:[a-z][a-z0-9+.-]*:)?//`)

// outward reports whether an attribute is the address of another host.
func outward(value string) bool { return outwardAddress.MatchString(strings.ToLower(value)) }
