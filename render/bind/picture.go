package bind

import (
	"encoding/base64"
	"fmt"
	"mime"
	"path"
	"strings"

	"golang.org/x/net/html"
)

// picture is a picture that pages show. It stands in the file once, and is used
// wherever it is shown.
type picture struct {
	id            string
	width, height string
	data          []byte
}

// picture puts the use of a picture in the place of an image. One whose size is
// not known cannot be scaled by its user, and is an image with the data in it.
func (w *writer) picture(n *html.Node, name string) {
	data := w.Files[name]
	width, height := attribute(n, "width"), attribute(n, "height")
	if width == "" || height == "" {
		set(n, "src", dataURL(name, data))
		return
	}
	p := w.shown[name]
	if p == nil {
		p = &picture{fmt.Sprintf("picture-%d", len(w.order)+1), width, height, data}
		w.shown[name] = p
		w.order = append(w.order, name)
	}
	class := strings.TrimSpace("picture " + attribute(n, "class"))
	alt := attribute(n, "alt")
	n.Data, n.DataAtom, n.Namespace = "svg", 0, "svg"
	n.Attr = []html.Attribute{{Key: "class", Val: class}, {Key: "width", Val: width}, {Key: "height", Val: height}, {Key: "viewBox", Val: "0 0 " + width + " " + height}}
	if alt == "" {
		n.Attr = append(n.Attr, html.Attribute{Key: "aria-hidden", Val: "true"})
	} else {
		n.Attr = append(n.Attr, html.Attribute{Key: "role", Val: "img"}, html.Attribute{Key: "aria-label", Val: alt})
	}
	n.AppendChild(&html.Node{Type: html.ElementNode, Data: "use", Namespace: "svg", Attr: []html.Attribute{{Key: "href", Val: "#" + p.id}}})
	if marks := n.NextSibling; marks != nil && hasClass(marks, "marks") {
		// The numbers on it are a part of it here.
		n.Parent.RemoveChild(marks)
		n.AppendChild(marks)
	}
}

// choose leaves of a photograph the first of the files that a browser chooses from, which
// is the narrowest: of each picture the file carries one.
func (w *writer) choose(n *html.Node) {
	source, img := n.FirstChild, n.LastChild
	if source == nil || source == img {
		return
	}
	first, _, _ := strings.Cut(attribute(source, "srcset"), " ")
	set(img, "src", first)
	n.RemoveChild(img)
	n.Parent.InsertBefore(img, n)
	n.Parent.RemoveChild(n)
}

// pictures are those that the pages use.
func (w *writer) pictures() string {
	if len(w.order) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(`<svg class="pictures" width="0" height="0" aria-hidden="true"><defs>` + "\n")
	for _, name := range w.order {
		p := w.shown[name]
		fmt.Fprintf(&b, `<image id="%s" width="%s" height="%s" href="%s"/>`+"\n", html.EscapeString(p.id), p.width, p.height, html.EscapeString(dataURL(name, p.data)))
	}
	b.WriteString("</defs></svg>\n")
	return b.String()
}

// dataURL has a picture in it. One that is text stays text, which packs to less than
// half of base64.
func dataURL(name string, data []byte) string {
	kind, _, _ := strings.Cut(mime.TypeByExtension(strings.ToLower(path.Ext(name))), ";")
	if kind != "image/svg+xml" {
		return "data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(data)
	}
	var b strings.Builder
	for _, c := range data {
		// What RFC 3986, 3.3 lets stand in a path, but for the apostrophe and the
		// ampersand, which HTML would write in its own way.
		if 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-._~!$()*+,;=:@/", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return "data:" + kind + "," + b.String()
}
