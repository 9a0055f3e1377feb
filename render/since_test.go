package render

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"benchleaf/render/cache"
	"benchleaf/render/compare"
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
		"en/b.md":     "---\nsheet: reference\ntitle: B\napplicability: [b2]\n---\n\n# B\n\n| Value | Is |\n|---|---|\n| Feed | <spec:feed> |\n| Other | 5 |\n",
		"en/c.md":     "---\nsheet: reference\ntitle: C\n---\n\n# C\n\n- one\n- two\n\n![A ring](ring.svg)\n",
		"en/ring.svg": `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle r="9"/></svg>`,
	}
	f := newFolder(t, files)
	old := compiled(t, f.dir, Options{})
	f.write("specs/all.yaml", strings.Replace(strings.Replace(files["specs/all.yaml"], "min: 11", "min: 11.5", 1), "2026-01-01", "2026-02-01", 1))
	f.write("en/a.md", strings.NewReplacer("The wire is red.", "The wire is blue.", "[Blown]", "[Burnt]", "Fit a fuse.", "Fit a new fuse.").Replace(files["en/a.md"]))
	f.write("en/c.md", strings.Replace(files["en/c.md"], "- two", "- one and a half\n- two", 1))
	f.write("en/ring.svg", strings.Replace(files["en/ring.svg"], `"9"`, `"8"`, 1))
	pages := filesOf(t, compiled(t, f.dir, Options{Since: old}))
	for name, list := range map[string]map[string]bool{
		"en/a.html": {
			`<p class="edited"><small class="change">new value:</small> It is to be `:    true,
			`<p class="edited"><small class="change">changed:</small> The wire is blue.`: true,
			`<p class="change">changed</p>` + "\n" + `<ul class="answers">`:              true,
			`<section class="end amended" id="cause-fuse"`:                               true,
			`<section class="step" id="look"`:                                            true,
			`<p>It is silent.</p>`:                                                       true,
			`marked at the edge of the text`:                                             true,
		},
		// The value that changed is another model's.
		"en/b.html": {"class=\"edited": false, "class=\"change": false, "marked at the edge": false, "<tr><td>Feed</td>": true},
		"en/c.html": {`<li class="edited"><small class="change">new:</small> one and a half`: true, "<li>one</li>": true, "<li>two</li>": true, `<p class="edited"><small class="change">changed:</small> <a class="large" href="ring.svg">`: true},
		"changed.html": {
			`<li data-model="a1"><strong>Feed</strong> <small>A1</small><br>Before at least 11` + "\u00A0V<br>Now <strong>at least 11.5\u00A0V</strong></li>": true,
			`<li data-model="a1 b2"><a href="en/a.html">No feed</a>`: true,
			`<a href="en/b.html">`:                        false,
			`<li data-model="b2"><details id="model-b2">`: true,
		},
		"index.html": {`<a href="changed.html">What changed</a>`: true},
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
		n = 10
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
	if err := compile(filepath.Join(dir, "nothing")); !errors.Is(err, ErrNoSource) {
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
