package handbook

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
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
	}
}

// unsafeSVG returns what makes an SVG unfit to be shown on its own page, where
// no content policy guards it: script, event attributes, foreign objects, and
// references to anything outside the file. It returns "" for a safe one.
func unsafeSVG(data []byte) (what string, line int) {
	d := xml.NewDecoder(bytes.NewReader(data))
	inStyle := false
	for {
		token, err := d.Token()
		line, _ = d.InputPos()
		switch {
		case errors.Is(err, io.EOF):
			return "", 0
		case err != nil:
			return "no whole SVG: it cannot be read", line
		}
		switch t := token.(type) {
		case xml.StartElement:
			element := strings.ToLower(t.Name.Local)
			switch element {
			case "script", "foreignobject", "iframe", "embed", "object", "handler", "set", "animate":
				return "an element `" + t.Name.Local + "`", line
			}
			inStyle = element == "style"
			for _, a := range t.Attr {
				name, value := strings.ToLower(a.Name.Local), strings.ToLower(strings.TrimSpace(a.Value))
				switch {
				case strings.HasPrefix(name, "on"):
					return "an event attribute `" + a.Name.Local + "`", line
				case name == "href" || name == "src":
					if !strings.HasPrefix(value, "#") && !strings.HasPrefix(value, "data:image/png") && !strings.HasPrefix(value, "data:image/jpeg") {
						return "a reference to another file", line
					}
				case outwardStyle(value):
					return "a reference to another file", line
				}
			}
		case xml.EndElement:
			inStyle = false
		case xml.CharData:
			if inStyle && outwardStyle(strings.ToLower(string(t))) {
				return "a style that takes another file", line
			}
		case xml.ProcInst:
			if t.Target == "xml-stylesheet" {
				return "a style sheet of its own", line
			}
		case xml.Directive:
			if bytes.Contains(bytes.ToUpper(t), []byte("<!ENTITY")) || bytes.Contains(bytes.ToUpper(t), []byte("ENTITY ")) {
				return "an entity definition", line
			}
		}
	}
}

// outwardStyle tells whether a style leads out of the file.
func outwardStyle(css string) bool {
	if strings.Contains(css, "@import") || strings.Contains(css, "javascript:") || strings.Contains(css, `\`) {
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
