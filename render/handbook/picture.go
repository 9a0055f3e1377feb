package handbook

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strconv"
	"strings"

	"benchleaf/render/remark"
)

// pictures checks the SVG files that pages show.
func (r *resolver) pictures() {
	for _, name := range r.book.Assets {
		if !strings.EqualFold(path.Ext(name), ".svg") {
			continue
		}
		place := remark.Place{File: name}
		data, err := r.tree.ReadAsset(name)
		if err != nil {
			r.remarks.Add(remark.FileUnreadable, place, err)
			continue
		}
		if what, line := unsafeSVG(data); what != "" {
			place.Line = line
			r.remarks.Add(remark.PictureUnsafe, place, what)
		}
		for _, c := range drawnCallouts(data) {
			if _, err := strconv.Atoi(c.text); err != nil {
				place.Line = c.line
				r.remarks.Add(remark.CalloutNumber, place, c.text)
			}
		}
	}
}

// unsafeSVG returns what makes an SVG unfit to be shown on its own page, where
// no content policy guards it: script, event attributes, foreign objects, and
// references to anything outside the file. It returns "" for a safe one.
func unsafeSVG(data []byte) (what string, line int) {
	d := xml.NewDecoder(bytes.NewReader(data))
	rooted := false
	depth, style := 0, 0 // style is the depth of the style element that it is in, or 0
	for {
		token, err := d.Token()
		line, _ = d.InputPos()
		switch {
		case errors.Is(err, io.EOF) && rooted:
			return "", 0
		case errors.Is(err, io.EOF):
			return "no SVG element at its root", line
		case err != nil:
			return "no whole SVG: it cannot be read", line
		}
		switch t := token.(type) {
		case xml.StartElement:
			element := strings.ToLower(t.Name.Local)
			switch depth++; {
			case depth == 1 && element != "svg":
				return "no SVG element at its root", line
			case contains(actingElements, element) || strings.HasPrefix(element, "animate") || t.Name.Space == htmlSpace:
				return "an element `" + t.Name.Local + "`", line
			case element == "style" && style == 0:
				style = depth
			}
			rooted = true
			for _, a := range t.Attr {
				name, value := strings.ToLower(a.Name.Local), strings.ToLower(strings.TrimSpace(a.Value))
				switch {
				case strings.HasPrefix(name, "on"):
					return "an event attribute `" + a.Name.Local + "`", line
				case name == "base":
					return "a base of its own", line
				case name == "href" || name == "src":
					if !strings.HasPrefix(value, "#") && !strings.HasPrefix(value, "data:image/png") && !strings.HasPrefix(value, "data:image/jpeg") {
						return "a reference to another file", line
					}
				case outwardStyle(value):
					return "a reference to another file", line
				}
			}
		case xml.EndElement:
			if depth == style {
				style = 0
			}
			depth--
		case xml.CharData:
			if style > 0 && outwardStyle(strings.ToLower(string(t))) {
				return "a style that takes another file", line
			}
		case xml.ProcInst:
			if t.Target == "xml-stylesheet" {
				return "a style sheet of its own", line
			}
		case xml.Directive:
			if bytes.IndexByte(t, '[') >= 0 {
				return "definitions of its own", line
			}
		}
	}
}

// actingElements run script, hold markup of another kind, or change attributes
// after the picture was checked.
var actingElements = []string{"script", "foreignobject", "iframe", "embed", "object", "handler", "set", "discard"}

const htmlSpace = "http://www.w3.org/1999/xhtml"

// outwardStyle tells whether a style leads out of the file.
func outwardStyle(css string) bool {
	if strings.Contains(css, "@import") || strings.Contains(css, "image-set(") || strings.Contains(css, "src(") || strings.Contains(css, "javascript:") || strings.Contains(css, `\`) {
		return true
	}
	for rest := css; ; {
		i := strings.Index(rest, "url(")
		if i < 0 {
			return false
		}
		rest = rest[i+len("url("):]
		if !strings.HasPrefix(strings.Trim(rest, ` "'`), "#") {
			return true
		}
	}
}
