package page

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/render/picture"
	"benchleaf/render/source"
)

// markdown writes a piece of Markdown; text is what the offsets of its nodes
// count in.
func (w *writer) markdown(n ast.Node, text []byte) {
	if n == nil {
		return
	}
	outer := w.text
	w.text = text
	walk := w.node
	if w.page != nil && w.page.Translation != nil && !w.quoting {
		walk = w.besideSource
	}
	_ = ast.Walk(n, walk) // it gives no errors
	w.text = outer
}

// node writes one node on entering and on leaving it, with the marks beside it.
func (w *writer) node(n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		w.line(n)
		w.beforeChanged(n)
	}
	status, err := w.element(n, entering)
	if !entering && w.changes.GoneBehind(n) {
		w.changeLine(compare.MarkGone, "gone")
	}
	return status, err
}

// element writes a node itself. Raw HTML is left out, and so are the children of nodes that
// nobody here knows.
func (w *writer) element(n ast.Node, entering bool) (ast.WalkStatus, error) {
	switch n := n.(type) {
	case *ast.Document:
	case *ast.TextBlock:
		if !entering && n.NextSibling() != nil && n.FirstChild() != nil {
			w.out.WriteByte('\n')
		}
	case *ast.Paragraph:
		if entering {
			w.called(w.callouts(n.NextSibling()), n.FirstChild())
			w.open("p", n)
		}
		w.tag(entering, "", "</p>\n")
	case *ast.Heading:
		return w.heading(n, entering), nil
	case *ast.Blockquote:
		w.tag(entering, "<blockquote>\n", "</blockquote>\n")
	case *ast.ThematicBreak:
		w.tag(entering, "<hr>\n", "")
	case *ast.List:
		w.list(n, entering)
	case *ast.ListItem:
		w.listItem(n, entering)
	case *ast.CodeBlock:
		if entering {
			w.listing("", lines(n, w.text))
		}
		return ast.WalkSkipChildren, nil
	case *ast.FencedCodeBlock:
		if entering {
			w.listing(string(n.Language(w.text)), lines(n, w.text))
		}
		return ast.WalkSkipChildren, nil
	case *source.Block:
		if entering {
			w.called(w.callouts(n.NextSibling()), n)
			w.block(n)
		}
		return ast.WalkSkipChildren, nil

	case *ast.Text:
		if entering {
			w.plain(n)
		}
	case *ast.String:
		if entering {
			html.DefaultWriter.Write(w.out, n.Value)
		}
	case *ast.Emphasis:
		if n.Level == 2 {
			w.tag(entering, "<strong>", "</strong>")
		} else {
			w.tag(entering, "<em>", "</em>")
		}
	case *ast.CodeSpan:
		if entering {
			w.out.WriteString("<code>")
			for c := n.FirstChild(); c != nil; c = c.NextSibling() {
				if t, ok := c.(*ast.Text); ok {
					html.DefaultWriter.RawWrite(w.out, []byte(strings.ReplaceAll(string(t.Segment.Value(w.text)), "\n", " ")))
				}
			}
			w.out.WriteString("</code>")
		}
		return ast.WalkSkipChildren, nil
	case *ast.Link:
		if t, ok := w.target(n); ok && t.Kind == handbook.Unprinted {
			return ast.WalkSkipChildren, nil
		}
		w.link(n, entering)
	case *ast.AutoLink:
		if entering {
			w.autoLink(n)
		}
	case *ast.Image:
		if entering {
			w.image(n)
		}
		return ast.WalkSkipChildren, nil

	case *east.Strikethrough:
		w.tag(entering, "<del>", "</del>")
	case *east.TaskCheckBox:
		if entering {
			w.taskBox(n)
		}
	case *east.Table:
		if entering {
			w.out.WriteString(`<div class="table" role="group" tabindex="0"`)
			w.out.attribute("aria-label", w.words.Word("page.table"))
			w.out.WriteString(">\n<table>\n")
		} else {
			w.out.WriteString("</table>\n</div>\n")
		}
	case *east.TableHeader:
		w.tag(entering, "<thead>\n<tr"+w.changeClass(n)+">", "</tr>\n</thead>\n")
		if !entering && n.NextSibling() != nil {
			w.out.WriteString("<tbody>\n")
		}
	case *east.TableRow:
		w.tag(entering, "<tr"+w.changeClass(n)+">", "</tr>\n")
		if !entering && n.NextSibling() == nil {
			w.out.WriteString("</tbody>\n")
		}
	case *east.TableCell:
		w.cell(n, entering)
	case *east.DefinitionList:
		w.tag(entering, "<dl>\n", "</dl>\n")
	case *east.DefinitionTerm:
		if entering {
			w.open("dt", n)
		}
		w.tag(entering, "", "</dt>\n")
	case *east.DefinitionDescription:
		if entering {
			w.open("dd", n)
		}
		w.tag(entering, "", "</dd>\n")
	case *east.FootnoteLink:
		if entering && !w.quoting {
			w.footnoteLink(n.Index, n.RefIndex)
		}
	case *east.FootnoteBacklink:
		if entering {
			w.footnoteBacklink(n.Index, n.RefIndex)
		}
	case *east.FootnoteList:
		w.tag(entering, `<section class="footnotes" role="doc-endnotes"><hr><ol>`+"\n", "</ol></section>\n")
	case *east.Footnote:
		if entering {
			w.out.WriteString(`<li id="fn:` + strconv.Itoa(n.Index) + `">`)
		} else {
			w.out.WriteString("</li>\n")
		}
	default:
		return ast.WalkSkipChildren, nil
	}
	return ast.WalkContinue, nil
}

func (w *writer) tag(entering bool, open, end string) {
	if entering {
		w.out.WriteString(open)
	} else {
		w.out.WriteString(end)
	}
}

func (w *writer) heading(n *ast.Heading, entering bool) ast.WalkStatus {
	if n == w.title {
		return ast.WalkSkipChildren
	}
	if entering {
		w.under(n.Level)
	}
	level := string("0123456"[len(w.outline)])
	if !entering {
		w.out.WriteString("</h" + level + ">\n")
		return ast.WalkContinue
	}
	w.out.WriteString("<h" + level)
	if w.page != nil {
		if id := w.page.IDs[n]; id != "" {
			w.out.attribute("id", id)
		}
	}
	w.out.WriteByte('>')
	return ast.WalkContinue
}

// under finds where a heading of a level stands in the outline: beneath the last one of a lower level. Where an
// author leaves levels out, HTML does not (HTML, 4.3.11): each is one beneath what it belongs to.
func (w *writer) under(level int) {
	for len(w.outline) > 0 && w.outline[len(w.outline)-1] >= level {
		w.outline = w.outline[:len(w.outline)-1]
	}
	w.outline = append(w.outline, level)
}

// topmost tells whether a block stands under the page's title alone. Its own title is a heading of the second level then, else of the third.
func (w *writer) topmost() bool { return len(w.outline) == 1 }

func (w *writer) list(n *ast.List, entering bool) {
	name := "ul"
	if n.IsOrdered() {
		name = "ol"
	}
	if !entering {
		w.out.WriteString("</" + name + ">\n")
		if w.callouts(n) != nil {
			w.out.WriteString("</div>\n")
		}
		return
	}
	w.out.WriteString("<" + name)
	if n.IsOrdered() && n.Start != 1 {
		w.out.attribute("start", strconv.Itoa(n.Start))
	}
	w.out.WriteString(">\n")
}

// callouts returns what is known of a list beneath a picture, or nil.
func (w *writer) callouts(n ast.Node) *handbook.Callouts {
	if list, ok := n.(*ast.List); ok && w.page != nil {
		return w.page.Callouts[list]
	}
	return nil
}

// called begins what holds a picture and the list beneath it. Where the numbers stand on the picture is told when it is known of all of
// them, in the list's order, so that the picture at large can begin there.
func (w *writer) called(c *handbook.Callouts, shown ast.Node) {
	if c == nil {
		return
	}
	w.out.WriteString(`<div class="called"`)
	var spots []string
	for n := c.First; n <= c.Last; n++ {
		if spot, ok := w.spot(shown, n); ok {
			spots = append(spots, fmt.Sprintf("%.0f %.0f", spot.X, spot.Y))
		}
	}
	if len(spots) == c.Last-c.First+1 {
		w.out.attribute("data-spots", strings.Join(spots, ","))
	}
	w.out.WriteString(">\n")
}

// spot tells where a number stands on a picture.
func (w *writer) spot(shown ast.Node, number int) (picture.Spot, bool) {
	asset := ""
	if b, ok := shown.(*source.Block); ok {
		p, ok := w.page.Blocks[b].(*handbook.Picture)
		if !ok {
			return picture.Spot{}, false
		}
		if 1 <= number && number <= len(p.Spots) {
			return picture.Spot(p.Spots[number-1]), true
		}
		asset = p.Asset
	} else if t, ok := w.target(shown); ok {
		asset = t.Asset
	}
	spot, ok := w.picture(asset).Callouts[number]
	return spot, ok
}

// listItem gives what a picture's number means a place to link to.
func (w *writer) listItem(n *ast.ListItem, entering bool) {
	if !entering {
		w.out.WriteString("</li>\n")
		return
	}
	w.out.WriteString("<li")
	if c := w.callouts(n.Parent()); c != nil {
		number := c.First
		for before := n.PreviousSibling(); before != nil; before = before.PreviousSibling() {
			number++
		}
		w.out.attribute("id", handbook.CalloutAnchor(c.Number, number))
	}
	w.out.WriteString(w.changeClass(n) + ">")
	w.change(n)
}

// callout writes the number of a part in a picture.
func (w *writer) callout(t handbook.Target) {
	number := strconv.Itoa(t.Callout)
	w.out.WriteString(`(<a class="callout"`)
	w.out.attribute("href", "#"+t.ID)
	w.out.attribute("aria-label", w.words.Fill("picture.number", "n", number))
	w.out.WriteString(">" + number + "</a>)")
}

func (w *writer) plain(n *ast.Text) {
	value := n.Segment.Value(w.text)
	if n.IsRaw() {
		html.DefaultWriter.RawWrite(w.out, value)
	} else {
		html.DefaultWriter.Write(w.out, value)
	}
	switch {
	case n.HardLineBreak():
		w.out.WriteString("<br>\n")
	case n.SoftLineBreak():
		w.out.WriteByte(' ') // as the search has it: a pack then has the text of both once
	}
}

// target returns what a link leads to in the handbook.
func (w *writer) target(n ast.Node) (handbook.Target, bool) {
	if w.page == nil {
		return handbook.Target{}, false
	}
	t, ok := w.page.Links[n]
	return t, ok
}

// link writes a link around its own text. A link to nowhere is its text.
func (w *writer) link(n *ast.Link, entering bool) {
	t, ok := w.target(n)
	switch {
	case !ok:
		address := outside(string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(n.Destination)))))
		switch {
		case address == "":
		case entering:
			w.openOutside(address)
			if len(n.Title) > 0 {
				w.out.attribute("title", string(n.Title))
			}
			w.out.WriteByte('>')
		default:
			w.out.WriteString("</a>")
		}
	case t.Kind == handbook.ToSpec:
		if !entering {
			w.out.WriteString(" (")
			w.specification(t.Spec, true, false)
			w.out.WriteByte(')')
		}
	case t.Kind == handbook.ToPart:
		if number := w.part(t.Part).Number; !entering && number != "" {
			w.out.escaped(" (" + strings.ReplaceAll(number, " ", nbsp) + ")")
		}
	case t.Kind == handbook.ToCallout:
		if !entering {
			w.out.WriteString(nbsp)
			w.callout(t)
		}
	default:
		href := w.href(t)
		switch {
		case href == "":
		case entering:
			w.out.WriteString("<a")
			w.out.attribute("href", href)
			if alone(n) {
				w.out.WriteString(` class="lone"`)
			}
			if len(n.Title) > 0 {
				w.out.attribute("title", string(n.Title))
			}
			w.foreign(t, "hreflang")
			w.out.WriteByte('>')
		default:
			w.foreign(t, "")
			w.out.WriteString("</a>")
			w.gone(t)
		}
	}
}

// gone says behind a link to a procedure that this is superseded.
func (w *writer) gone(t handbook.Target) {
	if t.Kind != handbook.ToPage || t.Page == w.page {
		return
	}
	if text := w.superseded(t.Page); text != "" {
		w.out.WriteString(` <strong>(`)
		w.out.escaped(text)
		w.out.WriteString(")</strong>")
	}
}

// foreign says of a link that leads to a page in another language in which: as an attribute, or in words.
func (w *writer) foreign(t handbook.Target, attribute string) {
	switch {
	case t.Kind != handbook.ToPage || t.Page.Lang == w.lang:
	case attribute != "":
		w.out.attribute(attribute, t.Page.Lang)
	default:
		w.out.WriteString(" <span")
		w.out.attribute("lang", t.Page.Lang)
		w.out.WriteString(">(")
		w.out.escaped(w.languageName(t.Page.Lang))
		w.out.WriteString(")</span>")
	}
}

// openOutside begins a link to another host, up to its title.
func (w *writer) openOutside(address string) {
	w.out.WriteString(`<a class="outside" rel="external noreferrer"`)
	w.out.attribute("href", address)
}

// alone tells whether nothing stands beside a link in its paragraph or item: it is a line for a finger then, not a word of a sentence.
func alone(n *ast.Link) bool {
	parent := n.Parent().Kind()
	return (parent == ast.KindParagraph || parent == ast.KindTextBlock) && n.PreviousSibling() == nil && n.NextSibling() == nil
}

// autoLink writes a reference such as <spec:idle-speed>. What says something to
// the build alone, such as <id:link> in a heading, is not printed.
func (w *writer) autoLink(n *ast.AutoLink) {
	t, ok := w.target(n)
	switch {
	case !ok:
		label := string(n.Label(w.text))
		address := label
		if n.AutoLinkType == ast.AutoLinkEmail {
			address = "mailto:" + label
		}
		if address = outside(address); address != "" {
			w.openOutside(address)
			w.out.WriteByte('>')
			w.out.escaped(label)
			w.out.WriteString("</a>")
		}
	case t.Kind == handbook.Unprinted:
	case t.Kind == handbook.ToSpec:
		w.specification(t.Spec, true, n.Parent().Kind() == east.KindTableCell && n.Parent().ChildCount() == 1)
	case t.Kind == handbook.ToCallout:
		w.callout(t)
	default:
		href := w.href(t)
		if href != "" {
			w.out.WriteString("<a")
			w.out.attribute("href", href)
			w.out.WriteByte('>')
		}
		if t.Kind == handbook.ToEnd {
			w.say(endKey(t.ID))
		} else {
			w.out.escaped(w.label(t))
		}
		if href != "" {
			w.out.WriteString("</a>")
		}
		w.gone(t)
	}
}

// within tells whether a node stands in one of a kind.
func within(n ast.Node, kind ast.NodeKind) bool {
	for p := n.Parent(); p != nil; p = p.Parent() {
		if p.Kind() == kind {
			return true
		}
	}
	return false
}

func (w *writer) taskBox(n *east.TaskCheckBox) {
	w.out.WriteString(`<input type="checkbox" disabled`)
	word := "page.open"
	if n.IsChecked {
		w.out.WriteString(" checked")
		word = "page.done"
	}
	w.out.attribute("aria-label", w.words.Word(word))
	w.out.WriteString("> ")
}

// cell writes a cell; alignment is a class, since the content policy refuses
// style attributes.
func (w *writer) cell(n *east.TableCell, entering bool) {
	name := "td"
	if n.Parent().Kind() == east.KindTableHeader {
		name = "th"
	}
	if !entering {
		w.out.WriteString("</" + name + ">")
		return
	}
	w.out.WriteString("<" + name)
	if name == "th" {
		w.out.WriteString(` scope="col"`)
	}
	switch n.Alignment {
	case east.AlignRight:
		w.out.WriteString(` class="right"`)
	case east.AlignCenter:
		w.out.WriteString(` class="center"`)
	}
	w.out.WriteByte('>')
	if n.PreviousSibling() == nil {
		w.change(n.Parent())
	}
}

func (w *writer) footnoteLink(index, ref int) {
	i := strconv.Itoa(index)
	w.out.WriteString(`<sup id="` + refID(i, ref) + `"><a href="#fn:` + i + `" role="doc-noteref">` + i + `</a></sup>`)
}

func (w *writer) footnoteBacklink(index, ref int) {
	w.out.WriteString(` <a href="#` + refID(strconv.Itoa(index), ref) + `" role="doc-backlink"`)
	w.out.attribute("aria-label", w.words.Word("page.backToText"))
	w.out.WriteString(">↩\uFE0E</a>")
}

// refID is the id of the place where a footnote is called.
func refID(index string, ref int) string {
	if ref > 0 {
		return "fnref" + strconv.Itoa(ref) + ":" + index
	}
	return "fnref:" + index
}

// plainText is a node's text without markup, entities and escapes resolved.
func plainText(n ast.Node, text []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			if n.IsRaw() {
				b.Write(n.Segment.Value(text))
			} else {
				b.Write(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(n.Segment.Value(text)))))
			}
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

// lines joins the lines of a listing.
func lines(n ast.Node, text []byte) string {
	var b strings.Builder
	for i := range n.Lines().Len() {
		s := n.Lines().At(i)
		b.Write(s.Value(text))
	}
	return b.String()
}
