package bind

import (
	"fmt"
	"strings"

	"golang.org/x/net/html"

	pictures "benchleaf/render/picture"
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
		set(n, "src", pictures.Enclose(name, data))
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
		fmt.Fprintf(&b, `<image id="%s" width="%s" height="%s" href="%s"/>`+"\n", html.EscapeString(p.id), p.width, p.height, pictures.Enclose(name, p.data))
	}
	b.WriteString("</defs></svg>\n")
	return b.String()
}
