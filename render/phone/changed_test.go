package phone

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
)

// edited compiles a handbook, and once more after an edit of each of some files, held against the first.
func edited(t *testing.T, name string, files fileTexts, edits map[string]*strings.Replacer) (old, now *demo) {
	t.Helper()
	dir := t.TempDir()
	write := func() {
		for name, text := range files {
			path := filepath.Join(dir, filepath.FromSlash(name))
			if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
				t.Fatal(err)
			}
		}
	}
	write()
	old, err := compile(dir, name+"-old")
	if err != nil {
		t.Fatal(err)
	}
	for name, r := range edits {
		was := files[name]
		if files[name] = r.Replace(was); files[name] == was {
			t.Fatal(name, "is as it was")
		}
	}
	write()
	if now, err = compileWith(dir, name, render.Options{Since: old.dir}); err != nil {
		t.Fatal(err)
	}
	return old, now
}

type fileTexts map[string]string

const changing = `
-- handbook.yaml --
title: Test
publisher: Example
edition: "1"
languages: [en]
states:
  cold: {title: Cold}
hazards:
  moving: {title: Moving parts}
-- models.yaml --
a1: {title: A1}
b2: {title: B2}
-- specs/all.yaml --
feed:
  title: Feed
  unit: V
  revised: 2026-01-01
  models:
    a1: {min: 11}
    b2: {min: 12}
-- parts.yaml --
fuse: {title: Fuse, system: feed, number: F-1}
-- en/procedures/dead.md --
---
sheet: procedure
title: No feed
purpose: Finds what is open.
symptom: It is dead
states: [cold]
hazards: [moving]
causes:
  fuse: {title: Fuse blown, part: fuse, remedy: Fit a fuse.}
  wire: {title: Wire open, remedy: Mend the wire.}
---

## Look at the fuse <id:look> <hazard:moving>

` + "```safety\nlevel: warning\nhazard: moving\ntext: Keep hands away.\n```" + `

Pull it. The wire is red.

` + "```answers\n- [Blown](cause:fuse)\n- [Whole](#measure)\n```" + `

## Measure the feed <id:measure> <minutes:3>

` + "```reading\nmeasure: Feed\nspec: feed\nlow: cause:wire\nwithin: end:hand-over\n```" + `
-- en/theory/feed.md --
---
sheet: theory
title: The feed
purpose: Says where it runs. See the values.
---

# The feed

It runs from the battery to the fuse, and from there by the red wire along the frame to the lamp, where the one
end of it is bolted to the lug and the other one goes on to ground.

| Place | Is |
|---|---|
| Fuse | <spec:feed> |

- at the fuse
- at the lamp
`

func changingHandbook(t *testing.T) (old, now *demo) {
	files := fileTexts{}
	for _, f := range txtar.Parse([]byte(changing)).Files {
		files[f.Name] = string(f.Data)
	}
	return edited(t, "changing", files, map[string]*strings.Replacer{
		"specs/all.yaml":        strings.NewReplacer("min: 11", "min: 11.5", "2026-01-01", "2026-02-01"),
		"parts.yaml":            strings.NewReplacer("F-1", "F-2"),
		"en/procedures/dead.md": strings.NewReplacer("The wire is red.", "The wire is blue.", "Keep hands away.", "Keep hands and sleeves away.", "[Blown]", "[Burnt]", "<minutes:3>", "<minutes:4>"),
		"en/theory/feed.md":     strings.NewReplacer("red wire along", "blue wire along", "- at the lamp", "- at the switch\n- at the lamp"),
	})
}

// barsScript tells of what is marked and in sight where a bar is missing, lies outside of the sheet or touches the text.
const barsScript = `[...document.querySelectorAll(".edited, p.change, p.change + *, .gone, .amended > .minutes")].filter((e) => e.getClientRects().length).flatMap((e) => {
	if (e.localName === "tr") e = e.firstElementChild;
	const style = getComputedStyle(e), box = e.getBoundingClientRect(), rtl = style.direction === "rtl";
	const wide = parseFloat(rtl ? style.borderRightWidth : style.borderLeftWidth), pad = parseFloat(rtl ? style.paddingRight : style.paddingLeft);
	const at = e.className + " " + e.textContent.slice(0, 20);
	return wide < 2 ? [at + " has no bar"] : pad < 2 ? [at + ": the bar touches the text"] : (rtl ? box.right > innerWidth : box.left < 0) ? [at + ": the bar lies outside"] : [];
})`

// TestChangeBars walks a marked procedure with and without script: the bars stand in the margin of every card,
// in sight, and words say the same.
func TestChangeBars(t *testing.T) {
	t.Parallel()
	_, d := changingHandbook(t)
	axe := axeScript(t)
	b := open(t, "")
	dead := d.address("en/procedures/dead.html")
	look := func(what string, marks int) {
		t.Helper()
		for _, fault := range eval[[]string](b, barsScript) {
			t.Errorf("%s: %s", what, fault)
		}
		if n := eval[int](b, `[...document.querySelectorAll(".change, .amended > .minutes")].filter((e) => e.getClientRects().length && /changed|new/.test(e.textContent)).length`); n != marks {
			t.Errorf("%s: %d marks in sight, want %d", what, n, marks)
		}
	}
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		for _, p := range []string{"en/procedures/dead.html", "en/theory/feed.html", "changed.html"} {
			b.goLive(d.address(p))
			eval[bool](b, axe)
			b.axe(p + ", " + scheme)
		}
	}
	b.size(320, phoneHeight)
	b.goLive(dead)
	for _, fault := range eval[[]string](b, layoutScript) {
		t.Error(fault)
	}
	look("the first card", 3) // panel, paragraph, answers
	b.tap(`document.querySelectorAll(".current .answers a")[1]`)
	b.wait(`document.querySelector(".current").id === "measure"`)
	look("the second card", 2) // its minutes and the value of its reading
	b.tap(`document.querySelector("[data-do=back]")`)
	b.wait(`document.querySelector(".current").id === "look"`)
	b.tap(`document.querySelectorAll(".current .answers a")[0]`)
	b.wait(`document.querySelector(".current").id === "cause-fuse"`)
	look("the fuse", 1) // its part has another number
	b.script(false)
	b.goTo(dead)
	look("all without script", 6)
	b.goTo(d.address("en/theory/feed.html"))
	look("a sheet without script", 3) // a paragraph, a row, an item
}

// TestChangedByModel asks the page of what changed for one model.
func TestChangedByModel(t *testing.T) {
	t.Parallel()
	_, d := changingHandbook(t)
	b := open(t, "")
	b.size(320, phoneHeight)
	b.goLive(d.address("changed.html"))
	rows := func() string {
		return eval[string](b, `[...document.querySelectorAll("#values + ul > li, details")].filter((e) => e.getClientRects().length).map((e) => e.id || e.textContent.trim().replace(/\s+/g, " ")).join("; ")`)
	}
	for _, fault := range eval[[]string](b, layoutScript) {
		t.Error(fault)
	}
	for model, want := range map[string]string{
		"b2": "model-b2",
		"a1": "Feed A1Before at least 11 VNow at least 11.5 V; model-a1",
	} {
		b.choose(model)
		if got := strings.ReplaceAll(rows(), "\u00A0", " "); got != want {
			t.Errorf("%s: in sight is %q, want %q", model, got, want)
		}
	}
	b.script(false)
	b.goTo(d.address("changed.html"))
	if got := strings.ReplaceAll(rows(), "\u00A0", " "); got != "Feed A1Before at least 11 VNow at least 11.5 V; model-a1; model-b2" {
		t.Errorf("without script: %q", got)
	}
}

// TestChangeBarsRightToLeft asks for the bars at the right of an Arabic sheet.
func TestChangeBarsRightToLeft(t *testing.T) {
	t.Parallel()
	files := fileTexts{}
	root := os.DirFS(filepath.Join("testdata", "rtl"))
	for _, name := range []string{"handbook.yaml", "models.yaml", "specs/a.yaml", "ar/procedures/no-heat.md", "ar/theory/wire.md"} {
		text, err := fs.ReadFile(root, name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(text)
	}
	_, d := edited(t, "rtl-changed", files, map[string]*strings.Replacer{
		"ar/procedures/no-heat.md": strings.NewReplacer("أبعد يديك عن المروحة.", "أبعد يديك وأكمامك عن المروحة.", "<minutes:2>", "<minutes:4>"),
	})
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	for _, p := range []string{"ar/procedures/no-heat.html", "changed.html"} {
		b.goLive(d.address(p))
		for _, fault := range eval[[]string](b, barsScript) {
			t.Errorf("%s: %s", p, fault)
		}
		if eval[bool](b, `document.documentElement.scrollWidth > innerWidth`) {
			t.Errorf("%s is wider than the phone", p)
		}
		for _, text := range eval[[]string](b, unmarked) {
			t.Errorf("%s: nothing says that %q is English", p, text)
		}
	}
	b.goLive(d.address("ar/procedures/no-heat.html"))
	if !eval[bool](b, `document.querySelector("p.change").getBoundingClientRect().right > document.querySelector("main > .current h2").getBoundingClientRect().right`) {
		t.Error("the bar is not in the margin at the right")
	}
}

// TestChangeBarsPrint asks for bars on a printer without colours: an upright line at the edge of what
// changed, as long as two lines of text. The sheet before has none.
func TestChangeBarsPrint(t *testing.T) {
	t.Parallel()
	old, now := changingHandbook(t)
	b := open(t, "")
	longest := func(d *demo) (most int) {
		b.goTo(d.address("en/theory/feed.html"))
		pdf := b.print("A4")
		picture, err := png.Decode(bytes.NewReader(b.poppler("pdftoppm", "-mono", "-r", "100", "-png", pdf)))
		if err != nil {
			t.Fatal(err)
		}
		for x := range picture.Bounds().Dx() {
			run := 0
			for y := range picture.Bounds().Dy() {
				if run++; !black(picture, x, y) {
					run = 0
				}
				most = max(most, run)
			}
		}
		return most
	}
	// Two lines of 9 pt at 1.3 are 23.4 pt, 32 dots at 100 to the inch; no letter has half of it.
	if before, after := longest(old), longest(now); before > 16 || after < 32 {
		t.Errorf("the longest upright line has %d dots before and %d after", before, after)
	}
	text := strings.Join(b.sheets(b.print("A4")), " ")
	for _, words := range []string{"What changed: marked at the edge of the text", "changed: It runs", "new value: Fuse", "new: at the switch"} {
		if !strings.Contains(text, words) {
			t.Errorf("%q is not on paper:\n%s", words, text)
		}
	}
}

func black(m image.Image, x, y int) bool {
	r, _, _, _ := m.At(x, y).RGBA()
	return r < 0x8000
}
