package render

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/cache"
)

// coil is a value that a bulletin is about. What it was before is two figures that stand nowhere else.
const (
	coil = `coil:
  title: Coil
  unit: Ω
  conditions: Cold
  models:
    ash: {nominal: 42.51, min: 41.73, max: 43.37}
    elm: {nominal: 52.01, min: 51.17, max: 52.29}
`
	coilBefore = `coil:
  title: Coil
  unit: Ω
  conditions: Cold
  models:
    ash: {nominal: 38.53, min: 37.97, max: 39.17}
    elm: {nominal: 52.01, min: 51.17, max: 52.29}
`
	coilHistory = `  history:
    - {until: 2026-10-20, bulletin: coils, models: {ash: {nominal: 38.53, min: 37.97, max: 39.17}}}
`
	coils = "---\nsheet: bulletin\ntitle: Coils of the Ash\nsupersedes:\n  - {spec: coil, from: 2026-10-20, models: [ash]}\n---\n\nThey have another wire.\n"
)

// earlier finds the figures of the value before, with either decimal sign.
var earlier = regexp.MustCompile(`38[.,]53|37[.,]97|39[.,]17`)

// elevenOfEach is a handbook in which the coil stands on eleven pages of each kind: of theory, of reference, with a
// calculator, a procedure with a reading, and one in another language. It returns the pages too.
func elevenOfEach() (files map[string]string, shows []string) {
	files = madeUp(4)
	files["specs/coil.yaml"] = coil + coilHistory
	files["en/coils.md"] = coils
	files["es/coils.md"] = "---\nsheet: bulletin\ntitle: Bobinas del Ash\n---\n\nTienen otro hilo.\n"
	add := func(name, text string) {
		files[name+".md"] = text
		shows = append(shows, name)
	}
	for i := range 11 {
		add(fmt.Sprintf("en/theory/c%d", i), "---\nsheet: theory\n---\n\n# Coils\n\nThe one of the choke has <spec:coil>. Hold [it](spec:coil) against that.\n")
		add(fmt.Sprintf("en/values/c%d", i), "---\nsheet: reference\n---\n\n# Coils\n\n| Coil | Value |\n|---|---|\n| of the choke | <spec:coil> |\n")
		add(fmt.Sprintf("en/bench/c%d", i), fmt.Sprintf("# Coils\n\n```calculator\nname: twice-%d\ntitle: Two of them\nabout: Tells what two coils have.\ninputs:\n"+
			"  one: {label: One, unit: Ω, start: spec:coil, range: 1 to 100}\nresults:\n  half: {label: One of them, unit: Ω, formula: (one + one) / 2, limits: coil, digits: 3}\nsource: [By hand]\n"+
			"examples:\n  - given: {one: 10 Ω}\n    gives: {half: 10 Ω}\n```\n", i))
		add(fmt.Sprintf("en/ways/c%d", i), "---\nsheet: procedure\ntitle: No choke\nsymptom: No choke\nstates: [cold]\n---\n\n## Measure the coil <id:coil>\n\n"+
			"```reading\nmeasure: The coil\nspec: coil\nmeter: An ohmmeter\nred: At the lead\nblack: At the block\nlow: end:hand-over\nwithin: end:hand-over\nhigh: end:hand-over\n```\n")
		add(fmt.Sprintf("es/theory/c%d", i), "---\nsheet: theory\n---\n\n# Bobinas\n\nLa del estrangulador tiene <spec:coil>. Compare [su valor](spec:coil).\n")
	}
	// What the translation has not yet is shown in the words of the source.
	files["en/part.md"] = "---\nsheet: theory\n---\n\n# Part\n\nIt turns.\n\nThe coil has <spec:coil>.\n"
	add("es/part", "---\nsheet: theory\n---\n\n# Parte\n\nGira.\n")
	shows = append(shows, "en/part")
	// A page of the other model alone has nothing to say.
	files["en/elm.md"] = "---\napplicability: [elm]\n---\n\n# Elm\n\nIt has <spec:coil>.\n"
	return files, shows
}

// TestSupersededValue has a bulletin supersede a value that stands on eleven pages of each kind: each says so at its head and
// at the value, and the value before stands nowhere but where it is struck out, with the day until which it held.
func TestSupersededValue(t *testing.T) {
	files, shows := elevenOfEach()
	o := build(t, fresh(), newFolder(t, files).dir)
	if o.result.Failed() {
		t.Fatal(o.result.Remarks)
	}
	if len(shows) != 5*11+2 {
		t.Fatalf("the value stands on %d pages", len(shows))
	}
	text := func(name string) string {
		data, err := o.files[name].Load()
		if err != nil {
			t.Fatal(name, err)
		}
		return string(data)
	}
	for _, name := range shows {
		title, day := "Coils of the Ash</a>", "October 20, 2026"
		if strings.HasPrefix(name, "es/") {
			title, day = "Bobinas del Ash</a>", "20 de octubre de 2026"
		}
		head, body, _ := strings.Cut(text(name+".html"), `class="script-note"`)
		if !strings.Contains(head, `class="bulletins"`) || !strings.Contains(head, title) || !strings.Contains(head, day) {
			t.Errorf("%s does not say so at its head", name)
		}
		if name == "es/part" { // in the source's words
			day = "October 20, 2026"
		}
		if !strings.Contains(body, `class="amended"`) || !strings.Contains(body, day) {
			t.Errorf("%s does not say so at the value", name)
		}
	}
	if page := text("en/elm.html"); strings.Contains(page, "2026") || strings.Contains(page, `class="amended"`) {
		t.Error("the page of the other model says something")
	}
	struck := regexp.MustCompile(`<s>38[.,]53\x{a0}Ω \([^<]*37[.,]97 [^<]* 39[.,]17\x{a0}Ω\)</s>(</td><td>| <small>)[^<]*(<span class="for">Ash: </span>)?(until October 20, 2026|hasta el 20 de octubre de 2026)`)
	inWords := regexp.MustCompile(`39[.,]17\x{a0}Ω\) (until October 20, 2026|hasta el 20 de octubre de 2026)`)
	segment := regexp.MustCompile(`^assets/search/\w\w-\d+\.js$`)
	told := 0
	for name := range o.files {
		if strings.HasPrefix(name, "facts/") || segment.MatchString(name) {
			continue // by which editions are compared, and by what words the bulletin is found
		}
		page := text(name)
		told += len(struck.FindAllString(page, -1))
		if at := earlier.FindStringIndex(struck.ReplaceAllString(page, "")); at != nil && !strings.HasPrefix(name, "assets/search/") {
			t.Errorf("%s shows the superseded value", name)
		} else if at != nil && (!strings.Contains(name, "/coils") || !inWords.MatchString(page)) {
			t.Errorf("the search shows the superseded value in %s", name)
		}
	}
	if told != 11+2 { // the pages of reference, and the bulletin in both languages
		t.Errorf("the value before is told %d times", told)
	}
	for _, name := range []string{"en/coils.html", "es/coils.html"} {
		if !strings.Contains(text(name), "<b>42") {
			t.Errorf("%s does not show the value that holds", name)
		}
	}
}

// TestBulletinComesAndGoes adds the bulletin to a handbook that was built: a build that keeps what it can remakes the pages
// that show the value and those alone, and once the bulletin is gone again all is as before.
func TestBulletinComesAndGoes(t *testing.T) {
	files, shows := elevenOfEach()
	without := maps.Clone(files)
	without["specs/coil.yaml"] = coilBefore
	delete(without, "en/coils.md")
	delete(without, "es/coils.md")
	f := newFolder(t, without)
	kept := &builder{cache: cache.Open(t.TempDir()), look: looks, program: "this"}
	kept.read("book")
	first := build(t, kept, f.dir)
	if first.result.Failed() {
		t.Fatal(first.result.Remarks)
	}
	want := []string{"en/elm.md", "en/index.md"} // a page that shows the value of the other model reads it too; a finder is made each time
	for _, name := range shows {
		want = append(want, name+".md")
	}
	remade := func(o outcome, also ...string) {
		t.Helper()
		want := slices.Sorted(slices.Values(slices.Concat(want, also)))
		if got := slices.Sorted(slices.Values(o.drawn)); !slices.Equal(got, want) {
			t.Errorf("%d pages are made anew: %v, want %v", len(got), got, want)
		}
	}
	f.write("specs/coil.yaml", files["specs/coil.yaml"])
	f.write("en/coils.md", files["en/coils.md"])
	f.write("es/coils.md", files["es/coils.md"])
	second := build(t, kept, f.dir)
	remade(second, "en/coils.md", "es/coils.md")
	alike(t, second, build(t, fresh(), f.dir))

	f.write("specs/coil.yaml", coilBefore)
	f.remove("en/coils.md")
	f.remove("es/coils.md")
	third := build(t, kept, f.dir)
	alike(t, third, first)
	alike(t, third, build(t, fresh(), f.dir))
}
