package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const svgHead = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9">`

// TestClean holds what of a drawing stays, and what an author is told that it
// loses. The numbers are those of the vectors for SVG in the HTML5 Security
// Cheatsheet (html5sec.org, M. Heiderich and others), some of which live on in
// other collections; the others are this project's.
func TestClean(t *testing.T) {
	const element, outside, css = "an element `%`", "a reference to another file", "a style that takes another file"
	named := func(name string) string { return strings.ReplaceAll(element, "%", name) }
	event := func(name string) string { return "an event attribute `" + name + "`" }
	for _, c := range []struct{ body, kept, taken string }{
		// What draws stays as it is.
		{`<path d="M0 0"/><use href="#a"/><style>.a{fill:url(#g)}</style><text style="font-size:2px">on</text>`, "=", ""},
		{`<linearGradient id="g"/><rect fill="url(#g)" clip-path="url('#c')"/>`, "=", ""},
		{`<title>A &amp; B &lt; C</title><text x="1 2&#10;3" aria-label="a (b), url(c)">T<tspan>u</tspan></text>`, "=", ""},
		{`<switch><text systemLanguage="de">Öl</text><text>Oil</text></switch>`, "=", ""},
		{`<use xlink:href="#a"/><text xml:space="preserve"> a  b </text>`, "=", ""},
		// What says nothing to a reader goes without a word.
		{`<metadata><d:x xmlns:d="urn:d">y</d:x></metadata><!-- <script> --><g d:id="1" xmlns:d="urn:d"/>`, `<g/>`, ""},
		{`<![CDATA[a<b]]>`, `a&lt;b`, ""},
		// Script, and what is no drawing.
		{`<script>alert(1)</script>`, "", named("script")},                   // 47
		{`<SCRIPT/><Script/>`, "", named("SCRIPT") + ", " + named("Script")}, // XML tells them apart; a browser may not
		{`<s:script xmlns:s="http://www.w3.org/2000/svg">x</s:script>`, "", named("script")},
		{`<h:script xmlns:h="http://www.w3.org/1999/xhtml">x</h:script>`, "", named("script")},
		{`<foreignObject xlink:href="javascript:alert(1)"/>`, "", named("foreignObject")}, // 88
		{`<foreignObject><g/><text>a</text></foreignObject><g/>`, "<g/>", named("foreignObject")},
		{`<h:iframe xmlns:h="http://www.w3.org/1999/xhtml" src="javascript:alert(1)"/>`, "", named("iframe")},
		{`<iframe xmlns="http://www.w3.org/1999/xhtml" srcdoc="&lt;script&gt;alert(1)&lt;/script&gt;"/>`, "", named("iframe")},
		{`<h:form xmlns:h="http://www.w3.org/1999/xhtml" action="https://example.com/"/>`, "", named("form")},
		{`<handler xmlns:ev="http://www.w3.org/2001/xml-events" ev:event="load">alert(1)</handler>`, "", named("handler")},                          // 94
		{`<x xmlns="http://www.w3.org/2001/xml-events" event="load" handler="data:image/svg+xml,x#bar"/>`, "", ""},                                  // 104
		{`<listener event="load" handler="#y" xmlns="http://www.w3.org/2001/xml-events"/><handler id="y">alert(1)</handler>`, "", named("handler")}, // 127
		{`<x:stylesheet xmlns:x="http://www.w3.org/1999/XSL/Transform"><iframe xmlns="http://www.w3.org/1999/xhtml"/></x:stylesheet>`, "", ""},      // 125
		{`<audio/><video/><embed/><object/><discard/>`, "", strings.Join([]string{named("audio"), named("video"), named("embed"), named("object"), named("discard")}, ", ")},
		// Animation, by which an attribute changes after all was looked at.
		{`<animation xlink:href="javascript:alert(1)"/>`, "", named("animation")},                                                                                              // 88
		{`<set attributeName="onmouseover" to="alert(1)"/>`, "", named("set")},                                                                                                 // 89
		{`<animate attributeName="onunload" to="alert(1)"/>`, "", named("animate")},                                                                                            // 89
		{`<feImage><set attributeName="xlink:href" to="data:image/svg+xml,x"/></feImage>`, "", named("feImage")},                                                               // 95
		{`<a xlink:href="?"><circle r="4"/><animate attributeName="xlink:href" from="javascript:alert(1)"/></a>`, `<a><circle r="4"/></a>`, outside + ", " + named("animate")}, // 137
		{`<a y:href="#" xmlns:y="http://www.w3.org/1999/xlink"><animate attributeName="y:href" values="javascript:alert(1)"/></a>`, `<a xlink:href="#"/>`, named("animate")},   // 137
		{`<animateTransform/><animateMotion/>`, "", named("animateTransform") + ", " + named("animateMotion")},
		// Events.
		{`<g onload="javascript:alert(1)"/>`, "<g/>", event("onload")}, // 11, 65
		{`<g OnClick="x" ONfocus="y"/>`, "<g/>", event("OnClick") + ", " + event("ONfocus")},
		// Links and files.
		{`<a xlink:href="javascript:alert(1)"><rect/></a>`, "<a><rect/></a>", outside}, // 87
		{`<a href=" java&#10;script:x"/>`, "<a/>", outside},
		{`<a xlink:href="&#106;avascript:x"/>`, "<a/>", outside},
		{`<a href="https://example.com/" target="_blank" ping="https://example.com/p"/>`, "<a/>", outside},
		{`<use xlink:href="data:application/xml;base64,AAAA#test"/>`, "<use/>", outside}, // 88
		{`<use href="other.svg#a"/>`, "<use/>", outside},
		{`<image xlink:href="data:image/svg+xml,%3Csvg onload='alert(1)'/%3E"/>`, "<image/>", "an image that cannot be read"}, // 88
		{`<image href="data:image/png;base64,AAAA"/>`, "<image/>", "an image that cannot be read"},
		{`<image href="https://example.com/x.png"/>`, "<image/>", outside},
		{`<image src="//example.com/x.png"/>`, "<image/>", outside},
		{`<g xml:base="https://example.com/"/>`, "<g/>", "a base of its own"},
		// Styles.
		{`<rect fill="url(https://example.com/#a)"/>`, "<rect/>", outside},                                                               // 109
		{`<rect clip-path="url(test3.svg#a)"/>`, "<rect/>", outside},                                                                     // 109
		{`<rect style="clip-path:url(test3.svg#a);fill:url(#b);stroke:url(#f);"/>`, `<rect style="fill:url(#b);stroke:url(#f);"/>`, css}, // 109
		{`<path style="marker-start:url(test4.svg#a)"/>`, "<path/>", css},                                                                // 110
		{`<image style='filter:url("data:image/svg+xml;charset=utf-8;base64, AAAA")'/>`, "<image/>", css},                                // 129
		{`<rect style="background-image:\55rl(https://example.com/x.png)"/>`, "<rect/>", css},
		{`<rect style="background:image-set('x.png' 1x);fill:red"/>`, `<rect style="fill:red"/>`, css},
		{`<style>@import "https://example.com/x.css";.a{fill:red}</style>`, "<style>.a{fill:red}</style>", css},
		{`<style><![CDATA[@IMPORT url(x);]]></style>`, "<style/>", css},
		{`<style>@im/**/port "x"; .a{fill:url(/**/x)}</style>`, "<style>@im port \"x\"; .a{}</style>", css},
		{`<style>.a{}<g/>.b{fill:url(x.svg)}</style>`, "<style>.a{}.b{}</style>", css},
		{`<style>.a{fill:red;background:url(a;b{c}d)}.c{fill:blue}</style>`, "<style>.a{fill:red;}.c{fill:blue}</style>", css},
		{`<style>@font-face{font-family:a;src:url(data:font/woff;base64,AA);}</style>`, "<style>@font-face{font-family:a;}</style>", css},
		{`<style>@document url(https://example.com/){.a{fill:red}}</style>`, "<style>{.a{fill:red}}</style>", css},
		{`<style>.a{content:"}";fill:u\72l(x)}</style>`, `<style>.a{content:"}";}</style>`, css},
	} {
		kept, info, taken, err := Clean([]byte(svgHead + c.body + "</svg>"))
		if err != nil {
			t.Errorf("%s: %v", c.body, err)
			continue
		}
		want := c.kept
		if want == "=" {
			want = c.body
		}
		text := strings.TrimPrefix(strings.TrimSuffix(string(kept), "</svg>\n"), svgHead)
		if want == "" {
			text = strings.Replace(text, strings.TrimSuffix(svgHead, ">")+"/>\n", "", 1)
		}
		if text != want {
			t.Errorf("%s\nkeeps %s\nwant  %s", c.body, text, want)
		}
		var what []string
		for _, x := range taken {
			what = append(what, x.What)
			if x.Line < 1 {
				t.Errorf("%s: line %d", c.body, x.Line)
			}
		}
		if got := strings.Join(what, ", "); got != c.taken {
			t.Errorf("%s\nloses %s\nwant  %s", c.body, got, c.taken)
		}
		if info.Width != 9 || info.Height != 9 {
			t.Errorf("%s: %d×%d", c.body, info.Width, info.Height)
		}
		acts(t, kept)
	}
}

// acts looks at a cleaned drawing with other eyes: whatever its elements and
// attributes are, none of them can run a script or lead out of the file.
func acts(t *testing.T, data []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	style := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Errorf("%s: %v", data, err)
			return
		}
		switch x := token.(type) {
		case xml.StartElement:
			style = x.Name.Local == "style"
			if x.Name.Space != svgSpace || slices.Contains([]string{"script", "foreignobject", "set", "handler", "feimage", "iframe"}, strings.ToLower(x.Name.Local)) ||
				strings.HasPrefix(strings.ToLower(x.Name.Local), "anim") {
				t.Errorf("%s: an element %v", data, x.Name)
			}
			for _, a := range x.Attr {
				name, value := strings.ToLower(a.Name.Local), strings.ToLower(a.Value)
				if strings.HasPrefix(name, "on") || name == "base" {
					t.Errorf("%s: an attribute %v", data, a.Name)
				}
				if (name == "href" || name == "src") && !strings.HasPrefix(value, "#") && !strings.HasPrefix(value, "data:image/png;base64,") &&
					!strings.HasPrefix(value, "data:image/jpeg;base64,") && !strings.HasPrefix(value, "data:image/jpg;base64,") && !strings.HasPrefix(value, "data:image/webp;base64,") {
					t.Errorf("%s: a link to %s", data, a.Value)
				}
				if !spoken(a.Name.Local) && leads(value) {
					t.Errorf("%s: a value %s", data, a.Value)
				}
			}
		case xml.EndElement:
			style = false
		case xml.CharData:
			if style && leads(strings.ToLower(string(x))) {
				t.Errorf("%s: a style %s", data, x)
			}
		case xml.Comment, xml.ProcInst, xml.Directive:
			t.Errorf("%s: %T", data, x)
		}
	}
}

// leads tells whether a text of CSS names a file.
func leads(css string) bool {
	for _, part := range strings.Split(css, "url(")[1:] {
		if strings.TrimLeft(part, ` "'`) == "" || strings.TrimLeft(part, ` "'`)[0] != '#' {
			return true
		}
	}
	return strings.Contains(css, "@import") || strings.Contains(css, "image-set") || strings.Contains(css, `\`)
}

// TestCleanFrame holds what stands around a drawing, and its size.
func TestCleanFrame(t *testing.T) {
	const head = `<svg xmlns="http://www.w3.org/2000/svg" `
	for _, c := range []struct{ text, kept, taken string }{
		{`<?xml version="1.0" encoding="UTF-8"?>` + "\n<!-- x -->\n" + `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">` +
			head + `viewBox="0,0 120.5 , 80"/>`, head + `viewBox="0,0 120.5 , 80"/>`, ""},
		{`<!DOCTYPE svg [<!ATTLIST g onload CDATA "x">]>` + head + `viewBox="0 0 1 1"><g/></svg>`, head + `viewBox="0 0 1 1"><g/></svg>`, "definitions of its own"},
		{`<?xml-stylesheet href="x.css"?>` + head + `viewBox="0 0 1 1"/>`, head + `viewBox="0 0 1 1"/>`, "a style sheet of its own"},
		// A file without a namespace shows nowhere; a program that wrote it meant SVG.
		{`<svg viewBox="0 0 1 1"><g/></svg>`, head + `viewBox="0 0 1 1"><g/></svg>`, ""},
		// 1 in = 96 px = 25.4 mm (CSS Values and Units Module Level 3, 5.2).
		{head + `width="2in" height="25.4mm"/>`, head + `viewBox="0 0 192 96"/>`, ""},
		{head + `width="100%" height="50"/>`, head + `viewBox="0 0 300 150"/>`, ""},
		{head + `width="30" height="20px" viewBox="0 0 -1 5"/>`, head + `viewBox="0 0 30 20"/>`, ""},
		{head + `viewBox="0 0 1e999 5"/>`, head + `viewBox="0 0 300 150"/>`, ""},
	} {
		kept, info, taken, err := Clean([]byte(c.text))
		if err != nil || string(kept) != c.kept+"\n" {
			t.Errorf("%s\ngives %s, %v\nwant  %s", c.text, kept, err, c.kept)
		}
		if c.taken == "" && taken != nil || c.taken != "" && (len(taken) != 1 || taken[0].What != c.taken) {
			t.Errorf("%s: loses %v, want %s", c.text, taken, c.taken)
		}
		if info.Width < 1 || info.Height < 1 {
			t.Errorf("%s: %d×%d", c.text, info.Width, info.Height)
		}
	}
	for text, why := range map[string]string{
		"":                       "there is no SVG element at its root",
		"GIF89a":                 "there is no SVG element at its root",
		"<html/>":                "there is no SVG element at its root",
		head + "/><svg/>":        "there is no SVG element at its root",
		head + "><g></svg>":      "it is no whole SVG",
		head + "><g>":            "it is no whole SVG",
		head + "><g a=b/></svg>": "it is no whole SVG",
		head + ">&x;</svg>":      "it is no whole SVG",
		"<!DOCTYPE svg [<!ENTITY a \"b\"><!ENTITY c \"&a;&a;\">]>" + head + ">&c;</svg>": "it is no whole SVG",
		"<?xml version=\"1.0\" encoding=\"UTF-7\"?>" + head + "/>":                       "it is no whole SVG",
		"\xff\xfe<\x00s\x00v\x00g\x00":                                                   "it is no whole SVG",
	} {
		_, _, _, err := Clean([]byte(text))
		var unfit *Unfit
		if !errors.As(err, &unfit) || unfit.Why != why {
			t.Errorf("%q: %v, want %s", text, err, why)
		}
	}
}

// TestUses: parts that use one another multiply. 10 parts of 10 uses each are
// 10^10 of the last; 4 are 10,000, which a browser draws at once.
func TestUses(t *testing.T) {
	for parts, fits := range map[int]bool{4: true, 5: false, 10: false, 1000: false} {
		var b strings.Builder
		b.WriteString(svgHead + `<g id="p0"><path d="M0 0"/></g>`)
		for i := range parts {
			fmt.Fprintf(&b, `<g id="p%d">%s</g>`, i+1, strings.Repeat(fmt.Sprintf(`<use href="#p%d"/>`, i), 10))
		}
		b.WriteString("</svg>")
		_, _, _, err := Clean([]byte(b.String()))
		if (err == nil) != fits {
			t.Errorf("%d parts: %v", parts, err)
		}
	}
	// What uses itself is drawn by no browser.
	if _, _, _, err := Clean([]byte(svgHead + `<g id="a"><use href="#b"/><use href="#a"/></g><g id="b"><use href="#a"/></g></svg>`)); err != nil {
		t.Error(err)
	}
}

// TestCleanKeepsDrawings: the demo's drawings, which have nothing to lose, keep every
// byte.
func TestCleanKeepsDrawings(t *testing.T) {
	files, err := filepath.Glob("../../content/pictures/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("no drawings: %v", err)
	}
	translated, err := filepath.Glob("../../content/pictures/*/*.svg")
	if err != nil || len(translated) == 0 {
		t.Fatalf("no drawings in another language: %v", err)
	}
	for _, file := range slices.Concat(files, translated) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		kept, info, taken, err := Clean(data)
		if err != nil || len(taken) > 0 || !bytes.Equal(kept, data) || !info.Dark {
			t.Errorf("%s is changed; taken %v, %v", file, taken, err)
		}
	}
}

// TestDrawingsOfLanguages: a drawing of the demo in another language is that of the source language
// in all but its words.
func TestDrawingsOfLanguages(t *testing.T) {
	files, err := filepath.Glob("../../content/pictures/*/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("no drawings in another language: %v", err)
	}
	words := regexp.MustCompile(`<(?:title|desc|text)[^>]*>[^<]*</(?:title|desc|text)>\n?`)
	drawn := func(file string) string {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return words.ReplaceAllString(string(data), "")
	}
	for _, file := range files {
		if drawn(file) != drawn(filepath.Join("../../content/pictures", filepath.Base(file))) {
			t.Errorf("%s is not drawn as that of the source language", file)
		}
	}
}

// FuzzClean: whatever a drawing holds, what is kept can neither act nor lead out of
// the file, and cleaning it once more changes nothing.
func FuzzClean(f *testing.F) {
	f.Add(`<path d="M0 0"/><style>.a{fill:url(#g)}</style>`)
	f.Add(`<a xlink:href="javascript:x"><set attributeName="onload"/></a>`)
	f.Add(`<style>@import "x";.a{b:url(x);c:"}";/* */d:url(#e)}</style><g style="a:url('#b')" onload="x"/>`)
	f.Add(`<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">x</p></foreignObject><![CDATA[<script>]]>`)
	f.Add(`<foreignObject><p>0</p></foreignObject><![CDATA[]]>`)
	f.Fuzz(func(t *testing.T, body string) {
		for _, text := range []string{svgHead + body + "</svg>", body} {
			kept, _, _, err := Clean([]byte(text))
			if err != nil {
				continue
			}
			acts(t, kept)
			again, _, taken, err := Clean(kept)
			if err != nil || !bytes.Equal(kept, again) || len(taken) > 0 {
				t.Errorf("%q\ngives %q\nthen  %q, %v, %v", text, kept, again, taken, err)
			}
		}
	})
}
