package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/alecthomas/chroma/v2"
	"golang.org/x/net/html"

	"benchleaf/render/handbook"
	"benchleaf/render/picture"
	"benchleaf/theme"
)

func TestRelative(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"index.html", "index.html", "index.html"},
		{"index.html", "en/a.html", "en/a.html"},
		{"en/a.html", "index.html", "../index.html"},
		{"en/a.html", "en/b.html", "b.html"},
		{"en/p/a.html", "es/p/a.html", "../../es/p/a.html"},
		{"en/p/a.html", "en/pictures/b c.svg", "../pictures/b%20c.svg"},
		{"a.html", "javascript:alert(1).html", "./javascript:alert%281%29.html"},
		{"a.html", "what?#1%.html", "what%3F%231%25.html"},
		{"en/a.html", "en/a/b.html", "a/b.html"},
		{"en/a/b.html", "en/a.html", "../a.html"},
	} {
		got := relative(c.from, c.to)
		if got != c.want {
			t.Errorf("from %s to %s: %s, want %s", c.from, c.to, got, c.want)
		}
		base := &url.URL{Scheme: "file", Path: "/some folder/" + c.from}
		to, err := base.Parse(got)
		if err != nil || to.Path != path.Join("/some folder", c.to) || to.Scheme != "file" {
			t.Errorf("from %s the link %s leads to %v (%v)", c.from, got, to, err)
		}
	}
}

func TestFigure(t *testing.T) {
	for _, c := range []struct{ text, lang, want string }{
		{"1450", "en", "1,450"}, {"1450", "es", "1450"}, {"11500", "es", "11\u202F500"}, {"11500", "en", "11,500"},
		{"11.50", "en", "11.50"}, {"11.50", "es", "11,50"}, {"-1234567.25", "en", "−1,234,567.25"}, {"+5", "en", "5"},
		{"0.000", "en", "0.000"}, {"999", "en", "999"}, {"1e5", "en", "1e5"}, {"", "en", ""}, {"11.50", "es-MX", "11.50"},
	} {
		if got := figure(c.text, c.lang); got != c.want {
			t.Errorf("figure(%q, %s) is %q, want %q", c.text, c.lang, got, c.want)
		}
	}
}

// Every class of a token has its colour, and no colour is without one.
func TestTokenClassesHaveStyles(t *testing.T) {
	emitted := map[string]bool{}
	for k := range chroma.StandardTypes {
		if class := tokenClass(k); class != "" {
			emitted[class] = true
		}
	}
	style, err := os.ReadFile("../../theme/style/listing.css")
	if err != nil {
		t.Fatal(err)
	}
	styled := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^code \.(\w)[ ,]`).FindAllStringSubmatch(string(style), -1) {
		styled[m[1]] = true
	}
	if fmt.Sprint(emitted) != fmt.Sprint(styled) {
		t.Errorf("emitted %v, styled %v", emitted, styled)
	}
}

// hostile is what an author must not be able to put into a page as markup.
const hostile = `</script></style></title><x-hostile onload=alert(1)>'"&{{.}}`

// TestHostileTextStaysText puts it into every field.
func TestHostileTextStaysText(t *testing.T) {
	quoted, err := json.Marshal(hostile) // JSON is YAML
	if err != nil {
		t.Fatal(err)
	}
	y := string(quoted)
	markdown := strings.ReplaceAll(hostile, `"`, `&quot;`)
	pages := renderAll(t, map[string]string{
		"handbook.yaml": `{title: ` + y + `, publisher: ` + y + `, edition: ` + y + `, languages: [en, es], notice: ` + y + `,
states: {one: {title: ` + y + `, text: ` + y + `}}, hazards: {fire: {title: ` + y + `}}}`,
		"models.yaml":  `{a: {title: ` + y + `}, b: {title: ` + y + `}}`,
		"parts.yaml":   `{coil: {title: ` + y + `, number: ` + y + `, system: x}}`,
		"specs/s.yaml": `{feed: {title: ` + y + `, unit: V, conditions: ` + y + `, source: ` + y + `, models: {a: {min: 1}, b: {max: 2}}}}`,
		"en/p.md": "---\n" + `{sheet: procedure, title: ` + y + `, purpose: ` + y + `, symptom: ` + y + `, states: [one], hazards: [fire], support-equipment: [` + y + `],
causes: {c: {title: ` + y + `, remedy: ` + y + `, part: coil}}}` + "\n---\n\n" + markdown + "\n\n## " + markdown + `

` + "```safety\n" + `{level: danger, hazard: fire, text: ` + y + `}` + "\n```\n\n```reading\n" +
			`{measure: ` + y + `, spec: feed, meter: ` + y + `, red: ` + y + `, black: ` + y + `, low: "cause:c", within: "cause:c", high: "cause:c"}` + "\n```\n\n```answers\n- " +
			markdown + " -> [on](cause:c)\n```\n\n<spec:feed> <part:coil> <cause:c> <hazard:fire>\n\n```html\n" + hostile + "\n```\n\n`" + hostile + "`\n\n" +
			"[x](https://example.com/\"><x-hostile> 'a\"><x-hostile>')\n\n| a |\n|---|\n| `" + hostile + "` |\n\n```calculator voltage-drop\n" +
			`{title: ` + y + `, limits: {drop: "spec:feed"}}` + "\n```\n",
	})
	scripts := map[string]int{}
	for name, out := range pages {
		doc, err := html.Parse(bytes.NewReader(out.HTML))
		if err != nil {
			t.Fatal(err)
		}
		for n := range doc.Descendants() {
			if n.Type == html.ElementNode && n.Data == "x-hostile" {
				t.Errorf("%s: hostile text became an element", name)
			}
			if n.Type == html.ElementNode && n.Data == "script" {
				scripts[name]++
			}
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "style" {
					t.Errorf("%s: <%s %s=%q>", name, n.Data, a.Key, a.Val)
				}
			}
		}
	}
	if n := bytes.Count(pages["en/p.html"].HTML, []byte("x-hostile")); n < 25 {
		t.Errorf("the page shows only %d of the hostile texts", n)
	}
	want := map[string]int{"index.html": 2, "es/index.html": 2, "jobs.html": 4, "es/jobs.html": 4, "en/p.html": 7, "en/p.flow.html": 2}
	if fmt.Sprint(scripts) != fmt.Sprint(want) {
		t.Errorf("scripts are %v, want %v", scripts, want)
	}
}

// Every id of a page is its own, every link within it has a target, and nothing
// is asked of another host.
func TestPagesHoldTogether(t *testing.T) {
	cases, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatal("no cases", err)
	}
	for _, name := range cases {
		for at, out := range renderAll(t, sourceOf(t, name)) {
			doc, err := html.Parse(bytes.NewReader(out.HTML))
			if err != nil {
				t.Fatal(err)
			}
			ids, links := map[string]bool{}, []string{}
			for n := range doc.Descendants() {
				for _, a := range n.Attr {
					switch {
					case a.Key == "id" && ids[a.Val]:
						t.Errorf("%s %s: the id %s is there twice", name, at, a.Val)
					case a.Key == "id":
						ids[a.Val] = true
					case a.Key == "href" && strings.HasPrefix(a.Val, "#"):
						links = append(links, a.Val[1:])
					case a.Key == "for" || a.Key == "aria-describedby":
						links = append(links, a.Val)
					case a.Key == "src" && strings.Contains(a.Val, ":") && !strings.HasPrefix(a.Val, "data:image/png;") && !strings.HasPrefix(a.Val, "data:image/svg+xml,"):
						t.Errorf("%s %s: loads %s", name, at, a.Val)
					}
				}
			}
			for _, l := range links {
				if l, _ = url.PathUnescape(l); !ids[l] {
					t.Errorf("%s %s: #%s leads nowhere", name, at, l)
				}
			}
		}
	}
}

// A drawing stands in the page where it is the first picture, on the first screen, and small.
func TestEnclosed(t *testing.T) {
	const shown = "![Valve](../valve.svg)\n"
	drawing := func(d string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="` + d + `"/></svg>`
	}
	for name, c := range map[string]struct {
		page, valve string
		want        bool
	}{
		"first":               {shown, drawing("M0 0"), true},
		"after a heading":     {"## Valve\n\n" + shown, drawing("M0 0"), true},
		"behind another":      {"![Pump](../pump.svg)\n\n" + shown, drawing("M0 0"), false},
		"below a long text":   {strings.Repeat("Word. ", 500) + "\n\n" + shown, drawing("M0 0"), false},
		"large":               {shown, drawing("M0 0" + strings.Repeat("H9", 5000)), false},
		"large but for noise": {shown, drawing("M0 0") + "<!--" + strings.Repeat(" ", 10000) + "-->", true},
	} {
		out := renderAll(t, map[string]string{
			"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\n", "en/a.md": "# A\n\n" + c.page, "valve.svg": c.valve, "pump.svg": drawing("M1 1"),
		})
		html := string(out["en/a.html"].HTML)
		if got := !strings.Contains(html, `src="../valve.svg"`); got != c.want {
			t.Errorf("%s: in the page is %t, want %t", name, got, c.want)
		}
		if c.want && !strings.Contains(html, `<a class="large" href="../valve.svg"><img src="`+picture.Enclose("valve.svg", []byte(drawing("M0 0")+"\n"))+`" alt="Valve" width="9" height="9"></a>`) {
			t.Errorf("%s: %s", name, html)
		}
	}
}

// The edition's name and date stand in one file alone, and in the margin of paper.
func TestEditionStandsInOneFile(t *testing.T) {
	files := sourceOf(t, "testdata/procedure.txtar")
	before, shared := renderAll(t, files), sharedOf(t, files)
	files["handbook.yaml"] = strings.Replace(strings.Replace(files["handbook.yaml"], `"4"`, `"5"`, 1), "2026-11-02", "2027-01-31", 1)
	after := renderAll(t, files)
	for name, out := range before {
		if !bytes.Equal(out.HTML, after[name].HTML) {
			t.Errorf("%s changed with the edition", name)
		}
	}
	changed := []string{}
	for name, data := range sharedOf(t, files) {
		if data != shared[name] {
			changed = append(changed, name)
		}
	}
	slices.Sort(changed)
	if !slices.Equal(changed, []string{"assets/edition.js", "assets/print-en.css", "assets/print-es.css"}) {
		t.Errorf("%v changed with the edition", changed)
	}
	want := `self.benchleafEdition&&benchleafEdition({"title":"Pump handbook","edition":"4","date":"2026-11-02","days":{"en":"November 2, 2026","es":"2 de noviembre de 2026"}})` + "\n"
	if got := shared["assets/edition.js"]; got != want {
		t.Errorf("edition.js is %q, want %q", got, want)
	}
	if got := sharedOf(t, map[string]string{"a.md": "# A\n"})["assets/edition.js"]; strings.Contains(got, "benchleafEdition") {
		t.Errorf("edition.js of a handbook whose edition has no name is %q", got)
	}
	margin := `@import "print.css";@page{@bottom-left{content:"Pump handbook · edition 4 · November 2, 2026";font:8pt sans-serif}}` + "\n" +
		`[data-sheet=procedure]{.foot{display:none}.head::after{content:"The maker's data come first. Example Engines edition 4 · November 2, 2026";font:7pt sans-serif}}` + "\n"
	if got := shared["assets/print-en.css"]; got != margin {
		t.Errorf("print-en.css is %q, want %q", got, margin)
	}
	files["handbook.yaml"] += "check-by: 2027-06-01\n"
	if got, want := sharedOf(t, files)["assets/print-en.css"], " · Look for a newer edition by June 1, 2027."; !strings.Contains(got, want) {
		t.Errorf("with a day to check by print-en.css is %q, want %q in it", got, want)
	}
}

// An edition has the scripts that its pages load, those that these load, what they bring, and no others.
func TestSharedIsWhatPagesLoad(t *testing.T) {
	always := []string{"edition.js", "held.js", "plain.js", "print.css", "qr.js", "read.js", "record.js"}
	for name, more := range map[string][]string{
		"glossary":   nil,
		"calculator": {"bar.js", "bench.js", "job.css"},
		"pictures":   {"picture.js", "picture.css"},
		"jobs":       {"job.js", "job.css", "page.js"},
		"practice":   {"job.js", "job.css", "page.js", "practice.js", "practice.css"},
	} {
		var got []string
		for file := range sharedOf(t, sourceOf(t, "testdata/"+name+".txtar")) {
			if name, ok := strings.CutPrefix(file, "assets/"); ok {
				got = append(got, strings.NewReplacer("-en.", ".", "-es.", ".").Replace(name)) // each in all languages
			}
		}
		slices.Sort(got)
		got = slices.Compact(got)
		if want := slices.Sorted(slices.Values(slices.Concat(always, more))); !slices.Equal(got, want) {
			t.Errorf("%s: has\n%q, want\n%q", name, got, want)
		}
	}
}

// Workers render side by side and give the same bytes.
func TestRenderingSideBySide(t *testing.T) {
	files := sourceOf(t, "testdata/calculator.txtar")
	h, r := open(t, files)
	want := renderAll(t, files)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for _, p := range h.Pages {
				out, err := r.Page(p)
				if err != nil || !bytes.Equal(out.HTML, want[p.Path].HTML) {
					t.Errorf("%s differs (%v)", p.Path, err)
				}
			}
		})
	}
	wait.Wait()
}

// A broken module is an error of the page, not a panic.
func TestBrokenModule(t *testing.T) {
	h, r := open(t, sourceOf(t, "testdata/calculator.txtar"))
	p := h.Pages[0]
	p.Calculators[0].Module = handbook.NewModule([]byte("no module"))
	if _, err := r.Page(p); err == nil || !strings.Contains(err.Error(), "calculator module") {
		t.Errorf("got %v", err)
	}
}

// wordKey is a key of the words as Go and the templates name it. Keys that are
// put together from a part are listed in families.
var wordKey = regexp.MustCompile(`"([a-z]+\.[A-Za-z]+)"`)

var families = map[string][]string{
	"sheet.":   {"finder", "procedure", "theory", "reference", "bulletin", "jobs", "search", "models"},
	"outcome.": {"low", "within", "high", "none", "unstable"},
	"timing.":  {"low", "high", "none", "unstable"},
	"safety.":  {"danger", "warning", "caution", "notice"},
	"verdict.": {"within", "close", "outside"},
	"who.":     {"operator", "electrician"},
	"changed.": {"new", "changed", "value", "gone", "handbook", "model", "state", "setting", "hazard", "term", "circuit"},
	"end.":     {"handOverText", "notReproducedText", "repairedText"},
}

// The words of the page are those that templates, scripts, this package and the one above it use.
func TestWordsAreUsed(t *testing.T) {
	used := map[string]bool{}
	for family, names := range families {
		for _, n := range names {
			used[family+n] = true
		}
	}
	for _, pattern := range []string{"*.go", "../*.go", "../desk/*.go", "../../theme/*.go", "../../theme/templates/*.html", "../../theme/script/*.ts", "../../theme/desk/*"} {
		names, err := filepath.Glob(pattern)
		if err != nil || names == nil {
			t.Fatal(pattern, err)
		}
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			for _, m := range wordKey.FindAllSubmatch(text, -1) {
				used[string(m[1])] = true
			}
			for _, m := range regexp.MustCompile(`\bword\.(\w+\.\w+)`).FindAllSubmatch(text, -1) {
				used[string(m[1])] = true
			}
		}
	}
	text, err := os.ReadFile("../../theme/messages/en/page.json")
	if err != nil {
		t.Fatal(err)
	}
	var words map[string]string
	if err := json.Unmarshal(text, &words); err != nil {
		t.Fatal(err)
	}
	for key := range words {
		if !used[key] {
			t.Errorf("%s is used nowhere", key)
		}
	}
	groups := map[string]bool{}
	for key := range words {
		group, _, _ := strings.Cut(key, ".")
		groups[group] = true
	}
	for key := range used {
		group, _, _ := strings.Cut(key, ".")
		if groups[group] && words[key] == "" && !strings.HasSuffix(key, ".html") && !strings.HasSuffix(key, ".css") && !strings.HasSuffix(key, ".unit") {
			t.Errorf("%s has no text", key)
		}
	}
}

func TestNewNeedsAHandbookAndATheme(t *testing.T) {
	if _, err := New(nil, &theme.Theme{}, nil); err == nil {
		t.Error("no handbook was accepted")
	}
	if _, err := New(&handbook.Handbook{}, nil, nil); err == nil {
		t.Error("no theme was accepted")
	}
}

// What HTML may not hold (HTML, 13.2.3.5) is no part of a page.
func TestBlank(t *testing.T) {
	for text, want := range map[string]string{
		"a\x00\x08\x1f\x7f\tb\r\n\f":                               "a    \tb\r\n\f",
		"\u0080\u009f\u00a0":                                       "    \u00a0",
		"\ufffe\uffff\ufdd0\ufdef":                                 "\ufffd\ufffd\ufffd\ufffd",
		"\U0001fffe.\U0010ffff.":                                   "\ufffd .\ufffd .",
		"\ufeff\ufffd\ufdcf\ufdf0\U0001f600\U0001fffd\uff0d\u4e00": "\ufeff\ufffd\ufdcf\ufdf0\U0001f600\U0001fffd\uff0d\u4e00",
	} {
		html := []byte(text)
		if blank(html); string(html) != want {
			t.Errorf("%q becomes %q, want %q", text, html, want)
		}
	}
}
