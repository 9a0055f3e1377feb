package handbook

import "testing"

const svgHead = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">`

func TestUnsafeSVG(t *testing.T) {
	for _, c := range []struct{ body, what string }{
		{`<path d="M0 0"/><use href="#a"/><style>.a{fill:url(#g)}</style><text style="font-size:2px">on</text>`, ""},
		{`<image href="data:image/png;base64,AAAA"/><a xlink:href="#x"/>`, ""},
		{`<linearGradient id="g"/><rect fill="url(#g)" clip-path='url("#c")'/>`, ""},
		{`<metadata><d:x xmlns:d="urn:d">y</d:x></metadata><!-- <script> -->`, ""},
		{`<script>x</script>`, "an element `script`"},
		{`<SCRIPT/>`, "an element `SCRIPT`"},
		{`<s:script xmlns:s="http://www.w3.org/2000/svg"/>`, "an element `script`"},
		{`<foreignObject/>`, "an element `foreignObject`"},
		{`<animate attributeName="href" to="javascript:x"/>`, "an element `animate`"},
		{`<animateTransform/>`, "an element `animateTransform`"},
		{`<animateMotion/>`, "an element `animateMotion`"},
		{`<set attributeName="onclick" to="x"/>`, "an element `set`"},
		{`<h:iframe xmlns:h="http://www.w3.org/1999/xhtml"/>`, "an element `iframe`"},
		{`<h:img xmlns:h="http://www.w3.org/1999/xhtml" src="x.png"/>`, "an element `img`"},
		{`<h:link xmlns:h="http://www.w3.org/1999/xhtml" rel="stylesheet" href="#"/>`, "an element `link`"},
		{`<h:meta xmlns:h="http://www.w3.org/1999/xhtml" http-equiv="refresh"/>`, "an element `meta`"},
		{`<h:form xmlns:h="http://www.w3.org/1999/xhtml" action="http://example.com/"/>`, "an element `form`"},
		{`<g onload="x"/>`, "an event attribute `onload`"},
		{`<g OnClick="x"/>`, "an event attribute `OnClick`"},
		{`<a href="javascript:x"/>`, "a reference to another file"},
		{`<a href=" java&#10;script:x"/>`, "a reference to another file"},
		{`<a xlink:href="&#106;avascript:x"/>`, "a reference to another file"},
		{`<use href="other.svg#a"/>`, "a reference to another file"},
		{`<image href="data:image/svg+xml;base64,AAAA"/>`, "a reference to another file"},
		{`<image href="data:image/png,x/../svg+xml"/>`, ""},
		{`<image href="http://example.com/x.png"/>`, "a reference to another file"},
		{`<rect fill="url(http://example.com/#a)"/>`, "a reference to another file"},
		{`<rect fill="URL( 'http://example.com/#a' )"/>`, "a reference to another file"},
		{`<rect style="fill:u\72l(x)"/>`, "a reference to another file"},
		{`<rect style="background:image-set('x.png' 1x)"/>`, "a reference to another file"},
		{`<style>@import "x.css";</style>`, "a style that takes another file"},
		{`<style><![CDATA[@IMPORT url(x)]]></style>`, "a style that takes another file"},
		{`<style>a{}<!-- --> .b{fill:url(x.svg)}</style>`, "a style that takes another file"},
		{`<style>a{}<g/>.b{fill:url(x.svg)}</style>`, "a style that takes another file"},
		{`<style>@font-face{src:url(data:font/woff;base64,AA)}</style>`, "a style that takes another file"},
		{`<g xml:base="http://example.com/"/>`, "a base of its own"},
		{`<?xml-stylesheet href="x.css"?>`, "a style sheet of its own"},
		{`<g>`, "no whole SVG: it cannot be read"},
		{`<g a=b/>`, "no whole SVG: it cannot be read"},
		{`&x;`, "no whole SVG: it cannot be read"},
	} {
		if what, line := unsafeSVG([]byte(svgHead + c.body + "</svg>")); what != c.what || (line > 0) != (what != "") {
			t.Errorf("%s: %q in line %d, want %q", c.body, what, line, c.what)
		}
	}
	for text, want := range map[string]string{
		"":                                    "no SVG element at its root",
		"GIF89a":                              "no SVG element at its root",
		"<html/>":                             "no SVG element at its root",
		"<!DOCTYPE svg>" + svgHead + "</svg>": "",
		"<!DOCTYPE svg [<!ENTITY a \"b\">]>" + svgHead + "</svg>":                                 "definitions of its own",
		"<!DOCTYPE svg [<!ATTLIST g onload CDATA \"x\">]>" + svgHead + "<g/></svg>":               "definitions of its own",
		"<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>" + svgHead + "</svg>":                    "no whole SVG: it cannot be read",
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- x -->\n" + svgHead + "\n<g/>\n</svg>\n": "",
	} {
		if what, _ := unsafeSVG([]byte(text)); what != want {
			t.Errorf("%q: %q, want %q", text, what, want)
		}
	}
}
