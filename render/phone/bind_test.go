package phone

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	pages "github.com/chromedp/cdproto/page"
	"golang.org/x/net/html"

	"benchleaf/render"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
)

// volume is a handbook in one file.
type volume struct {
	file string
	told render.Bound
}

func bind(b render.Binding) (*volume, error) {
	told, err := render.Bind(context.Background(), b)
	if err == nil && told.Failed() {
		err = fmt.Errorf("%s has errors: %v", b.Dir, told.Remarks)
	}
	return &volume{b.Out, told}, err
}

var content = filepath.Join("..", "..", "content")

var volumeOnce = sync.OnceValues(func() (*volume, error) {
	return bind(render.Binding{Dir: content, Out: filepath.Join(scratch, "handbook.html")})
})

var jobVolumeOnce = sync.OnceValues(func() (*volume, error) {
	return bind(render.Binding{Dir: filepath.Join("testdata", "job"), Out: filepath.Join(scratch, "job.html")})
})

// bound returns the demo as one file, bound once for all tests.
func bound(t testing.TB) *volume {
	t.Helper()
	v, err := volumeOnce()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// address is that of a page, and a place on it, "" for none.
func (v *volume) address(page, id string) string {
	if id != "" {
		page += ":" + id
	}
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(v.file)}).String() + "#" + page
}

func (v *volume) read(t *testing.T) []byte {
	t.Helper()
	text, err := os.ReadFile(v.file)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// readable are the pages for readers of one language: labels are printed by who puts them up.
func (d *demo) readable() []string {
	return slices.DeleteFunc(slices.Clone(d.pages), func(p string) bool {
		return p == page.LabelsPath(d.book, d.lang) || slices.ContainsFunc(d.book.Languages, func(lang string) bool {
			return lang != d.lang && strings.HasPrefix(p, lang+"/")
		})
	})
}

// sections are the pages of the file.
func sections(root *html.Node) map[string]*html.Node {
	found := map[string]*html.Node{}
	for n := range root.Descendants() {
		if n.Data == "section" && slices.Contains(strings.Fields(attribute(n, "class")), "page") {
			found[attribute(n, "id")] = n
		}
	}
	return found
}

// words are what stands in an element for a reader, each word once for each time.
func words(n *html.Node) []string {
	var b strings.Builder
	var add func(n *html.Node)
	add = func(n *html.Node) {
		switch {
		case n.Type == html.TextNode:
			b.WriteString(n.Data + " ")
		case n.Data == "script", n.Data == "style", n.Data == "head", n.Data == "footer", attribute(n, "class") == "skip", attribute(n, "class") == "about":
		case n.Data == "a" && attribute(n, "hreflang") != "": // to another language
		default:
			for c := range n.ChildNodes() {
				add(c)
			}
		}
	}
	add(n)
	return strings.Fields(b.String())
}

// TestBoundFile holds the file against the edition: every page is in it with all
// its words, every id is there once, every link leads to one.
func TestBoundFile(t *testing.T) {
	t.Parallel()
	d, v := compiled(t), bound(t)
	root := parse(t, v.read(t))
	anchors := ids(t, v.file, root)
	found := sections(root)
	if len(found) != len(d.readable()) || v.told.Pages != len(d.readable()) {
		t.Errorf("%d pages of %d, %d are told", len(found), len(d.readable()), v.told.Pages)
	}
	for _, p := range d.readable() {
		if found[p] == nil {
			t.Errorf("%s is not in the file", p)
			continue
		}
		got, want := strings.Join(words(found[p]), " "), strings.Join(words(parse(t, d.read(t, p))), " ")
		if p == "index.html" {
			want = strings.TrimSuffix(strings.Replace(want+" ", " "+d.words.Word("labels.title")+" ", " ", 1), " ")
		}
		if got != want {
			t.Errorf("%s has other words:\n%q\nwant\n%q", p, got, want)
		}
	}
	inside, outside := 0, 0
	for n := range root.Descendants() {
		for _, a := range n.Attr {
			switch a.Key {
			case "href", "action":
				if to, ok := strings.CutPrefix(a.Val, "#"); ok {
					inside++
					if !anchors[to] {
						t.Errorf("%s=%q leads nowhere", a.Key, a.Val)
					}
				} else if !strings.HasPrefix(a.Val, "data:") {
					outside++
				}
			case "for", "aria-labelledby", "aria-describedby", "aria-controls", "headers", "list":
				for _, id := range strings.Fields(a.Val) {
					if !anchors[id] {
						t.Errorf("%s=%q names nothing", a.Key, a.Val)
					}
				}
			case "src", "style", "srcset", "onclick":
				t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
			}
		}
	}
	if inside < 2000 || outside > 20 {
		t.Errorf("%d links in the file and %d out of it", inside, outside)
	}
}

// TestBoundPolicy reads what the file may run and load: each script and each style
// sheet by its hash, and all of them are in it.
func TestBoundPolicy(t *testing.T) {
	t.Parallel()
	root := parse(t, bound(t).read(t))
	var policy string
	have := map[string]bool{}
	for n := range root.Descendants() {
		switch {
		case attribute(n, "http-equiv") == "Content-Security-Policy":
			policy = attribute(n, "content")
		case n.Data == "style" && n.Namespace == "", n.Data == "script" && (attribute(n, "type") == "" || attribute(n, "type") == "text/plain"):
			sum := sha256.Sum256([]byte(n.FirstChild.Data))
			have["'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'"] = true
		}
	}
	for part := range strings.SplitSeq(policy, "; ") {
		name, allowed, _ := strings.Cut(part, " ")
		for _, source := range strings.Fields(allowed) {
			hashed := strings.HasPrefix(source, "'sha256-")
			switch {
			case hashed && (name == "script-src" || name == "style-src") && have[source]:
				have[source] = false
			case name == "script-src" && source == "'wasm-unsafe-eval'":
			case name == "img-src" && source == "data:":
			case source == "'none'" && slices.Contains([]string{"default-src", "base-uri", "form-action"}, name):
			default:
				t.Errorf("the policy has %s %s", name, source)
			}
		}
	}
	for source, left := range have {
		if left {
			t.Errorf("the policy does not allow %s", source)
		}
	}
	if len(have) < 10 {
		t.Errorf("%d scripts and styles", len(have))
	}
}

// TestBoundTwice: the same bytes each time.
func TestBoundTwice(t *testing.T) {
	t.Parallel()
	again, err := bind(render.Binding{Dir: content, Out: filepath.Join(scratch, "again.html")})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(again.read(t), bound(t).read(t)) {
		t.Error("a second file of the same handbook has other bytes")
	}
}

// The file weighs at most what its scripts, styles and index may, and 1.3 times
// the pages and pictures of its language, all by gzip -9; and 1 MB.
const (
	boundBase  = 120000
	boundShare = 1.3
	boundMost  = 1000000
)

func TestBoundWeight(t *testing.T) {
	t.Parallel()
	d, v := compiled(t), bound(t)
	var all []byte
	for _, p := range d.readable() {
		page := d.read(t, p)
		all = append(all, bytes.Replace(page, []byte(styleOf(t, p, parse(t, page))), nil, 1)...) // the file has one style
	}
	for _, name := range d.book.Assets {
		all = append(all, d.read(t, name)...)
	}
	got, most := gzipped(v.read(t)), boundBase+int(boundShare*float64(gzipped(all)))
	t.Logf("%d bytes, %d packed, at most %d", len(v.read(t)), got, most)
	if got > min(most, boundMost) || v.told.Packed != got {
		t.Errorf("%d bytes packed, %d are told, at most %d", got, v.told.Packed, min(most, boundMost))
	}
}

// TestBoundWithoutScript opens the file as a phone does that shows files with
// scripting off: each page can be seen, each link that can be seen leads to
// something that can.
func TestBoundWithoutScript(t *testing.T) {
	t.Parallel()
	d, v := compiled(t), bound(t)
	b := open(t, "")
	b.script(false)
	b.goTo(v.address("index.html", ""))
	got := eval[struct {
		Hidden, Dead          []string
		Links, Enabled, Notes int
		First                 string
		Pictures, Tall        int
	}](b, `(() => {
		const all = (s, e = document) => [...e.querySelectorAll(s)], seen = (e) => e.getClientRects().length > 0;
		const links = all("a[href^='#']").filter(seen);
		const pictures = all("svg.picture[role=img]");
		return {
			Hidden: all(".page").filter((p) => !seen(p) || all(".step, .end, .answers a, .reading .answers, .spec > *, .picture[role=img]", p).some((e) => !seen(e))).map((p) => p.id),
			Links: links.length,
			Dead: links.map((a) => a.getAttribute("href").slice(1)).filter((id) => !document.getElementById(id) || !seen(document.getElementById(id))),
			Enabled: all("button, input, select").filter((e) => seen(e) && !e.matches(":disabled")).length,
			Notes: all(".script-note").filter(seen).length,
			First: all(".page")[0].id,
			Pictures: pictures.length,
			Tall: pictures.filter((e) => e.getBoundingClientRect().height > 100).length,
		};
	})()`)
	// The finder says it for all pages; jobs, search and models what they need script for.
	if len(got.Hidden) > 0 || len(got.Dead) > 0 || got.Enabled > 0 || got.Notes != 4 || got.First != "index.html" || got.Links < 1500 {
		t.Errorf("without script: %+v", got)
	}
	if got.Pictures < 10 || got.Tall != got.Pictures {
		t.Errorf("%d of %d pictures show", got.Tall, got.Pictures)
	}
	p := d.procedures()[0]
	b.goTo(v.address(p.Path, p.Procedure.Steps[2].ID))
	b.wait(fmt.Sprintf(`Math.abs(document.getElementById(%s).getBoundingClientRect().top) < 100`, quoted(p.Path+":"+p.Procedure.Steps[2].ID)))
	// Wide and narrow, nothing sticks out, in any language.
	for _, lang := range d.book.Languages {
		v, err := bind(render.Binding{Dir: content, Out: filepath.Join(t.TempDir(), lang+".html"), Language: lang})
		if err != nil {
			t.Fatal(err)
		}
		b.goTo(v.address("index.html", ""))
		for _, width := range []int64{320, 390, 1280} {
			b.size(width, phoneHeight)
			if wide := eval[int](b, `document.documentElement.scrollWidth`); int64(wide) > width {
				t.Errorf("the file in %s is %d wide on a screen of %d", lang, wide, width)
			}
		}
	}
}

// reader has the handbook as one file.
type reader struct {
	*mechanic
	v *volume
}

func newReader(t *testing.T, v *volume, d *demo) *reader {
	t.Helper()
	phone := open(t, "")
	return &reader{&mechanic{phone.another(), phone, d}, v}
}

// opens opens a page afresh.
func (r *reader) opens(page, id string) {
	r.Helper()
	r.goTo("about:blank")
	r.goTo(r.v.address(page, id))
	r.on(page)
}

// on waits for a page of the file.
func (r *reader) on(page string) {
	r.Helper()
	// Until the file is loaded anew, the last page is there under the next one's address.
	r.wait("document.body.id === " + quoted(page))
	r.waitLive()
}

// follows taps a link, by its text.
func (r *reader) follows(text string) {
	r.Helper()
	r.tap(fmt.Sprintf(`[...document.querySelectorAll("main a, .top a, .bar a")].find((a) => a.getClientRects().length && a.textContent.includes(%s))`, quoted(text)))
}

// back goes back in the browser's history.
func (r *reader) goesBack() {
	r.Helper()
	r.leave("history.back()")
}

// TestBoundJob follows a machine through the file as through an edition: from the
// finder by a typed reading to a cause, over a reopened file, and back over the
// borders of pages.
func TestBoundJob(t *testing.T) {
	t.Parallel()
	d, err := jobOnce()
	if err != nil {
		t.Fatal(err)
	}
	v, err := jobVolumeOnce()
	if err != nil {
		t.Fatal(err)
	}
	r := newReader(t, v, d)
	r.opens("index.html", "")
	r.follows("Stays cold")
	r.on(noHeat)
	r.choose("k210")
	r.answers("Cold", "fuse")
	r.answers("Whole", "coil")
	r.reads("9.4")
	r.answers("Within limits", "volts")
	// The answer leads to another page, and back leads to the step with what was read.
	r.reads("12")
	r.tap(`[...document.querySelectorAll(".current .answers a")].find((a) => a.firstChild.textContent.trim() === "Low")`)
	r.on(flat)
	r.at("rest")
	r.expect("the bar", r.says(".bar .job"), "Job: K210")
	r.goesBack()
	r.on(noHeat)
	r.at("volts")
	r.expect("the way", r.says(".way span"), "Cold Whole Within limits: 9.4 Ω")
	r.reads("13.9")
	r.answers("Within limits", "move")
	r.tap(`document.querySelector("[data-do=back]")`)
	r.at("volts")
	r.goesBack()
	r.at("coil")
	r.reads("14.2")
	r.answers("High", "cause-coil-bad")
	r.expect("the gate", r.says(".current .gate"), "Condemned by step 3 · Resistance of the coil: 14.2 Ω (Outside: too high, Limit 9.0 to 9.8 Ω)")

	// The record is that of an edition, addresses and all.
	record := r.record()
	r.expect("steps", steps(record), "touch: Cold | fuse: Whole | coil: High: 14.2 Ω")
	if e := record.Entries[2]; e.To != "#cause-coil-bad" || e.Page != "procedures/no-heat" {
		t.Errorf("entry %+v", e)
	}

	// The file is closed and opened anew: the job is on the jobs page, and goes on.
	r.close()
	r.tab = r.phone.another()
	r.opens("index.html", "")
	r.follows("Job: K210")
	r.on("jobs.html")
	r.wait(`document.querySelector(".jobs li a")`)
	r.tap(`document.querySelector(".jobs li a")`)
	r.wait(`document.querySelector(".job:not([hidden]) .record h3")`)
	if text := r.says(".record"); !strings.Contains(text, "14.2") {
		t.Errorf("the sheet says %q", text)
	}
	r.tap(`document.querySelector(".stands .big")`)
	r.on(noHeat)
	r.at("cause-coil-bad")
	// A deep address shows its card.
	r.opens(noHeat, "move")
	r.at("move")
}

// TestBoundAccessibility has axe-core look at a file as it is without script, and at
// its pages with it.
func TestBoundAccessibility(t *testing.T) {
	t.Parallel()
	axe := axeScript(t)
	v, err := bind(render.Binding{Dir: content, Out: filepath.Join(scratch, "axe.html"), Pages: []string{"procedures/black-smoke", "bench/joints", "theory/choke"}})
	if err != nil {
		t.Fatal(err)
	}
	// axe-core is a script itself: the one without them has its first one as text.
	still := &volume{file: filepath.Join(scratch, "still.html")}
	text := bytes.Replace(v.read(t), []byte("<script>"), []byte(`<script type="text/plain">`), 1)
	if err := os.WriteFile(still.file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	b.size(phoneWidth, 3*phoneHeight) // what the bar covers comes to light by scrolling
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		b.goTo(still.address("index.html", ""))
		eval[bool](b, axe)
		b.axe("all pages, " + scheme)
		for _, page := range []string{"index.html", "en/procedures/black-smoke.html", "en/procedures/black-smoke.flow.html", "en/bench/joints.html", "search.html", "jobs.html"} {
			b.goTo("about:blank")
			b.goTo(v.address(page, ""))
			b.waitLive()
			eval[bool](b, axe)
			b.axe(page + ", " + scheme)
		}
	}
}

// TestBoundSearch finds a page of the file, shows its words in place and comes back to what was
// found.
func TestBoundSearch(t *testing.T) {
	t.Parallel()
	r := newReader(t, bound(t), compiled(t))
	r.opens("index.html", "")
	r.tap(`document.querySelector("form.entry input")`)
	r.keys("ground wire drop\r")
	r.on("search.html")
	r.wait(`document.querySelector(".found .excerpt mark")`)
	first := eval[string](r.tab, `document.querySelector(".found a").getAttribute("href").slice(1)`)
	page, id, _ := strings.Cut(first, ":")
	r.tap(`document.querySelector(".found a")`)
	r.on(page)
	if id != "" {
		r.wait(`document.querySelector(".current").id === ` + quoted(id))
	}
	r.goesBack()
	r.on("search.html")
	r.wait(`document.querySelector(".found .excerpt mark")`)
	// The page of models, which is of use on a screen alone, has its words in the file, too.
	r.tap(`document.querySelector("form.search input")`)
	eval[any](r.tab, `document.querySelector("form.search input").select()`)
	r.keys("serial number on the plate")
	r.wait(`[...document.querySelectorAll(".found a[href='#models.html'] .excerpt")].some((e) => /Q150/.test(e.textContent))`)
}

// TestBoundModel chooses the model by its serial number: the sheet that it was wanted
// for has the model's limits from then on, and the job that is begun there the number.
func TestBoundModel(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	r := newReader(t, bound(t), d)
	const sheet = "en/procedures/choke-opens-late.html"
	r.opens(sheet, "")
	r.chooseBySerial()
	r.on("models.html")
	c := serialCases[0]
	if got := r.typeSerial(c.typed); got.Model != c.models {
		t.Fatalf("%q: %+v, want %q", c.typed, got, c.models)
	}
	r.tap(`document.querySelector("main .keys button")`) // back to where it was wanted
	r.on(sheet)
	if model := eval[string](r.tab, `document.querySelector("select[name=model]").value`); model != c.models {
		t.Errorf("the sheet shows %q", model)
	}
	if wrong := eval[[]string](r.tab, `[...document.querySelectorAll("main tr[data-model]")].filter((e) => e.hidden === e.dataset.model.split(" ").includes(`+quoted(c.models)+`)).map((e) => e.outerHTML)`); len(wrong) > 0 {
		t.Errorf("limits of %s: %q", c.models, wrong)
	}
	r.tap(`document.querySelector(".step.current .answers a")`)
	r.wait(`document.body.dataset.job`)
	if got := r.record(); got.Machine.Model != c.models || got.Machine.Serial != c.typed {
		t.Errorf("the job begins with %+v", got.Machine)
	}
}

// TestBoundAddresses: who goes back finds a page as it was left; a mistyped address
// leads to its page, or to the finder.
func TestBoundAddresses(t *testing.T) {
	t.Parallel()
	const sheet = "en/theory/choke.html"
	r := newReader(t, bound(t), compiled(t))
	r.opens(sheet, "")
	eval[bool](r.tab, `(scrollTo(0, 900), true)`)
	r.leave(`[...document.querySelectorAll("main a[href^='#']")].find((a) => !a.hash.startsWith("#" + document.body.id)).click()`)
	r.wait(`document.body.id !== ` + quoted(sheet) + ` && document.body.id && scrollY === 0`)
	r.goesBack()
	r.on(sheet)
	r.wait(`scrollY === 900`)
	for _, c := range []struct{ hash, page string }{{sheet + ":nowhere", sheet}, {sheet + ":%", sheet}, {"nowhere.html:x", "index.html"}, {"%", "index.html"}, {"", "index.html"}} {
		r.goTo("about:blank")
		r.goTo(r.v.address(c.hash, ""))
		r.on(c.page)
	}
}

// TestBoundPrintsWhole: with script too the whole handbook goes on paper, and then the
// finder is there again.
func TestBoundPrintsWhole(t *testing.T) {
	t.Parallel()
	r := newReader(t, bound(t), compiled(t))
	r.opens("index.html", "")
	call(r.tab, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: `window.print = () => {
		sessionStorage.printed = [...document.querySelectorAll(".page")].filter((p) => p.getClientRects().length).length;
		dispatchEvent(new Event("afterprint"));
	}`})
	r.follows(r.d.words.Word("bound.print"))
	r.wait(`sessionStorage.printed`)
	r.on("index.html")
	if got := eval[string](r.tab, `sessionStorage.printed`); got != fmt.Sprint(len(r.d.readable())) {
		t.Errorf("%s pages of %d", got, len(r.d.readable()))
	}
}

// TestBoundCalculators holds the calculators of the file against the Go.
func TestBoundCalculators(t *testing.T) {
	t.Parallel()
	d, v := compiled(t), bound(t)
	b := open(t, "")
	for _, p := range d.book.Pages {
		if len(p.Calculators) == 0 || p.Procedure != nil || p.Lang != d.lang {
			continue
		}
		b.goTo("about:blank")
		b.goTo(v.address(p.Path, ""))
		b.waitLive()
		if computed, _ := reckon(b, d, p).hold(p.Path); computed == 0 {
			t.Errorf("%s: no calculator had results", p.Path)
		}
	}
}

// TestBoundPractice walks to a planted fault, chosen on its page, and back to that.
func TestBoundPractice(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.heaterPractice(t)
	f := p.Circuit.Planted()[0]
	r := newReader(t, bound(t), d)
	r.opens(p.PracticePath(), "")
	r.follows(f.Code)
	r.on(p.Path)
	r.wait(`document.querySelector(".current .practice")`)
	var walked []string
	for _, s := range (handbook.Bench{Book: d.book, Page: p}.Walk(p.Applicability[0], &f)).Steps {
		walked = append(walked, s.ID)
	}
	for i, id := range walked {
		r.wait(`document.querySelector(".current").id === ` + quoted(id))
		r.tap(`document.querySelector(".current .practice > button")`) // does what the step says
		to := "cause-" + f.Cause
		if i+1 < len(walked) {
			to = walked[i+1]
		}
		r.tap(fmt.Sprintf(`[...document.querySelectorAll(".current .answers a")].find((a) => a.hash.endsWith(%s))`, quoted(":"+to)))
		r.wait(`document.querySelector(".current").id === ` + quoted(to))
	}
	if text := r.says(".practice-result"); !strings.Contains(text, d.words.Word("practice.right")) {
		t.Errorf("the practice ended with %q", text)
	}
	r.follows(d.words.Word("practice.another"))
	r.on(p.PracticePath())
}

// TestBoundNarrow binds some pages, and those of one model.
func TestBoundNarrow(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	model := d.book.Models[0]
	v, err := bind(render.Binding{Dir: content, Out: filepath.Join(scratch, "model.html"), Model: model.ID})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]bool{"index.html": true, "search.html": true, "jobs.html": true, page.ModelsPath(d.book, d.book.Languages[0]): true}
	for _, p := range d.book.Pages {
		if !p.Index && p.Lang == d.lang && applies(p, model) {
			for _, path := range []string{p.Path, p.FlowPath(), p.PracticePath()} {
				want[path] = path != ""
			}
		}
	}
	delete(want, "")
	root := parse(t, v.read(t))
	if got := slices.Sorted(maps.Keys(sections(root))); !slices.Equal(got, slices.Sorted(maps.Keys(want))) {
		t.Errorf("of %s: %q", model.ID, got)
	}
	text := string(v.read(t))
	for _, m := range d.book.Models[1:] {
		// What a text says of another model has its name.
		of := `data-model="` + m.ID + `[^"]*"( data-serials="[^"]*")?>`
		all, named := len(regexp.MustCompile(of).FindAllString(text, -1)), len(regexp.MustCompile(of+`<span class="for">`).FindAllString(text, -1))
		if all != named || strings.Contains(text, `value="`+m.ID) {
			t.Errorf("the file of %s has values of %s: %d, named %d", model.ID, m.ID, all, named)
		}
	}
	if none := d.words.Word("limit.none"); strings.Contains(text, none) {
		t.Errorf("the file of %s says %q", model.ID, none)
	}
	r := newReader(t, v, d)
	p := d.procedures()[0]
	r.opens(p.Path, "")
	r.expect("the model", eval[string](r.tab, `document.querySelector("select[name=model]").value`), model.ID)

	some, err := bind(render.Binding{Dir: content, Out: filepath.Join(scratch, "some.html"), Pages: []string{p.Key}})
	if err != nil {
		t.Fatal(err)
	}
	root = parse(t, some.read(t))
	elsewhere := 0
	for n := range root.Descendants() {
		if attribute(n, "class") == "elsewhere" {
			elsewhere++
		}
	}
	if got := slices.Sorted(maps.Keys(sections(root))); !slices.Contains(got, p.Path) || slices.Contains(got, d.procedures()[1].Path) || elsewhere == 0 {
		t.Errorf("of %s: %q, %d links elsewhere", p.Key, got, elsewhere)
	}
}

// TestBoundPrint prints the file, with script as without: every page is on paper but those of use on a
// screen alone, with its lines for readings, and nothing takes room that is not seen.
func TestBoundPrint(t *testing.T) {
	t.Parallel()
	for _, script := range []bool{false, true} {
		b := open(t, "")
		b.script(script)
		call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: `window.print = () => {}`})
		b.goTo(bound(t).address("index.html?print", ""))
		call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		if got := eval[[]string](b, `[...document.querySelectorAll(".page")].filter((p) => !p.getClientRects().length).map((p) => p.id)`); len(got) != len(compiled(t).book.Circuits)+3 { // practices, search, jobs, models
			t.Errorf("script %t: not on paper: %q", script, got)
		}
		lines := `[...document.querySelectorAll(".page:not(.unprinted) .reading .taken")]`
		if n := eval[int](b, lines+`.filter((e) => e.checkVisibility({ visibilityProperty: true })).length`); n == 0 || n != eval[int](b, lines+".length") {
			t.Errorf("script %t: %d lines for readings are on paper", script, n)
		}
		if got := eval[[]string](b, `[...document.querySelectorAll(".page [hidden]")].filter((e) => e.getClientRects().length).map((e) => e.outerHTML.slice(0, 80))`); len(got) > 0 {
			t.Errorf("script %t: room is left for %q", script, got)
		}
	}
}

// TestBoundSheets prints a file of a few pages: of a page that begins on a sheet of its own each sheet has the page's number and title at its head, whatever
// stands in it, and its own number; a procedure has its two columns; what stands behind the last page has no sheet of its own.
func TestBoundSheets(t *testing.T) {
	t.Parallel()
	const title = `A "flat" \22 battery & its </style> {}; ñ Ω`
	dir := filepath.Join(t.TempDir(), "content")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "job"))); err != nil {
		t.Fatal(err)
	}
	odd := filepath.Join(dir, "en", "procedures", "flat.md")
	text, err := os.ReadFile(odd)
	if err != nil {
		t.Fatal(err)
	}
	const was = "\ntitle: Goes flat\n"
	if !bytes.Contains(text, []byte(was)) {
		t.Fatalf("%s has no %q", odd, was)
	}
	text = bytes.Replace(text, []byte(was), fmt.Appendf(nil, "\ntitle: '%s'\n", title), 1)
	if err := os.WriteFile(odd, text, 0o600); err != nil {
		t.Fatal(err)
	}
	v, err := bind(render.Binding{Dir: dir, Out: filepath.Join(t.TempDir(), "odd.html")})
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	b.script(false)
	b.goTo(v.address("index.html", ""))
	titles := eval[[]string](b, `[...document.querySelectorAll(".page:not(.unprinted) h1")].map((h) => h.textContent)`)
	if !slices.Contains(titles, title) {
		t.Fatalf("no page is called %s: %q", title, titles)
	}
	for i := range titles[1:] {
		titles[i+1] = fmt.Sprintf("%d · %s", i+1, titles[i+1])
	}
	if got := eval[[]string](b, `[...document.querySelectorAll("[data-chapter]")].map((a) => a.dataset.chapter + " · " + document.getElementById(decodeURIComponent(a.hash.slice(1))).querySelector("h1").textContent)`); len(got) == 0 || slices.ContainsFunc(got, func(s string) bool { return !slices.Contains(titles[1:], s) }) {
		t.Errorf("the contents number %q of %q", got, titles)
	}
	for paper := range papers {
		sheets := b.sheets(b.print(paper))
		var at int // of titles
		for i, s := range sheets {
			switch {
			case strings.HasPrefix(s, titles[at]+" "):
			case at+1 < len(titles) && strings.HasPrefix(s, titles[at+1]+" "):
				at++
			default:
				t.Errorf("sheet %d of %s begins with neither the page before nor the next, %q: %.80q", i+1, paper, titles[min(at+1, len(titles)-1)], s)
			}
			if number := fmt.Sprintf("%d/%d", i+1, len(sheets)); !strings.Contains(s, number) && !strings.Contains(s, strings.Replace(number, "/", " / ", 1)) {
				t.Errorf("sheet %d of %s does not say %s", i+1, paper, number)
			}
		}
		if at != len(titles)-1 {
			t.Errorf("%s ends with %q", paper, titles[at])
		}
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	if got := eval[[]string](b, `[...document.querySelectorAll('[data-sheet="procedure"]')].map((e) => getComputedStyle(e).columnCount)`); len(got) == 0 || strings.Trim(strings.Join(got, ""), "2") != "" {
		t.Errorf("procedures have %q columns", got)
	}
}
