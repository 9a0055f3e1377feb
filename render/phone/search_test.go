package phone

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"benchleaf/render/page"
	"benchleaf/render/search"
)

// postingsShare is the most that the postings may have of the text's size.
const postingsShare = 0.20

var (
	spanishOnce = sync.OnceValues(func() (*demo, error) {
		return compile(filepath.Join("..", "..", "testdata", "search", "es"), "spanish")
	})
	largeOnce = sync.OnceValues(func() (*demo, error) {
		source := filepath.Join(scratch, "large-source")
		if err := writeLarge(source, 1000); err != nil {
			return nil, err
		}
		return compile(source, "large")
	})
)

// writeLarge writes a handbook of so many pages of 350 words. As in any language
// half of a text are words of grammar, short and few; the others are of the page's
// subject and come again: how often follows Zipf's law (G. K. Zipf, 1949). With
// blanks a word has about six letters, as in English.
func writeLarge(dir string, pages int) error {
	random := rand.New(rand.NewPCG(5, 6))
	syllables := strings.Fields("ba ben bi bor bu ca cel co dan de dir do el en er fan fe fin ga ges go har he in kan ke lan le lin lo mar me mir mo nan ne nor or pan pel po ran re rin ro san se sir so tan te tir to un van ve vin wa we")
	spell := func(n uint64, least int) string {
		text := ""
		for ; n > 0 || least > 0; least-- {
			text += syllables[n%uint64(len(syllables))]
			n /= uint64(len(syllables))
		}
		return text
	}
	grammar, common := rand.NewZipf(random, 1.2, 4, 120), rand.NewZipf(random, 1.05, 30, 12000)
	var subject []string
	of := rand.NewZipf(random, 1.3, 6, 59)
	word := func() string {
		if random.IntN(2) == 0 {
			return spell(grammar.Uint64(), 1)
		}
		return subject[of.Uint64()]
	}
	words := func(n int) string {
		list := make([]string, n)
		for i := range list {
			list[i] = word()
		}
		return strings.Join(list, " ")
	}
	files := map[string]string{"handbook.yaml": "{title: Large, publisher: Example Engines, edition: 1, languages: [en]}\n"}
	for i := range pages {
		subject = subject[:0]
		for range 60 {
			subject = append(subject, spell(common.Uint64()+3000, 3))
		}
		text := fmt.Sprintf("---\nsheet: theory\ntitle: %s\npurpose: %s\n---\n", words(3), words(8))
		for range 5 {
			text += fmt.Sprintf("\n## %s\n\n%s. %s at %d V and %d rpm.\n", words(4), words(30), words(30), random.IntN(30), 100*random.IntN(40))
		}
		files[fmt.Sprintf("en/part-%02d/page-%03d.md", i/50, i)] = text
	}
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			return err
		}
	}
	return nil
}

// index makes the index of the handbook's language again, from its pages.
func (d *demo) index(t testing.TB) *search.Index {
	t.Helper()
	lang := d.book.Languages[0]
	read := func(path string) []byte {
		data, err := os.ReadFile(filepath.Join(d.dir, filepath.FromSlash(path)))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	finder := page.FinderPath(d.book, lang)
	pages := []*search.Page{search.ReadFinder(finder, d.book.Title.In(lang), read(finder))}
	if name := page.ModelsPath(d.book, lang); name != "" {
		pages = append(pages, search.ReadModels(d.book, lang, name, d.words.Word("models.title"), read(name)))
	}
	var models []string
	for _, m := range d.book.Models {
		models = append(models, m.ID)
	}
	for _, p := range d.book.Pages {
		if p.Lang == lang && !p.Index {
			pages = append(pages, search.Read(d.book, p, read(p.Path)))
		}
	}
	return search.Build(lang, pages, d.book.Synonyms[lang], models)
}

// address is that of a found place.
func (d *demo) addressOf(h search.Hit) string {
	a := d.address(h.Page.Path)
	if h.Place.ID != "" {
		a += "#" + url.PathEscape(h.Place.ID)
	}
	return a
}

// typed lists queries: those of a list, words of the handbook with slips, broken off, and two
// at a time, and figures.
func typed(t *testing.T, d *demo, list string) (queries []string) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "search", list))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if query, _, ok := strings.Cut(lines.Text(), " -> "); ok {
			queries = append(queries, query)
		}
	}
	random := rand.New(rand.NewPCG(7, 8))
	var words []string
	for _, p := range d.book.Pages {
		words = append(words, strings.Fields(string(p.Source.Text))...)
	}
	for range 150 {
		w := []rune(words[random.IntN(len(words))])
		at := random.IntN(len(w))
		switch random.IntN(4) {
		case 0:
			w = w[:at+1]
		case 1:
			w = slices.Delete(w, at, at+1)
		case 2:
			w = slices.Insert(w, at, 'e')
		}
		query := string(w) + strings.Repeat(" ", random.IntN(2))
		if random.IntN(2) == 0 {
			query = words[random.IntN(len(words))] + " " + query
		}
		queries = append(queries, query)
	}
	for range 40 { // within the limits of some specification, or of none
		queries = append(queries, fmt.Sprintf("%.1f ", 30*random.Float64()))
	}
	return queries
}

// foundScript types a query and returns what the page shows then, all of it: the first three
// places stand there at once.
const foundScript = `(async (query, model) => {
	const field = document.querySelector("form.search input"), select = document.querySelector("select[name=model]");
	if (select && select.value !== model) {
		select.value = model;
		select.dispatchEvent(new Event("change", {bubbles: true}));
	}
	field.value = query;
	const links = () => [...document.querySelectorAll(".found a")].map((a) => a.href);
	field.dispatchEvent(new Event("input", {bubbles: true}));
	const first = links().slice(0, 3);
	await ` + painted + `;
	if (links().slice(0, 3).some((href, i) => href !== first[i])) throw new Error("of " + query + " stood there at once " + first);
	return {Status: document.querySelector("[role=status]").textContent, Links: links()};
})`

// TestSearchRanksAsTheBuild holds the ranking of the phone against that of Go,
// for every query of the lists and some hundred more, for each model.
func TestSearchRanksAsTheBuild(t *testing.T) {
	t.Parallel()
	spanish, err := spanishOnce()
	if err != nil {
		t.Fatal(err)
	}
	arabic, _ := openRightToLeft(t, "ar")
	for _, c := range []struct {
		d    *demo
		list string
	}{{compiled(t), "en.txt"}, {spanish, "es.txt"}, {arabic, "ar.txt"}} {
		t.Run(c.list, func(t *testing.T) {
			index := c.d.index(t)
			queries := typed(t, c.d, c.list)
			b := open(t, "")
			b.goLive(c.d.address(page.SearchPath(c.d.book, c.d.book.Languages[0])))
			eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted(queries[0])))
			b.wait(`document.querySelector(".found a")`)
			models := []string{""}
			for _, m := range c.d.book.Models {
				models = append(models, m.ID)
			}
			found, none := 0, 0
			for i, query := range queries {
				model := models[i%len(models)]
				got := eval[struct {
					Status string
					Links  []string
				}](b, fmt.Sprintf("%s(%s, %s)", foundScript, quoted(query), quoted(model)))
				hits := index.Find(strings.TrimLeft(query, " "), model)
				var want []string
				for _, h := range hits[:min(len(hits), 8)] {
					want = append(want, c.d.addressOf(h))
				}
				if !slices.Equal(got.Links, want) && len(got.Links)+len(want) > 0 {
					t.Errorf("%q for model %q shows\n%s\nwant\n%s", query, model, strings.Join(got.Links, "\n"), strings.Join(want, "\n"))
				}
				if n := fmt.Sprint(len(hits)); len(hits) > 1 && !slices.Contains(strings.FieldsFunc(got.Status, func(c rune) bool { return c < '0' || c > '9' }), n) {
					t.Errorf("%q: the page says %q, there are %s", query, got.Status, n)
				}
				if found += len(hits); len(hits) == 0 {
					none++
				}
			}
			t.Logf("%d places, nothing for %d queries", found, none)
			if found == 0 {
				t.Error("nothing was found at all")
			}
		})
	}
}

// TestSearchWeights holds the size of the postings against the text, and of what a
// changed page changes.
func TestSearchWeights(t *testing.T) {
	t.Parallel()
	large, err := largeOnce()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range []*demo{compiled(t), large} {
		lang := d.book.Languages[0]
		text, postings, segments, zipped := 0, 0, 0, 0
		for _, p := range d.book.Pages {
			if p.Index {
				continue
			}
			var texts []string
			argument(t, d.read(t, search.TextsPath(p.Path)), &texts)
			for _, s := range texts {
				text += len(s)
			}
		}
		for _, name := range d.index(t).Paths() {
			data := d.read(t, name)
			var s struct{ Terms, Postings string }
			argument(t, data, &s)
			postings += len(s.Postings)
			segments += len(data)
			zipped += gzipped(data)
		}
		t.Logf("%s: text %d bytes, postings %d (%.1f %%); the segments %d, compressed %d", d.book.Title.In(lang), text, postings, 100*float64(postings)/float64(text), segments, zipped)
		if float64(postings) > postingsShare*float64(text) {
			t.Errorf("%s: the postings have %d bytes, the text %d: more than %.0f %%", d.book.Title.In(lang), postings, text, 100*postingsShare)
		}
	}
}

// argument decodes the last argument of the call that a script of the index is.
func argument(t *testing.T, script []byte, into any) {
	t.Helper()
	_, rest, ok := strings.Cut(string(script), ",")
	if err := json.Unmarshal([]byte(strings.TrimSuffix(rest, ")\n")), into); !ok || err != nil {
		t.Fatalf("%.60s: %v", script, err)
	}
}

// TestSearchChangesLittle changes one page of many and looks which files of the
// index are others.
func TestSearchChangesLittle(t *testing.T) {
	t.Parallel()
	before, after := filepath.Join(scratch, "little-source"), filepath.Join(scratch, "little-changed")
	for _, dir := range []string{before, after} {
		if err := writeLarge(dir, 200); err != nil {
			t.Fatal(err)
		}
	}
	file := filepath.Join(after, "en", "part-01", "page-070.md")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, append(text, "\nOne more sentence with a word of its own.\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	var changed []string
	old, err := compile(before, "little-before")
	if err != nil {
		t.Fatal(err)
	}
	d, err := compile(after, "little-after")
	if err != nil {
		t.Fatal(err)
	}
	files, err := d.index(t).Files()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if string(old.read(t, f.Path)) != string(f.Data) {
			changed = append(changed, f.Path)
		}
	}
	if len(changed) != 2 || !slices.Contains(changed, search.TextsPath("en/part-01/page-070.html")) {
		t.Errorf("a changed page changes %v of %d files", changed, len(files))
	}
	if segments := len(d.index(t).Paths()); segments < 4 {
		t.Errorf("200 pages are in %d segments", segments)
	}
}

// TestSearchPage uses the page as a technician does: from the box on the finder to
// a step, and back.
func TestSearchPage(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("index.html"))
	b.tap(`document.querySelector("[role=search] input")`)
	b.keys("heater 9.4 ohm\r")
	b.wait(`location.pathname.endsWith("/search.html") && document.querySelector(".found mark")`)
	b.noFaults()
	if q := eval[string](b, `document.querySelector("form.search input").value`); q != "heater 9.4 ohm" {
		t.Errorf("the field has %q", q)
	}
	b.wait(`[...document.querySelectorAll(".excerpt")].every((e) => e.textContent)`)
	small := eval[[]string](b, `[...document.querySelectorAll("main a, main input, main button, nav a")].filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 44).map((e) => e.outerHTML.slice(0, 120))`)
	if len(small) > 0 {
		t.Errorf("less than 44 px high: %v", small)
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > phoneWidth {
		t.Errorf("the page is %d px wide", wide)
	}

	// What is typed goes into the address; a tap opens the very place, the way back leads here.
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("fuse F2 ")))
	b.wait(`document.querySelector('.found a[href$="choke-opens-late.html#fuse"] mark')`)
	if kind := eval[string](b, `document.querySelector('.found a[href$="#fuse"] small').textContent`); !strings.Contains(kind, "2") || !strings.Contains(kind, "Choke opens late") {
		t.Errorf("the place is said to be %q", kind)
	}
	if line := eval[string](b, `getComputedStyle(document.querySelector(".found b mark")).textDecorationLine`); line != "underline" {
		t.Errorf("a word that was found in a title, which is bold itself, has the line %q", line)
	}
	if at := eval[string](b, `document.activeElement.tagName`); at == "A" {
		t.Error("the focus was taken from who types")
	}
	b.tap(`document.querySelector('.found a[href$="choke-opens-late.html#fuse"]')`)
	b.wait(`location.hash === "#fuse" && document.querySelector("#fuse.current")`)
	b.leave("history.back()")
	b.wait(`document.querySelector(".found mark") && document.querySelector("form.search input").value === "fuse F2 "`)

	// So it does to where the place stood, whose list is drawn anew.
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("heater")))
	b.wait(`[...document.querySelectorAll(".excerpt")].every((e) => e.textContent)`)
	const last = `[...document.querySelectorAll(".found a")].at(-1)`
	eval[any](b, last+`.scrollIntoView({block: "center"})`)
	stood := eval[float64](b, `scrollY`)
	if stood < 500 {
		t.Fatalf("the last place is to be reached by %v px", stood)
	}
	b.leave(last + ".click()")
	const away = `!location.pathname.endsWith("/search.html")`
	b.wait(away + ` && document.readyState === "complete"`)
	b.leave("history.back()")
	b.wait(`!(` + away + `) && document.querySelector(".found mark")`)
	b.wait(fmt.Sprintf("Math.abs(scrollY - %v) < 5", stood))

	// A short text is shown from its beginning, where its figure stands.
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("how much oil")))
	b.wait(`document.querySelector('.found a[href$="specifications.html#oil"] .excerpt mark')`)
	if text := eval[string](b, `document.querySelector('.found a[href$="#oil"] .excerpt').textContent`); !strings.Contains(text, "0.60\u00a0L") || !strings.Contains(text, "1.10\u00a0L") {
		t.Errorf("how much oil there is: %q", text)
	}

	// What does not hold for the chosen model comes last, and says so.
	got := eval[[]string](b, `(async () => {
		const s = document.querySelector("select[name=model]");
		s.value = "quince-150";
		s.dispatchEvent(new Event("change", {bubbles: true}));
		const field = document.querySelector("form.search input");
		field.value = "frequency under load";
		field.dispatchEvent(new Event("input", {bubbles: true}));
		await `+painted+`;
		for (let more; !(more = document.querySelector(".more")).hidden; ) more.querySelector("button").click();
		return [...document.querySelectorAll(".found a")].map((a) => a.querySelector("strong")?.textContent ?? "");
	})()`)
	firstNot := slices.IndexFunc(got, func(s string) bool { return s != "" })
	if firstNot < 0 || slices.Contains(got[firstNot:], "") || !strings.Contains(got[firstNot], "Quince 150") {
		t.Errorf("what does not hold for the model: %q", got)
	}

	// Nothing found is said, and an empty field shows every sheet.
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("qqqqxz")))
	if s := eval[string](b, `document.querySelector("[role=status]").textContent`); !strings.Contains(s, "qqqqxz") {
		t.Errorf("the page says %q", s)
	}
	// The way on is the finder and every sheet, which what is found takes the place of.
	const wayOn = `document.querySelector(".all-pages a").checkVisibility()`
	if !eval[bool](b, wayOn) {
		t.Error("where nothing is found, nothing leads on")
	}
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("fuse")))
	if eval[bool](b, wayOn) {
		t.Error("the list of sheets stands below what is found")
	}
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("")))
	if eval[bool](b, `document.querySelector(".all-pages").hidden`) {
		t.Error("an empty field hides the list of sheets")
	}

	// A translation that has no such place leads to the search of its source, with the query.
	b.goLive(d.address("es/search.html"))
	const leads = `document.querySelector(".source a").getClientRects().length > 0`
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("bobina")))
	b.wait(`document.querySelector(".found mark")`)
	if eval[bool](b, leads) {
		t.Error("what is found leads to the source, of which nothing is missing")
	}
	eval[any](b, fmt.Sprintf("%s(%s, '')", foundScript, quoted("muffler")))
	b.wait(leads)
	if eval[bool](b, `document.querySelector(".source").getBoundingClientRect().top > document.querySelector(".all-pages").getBoundingClientRect().top`) {
		t.Error("the way to the source stands below the list of sheets")
	}
	b.tap(`document.querySelector(".source a")`)
	b.wait(`location.pathname.endsWith("/search.html") && document.querySelector(".found mark")`)
	if q := eval[string](b, `document.querySelector("form.search input").value`); q != "muffler" {
		t.Errorf("the source is searched for %q", q)
	}
}

// TestSearchWithoutScript asks that the page leads on without script: to the
// finder, and to every page.
func TestSearchWithoutScript(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.script(false)
	b.goTo(d.address("search.html"))
	shown := eval[[]string](b, `[...document.querySelectorAll("main a")].filter((a) => a.getClientRects().length).map((a) => a.getAttribute("href"))`)
	for _, p := range d.book.Pages {
		if !p.Index && p.Lang == d.lang && !slices.Contains(shown, p.Path) {
			t.Errorf("nothing leads to %s", p.Path)
		}
	}
	if !slices.Contains(shown, "index.html") {
		t.Error("nothing leads to the finder")
	}
	if eval[bool](b, `[...document.querySelectorAll("main input")].some((e) => e.getClientRects().length)`) {
		t.Error("there is a field that does nothing")
	}
	if !eval[bool](b, `document.querySelector(".script-note").getClientRects().length > 0`) {
		t.Error("the page does not say what it needs")
	}
}

// TestSearchAccessibility has axe-core look at the page with and without places.
func TestSearchAccessibility(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	axe := axeScript(t)
	for _, scheme := range []string{"light", "dark"} {
		b := open(t, "")
		b.prefer("prefers-color-scheme", scheme)
		b.goLive(d.address("search.html") + "#q=heater%20relay")
		b.wait(`document.querySelector(".excerpt mark")`)
		eval[bool](b, axe)
		b.axe("search with places, " + scheme)
		eval[any](b, fmt.Sprintf("%s('', '')", foundScript))
		b.axe("search, " + scheme)
	}
}

// searchScript times queries, from the event of the field to the first places
// laid out, in ms.
const searchScript = `((queries) => queries.map((query) => {
	const field = document.querySelector("form.search input");
	const times = [];
	for (let i = 0; i < 7; i++) {
		field.value = "#";
		field.dispatchEvent(new Event("input", {bubbles: true}));
		document.body.offsetHeight;
		field.value = query;
		const start = performance.now();
		field.dispatchEvent(new Event("input", {bubbles: true}));
		document.body.offsetHeight;
		times.push(performance.now() - start);
	}
	return {Query: query, First: times[0], Least: Math.min(...times), Median: times.sort((a, b) => a - b)[3], Count: document.querySelectorAll(".found a").length};
}))`

// BenchmarkSearch times a query in a handbook of 1,000 pages on a phone six times
// slower: less than 30 ms from the letter to the first places, laid out. ready-ms is how
// long the page needs, from its opening, until it has the whole index.
func BenchmarkSearch(b *testing.B) {
	d, err := largeOnce()
	if err != nil {
		b.Fatal(err)
	}
	var words []string // of the subject, not of grammar
	for _, w := range strings.Fields(string(d.book.Pages[500].Source.Text)) {
		if len(w) > 6 && strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") == "" {
			words = append(words, w)
		}
	}
	pick := func(i int) string { return words[len(words)/8*i] }
	queries := []string{
		pick(1), pick(2) + " " + pick(3), pick(2) + " " + pick(3) + " " + pick(4) + " " + pick(5), // words
		pick(6)[:2], pick(6)[:4], // as they are typed
		"x" + pick(3) + " " + pick(4)[1:] + " ", pick(5) + "xx" + pick(6), // with slips
		"12 V", "1700 rpm " + pick(7),
	}
	t := open(b, "")
	t.slow()
	for b.Loop() {
		t.goLive(d.address("search.html"))
		eval[any](t, fmt.Sprintf("%s('si', '')", foundScript))
		t.wait(`document.querySelector(".found a")`)
		ready := eval[float64](t, `performance.now()`)
		worst := 0.0
		for _, one := range eval[[]struct {
			Query                string
			First, Median, Least float64
			Count                int
		}](t, fmt.Sprintf("%s(%s)", searchScript, quoted(queries))) {
			b.Logf("%-40s %6.2f ms at first, %6.2f ms in the middle, %6.2f ms at least; %d places shown", one.Query, one.First, one.Median, one.Least, one.Count)
			worst = max(worst, one.Median)
		}
		b.ReportMetric(worst, "ms")
		b.ReportMetric(ready, "ready-ms")
	}
}
