package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Taken is something that Clean left out of a drawing.
type Taken struct {
	What string
	Line int
}

// Namespaces of SVG files.
const (
	svgSpace   = "http://www.w3.org/2000/svg"
	htmlSpace  = "http://www.w3.org/1999/xhtml"
	xlinkSpace = "http://www.w3.org/1999/xlink"
	xmlSpace   = "http://www.w3.org/XML/1998/namespace"
)

// drawing are the elements that draw, group, name or fill. What is not among them
// runs script, holds markup of another kind, or changes attributes after the drawing
// was read. Metadata and what drawing programs note for themselves are in other
// namespaces, but for the element of that name.
// Source: Scalable Vector Graphics 2 (W3C Candidate Recommendation, 2018), appendix
// G; Filter Effects Module Level 1; CSS Masking Module Level 1.
var drawing = set(`a circle clipPath defs desc ellipse g image line linearGradient marker mask path pattern polygon
	polyline radialGradient rect stop style svg switch symbol text textPath title tspan use view filter feBlend feColorMatrix
	feComponentTransfer feComposite feConvolveMatrix feDiffuseLighting feDisplacementMap feDistantLight feDropShadow feFlood
	feFuncA feFuncB feFuncG feFuncR feGaussianBlur feMerge feMergeNode feMorphology feOffset fePointLight
	feSpecularLighting feSpotLight feTile feTurbulence`)

func set(names string) map[string]bool {
	s := map[string]bool{}
	for name := range strings.FieldsSeq(names) {
		s[name] = true
	}
	return s
}

// maxDepth bounds elements in one another, which a browser draws by calling itself.
const maxDepth = 200

// cleaner writes a drawing anew, from what a reader of XML made of it: a browser that
// reads oddities otherwise never sees them.
type cleaner struct {
	out     bytes.Buffer
	taken   []Taken
	line    int
	open    []string // names of the elements that it is in
	ids     []string // and the part that each stands in
	pending bool     // the last start tag has no end yet
	parts   map[string]*part
	linked  bool // the file may use names of XLink
	info    Info
	style   strings.Builder // of the style element that it is in
}

// Clean returns a drawing without script, event attributes, markup of another kind,
// animation, references to anything outside the file, definitions of its own,
// metadata and comments. A drawing shows in an image, where browsers run nothing; its
// file can be opened alone, where no content policy guards it.
func Clean(data []byte) ([]byte, Info, []Taken, error) {
	c := &cleaner{parts: map[string]*part{}, linked: bytes.Contains(data, []byte("xlink"))}
	d := xml.NewDecoder(bytes.NewReader(data))
	left := 0 // depth within an element that is left out
	rooted := false
	for {
		token, err := d.Token()
		c.line, _ = d.InputPos()
		if errors.Is(err, io.EOF) && rooted {
			break
		}
		if errors.Is(err, io.EOF) {
			return nil, Info{}, nil, &Unfit{"there is no SVG element at its root", c.line}
		}
		if err != nil {
			return nil, Info{}, nil, &Unfit{"it is no whole SVG", c.line}
		}
		switch t := token.(type) {
		case xml.StartElement:
			if t.Name.Space == "" {
				t.Name.Space = svgSpace // of a file without a namespace, which then has one
			}
			if len(c.open) == 0 && (rooted || t.Name.Local != "svg" || t.Name.Space != svgSpace) {
				return nil, Info{}, nil, &Unfit{"there is no SVG element at its root", c.line}
			}
			rooted = true
			if left > 0 || !c.takes(t.Name) {
				left++
				continue
			}
			if len(c.open) == maxDepth {
				return nil, Info{}, nil, &Unfit{fmt.Sprintf("it has more than %d elements in one another", maxDepth), c.line}
			}
			c.start(t)
		case xml.EndElement:
			if left > 0 {
				left--
				continue
			}
			c.end()
		case xml.CharData:
			if left == 0 && len(c.open) > 0 {
				c.text(string(t))
			}
		case xml.ProcInst:
			if t.Target == "xml-stylesheet" {
				c.take("a style sheet of its own")
			}
		case xml.Directive:
			if bytes.IndexByte(t, '[') >= 0 {
				c.take("definitions of its own")
			}
		}
	}
	if c.drawn("", map[string]int{}) > maxDrawn {
		return nil, Info{}, nil, &Unfit{Why: fmt.Sprintf("its parts use one another so often that more than %d would be drawn", maxDrawn)}
	}
	c.out.WriteByte('\n')
	c.info.Callouts = callouts(c.out.Bytes())
	return c.out.Bytes(), c.info, c.taken, nil
}

// take keeps in mind what was left out, the same once.
func (c *cleaner) take(what string) {
	if !slices.ContainsFunc(c.taken, func(t Taken) bool { return t.What == what }) {
		c.taken = append(c.taken, Taken{what, c.line})
	}
}

// takes tells whether an element stays. What drawing programs note goes without a
// word.
func (c *cleaner) takes(name xml.Name) bool {
	switch {
	case name.Space == svgSpace && drawing[name.Local]:
		// Text in a style would be read beside the elements in it.
		return len(c.open) == 0 || c.open[len(c.open)-1] != "style"
	case name.Space == svgSpace && name.Local == "metadata":
		return false
	case name.Space == svgSpace || name.Space == htmlSpace:
		c.take("an element `" + name.Local + "`")
	}
	return false
}

func (c *cleaner) start(t xml.StartElement) {
	c.finish()
	c.out.WriteString("<" + t.Name.Local)
	attributes, root := c.attributes(t), len(c.open) == 0
	c.count(t.Name.Local, attributes)
	if root {
		c.attribute("xmlns", svgSpace)
		if c.linked {
			c.attribute("xmlns:xlink", xlinkSpace)
		}
		attributes = c.size(attributes)
	}
	for _, a := range attributes {
		c.attribute(a.Name.Local, a.Value)
	}
	if c.open = append(c.open, t.Name.Local); t.Name.Local == "text" {
		c.info.Texts = append(c.info.Texts, "")
	}
	c.pending = true
}

func (c *cleaner) attribute(name, value string) {
	c.out.WriteString(" " + name + `="`)
	_, _ = inAttribute.WriteString(&c.out, value) // a buffer takes everything
	c.out.WriteByte('"')
}

var (
	inAttribute = strings.NewReplacer("&", "&amp;", "<", "&lt;", `"`, "&quot;", "\n", "&#10;", "\t", "&#9;", "\r", "&#13;")
	inText      = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\r", "&#13;")
)

// finish ends the last start tag.
func (c *cleaner) finish() {
	if c.pending {
		c.out.WriteByte('>')
		c.pending = false
	}
}

func (c *cleaner) text(s string) {
	if c.open[len(c.open)-1] == "style" {
		c.style.WriteString(s)
		return
	}
	if s = inText.Replace(s); s == "" { // an empty CDATA section
		return
	}
	c.finish()
	c.out.WriteString(s)
	if n := len(c.info.Texts); n > 0 && slices.Contains(c.open, "text") {
		c.info.Texts[n-1] += s
	}
}

func (c *cleaner) end() {
	name := c.open[len(c.open)-1]
	if name == "style" {
		css := c.clean(c.style.String(), "a style that takes another file")
		c.style.Reset()
		c.info.Dark = c.info.Dark || strings.Contains(css, "prefers-color-scheme")
		if css != "" {
			c.finish()
			_, _ = inText.WriteString(&c.out, css)
		}
	}
	c.open, c.ids = c.open[:len(c.open)-1], c.ids[:len(c.ids)-1]
	if c.pending {
		c.out.WriteString("/>")
		c.pending = false
		return
	}
	c.out.WriteString("</" + name + ">")
}

// attributes are those of an element that stay.
func (c *cleaner) attributes(t xml.StartElement) []xml.Attr {
	var list []xml.Attr
	has := map[string]bool{}
	for _, a := range t.Attr {
		name, value, ok := c.attributeOf(t.Name.Local, a)
		if ok && !has[name] {
			has[name] = true
			list = append(list, xml.Attr{Name: xml.Name{Local: name}, Value: value})
		}
	}
	return list
}

// attributeOf returns an attribute as it stays.
func (c *cleaner) attributeOf(element string, a xml.Attr) (name, value string, ok bool) {
	name, value = a.Name.Local, a.Value
	low := strings.ToLower(name)
	switch {
	case a.Name.Space == "xmlns" || a.Name.Space == "" && name == "xmlns":
		return "", "", false // the namespaces stand at the root
	case low == "base":
		c.take("a base of its own")
		return "", "", false
	case a.Name.Space == xmlSpace && (name == "space" || name == "lang"):
		return "xml:" + name, value, true
	case a.Name.Space != "" && a.Name.Space != xlinkSpace:
		return "", "", false
	case strings.HasPrefix(low, "on"):
		c.take("an event attribute `" + name + "`")
		return "", "", false
	case !plainName(name):
		return "", "", false
	case low == "href" || low == "src":
		value, ok = c.reference(element, value)
		if a.Name.Space == xlinkSpace {
			name = "xlink:" + name
		}
		return name, value, ok
	case a.Name.Space == xlinkSpace:
		return "", "", false // titles and roles of links
	case low == "ping" || low == "target" || low == "download":
		return "", "", false // of links that lead out
	case name == "style":
		value = c.clean(value, "a style that takes another file")
		return name, value, value != ""
	case outward(value) && !spoken(name):
		c.take("a reference to another file")
		return "", "", false
	}
	return name, value, true
}

// spoken tells whether an attribute holds words, or a name, in which nothing is looked up.
func spoken(name string) bool {
	return strings.HasPrefix(name, "aria-") || name == "id" || name == "class" || name == "lang"
}

// plainName tells whether a name is one of ASCII letters, figures and hyphens.
func plainName(name string) bool {
	for i := range len(name) {
		c := name[i] | 0x20
		if !('a' <= c && c <= 'z') && !(i > 0 && (name[i] == '-' || '0' <= name[i] && name[i] <= '9')) {
			return false
		}
	}
	return name != ""
}

// reference returns a reference as it stays: to a part of the drawing itself, or an image
// whose bytes stand in it, without what a camera wrote.
func (c *cleaner) reference(element, value string) (string, bool) {
	value = strings.TrimSpace(value)
	if strings.HasPrefix(value, "#") {
		return value, true
	}
	if element != "image" || !strings.HasPrefix(value, "data:") {
		c.take("a reference to another file")
		return "", false
	}
	inner, err := embedded(value)
	if err != nil {
		c.take("an image that cannot be read")
		return "", false
	}
	return inner, true
}
