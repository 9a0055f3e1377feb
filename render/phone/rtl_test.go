package phone

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// unmarked are the English words of a page that say neither that they are nor how they are written.
// Symbols, functions in formulas, figures with their units, code and what stands in a field are of no language; a sentence that
// takes in a name of the handbook is of both.
const unmarked = `[...function*() {
	const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (texts.nextNode()) {
		let text = texts.currentNode.data;
		for (let outer = ""; outer !== text; ) text = (outer = text).replace(/\u2066[^\u2066\u2069]*\u2069/g, "");
		text = text.replace(/\b(exp|cos|max)\(/g, "(");
		const at = texts.currentNode.parentElement;
		if (!/[a-z]{3}/.test(text) || /\p{sc=Arab}/u.test(text) || at.closest("script, style, code, pre, var, svg, .unit, .address, select[name$='.unit']")) continue;
		const marked = at.closest("[lang]");
		if (marked.lang !== "en" || marked.dir !== "ltr") yield text.trim();
	}
}()]`

// openRightToLeft compiles the handbook of a language that is written from right to left, and opens a browser. The
// handbook stands in Arabic; another language has the same text.
func openRightToLeft(t *testing.T, lang string) (*demo, *tab) {
	t.Helper()
	from, dir := filepath.Join("testdata", "rtl"), t.TempDir()
	err := filepath.WalkDir(from, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(from, name)
		if rest, ok := strings.CutPrefix(rel, "ar"+string(filepath.Separator)); ok {
			rel = filepath.Join(lang, rest)
		}
		to := filepath.Join(dir, rel)
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		return os.WriteFile(to, []byte(strings.Replace(string(text), "languages: [ar]", "languages: ["+lang+"]", 1)), 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
	d, err := compile(dir, "rtl-"+lang)
	if err != nil {
		t.Fatal(err)
	}
	return d, open(t, "")
}

// TestRightToLeft lays out a handbook in Arabic: the sheet is the mirror image of others, and nothing sticks
// out. Figures, units, fields and pictures keep their own direction.
func TestRightToLeft(t *testing.T) {
	t.Parallel()
	d, b := openRightToLeft(t, "ar")
	for _, width := range []int64{320, phoneWidth} {
		b.size(width, phoneHeight)
		for _, p := range d.pages {
			b.goLive(d.address(p))
			for _, text := range eval[[]string](b, unmarked) {
				t.Errorf("%s: nothing says that %q is English", p, text)
			}
			for _, fault := range eval[[]string](b, layoutScript) {
				t.Errorf("%s at %d: %s", p, width, fault)
			}
			if left := eval[float64](b, `Math.min(...[...document.querySelectorAll("main, main > *, .bar, .keys > *")].filter((e) => e.getClientRects().length).map((e) => e.getBoundingClientRect().left))`); left < 0 {
				t.Errorf("%s at %d: something begins at %g", p, width, left)
			}
		}
	}
	b.goLive(d.address("ar/procedures/no-heat.html"))
	b.tap(`document.querySelector(".step.current .answers a")`)
	b.wait(`document.querySelector(".current").id === "feed"`)
	for what, holds := range map[string]string{
		"the page is written from right to left":              `getComputedStyle(document.body).direction === "rtl"`,
		"the number of a step is at the right":                `at(".current .number").right > innerWidth - 20`,
		"Search is at the right, the model at the left":       `at(".bar [href*=search]").right > at(".bar .job").right && at(".model").left < at("[data-do=back]").left`,
		"the arrow leads to the left, at the left":            `getComputedStyle(document.querySelector(".current .answers a"), "::after").content.includes("←") && getComputedStyle(document.querySelector(".current .answers a"), "::after").left === "0px"`,
		"a limit is isolated":                                 `/\u2068.*\u2069/.test(document.querySelector(".current .limits td").textContent)`,
		"a field is written from left to right, at the right": `getComputedStyle(document.querySelector(".current .entry input")).direction === "ltr" && getComputedStyle(document.querySelector(".current .entry input")).textAlign === "end"`,
		"the unit follows its figure":                         `at(".current .unit").left > at(".current .entry input").left`,
	} {
		if !eval[bool](b, `((at) => `+holds+`)((s) => document.querySelector(s).getBoundingClientRect())`) {
			t.Error("not so: " + what)
		}
	}
	for _, c := range []struct{ page, in, left, right string }{ // what must stand left of what
		{"models.html", "main ul", "Q15-9999", "Q15-0100"}, // "from … to …" is read from the right
		{"ar/theory/wire.html", ".example", "10", "A"},
		{"ar/theory/wire.html", ".example", "20", "°C"},
		{"ar/theory/wire.html", "td + td + td", "±0.2", "V"},
		{"ar/theory/wire.html", "[data-calculator=heater] label[for$=coefficient]", "20", "°C"},
		{"ar/theory/wire.html", "[data-limit] dd", "14.6", "11.5"},
		{"ar/procedures/no-heat.html", ".conditions dd", "27", "°C"},
		{"ar/procedures/opens-late.html", ".intro p", "40", "°C"},
		{"ar/procedures/opens-late.html", ".intro p", "-", "10"},
		{"ar/procedures/opens-late.html", ".timing .limit dd", "20", "°C"},
		{"ar/procedures/opens-late.html", ".timing .limit dd", "92.", "55."},
		{"ar/procedures/opens-late.html", ".clock", "0.0", "s"},
		{"ar/procedures/opens-late.html", "[data-mark=half] td", ".", "s"},
	} {
		b.goLive(d.address(c.page))
		b.all()
		if !standsLeft(b, c.in, c.left, c.right) {
			t.Errorf("%s: in %s %s stands right of %s", c.page, c.in, c.left, c.right)
		}

	}
	b.goLive(d.address("ar/procedures/no-heat.html"))
	b.wait(`document.querySelector(".current").id === "feed"`) // the way goes on there
	eval[bool](b, `document.querySelector(".current .entry input").focus() === undefined`)
	for _, typed := range []string{"9,30 V", "٩٫٣٠", "٩،٣٠ V", "۹.۳۰"} {
		eval[bool](b, fmt.Sprintf(`(e => { e.value = %q; return e.dispatchEvent(new Event("input", {bubbles: true})); })(document.querySelector(".current .entry input"))`, typed))
		if said := eval[string](b, `document.querySelector(".current .answers a").dataset.said`); !strings.Contains(said, "\u20689.30 V\u2069") {
			t.Errorf("of %s typed it says %q", typed, said)
		}
	}
	eval[bool](b, `!(document.activeElement.value = "")`)
	b.keys("10 V")
	b.tap(`document.querySelector(".current .answers a")`)
	b.wait(`document.querySelector(".way").textContent.includes("10")`)
	if !standsLeft(b, ".way", "10", "V") {
		t.Error("the way has a reading whose unit stands left of its figure")
	}
	b.goLive(d.address("ar/theory/wire.html"))
	const amperes = `(e => { e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); return [...e.form.querySelectorAll("output")].map((o) => o.textContent).join(" "); })(document.querySelector("[data-calculator=voltage-drop] [name=current]"))`
	if figures, others, less := eval[string](b, fmt.Sprintf(amperes, "٩٫٣")), eval[string](b, fmt.Sprintf(amperes, "9.3")), eval[string](b, fmt.Sprintf(amperes, "3.1")); figures != others || figures == less {
		t.Errorf("with ٩٫٣ A a calculator shows %q, with 9.3 A %q, with 3.1 A %q", figures, others, less)
	}
	for _, page := range []string{"ar/procedures/no-heat.flow.html", "ar/theory/wire.html"} {
		b.goLive(d.address(page))
		if !eval[bool](b, `[...document.querySelectorAll("svg.flow, svg.plot")].length > 0 && [...document.querySelectorAll("svg.flow, svg.plot")].every((e) => getComputedStyle(e).direction === "ltr")`) {
			t.Errorf("%s: the picture's texts are written from right to left", page)
		}
		if outside := eval[[]string](b, `[...document.querySelectorAll("svg.flow:not(.paper)")].flatMap((svg) => {
			const middle = (e) => { const r = e.getBoundingClientRect(); return (r.left + r.right) / 2; };
			const numbers = [...svg.querySelectorAll(".flow-number")].filter((e) => middle(e) < innerWidth - 60).map((e) => "at the left: " + e.textContent);
			return numbers.concat([...svg.querySelectorAll("a")].flatMap((a) => {
				const box = a.querySelector(".flow-box").getBoundingClientRect();
				return [...a.querySelectorAll("text")].filter((e) => { const r = e.getBoundingClientRect(); return r.left < box.left - 2 || r.right > box.right + 2; }).map((e) => "outside: " + e.textContent);
			}));
		})`); len(outside) > 0 {
			t.Errorf("%s: a flow begins at the right, %q", page, outside)
		}
	}
}

// standsLeft reports whether one text stands left of another inside an element.
func standsLeft(b *tab, in, left, right string) bool {
	return eval[bool](b, fmt.Sprintf(`((inside, ...texts) => {
	const [left, right] = texts.map((text) => {
		const all = document.createTreeWalker(document.querySelector(inside), NodeFilter.SHOW_TEXT);
		while (all.nextNode()) {
			const i = all.currentNode.data.indexOf(text), range = document.createRange();
			if (i < 0) continue;
			range.setStart(all.currentNode, i);
			range.setEnd(all.currentNode, i + 1);
			return range.getBoundingClientRect();
		}
	});
	return left.left < right.left || left.top !== right.top;
})(%q, %q, %q)`, in, left, right))
}

// TestBorrowedWords lays out the same in Persian, of which the theme has no words: English ones say that they are,
// and keep their own direction.
func TestBorrowedWords(t *testing.T) {
	t.Parallel()
	d, b := openRightToLeft(t, "fa")
	for _, p := range d.pages {
		b.goLive(d.address(p))
		for _, text := range eval[[]string](b, unmarked) {
			t.Errorf("%s: nothing says that %q, which a script wrote, is English", p, text)
		}
		for _, fault := range eval[[]string](b, layoutScript) {
			t.Errorf("%s: %s", p, fault)
		}
	}
	for selector, page := range map[string]string{".bar .job": "fa/theory/wire.html", ".jobs .told": "jobs.html"} {
		b.goLive(d.address(page))
		b.wait(`document.querySelector("` + selector + `")?.textContent[0] === "\u2066"`)
		if lang := eval[string](b, `document.querySelector("`+selector+`").closest("[lang]").lang`); lang != "en" {
			t.Errorf("%s: what a script wrote into %s is said to be of %q", page, selector, lang)
		}
	}
	b.script(false)
	for _, p := range d.pages {
		b.goTo(d.address(p))
		for _, text := range eval[[]string](b, unmarked) {
			t.Errorf("%s: nothing says that %q is English", p, text)
		}
	}
}
