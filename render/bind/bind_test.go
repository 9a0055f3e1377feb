package bind

import (
	"bytes"
	"strings"
	"testing"
)

func TestAddress(t *testing.T) {
	for _, c := range []struct{ page, id, want string }{
		{"index.html", "", "index.html"},
		{"en/pump.html", "seal", "en/pump.html:seal"},
		{"es/a b/ñ.html", "x:y", "es/a%20b/%C3%B1.html:x%3Ay"},
		// What encodeURIComponent leaves as it is (ECMA-262, 19.2.6.4).
		{"a-_.!~*'().html", "1", "a-_.!~*'().html:1"},
		{"100%.html", "?#&", "100%25.html:%3F%23%26"},
	} {
		if got := address(c.page, c.id); got != c.want {
			t.Errorf("address(%q, %q) = %q, want %q", c.page, c.id, got, c.want)
		}
	}
}

func TestFollow(t *testing.T) {
	for _, c := range []struct {
		href string
		to   place
		ok   bool
	}{
		{"#seal", place{"en/a/pump.html", "", "seal"}, true},
		{"", place{"en/a/pump.html", "", ""}, true},
		{"../b/wire.html#x", place{"en/b/wire.html", "", "x"}, true},
		{"../../index.html", place{"index.html", "", ""}, true},
		{"pump.html?practice=2654", place{"en/a/pump.html", "practice=2654", ""}, true},
		{"a%20b.html#%C3%B1", place{"en/a/a b.html", "", "ñ"}, true},
		{"https://example.org/pump.html", place{}, false},
		{"mailto:a@example.org", place{}, false},
		{"//example.org/pump.html", place{}, false},
		{"/pump.html", place{}, false},
		{"%zz", place{}, false},
	} {
		if to, ok := follow("en/a/pump.html", c.href); to != c.to || ok != c.ok {
			t.Errorf("follow(%q) = %+v, %t, want %+v, %t", c.href, to, ok, c.to, c.ok)
		}
	}
}

// pageOf is a page as the renderer makes them, with a body of its own.
func pageOf(title, main string) []byte {
	return []byte(`<!DOCTYPE html><html lang="en" dir="ltr"><head><title>` + title + `</title>
<style>a{}</style><script defer src="assets/page-en.js"></script></head>
<body data-page="` + title + `"><a class="skip" href="#_sheet">Skip</a><nav class="top" aria-label="Book"><a href="index.html">Home</a></nav>
<main id="_sheet"><header class="head"><h1>` + title + `</h1></header><p class="script-note">Script.</p>` + main + `</main><footer class="foot">Foot</footer></body></html>`)
}

func TestBook(t *testing.T) {
	svg := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"/>`)
	b := &Book{
		Title: "A & B", About: []string{"All <of> it."}, Missing: "not here",
		Pages: []Page{
			{Path: "index.html", HTML: pageOf("Finder", `<a href="pump.html?practice=7#seal">Pump</a> <a href="valve.html">Valve</a> <a href="gone.html">Gone</a>`)},
			{Path: "pump.html", HTML: pageOf("Pump", `<h2 id="seal">Seal</h2><label for="f">F</label><input id="f" disabled>
<img src="p.svg" alt="A seal" width="4" height="3" class="dark"><img src="p.svg" alt="" width="4" height="3"><img src="q.png" alt="Q">
<svg viewBox="0 0 1 1"><a href="gone.html"><text>Gone</text></a></svg><a href="https://example.org/">Out</a><script type="application/wasm">AGFz</script><script type="application/json" id="d">{"a":1}</script>`), Texts: "texts.js", Unprinted: true},
			{Path: "valve.html", HTML: pageOf(`Valve &quot;\&lt;/style&gt; ñ`, `<script type="application/json" id="d">{"a":2}</script><script type="application/wasm">AGFz</script>`)},
		},
		Files: map[string][]byte{
			"assets/page-en.js": []byte(`f("</script><!--")`),
			"assets/job.css":    []byte("a{}"),
			"texts.js":          []byte("self.take&&take(\"pump.html\",[\"a<b\"])\n"),
			"p.svg":             svg, "q.png": []byte("png"),
		},
		Style: []byte("b{}"), Script: []byte("g()"),
	}
	out, err := b.HTML()
	if err != nil {
		t.Fatal(err)
	}
	text := string(out)
	if !strings.Contains(text[:500], Mark) {
		t.Error("the mark does not stand near the beginning")
	}
	for _, want := range []string{
		`<html lang="en" dir="ltr">`, "<title>A &amp; B</title>", `<p class="about">All &lt;of&gt; it.</p>`,
		`<section class="page" id="index.html" data-title="Finder" data-scripts="assets/page-en.js" data-page="Finder">`,
		`<section class="page unprinted" id="pump.html"`, `<section class="page p1" id="valve.html"`,
		`<style>b{}</style>` + "\n" + `<style>.p1{page:p1}@page p1{@top-left{content:"1 · Valve \22 \5c \3c /style> ñ";font:8pt sans-serif;vertical-align:bottom}}.book>.foot{page:p1}` + contents + `</style>`,
		`<a href="#valve.html" data-chapter="1">Valve</a>`,
		`<a href="#pump.html:seal" data-query="?practice=7">Pump</a>`,
		`<span class="elsewhere">Gone <small>(not here)</small></span>`, `<g><text>Gone</text></g>`,
		`<h2 id="pump.html:seal">`, `<label for="pump.html:f">`, `<a href="https://example.org/">`,
		`<svg class="picture dark" width="4" height="3" viewBox="0 0 4 3" role="img" aria-label="A seal"><use href="#picture-1"></use></svg>`,
		`<svg class="picture" width="4" height="3" viewBox="0 0 4 3" aria-hidden="true"><use href="#picture-1"></use></svg>`,
		`<img src="data:image/png;base64,cG5n" alt="Q"/>`,
		`<script type="text/plain" data-file="assets/page-en.js">f("<\/script><\!--")</script>`,
		`<script type="application/json" data-file="texts.js" data-call="take">["pump.html",["a\u003cb"]]</script>`,
		`<p class="script-note" hidden="">`,
		`href="data:image/svg+xml,%3Csvg%20xmlns='http://www.w3.org/2000/svg'%20viewBox='0,0,4,3'/%3E"`,
		`<script type="application/wasm" data-no="0">AGFz</script>` + "\n" + `<script type="application/json" data-no="1">{"a":1}</script>` + "\n" + `<script type="application/json" data-no="2">{"a":2}</script>`,
		`<script type="application/wasm" data-of="0"></script><script type="application/json" id="pump.html:d" data-of="1"></script>`,
		`<script type="application/json" id="valve.html:d" data-of="2"></script><script type="application/wasm" data-of="0"></script>`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("there is no %s in\n%s", want, text)
		}
	}
	for what, want := range map[string]int{"data:image/svg+xml": 1, "<main": 1, "<nav": 0, "sha256-": 6, `class="skip"`: 1, `class="script-note"`: 3, "AGFz": 1} {
		if got := strings.Count(text, what); got != want {
			t.Errorf("%d times %s, want %d in\n%s", got, what, want, text)
		}
	}
}

// A page's title stands at the head of its sheets where the handbook's begins: on the right of what is written from right to left.
func TestHeadOfSheets(t *testing.T) {
	for dir, want := range map[string]string{"ltr": "{@top-left{", "rtl": "{@top-right{"} {
		page := func(name string) Page {
			return Page{Path: name, HTML: bytes.Replace(pageOf(name, ""), []byte(`dir="ltr"`), []byte(`dir="`+dir+`"`), 1)}
		}
		b := &Book{Pages: []Page{page("index.html"), page("a.html")}, Files: map[string][]byte{"assets/page-en.js": nil}}
		if got, err := b.HTML(); err != nil || !bytes.Contains(got, []byte(want)) {
			t.Errorf("%s: there is no %s, %v, in\n%s", dir, want, err, got)
		}
	}
}

func TestNamed(t *testing.T) {
	got, err := Named("index.html", pageOf("Finder", `<a href="b.html#x">B</a><a href="a.html">A</a><a href="b.html">B</a><a href="https://example.org/">Out</a>`))
	if err != nil || strings.Join(got, " ") != "b.html a.html" {
		t.Errorf("%q, %v", got, err)
	}
}

// TestPhotograph: the file carries of a photograph the narrowest alone, once for all places that show
// it, and the numbers on it as a part of the picture.
func TestPhotograph(t *testing.T) {
	const photo = `<picture><source type="image/webp" srcset="p/a%2Cb.jpg.720.webp 720w, p/a%2Cb.jpg.1440.webp 1440w" sizes="720px"><img src="p/a,b.jpg" alt="Pump" width="720" height="540"></picture>`
	b := &Book{
		Title: "A",
		Pages: []Page{{Path: "index.html", HTML: pageOf("A", `<p><a class="large" href="p/a,b.jpg">`+photo+`</a></p>`+
			`<p><span class="marked">`+photo+`<svg class="marks" viewBox="0 0 360 270"><circle r="11"/></svg></span></p>`)}},
		Files: map[string][]byte{"p/a,b.jpg": []byte("JPEG"), "p/a,b.jpg.720.webp": []byte("narrow"), "p/a,b.jpg.1440.webp": []byte("wide")},
	}
	text, err := b.HTML()
	if err != nil {
		t.Fatal(err)
	}
	const shown = `<svg class="picture" width="720" height="540" viewBox="0 0 720 540" role="img" aria-label="Pump"><use href="#picture-1"></use>`
	for part, times := range map[string]int{
		`<image id="picture-1" width="720" height="540" href="data:image/webp;base64,bmFycm93"/>`:                                1, // "narrow" (RFC 4648, 4)
		`<span class="large">` + shown + `</svg></span>`:                                                                         1,
		`<span class="marked">` + shown + `<svg class="marks" viewBox="0 0 360 270"><circle r="11"></circle></svg></svg></span>`: 1,
		"SlBFRw": 0, "d2lkZQ": 0, "<picture": 0, "srcset": 0, // "JPEG", "wide"
	} {
		if n := strings.Count(string(text), part); n != times {
			t.Errorf("%d times %s, want %d\n%s", n, part, times, text)
		}
	}
}
