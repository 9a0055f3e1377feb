package bind

import (
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// element returns a new element with attributes, keys and values in turn.
func element(a atom.Atom, attributes ...string) *html.Node {
	n := &html.Node{Type: html.ElementNode, DataAtom: a, Data: a.String()}
	for i := 0; i < len(attributes); i += 2 {
		set(n, attributes[i], attributes[i+1])
	}
	return n
}

// find returns the first element of a kind.
func find(doc *html.Node, a atom.Atom) *html.Node {
	for n := range doc.Descendants() {
		if n.DataAtom == a && n.Type == html.ElementNode {
			return n
		}
	}
	return nil // a parsed document has head and body
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func set(n *html.Node, key, value string) {
	for i := range n.Attr {
		if n.Attr[i].Key == key {
			n.Attr[i].Val = value
			return
		}
	}
	n.Attr = append(n.Attr, html.Attribute{Key: key, Val: value})
}

func remove(n *html.Node, key string) {
	n.Attr = slices.DeleteFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

func hasClass(n *html.Node, class string) bool {
	return slices.Contains(strings.Fields(attribute(n, "class")), class)
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}
