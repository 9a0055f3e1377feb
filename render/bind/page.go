package bind

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"benchleaf/render/csstext"
)

// writer turns pages into sections.
type writer struct {
	*Book
	sections        bytes.Buffer
	heads           bytes.Buffer // a style: what each page has at the head of its sheets
	scripts, styles []string     // hashes for the content policy

	pages    map[string]bool // by path
	chapters map[string]int  // by path: the numbers of the pages behind the finder that are printed
	shown    map[string]*picture
	order    []string        // of the pictures
	held     map[string]bool // files that stand in the file already
	data     []datum         // of the pages

	lang, dir  string // of the first page; dir is "" where it is written from left to right
	skip, foot string // of the first page: the file has each once
	note       string // what the first page says of scripts
}

// naming are the attributes that name elements by their ids. The theme's script
// bound.ts knows the same.
var naming = map[string]bool{"for": true, "aria-labelledby": true, "aria-describedby": true, "aria-controls": true, "headers": true, "list": true}

// read tells the first script that a page is read to its end.
const read = "self.benchleafWhole&&benchleafWhole()"

// page writes a page.
func (w *writer) page(p Page, first bool) error {
	doc, err := html.Parse(bytes.NewReader(p.HTML))
	if err != nil {
		return err
	}
	section := element(atom.Section, "class", "page", "id", address(p.Path, ""))
	w.head(section, find(doc, atom.Head), p.Path)
	if first {
		whole := find(doc, atom.Html)
		w.lang, w.dir = attribute(whole, "lang"), attribute(whole, "dir")
	}
	body := find(doc, atom.Body)
	for _, a := range body.Attr {
		set(section, a.Key, a.Val)
	}
	switch {
	case p.Unprinted:
		set(section, "class", "page unprinted")
	case !first:
		set(section, "class", "page "+w.running(w.chapters[p.Path], textOf(find(body, atom.H1))))
	}
	w.walk(body, p.Path)
	for n := body.FirstChild; n != nil; {
		next := n.NextSibling
		body.RemoveChild(n)
		switch {
		case hasClass(n, "skip"):
			w.skip = keep(first, w.skip, n)
		case hasClass(n, "foot"):
			w.foot = keep(first, w.foot, n)
		default:
			section.AppendChild(n)
		}
		n = next
	}
	w.landmarks(section, first)
	if first {
		w.about(section)
	}
	if err := html.Render(&w.sections, section); err != nil {
		return err
	}
	w.sections.WriteString("<script>" + read + "</script>\n")
	if p.Texts != "" {
		w.held[p.Texts] = true
		w.sections.Write(w.file(p.Texts))
	}
	return nil
}

// running gives a page sheets of its own, at the head of which are its number and its title; the handbook's is on all of them. It returns
// the class of such a page.
func (w *writer) running(chapter int, title string) (class string) {
	class = fmt.Sprintf("p%d", chapter)
	side := "left" // where the handbook's begins, too
	if w.dir == "rtl" {
		side = "right"
	}
	head := csstext.String(fmt.Sprintf("%d · %s", chapter, title))
	fmt.Fprintf(&w.heads, ".%s{page:%[1]s}@page %[1]s{@top-%s{content:%s;font:8pt sans-serif;vertical-align:bottom}}", class, side, head)
	return class
}

// keep is what the file has once: the first page's.
func keep(first bool, known string, n *html.Node) string {
	if !first {
		return known
	}
	var b strings.Builder
	_ = html.Render(&b, n) // a builder takes everything
	return b.String()
}

// head keeps what a page's head says: its title, and the scripts in their order.
func (w *writer) head(section, head *html.Node, page string) {
	var scripts []string
	for n := range head.Descendants() {
		switch {
		case n.DataAtom == atom.Title:
			set(section, "data-title", n.FirstChild.Data)
		case n.DataAtom == atom.Script && attribute(n, "src") != "":
			if to, ok := follow(page, attribute(n, "src")); ok && w.Files[to.path] != nil {
				scripts = append(scripts, address(to.path, ""))
			}
		}
	}
	set(section, "data-scripts", strings.Join(scripts, " "))
}

// landmarks makes a page one of many: there is one main element in the file, and
// no navigation of each page. The theme's script bound.ts undoes it for the one
// that it shows.
func (w *writer) landmarks(section *html.Node, first bool) {
	for n := range section.Descendants() {
		switch {
		case n.DataAtom == atom.Main:
			n.Data, n.DataAtom = "div", atom.Div
			set(n, "class", strings.TrimSpace("leaf "+attribute(n, "class")))
		case n.DataAtom == atom.Nav && hasClass(n, "top"):
			n.Data, n.DataAtom = "div", atom.Div
			remove(n, "aria-label")
		case hasClass(n, "script-note"):
			// What is said of all pages is said once.
			text := textOf(n)
			if first {
				w.note = text
			} else if text == w.note {
				set(n, "hidden", "")
			}
		}
	}
}

// about says on the first page what is in the file.
func (w *writer) about(section *html.Node) {
	for n := range section.Descendants() {
		if !hasClass(n, "head") {
			continue
		}
		for _, text := range w.About {
			p := element(atom.P, "class", "about")
			p.AppendChild(&html.Node{Type: html.TextNode, Data: text})
			n.AppendChild(p)
		}
		return
	}
}

// walk turns ids, links and pictures of a page into those of the file.
func (w *writer) walk(body *html.Node, page string) {
	var nodes []*html.Node // first all of them: the walk changes some
	for n := range body.Descendants() {
		if n.Type == html.ElementNode {
			nodes = append(nodes, n)
		}
	}
	for _, n := range nodes {
		named := address
		if n.Namespace == "svg" {
			named = inSVG
		}
		for i, a := range n.Attr {
			switch {
			case a.Key == "id":
				n.Attr[i].Val = named(page, a.Val)
			case naming[a.Key]:
				ids := strings.Fields(a.Val)
				for k, id := range ids {
					ids[k] = named(page, id)
				}
				n.Attr[i].Val = strings.Join(ids, " ")
			}
		}
		switch n.Data {
		case "a":
			w.link(n, page)
		case "form":
			if to, ok := follow(page, attribute(n, "action")); ok && attribute(n, "action") != "" {
				set(n, "action", "#"+address(to.path, to.id))
			}
		case "script":
			w.takeData(n)
		case "picture":
			w.choose(n)
		case "img":
			if to, ok := follow(page, attribute(n, "src")); ok && w.Files[to.path] != nil {
				w.picture(n, to.path)
			}
		}
	}
}

// link turns a link to another page into one within the file, and says of one
// to what is not in it that it is not.
func (w *writer) link(n *html.Node, page string) {
	href := attribute(n, "href")
	to, ok := follow(page, href)
	switch {
	case href == "" || !ok:
	case w.pages[to.path]:
		set(n, "href", "#"+address(to.path, to.id))
		if to.query != "" {
			set(n, "data-query", "?"+strings.ReplaceAll(to.query, ":", "%3A"))
		}
		if chapter := w.chapters[to.path]; chapter > 0 && page == w.Pages[0].Path {
			set(n, "data-chapter", strconv.Itoa(chapter))
		}
	case n.Namespace == "svg":
		n.Data, n.Attr = "g", nil
	case attribute(n, "class") == "large":
		// The picture is in the file, and nowhere else; the theme's script opens it there.
		n.Data, n.DataAtom, n.Attr = "span", atom.Span, []html.Attribute{{Key: "class", Val: "large"}}
	default:
		n.Data, n.DataAtom = "span", atom.Span
		n.Attr = []html.Attribute{{Key: "class", Val: "elsewhere"}}
		small := element(atom.Small)
		small.AppendChild(&html.Node{Type: html.TextNode, Data: "(" + w.Missing + ")"})
		n.AppendChild(&html.Node{Type: html.TextNode, Data: " "})
		n.AppendChild(small)
	}
}
