package render

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/cache"
	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/remark"
)

// compiled is the edition of a handbook of a folder.
func compiled(t *testing.T, dir string, o Options) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "edition")
	if result, err := Compile(context.Background(), dir, out, o); err != nil || result.Failed() {
		t.Fatal(err, result.Remarks)
	}
	return out
}

func opened(t *testing.T, name string) *compare.Edition {
	t.Helper()
	e, err := compare.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// TestSinceItself holds a handbook against its own edition: no page has a mark, and nothing is
// other than without, but the finders, which lead to the page of what changed.
func TestSinceItself(t *testing.T) {
	dir := newFolder(t, madeUp(6)).dir
	old := compiled(t, dir, Options{})
	before, after := filesOf(t, old), filesOf(t, compiled(t, dir, Options{Since: old}))
	for name, text := range after {
		switch {
		case strings.HasSuffix(name, "changed.html"):
			if !strings.Contains(text, "Nothing else changed") && !strings.Contains(text, "No ha cambiado nada más") {
				t.Errorf("%s: %s", name, text)
			}
		case strings.HasSuffix(name, "index.html") || strings.HasPrefix(name, "manifest") || strings.HasPrefix(name, "packs/"):
		case before[name] != text:
			t.Errorf("%s is another file: %.500s", name, difference(text, before[name]))
		}
	}
}

// TestSinceMarks changes a value, a paragraph and an answer, each by hand, and looks for what is marked.
func TestSinceMarks(t *testing.T) {
	files := map[string]string{
		"handbook.yaml":  "title: Test\npublisher: Example\nedition: \"1\"\nlanguages: [en]\n",
		"models.yaml":    "a1: {title: A1}\nb2: {title: B2}\n",
		"specs/all.yaml": "feed:\n  title: Feed\n  unit: V\n  revised: 2026-01-01\n  models:\n    a1: {min: 11}\n    b2: {min: 12}\n",
		"en/a.md": `---
sheet: procedure
title: No feed
symptom: It is dead
causes:
  fuse: {title: Fuse blown, remedy: Fit a fuse.}
---

It is silent.

## Look <id:look>

It is to be <spec:feed>.

The wire is red.

` + "```answers\n- [Blown](cause:fuse)\n- [Whole](end:hand-over)\n```\n",
		"en/d.md": `---
sheet: procedure
title: Low feed
symptom: It is dim
causes:
  lead: {title: Lead loose, remedy: "Fasten it, then hold <spec:feed>."}
---

## Look <id:look>

` + "```answers\n- [Loose](cause:lead)\n- [Fast](#listen)\n```" + `

## Listen to it <id:listen>

` + "```answers\n- [It hums](cause:lead)\n- [It does not](#feel)\n```" + `

## Feel it <id:feel>

` + "```answers\n- [It is warm](cause:lead)\n- [It is cold](#smell)\n```" + `

## Smell it <id:smell>

` + "```answers\n- [It smells](cause:lead)\n- [It does not](end:not-reproduced)\n```\n",
		"en/b.md":     "---\nsheet: reference\ntitle: B\napplicability: [b2]\n---\n\n# B\n\n| Value | Is |\n|---|---|\n| Feed | <spec:feed> |\n| Other | 5 |\n",
		"en/c.md":     "---\nsheet: reference\ntitle: C\n---\n\n# C\n\n- one\n- two\n\n![A ring](ring.svg)\n",
		"en/ring.svg": `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle r="9"/></svg>`,
	}
	f := newFolder(t, files)
	old := compiled(t, f.dir, Options{})
	f.write("specs/all.yaml", strings.Replace(strings.Replace(files["specs/all.yaml"], "min: 11", "min: 11.5", 1), "2026-01-01", "2026-02-01", 1))
	f.write("en/a.md", strings.NewReplacer("The wire is red.", "The wire is blue.", "[Blown]", "[Burnt]", "Fit a fuse.", "Fit a new fuse.").Replace(files["en/a.md"]))
	one, rest, _ := strings.Cut(files["en/d.md"], "## Listen")
	_, rest, _ = strings.Cut(rest, "## Feel")
	rest, _, _ = strings.Cut(rest, "## Smell")
	f.write("en/d.md", strings.Replace(one, "#listen", "#feel", 1)+"## Feel"+strings.Replace(rest, "#smell", "end:not-reproduced", 1))
	f.write("en/c.md", strings.Replace(files["en/c.md"], "- two", "- one and a half\n- two", 1))
	f.write("en/ring.svg", strings.Replace(files["en/ring.svg"], `"9"`, `"8"`, 1))
	pages := filesOf(t, compiled(t, f.dir, Options{Since: old}))
	for name, list := range map[string]map[string]bool{
		"en/a.html": {
			`<p><span><small class="change edited" data-model="a1"><span class="for">A1: </span>new value:</small><span data-model="b2"></span></span> It is to be `: true,
			`<p class="edited"><small class="change">changed:</small> The wire is blue.`:                                                                             true,
			`<p class="change">changed</p>` + "\n" + `<ul class="answers">`:                                                                                          true,
			`<section class="end amended" id="cause-fuse"`:                                                                                                           true,
			`<section class="step" id="look"`:                                                                                                                        true,
			`<p>It is silent.</p>`:                                                                                                                                   true,
			`marked at the edge of the text`:                                                                                                                         true,
		},
		"en/d.html": {
			"Feel it</h2>\n" + `<p class="gone">a step was taken out here: Listen to it</p>`:                                 true,
			"</ul>\n" + `<p class="gone">a step was taken out here: Smell it</p>` + "\n</section>":                           true,
			`<div><p class="change edited" data-model="a1"><span class="for">A1: </span>new value</p><span data-model="b2">`: true,
			`<section class="end" id="cause-lead"`:                                                                           true,
		},
		// The value that changed is another model's.
		"en/b.html": {"class=\"edited": false, "class=\"change": false, "marked at the edge": false, "<tr><td>Feed</td>": true},
		"en/c.html": {`<li class="edited"><small class="change">new:</small> one and a half`: true, "<li>one</li>": true, "<li>two</li>": true, `<p class="edited"><small class="change">changed:</small> <a class="large" href="ring.svg">`: true},
		"changed.html": {
			`<li data-model="a1"><strong>Feed</strong> <small>A1</small>Before at least 11` + "\u00A0V<br>Now <strong>at least 11.5\u00A0V</strong></li>": true,
			`<li data-model="a1 b2"><a href="en/a.html">No feed</a>`: true,
			`<a href="en/b.html">`:                        false,
			`<li data-model="b2"><details id="model-b2">`: true,
		},
		"index.html": {`<a class="lone" href="changed.html">What changed</a>`: true},
	} {
		for text, there := range list {
			if strings.Contains(pages[name], text) != there {
				t.Errorf("%s: %q there is %v, want %v, in\n%s", name, text, !there, there, body(pages[name]))
			}
		}
	}
}

// body is what a page shows.
func body(page string) string {
	_, body, _ := strings.Cut(page, "<main")
	return body
}

// TestSinceEdits makes random edits to a handbook that is held against an older edition, and to that
// one: a build that keeps what it can has the files of one that makes all of it anew.
func TestSinceEdits(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	f := newFolder(t, madeUp(8))
	first := opened(t, compiled(t, f.dir, Options{}))
	kept := &builder{cache: cache.None{}, look: looks, last: newState(), since: first}
	n := 60
	if testing.Short() {
		n = 3
	}
	for i := range n {
		good := map[string]string{}
		for name, text := range f.files {
			good[name] = text
		}
		what := edit(f, random)
		anew := fresh()
		anew.since = kept.since
		got, want := build(t, kept, f.dir), build(t, anew, f.dir)
		if t.Run(fmt.Sprint(i, " ", what), func(t *testing.T) { alike(t, got, want) }); t.Failed() {
			return
		}
		switch {
		case got.result.Failed():
			for name := range f.files {
				if _, was := good[name]; !was {
					f.remove(name)
				}
			}
			for name, text := range good {
				f.write(name, text)
			}
		case i%10 == 9: // another edition is the older one
			kept.since = opened(t, compiled(t, f.dir, Options{}))
		case i%10 == 4: // none is
			kept.since = nil
		case i%10 == 5:
			kept.since = first
		}
	}
}

// TestSinceRefused asks for a refusal of what cannot be the older edition.
func TestSinceRefused(t *testing.T) {
	dir := newFolder(t, madeUp(4)).dir
	old := compiled(t, dir, Options{})
	compile := func(since string) error {
		_, err := Compile(context.Background(), dir, old, Options{Since: since})
		return err
	}
	if err := compile(old); !errors.Is(err, ErrReplaced) {
		t.Error(err)
	}
	if err := compile(filepath.Join(old, "manifest.json")); !errors.Is(err, ErrReplaced) {
		t.Error(err)
	}
	if err := compile(filepath.Join(dir, "nothing")); !errors.Is(err, edition.ErrNowhere) {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(old, "manifest.json")); err != nil {
		t.Error(err)
	}
}

// TestSinceRemark asks for the remark on a value whose day did not move, also of a build that keeps
// everything.
func TestSinceRemark(t *testing.T) {
	f := newFolder(t, madeUp(4))
	kept := fresh()
	kept.since = opened(t, compiled(t, f.dir, Options{}))
	f.write("specs/feeds.yaml", strings.Replace(f.files["specs/feeds.yaml"], "max: 12", "max: 11", 1))
	for range 2 {
		told := 0
		for _, r := range build(t, kept, f.dir).result.Remarks {
			if r.ID == remark.SpecUnrenewed.ID {
				told++
			}
		}
		if told != 1 {
			t.Errorf("told %d times", told)
		}
	}
}

// TestSinceLeftOut takes pieces of text out, each from another place, and asks that each is marked where it
// stood, once.
func TestSinceLeftOut(t *testing.T) {
	text := "---\nsheet: theory\ntitle: A\n---\n\n# A\n\nLead.\n\n- one\n- two\n- three\n\n| Value | Is |\n|---|---|\n| Feed | 1 |\n| Coil | 2 |\n| Ground | 3 |\n\n" +
		"Behind the table.\n\n## Second\n\nIt begins.\n\nIt ends.\n\n## Third\n\nAll of it.\n\nAnd its last words.\n"
	const line, small = `<p class="gone">something was left out here</p>` + "\n", `<small class="gone">something was left out here</small> `
	f := newFolder(t, map[string]string{"handbook.yaml": "title: Test\npublisher: Example\nedition: \"1\"\nlanguages: [en]\n"})
	left := map[string]string{ // what is left out, and what stands there then
		"Lead.\n\n":             line + "<ul>",
		"- one\n":               "<ul>\n<li>" + small + "two",
		"- two\n":               "<li>" + small + "three",
		"- three\n":             "</ul>\n" + line + `<div class="table"`,
		"| Feed | 1 |\n":        "<tbody>\n<tr><td>" + small + "Coil",
		"| Coil | 2 |\n":        "<td>" + small + "Ground",
		"| Ground | 3 |\n":      "</div>\n" + line + "<p>Behind",
		"It ends.\n\n":          "<p>It begins.</p>\n" + line + "<h2",
		"And its last words.\n": "<p>All of it.</p>\n" + line,
		"## Second\n\nIt begins.\n\nIt ends.\n\n": "<p>Behind the table.</p>\n" + line + "<h2",
	}
	pages := slices.Sorted(maps.Keys(left))
	for i := range pages {
		f.write(fmt.Sprintf("en/a%d.md", i), text)
	}
	old := compiled(t, f.dir, Options{})
	for i, gone := range pages {
		f.write(fmt.Sprintf("en/a%d.md", i), strings.Replace(text, gone, "", 1))
	}
	now := filesOf(t, compiled(t, f.dir, Options{Since: old}))
	for i, gone := range pages {
		want, page := left[gone], now[fmt.Sprintf("en/a%d.html", i)]
		if !strings.Contains(page, want) || strings.Count(page, "left out here") != 1 || !strings.Contains(page, "marked at the edge") {
			t.Errorf("without %q: want %q in\n%s", gone, want, body(page))
		}
	}
}

// TestSinceTold asks that the page of what changed says in each language what was and what is, of a part, of
// conditions, of an engine state, of a meter and of a range of serial numbers, and of what did not change that
// it did not.
func TestSinceTold(t *testing.T) {
	files := map[string]string{
		"handbook.yaml": `title: Test
publisher: Example
edition: "1"
languages: [en, es]
meters:
  - {unit: V, percent: 0.5, digits: 2, resolution: 0.01}
states:
  cold: {title: {en: Cold, es: Frío}, text: {en: It draws 3 mA., es: Consume 3 mA.}}
`,
		"models.yaml": "a1: {title: A1, serial: {from: A-1000}}\nb2: {title: B2}\n",
		"parts.yaml":  "fuse: {title: {en: Fuse, es: Fusible}, system: feed, number: F-1}\n",
		"specs/all.yaml": `feed:
  title: {en: Feed, es: Alimentación}
  unit: V
  revised: 2026-01-01
  conditions: {en: After ten minutes, es: Tras diez minutos}
  models:
    a1: {min: 11.5}
    b2: {min: 12}
gap:
  title: {en: Gap, es: Hueco}
  unit: mm
  revised: 2026-01-01
  models:
    a1: {max: 0.3}
  history:
    - {serial: {from: A-1000, to: A-1999}, models: {a1: {max: 0.4}}}
`,
		"en/a.md": `---
sheet: procedure
title: No feed
symptom: It is dead
states: [cold]
causes:
  fuse: {title: Fuse blown, part: fuse, remedy: Fit a fuse.}
ends:
  not-reproduced: {text: Wait for frost.}
---

## Look <id:look>

It is to be <spec:feed> and <spec:gap>.

` + "```answers\n- [Blown](cause:fuse)\n- [Whole](end:not-reproduced)\n```\n",
		"es/b.md": "---\nsheet: theory\ntitle: B\n---\n\n# B\n\nEs <spec:feed>.\n",
	}
	f := newFolder(t, files)
	old := compiled(t, f.dir, Options{})
	f.write("handbook.yaml", strings.NewReplacer("percent: 0.5", "percent: 0.8", "draws 3 mA", "draws 4 mA").Replace(files["handbook.yaml"]))
	f.write("parts.yaml", strings.NewReplacer("en: Fuse", "en: Fuse of 7.5 A", "system: feed", "system: heater").Replace(files["parts.yaml"]))
	f.write("specs/all.yaml", strings.NewReplacer("After ten", "After twenty", "A-1999", "A-2499").Replace(files["specs/all.yaml"]))
	f.write("en/a.md", strings.Replace(files["en/a.md"], "for frost", "for a frost", 1))
	pages := filesOf(t, compiled(t, f.dir, Options{Since: old}))
	for name, list := range map[string]map[string]bool{
		"changed.html": {
			"<li><strong>Fuse of 7.5 A</strong><br>system: Before feed<br>Now <strong>heater</strong><br>name: Before Fuse<br>Now <strong>Fuse of 7.5 A</strong></li>":                                                         true,
			`<li data-model="a1 b2"><strong>Feed</strong>, Conditions<br>Before After ten minutes<br>Now <strong>After twenty minutes</strong></li>`:                                                                           true,
			"<li>Feed, Conditions: Before After ten minutes; Now After twenty minutes</li>":                                                                                                                                    true,
			"engine state: <strong>Cold</strong><br>text: Before It draws 3 mA.<br>Now <strong>It draws 4 mA.</strong>":                                                                                                        true,
			"accuracy of the meters: Before V: ±(0.5 % &#43; 0.02), d = 0.01<br>Now <strong>V: ±(0.8 % &#43; 0.02), d = 0.01</strong>":                                                                                         true,
			`<li data-model="a1"><strong>Gap</strong> <small>A1</small>Before at most 0.4` + "\u00A0mm, A-1000 to A-1999; at most 0.3\u00A0mm, all other serial numbers<br>Now <strong>at most 0.4\u00A0mm, A-1000 to A-2499;": true,
			"causes and ends: Not reproduced":      true,
			`<li data-model="a1">Values: Gap</li>`: true,
			"Before none":                          false,
		},
		"es/changed.html": {
			"Fusible</strong><br>sistema: Antes feed<br>Ahora <strong>heater</strong></li>": true,
			"±(0,5 % &#43; 0,02)": true,
			"Frío":                false,
			"diez minutos":        false,
			`href="b.html"`:       false,
		},
		"es/b.html": {"edited": false},
		"en/a.html": {`class="step amended"`: false, "new value:": true},
	} {
		for text, there := range list {
			if strings.Contains(pages[name], text) != there {
				t.Errorf("%s: %q there is %v, want %v, in\n%s", name, text, !there, there, body(pages[name]))
			}
		}
	}
}

// TestSinceToldData asks that the page of what changed says what changed of a circuit, point by point and element by
// element, of synonyms and of labels, in the words of the language; words of a language that the handbook does not have
// are in nobody's way.
func TestSinceToldData(t *testing.T) {
	files := map[string]string{
		"handbook.yaml": `title: {en: Test, eu: Proba, es: Prueba}
publisher: Example
edition: "1"
languages: [en, es]
states:
  cold: {title: {en: Cold, eu: Hotz, es: Frío}}
synonyms:
  en: [[ground, earth], [shut, closed]]
  es: [[masa, tierra]]
glossary:
  en:
    - {term: ground, meaning: The frame., instead-of: [chassis]}
address: https://handbook.example/
labels: {paper: A4, columns: 3, rows: 7, width: 63.5, height: 38.1, gap: 2.5, every: [procedures]}
`,
		"circuits/feed.yaml": `title: {en: Feed, es: Alimentación}
ground: G
states: [cold]
points:
  B: {title: {en: Battery, es: Batería}, wire: {en: red, es: rojo}}
  C: {title: {en: Coil, es: Bobina}}
  G: {title: {en: Ground, es: Masa}}
elements:
  battery: {title: {en: Battery, es: Batería}, between: [B, G], volts: 12.6 V, ohms: 15 mΩ}
  wire: {title: {en: Wire, es: Cable}, between: [B, C], ohms: 45 mΩ}
  coil: {title: {en: Coil, es: Bobina}, between: [C, G], ohms: 8 Ω}
`,
		"en/a.md": "# A\n\n```circuit feed\n```\n\n```glossary\n```\n",
		"es/a.md": "# A\n\n```circuit feed\n```\n",
	}
	f := newFolder(t, files)
	old := compiled(t, f.dir, Options{})
	f.write("handbook.yaml", strings.NewReplacer("[ground, earth]", "[ground, earth, frame]", "[chassis]", "[body]", "gap: 2.5", "gap: 2", "en: Cold", "en: Quite cold").Replace(files["handbook.yaml"]))
	f.write("circuits/feed.yaml", strings.NewReplacer("es: rojo", "es: azul", "en: red", "en: blue", "[B, C], ohms: 45", "[B, C], ohms: 50", "ground: G", "ground: C",
		"[C, G], ohms: 8 Ω}", "[C, G], ohms: 8 Ω}\n  lamp: {title: {en: Lamp, es: Lámpara}, between: [C, G], ohms: 20 Ω}").Replace(files["circuits/feed.yaml"]))
	pages := filesOf(t, compiled(t, f.dir, Options{Since: old}))
	for name, list := range map[string][]string{
		"changed.html": {
			"synonyms: Before ground, earth<br>Now <strong>ground, earth, frame</strong>",
			"Labels to print: Before 63.5 mm × 38.1 mm, 2.5 mm<br>Now <strong>63.5 mm × 38.1 mm, 2 mm</strong>",
			"in place of: Before chassis<br>Now <strong>body</strong>",
			"<strong>Quite cold</strong><br>name: Before Cold<br>Now <strong>Quite cold</strong>",
			"circuit: <strong>Feed</strong><br>Before none<br>Now <strong>Lamp, C – G, 20 Ω</strong>",
			"<br>Before Wire, B – C, 0.045 Ω<br>Now <strong>Wire, B – C, 0.05 Ω</strong>",
			"<br>B: Before Battery, red<br>Now <strong>Battery, blue</strong>",
			"<br>G: Before Ground, 0 V<br>Now <strong>Ground</strong>",
		},
		"es/changed.html": {
			"<br>Antes Cable, B – C, 0,045 Ω<br>Ahora <strong>Cable, B – C, 0,05 Ω</strong>",
			"<br>B: Antes Batería, rojo<br>Ahora <strong>Batería, azul</strong>",
		},
	} {
		for _, text := range list {
			if !strings.Contains(pages[name], text) {
				t.Errorf("%s lacks %q in\n%s", name, text, body(pages[name]))
			}
		}
		if strings.Contains(pages[name], "Hotz") || strings.Contains(pages[name], "Proba") {
			t.Errorf("%s has words of a language that the handbook does not have", name)
		}
	}
}
