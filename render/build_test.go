package render

import (
	"context"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"benchleaf/render/cache"
	"benchleaf/render/edition"
	"benchleaf/render/remark"
	"benchleaf/render/source"
	"benchleaf/theme"
)

var edits = flag.Int("edits", 0, "how many random edits to make to each handbook; 0 for the usual")

// folder is a handbook that a test edits.
type folder struct {
	t     testing.TB
	dir   string
	files map[string]string
}

func newFolder(t testing.TB, files map[string]string) *folder {
	f := &folder{t, t.TempDir(), map[string]string{}}
	for name, text := range files {
		f.write(name, text)
	}
	return f
}

func (f *folder) write(name, text string) {
	f.t.Helper()
	f.files[name] = text
	path := filepath.Join(f.dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		f.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		f.t.Fatal(err)
	}
}

func (f *folder) remove(name string) {
	delete(f.files, name)
	if err := os.Remove(filepath.Join(f.dir, filepath.FromSlash(name))); err != nil {
		f.t.Fatal(err)
	}
}

// filesOf are the files of a folder.
func filesOf(t testing.TB, dir string) map[string]string {
	files := map[string]string{}
	root := os.DirFS(dir)
	if err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(root, name)
		files[name] = string(text)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return files
}

// names are the files with one of the endings, sorted.
func (f *folder) names(endings ...string) []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(f.files)), func(name string) bool { return !slices.Contains(endings, filepath.Ext(name)) })
}

var looks = sync.OnceValues(theme.Load)

// outcome is what came of a build: remarks, and the digests of files.
type outcome struct {
	result Result
	files  map[string]edition.File
	drawn  []string // sources of the pages that were made anew
}

// build builds the handbook of a folder.
func build(t *testing.T, b *builder, dir string) outcome {
	t.Helper()
	tree, remarks, err := source.Scan(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	b.next = newState()
	j, err := b.judge(context.Background(), tree, remarks, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	o := outcome{result: j.result, files: map[string]edition.File{}}
	if j.result.Failed() {
		return o
	}
	for _, x := range j.pages {
		if !x.frozen {
			o.drawn = append(o.drawn, x.Source.Path)
		}
	}
	var mu sync.Mutex
	if err := b.draw(context.Background(), j, nil, func(f edition.File) error {
		mu.Lock()
		defer mu.Unlock()
		o.files[f.Name] = f
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	b.last = b.next
	return o
}

// alike fails where two builds made something else.
func alike(t *testing.T, got, want outcome) {
	t.Helper()
	if !reflect.DeepEqual(got.result, want.result) {
		for i, r := range got.result.Remarks {
			if i >= len(want.result.Remarks) || !reflect.DeepEqual(r, want.result.Remarks[i]) {
				t.Fatalf("remark %d of %d is\n%#v\nof %d:\n%#v", i, len(got.result.Remarks), r, len(want.result.Remarks), want.result.Remarks[min(i, len(want.result.Remarks)-1)])
			}
		}
		t.Fatalf("%d remarks, want %d; or what is allowed differs", len(got.result.Remarks), len(want.result.Remarks))
	}
	for name, f := range want.files {
		if g, ok := got.files[name]; !ok || g.Digest != f.Digest || g.Shell != f.Shell || g.Size != f.Size {
			a, _ := f.Load()
			var b []byte
			if ok {
				b, _ = g.Load()
			}
			t.Fatalf("%s is another file:\n%.3000s\nwant\n%.3000s", name, difference(string(b), string(a)), difference(string(a), string(b)))
		}
	}
	for name := range got.files {
		if _, ok := want.files[name]; !ok {
			t.Fatalf("%s is too much", name)
		}
	}
}

// difference is a text from where it is no longer as another one.
func difference(s, other string) string {
	i := 0
	for i < min(len(s), len(other)) && s[i] == other[i] {
		i++
	}
	return s[max(0, i-100):]
}

func fresh() *builder { return &builder{cache: cache.None{}, look: looks, last: newState()} }

// TestEdits makes random edits to handbooks. After each a build that keeps what it can
// has the files and remarks of one that makes all of it anew, and an editor the remarks.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		edits int
	}{
		{"made up", withLabels(madeUp(24)), 120},
		{"demo", filesOf(t, "../content"), 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := c.edits
			switch {
			case *edits > 0:
				n = *edits
			case testing.Short():
				if n /= 25; n == 0 {
					t.Skip("the demo takes seconds")
				}
			}
			random := rand.New(rand.NewPCG(11, uint64(n)))
			f := newFolder(t, c.files)
			kept := &builder{cache: cache.Open(t.TempDir()), look: looks, program: "this"}
			kept.read("book")
			alike(t, build(t, kept, f.dir), build(t, fresh(), f.dir))
			editing, err := Edit(f.dir)
			if err != nil {
				t.Fatal(err)
			}
			good := maps.Clone(f.files)
			failed := 0
			for i := range n {
				what := edit(f, random)
				got, want := build(t, kept, f.dir), build(t, fresh(), f.dir)
				told, err := editing.Judge(t.Context(), nil)
				if err != nil {
					t.Fatal(err)
				}
				if t.Run(fmt.Sprint(i, " ", what), func(t *testing.T) {
					alike(t, got, want)
					if !slices.Equal(told.Remarks, want.result.Remarks) {
						t.Errorf("an editor is told\n%v\nand not\n%v", told.Remarks, want.result.Remarks)
					}
				}); t.Failed() {
					return
				}
				if !got.result.Failed() {
					good = maps.Clone(f.files)
					if i%4 == 0 { // over the disk
						kept.next = kept.last
						kept.save("book")
						kept.read("book")
					}
				} else if failed++; failed%2 == 0 { // mend it
					for name := range f.files {
						if _, was := good[name]; !was {
							f.remove(name)
						}
					}
					for name, text := range good {
						if f.files[name] != text {
							f.write(name, text)
						}
					}
				}
			}
			for _, g := range build(t, kept, f.dir).files {
				data, err := g.Load()
				if err != nil || edition.Digest(data) != g.Digest {
					t.Errorf("%s: %v, or other bytes", g.Name, err)
				}
			}
		})
	}
}

// edit changes something of a handbook and says what.
func edit(f *folder, random *rand.Rand) string {
	pages, data := f.names(".md"), f.names(".yaml")
	pick := func(list []string) string { return list[random.IntN(len(list))] }
	page := pick(pages)
	// change replaces one of the places at which a form stands.
	change := func(name, form string, to func(string) string) string {
		text := f.files[name]
		all := regexp.MustCompile(form).FindAllStringIndex(text, -1)
		if len(all) == 0 {
			return name + " has none"
		}
		at := all[random.IntN(len(all))]
		was := text[at[0]:at[1]]
		f.write(name, text[:at[0]]+to(was)+text[at[1]:])
		return name + ": " + strings.TrimSpace(was) + " to " + strings.TrimSpace(to(was))
	}
	with := func(s string) func(string) string { return func(was string) string { return was + s } }
	switch random.IntN(17) {
	case 0, 1, 2:
		return "typo in " + change(page, `[a-z]{4,} `, func(was string) string { return was[1:] })
	case 3:
		return "heading " + change(page, `(?m)^## .*$`, func(was string) string { return "## Newly" + was[3:] })
	case 4:
		return "id " + change(page, `<id:[a-z-]+`, with("x"))
	case 5:
		f.write(page, f.files[page]+"\nSee ["+pick(pages)+"]("+strings.Repeat("../", strings.Count(page, "/"))+pick(pages)+").\n")
		return "link in " + page
	case 6, 7:
		return "figure in " + change(pick(data), `(min|max|nominal): [0-9]+`, func(was string) string { return was + fmt.Sprint(random.IntN(9)) })
	case 8:
		return "name in " + change(pick(data), `(?m)^  ?[a-z-]+:$`, func(was string) string { return strings.TrimSuffix(was, ":") + "x:" })
	case 9:
		return "title in " + change(pick(data), `title: [A-Z][a-z]+`, with("e"))
	case 10:
		if pictures := f.names(".svg"); pictures != nil {
			name := pick(pictures)
			f.write(name, strings.Replace(f.files[name], "</svg>", fmt.Sprintf(`<circle r="%d"/></svg>`, random.IntN(100)), 1))
			return "picture " + name
		}
		return "no picture"
	case 11:
		name := strings.TrimSuffix(page, ".md") + "-new.md"
		f.write(name, f.files[page])
		return "new page " + name
	case 12:
		f.remove(page)
		return "page " + page + " removed"
	case 13:
		text := f.files[page]
		f.remove(page)
		f.write(filepath.ToSlash(filepath.Join(filepath.Dir(page), "moved.md")), text)
		return "page " + page + " moved"
	case 14:
		return "label in " + change("handbook.yaml", `page: en/[a-z0-9/-]+`, func(string) string { return "page: " + strings.TrimSuffix(page, ".md") })
	case 15:
		return "front matter of " + change(page, `(?m)^---$`, with("-"))
	default:
		return "page title " + change(page, `(?m)^title: .*$`, with(" again"))
	}
}

// madeUp is a handbook of so many procedures, and as many pages of theory, that lead to one
// another and read specifications.
func madeUp(n int) map[string]string {
	files := map[string]string{
		"handbook.yaml": `title: Made up
publisher: Nobody
edition: "1"
languages: [en, es]
date: 2026-11-01
states:
  cold:
    title: Cold
  warm:
    title: Warm
hazards:
  heat:
    title: Heat
settings:
  fuse-out:
    title: The fuse is out
    restore: Put the fuse in.
meters:
  - {unit: V, percent: 1, digits: 2, resolution: 0.1, range: 0 to 60}
synonyms:
  en: [[sooty, smoke], [carb, carburettor]]
`,
		"models.yaml":      "ash:\n  title: Ash\nelm:\n  title: Elm\n",
		"parts.yaml":       "lead:\n  title: Lead\nfuse:\n  title: Fuse\n  models: [ash, elm]\n",
		"pictures/one.svg": `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle r="9"/></svg>`,
		"en/index.md":      "# Made up\n\nBegin here.\n",
	}
	specs := ""
	for i := range n / 2 {
		specs += fmt.Sprintf("feed-%c:\n  title: Feed\n  unit: V\n  conditions: Key on\n  min: %d\n  max: %d\n", 'a'+i, 9+i, 12+i)
	}
	files["specs/feeds.yaml"] = specs
	// What bulletins have changed: a value before the others, and a procedure.
	files["specs/lamp.yaml"] = `lamp:
  title: Lamp
  unit: V
  conditions: Key on
  min: 6
  max: 8
  history:
    - {until: 2026-10-05, bulletin: b00, min: 5, max: 7}
`
	files["en/b00.md"] = "---\nsheet: bulletin\ntitle: The lamp\nsupersedes:\n  - {spec: lamp, from: 2026-10-05}\n---\n\nIt is brighter.\n"
	files["en/b01.md"] = "---\nsheet: bulletin\ntitle: The second trouble\nsupersedes:\n  - {procedure: p02, from: 2026-10-06, models: [elm]}\n---\n\nIt has gone.\n"
	for _, name := range []string{"en/l00.md", "en/l01.md", "es/l00.md"} {
		files[name] = "---\nsheet: reference\ntitle: The lamp\n---\n\nIt has <spec:lamp>.\n"
	}
	for i := range n {
		spec := fmt.Sprintf("feed-%c", 'a'+i/2)
		other := fmt.Sprintf("p%02d.md", (i*7+3)%n)
		step := ""
		if i%3 == 0 {
			step = "#see"
		}
		files[fmt.Sprintf("en/p%02d.md", i)] = fmt.Sprintf(`---
sheet: procedure
title: Trouble %d
symptom: It does thing %[1]d
revised: 2026-10-%02[2]d
states: [%[3]s]
causes:
  loose:
    title: The lead is loose
    part: lead
    remedy: Fasten the lead.
---

## Look at it <id:look>

The engine has [other trouble](%[4]s). It may be sooty.

`+"```answers\n- It is loose -> [loose](cause:loose)\n- It is not -> [see](#see)\n- It does something else -> [other](%[4]s%[6]s)\n- Nothing to be seen -> [none](end:not-reproduced)\n```"+`

## See the feed <id:see>

The value is <spec:%[5]s>.

`+"```reading\nmeasure: The feed\nspec: %[5]s\nmeter: A voltmeter\nred: At the lead\nblack: At the block\nlow: cause:loose\nwithin: end:hand-over\nhigh: end:hand-over\n```\n", i, 10+i%18, []string{"cold", "warm"}[i%2], other, spec, step)
		files[fmt.Sprintf("en/t%02d.md", i)] = fmt.Sprintf(`---
sheet: theory
title: Theory %d
---

# Theory %[1]d

About [trouble](p%02[2]d.md) and [theory](t%02[3]d.md#more), at <spec:%[4]s>, with the <part:fuse>.

![One](../pictures/one.svg)

## More

The end.
`, i, (i*5+1)%n, (i+1)%n, spec)
	}
	for i := range n / 4 {
		files[fmt.Sprintf("es/t%02d.md", i)] = fmt.Sprintf("---\nsheet: theory\ntitle: Teoría %d\n---\n\nVéase [otra](t%02d.md).\n", i, (i+1)%(n/4))
	}
	return files
}

// withLabels has labels for two of the pages.
func withLabels(files map[string]string) map[string]string {
	files["handbook.yaml"] += `address: https://handbook.example.org/
labels:
  paper: A4
  columns: 3
  rows: 7
  width: 63.5
  height: 38.1
  pages:
    - {page: en/p00.md#see}
    - {page: en/t01.md, title: Ink}
`
	return files
}

// TestHeadingRebuilds: with another id of a step, or another label, those pages are made anew that lead
// to the step, and no other.
func TestHeadingRebuilds(t *testing.T) {
	if testing.Short() {
		t.Skip("TestEdits builds the same handbook")
	}
	f := newFolder(t, withLabels(madeUp(24)))
	b := fresh()
	if o := build(t, b, f.dir); o.result.Failed() {
		t.Fatal(o.result.Remarks)
	}
	for _, c := range []struct {
		edits []string // file, text, text in its place
		want  []string
	}{
		{[]string{"handbook.yaml", "title: Ink", "title: Paint"}, []string{"en/index.md"}},
		{[]string{"handbook.yaml", "en/t01.md,", "en/t02.md,"}, []string{"en/index.md"}},
		// p06 leads to p21 (6*7+3, of 24) at its step, since it is a third one; p18 to p09.
		{[]string{"en/p21.md", "<id:see>", "<id:seen>", "en/p21.md", "](#see)", "](#seen)", "en/p06.md", "p21.md#see", "p21.md#seen"}, []string{"en/index.md", "en/p06.md", "en/p21.md"}},
		// t04 leads to t05, and t05 to t06, at a heading.
		{[]string{"en/t05.md", "The end.", "## The end"}, []string{"en/index.md", "en/t05.md", "es/t05.md"}}, // with its translation
	} {
		for e := range slices.Chunk(c.edits, 3) {
			f.write(e[0], strings.ReplaceAll(f.files[e[0]], e[1], e[2]))
		}
		o := build(t, b, f.dir)
		if o.result.Failed() {
			t.Fatal(o.result.Remarks)
		}
		if !slices.Equal(o.drawn, c.want) {
			t.Errorf("%s: made anew: %q, want %q", c.edits[2], o.drawn, c.want)
		}
		alike(t, o, build(t, fresh(), f.dir))
	}
	f.write("en/t06.md", strings.Replace(f.files["en/t06.md"], "## More", "## Less", 1)) // t05 leads there
	o := build(t, b, f.dir)
	if !o.result.Failed() {
		t.Error("a link leads to a heading that has gone, and nothing is told")
	}
	alike(t, o, build(t, fresh(), f.dir))
}

// TestSpecRebuilds: a changed value makes those pages anew that show it, and no other.
func TestSpecRebuilds(t *testing.T) {
	f := newFolder(t, madeUp(24))
	b := fresh()
	if o := build(t, b, f.dir); o.result.Failed() {
		t.Fatal(o.result.Remarks)
	}
	f.write("specs/feeds.yaml", strings.Replace(f.files["specs/feeds.yaml"], "max: 15\n", "max: 16\n", 1)) // of feed-d
	o := build(t, b, f.dir)
	want := []string{"en/index.md", "en/p06.md", "en/p07.md", "en/t06.md", "en/t07.md"} // the finder's page is always made
	if !slices.Equal(o.drawn, want) {
		t.Errorf("made anew: %q, want %q", o.drawn, want)
	}
	for _, name := range []string{"en/p06.html", "en/t07.html"} {
		if data, err := o.files[name].Load(); err != nil || !strings.Contains(string(data), "16") {
			t.Errorf("%s does not show the value (%v)", name, err)
		}
	}
}

// TestSameText: pages of one text and different names, of one language and of several, are pages each.
func TestSameText(t *testing.T) {
	const text = "---\nsheet: theory\ntitle: Ink\n---\n\nIt is the same.\n"
	names := []string{"en/same.md", "en/alike.md", "es/same.md", "fr/same.md"}
	files := madeUp(24)
	files["handbook.yaml"] = strings.Replace(files["handbook.yaml"], "languages: [en, es]", "languages: [en, es, fr]", 1)
	for _, name := range names {
		files[name] = text
	}
	f := newFolder(t, files)
	b := fresh()
	for range 2 { // made, and made again
		o := build(t, b, f.dir)
		if o.result.Failed() {
			t.Fatal(o.result.Remarks)
		}
		for _, name := range names {
			name = strings.TrimSuffix(name, ".md") + ".html"
			file, ok := o.files[name]
			if !ok {
				t.Errorf("%s is not there", name)
			} else if data, err := file.Load(); err != nil || !strings.Contains(string(data), `<html lang="`+name[:2]+`"`) {
				t.Errorf("%s is another page (%v)", name, err)
			}
		}
	}
}

// TestBulletinRebuilds: what a bulletin says anew makes those pages anew that it is about, and those that
// lead to a procedure that it supersedes, and no other.
func TestBulletinRebuilds(t *testing.T) {
	f := newFolder(t, madeUp(24))
	b := fresh()
	if o := build(t, b, f.dir); o.result.Failed() {
		t.Fatal(o.result.Remarks)
	}
	for _, c := range []struct {
		name, from, to string
		want           []string
	}{
		{"en/b00.md", "It is brighter", "It is dimmer", []string{"en/b00.md", "en/index.md"}},
		{"en/b00.md", "title: The lamp", "title: A lamp", []string{"en/b00.md", "en/index.md", "en/l00.md", "en/l01.md", "es/l00.md"}},
		// p17, t05 and its translation lead to p02, p00 and t10 to p03.
		{"en/b01.md", "models: [elm]", "models: [ash]", []string{"en/b01.md", "en/index.md", "en/p02.md", "en/p17.md", "en/t05.md", "es/t05.md"}},
		{"en/b01.md", "procedure: p02", "procedure: p03", []string{
			"en/b01.md", "en/index.md", "en/p00.md", "en/p02.md", "en/p03.md", "en/p17.md", "en/t05.md", "en/t10.md", "es/t05.md",
		}},
	} {
		f.write(c.name, strings.Replace(f.files[c.name], c.from, c.to, 1))
		if o := build(t, b, f.dir); o.result.Failed() {
			t.Fatal(o.result.Remarks)
		} else if !slices.Equal(o.drawn, c.want) {
			t.Errorf("%s: made anew: %q, want %q", c.to, o.drawn, c.want)
		}
	}
}

// TestLive: what the desk shows after edits is what a build of the folder makes, and its remarks
// are those of the folder, also where it is told which files have changed.
func TestLive(t *testing.T) {
	f := newFolder(t, madeUp(12))
	live, err := Open(f.dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := live.Build(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 4))
	good := maps.Clone(f.files)
	rounds := 60
	if testing.Short() {
		rounds = 5
	}
	for i := range rounds {
		before := maps.Clone(f.files)
		what := edit(f, random)
		var changed []string
		for name := range before {
			if text, there := f.files[name]; !there || text != before[name] {
				changed = append(changed, name)
			}
		}
		got, err := live.Build(context.Background(), changed)
		if err != nil {
			t.Fatal(err)
		}
		anew, err := Open(f.dir)
		if err != nil {
			t.Fatal(err)
		}
		anew.look, anew.builder.look = live.look, live.builder.look // its scripts are made already
		want, err := anew.Build(context.Background(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Remarks, want.Remarks) {
			t.Fatalf("%d %s: remarks\n%v\nwant\n%v", i, what, got.Remarks, want.Remarks)
		}
		if got.Remarks.Count(remark.Error) == 0 {
			good = maps.Clone(f.files)
			for name, data := range want.Files {
				if string(got.Files[name]) != string(data) {
					t.Fatalf("%d %s: %s is another file", i, what, name)
				}
			}
			if len(got.Files) != len(want.Files) || len(got.Stale) > 0 {
				t.Fatalf("%d %s: %d files, want %d; stale: %v", i, what, len(got.Files), len(want.Files), got.Stale)
			}
			continue
		}
		if i%3 == 0 {
			for name := range f.files {
				if _, was := good[name]; !was {
					f.remove(name)
				}
			}
			for name, text := range good {
				if f.files[name] != text {
					f.write(name, text)
				}
			}
		}
	}
}

// TestNewEdition: the name of the edition stands on no page, so that a new one draws none.
func TestNewEdition(t *testing.T) {
	f := newFolder(t, madeUp(8))
	b := fresh()
	build(t, b, f.dir)
	f.write("handbook.yaml", strings.Replace(f.files["handbook.yaml"], `edition: "1"`, `edition: "second"`, 1))
	got := build(t, b, f.dir)
	if want := []string{"en/index.md"}; !slices.Equal(got.drawn, want) {
		t.Errorf("made anew: %q, want %q", got.drawn, want)
	}
	alike(t, got, build(t, fresh(), f.dir))
	if data, err := got.files["assets/edition.js"].Load(); err != nil || !strings.Contains(string(data), "second") {
		t.Errorf("assets/edition.js: %s, %v", data, err)
	}
}
