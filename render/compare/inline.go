package compare

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"

	"benchleaf/render/even"
	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// inline is the text of a node on one line, in one spelling of Markdown: what two authors
// write differently and a reader sees alike is the same. text is what the offsets of its nodes
// count in.
func inline(p *handbook.Page, n ast.Node, text []byte) string {
	w := inlineWriter{page: p, text: text}
	return w.line(n)
}

// prose is the text of nodes and of all that stands below them.
func prose(p *handbook.Page, text []byte, nodes ...ast.Node) string {
	var list []string
	for _, n := range nodes {
		_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			switch {
			case !entering || n.Type() == ast.TypeDocument || n.Kind() == ast.KindHTMLBlock:
				return ast.WalkContinue, nil
			case n.Kind() == ast.KindCodeBlock || n.Kind() == ast.KindFencedCodeBlock:
				list = append(list, folded(string(n.Lines().Value(text))))
			case n.FirstChild() != nil && n.FirstChild().Type() == ast.TypeInline:
				list = append(list, inline(p, n, text))
				return ast.WalkSkipChildren, nil
			}
			return ast.WalkContinue, nil
		})
	}
	return strings.Join(list, " ")
}

// markdown is the text of a piece of Markdown.
func markdown(p *handbook.Page, m source.Markdown) string {
	if m.Doc == nil {
		return ""
	}
	return prose(p, m.Text, m.Doc)
}

// folded is a text on one line: where an author breaks a line says nothing.
func folded[T string | []byte](text T) string {
	n := even.Length(text, true)
	if n == len(text) {
		if n > 0 && text[n-1] == ' ' {
			n--
		}
		return string(text[:n])
	}
	b := make([]byte, 0, len(text))
	for blank := true; ; { // stands before
		b = append(b, text[:n]...)
		if text = text[n:]; n > 0 {
			blank = b[len(b)-1] == ' '
		}
		if len(text) == 0 {
			return string(bytes.TrimSuffix(b, []byte(" ")))
		}
		c, size := utf8.DecodeRuneInString(string(text[:min(len(text), utf8.UTFMax)]))
		switch {
		case !unicode.IsSpace(c):
			b, blank = append(b, text[:size]...), false
		case !blank:
			b, blank = append(b, ' '), true
		}
		text = text[size:]
		n = even.Length(text, blank)
	}
}

// inlineWriter writes what stands in blocks, one after the other.
type inlineWriter struct {
	page *handbook.Page
	text []byte
	out  []byte
}

// line is what stands in a block, on one line.
func (w *inlineWriter) line(n ast.Node) string {
	w.out = w.out[:0]
	w.children(n)
	return folded(w.out)
}

// row is what stands in a row of a table.
func (w *inlineWriter) row(n ast.Node) string {
	w.out = w.out[:0]
	for cell := n.FirstChild(); cell != nil; cell = cell.NextSibling() {
		if cell != n.FirstChild() {
			w.write(" | ")
		}
		w.children(cell)
	}
	return folded(w.out)
}

func (w *inlineWriter) write(text string) { w.out = append(w.out, text...) }

func (w *inlineWriter) children(n ast.Node) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		w.node(c)
	}
}

// between writes what stands in a node between two marks.
func (w *inlineWriter) between(mark string, n ast.Node, end string) {
	w.write(mark)
	w.children(n)
	w.write(end)
}

func (w *inlineWriter) node(n ast.Node) {
	switch n := n.(type) {
	case *ast.Text:
		w.out = append(w.out, plainText(n.Segment.Value(w.text))...)
		switch {
		case n.HardLineBreak():
			w.write(` \ `)
		case n.SoftLineBreak():
			w.out = append(w.out, ' ')
		}
	case *ast.String:
		w.out = append(w.out, plainText(n.Value)...)
	case *ast.Emphasis:
		mark := strings.Repeat("*", n.Level)
		w.between(mark, n, mark)
	case *east.Strikethrough:
		w.between("~~", n, "~~")
	case *ast.CodeSpan:
		w.out = append(w.out, '`')
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			if t, ok := c.(*ast.Text); ok {
				w.out = append(w.out, t.Segment.Value(w.text)...)
			}
		}
		w.out = append(w.out, '`')
	case *ast.Link:
		if to, shown := w.to(n, n.Destination); shown {
			w.between("[", n, "]("+to+titleText(n.Title)+")")
		}
	case *ast.Image:
		if to, shown := w.to(n, n.Destination); shown {
			w.between("![", n, "]("+to+titleText(n.Title)+")")
		}
	case *ast.AutoLink:
		if to, shown := w.to(n, n.URL(w.text)); shown {
			w.write("<" + to + ">")
		}
	case *east.TaskCheckBox:
		if n.IsChecked {
			w.write("[x] ")
		} else {
			w.write("[ ] ")
		}
	case *east.FootnoteLink:
		w.write("[^" + figure(float64(n.Index)) + "]")
	case *ast.RawHTML, *east.FootnoteBacklink: // an author wrote neither for readers
	default:
		w.children(n)
	}
}

// to is where a link leads: a name of the handbook's own in one spelling, an address as it is. What says
// something about a step is not shown.
func (w *inlineWriter) to(n ast.Node, written []byte) (to string, shown bool) {
	t, ok := w.page.Links[n]
	if !ok {
		return string(plainText(written)), true
	}
	return leadsTo(t), t.Kind != handbook.Unprinted
}

func titleText(title []byte) string {
	if len(title) == 0 {
		return ""
	}
	return ` "` + string(plainText(title)) + `"`
}

// plainText is text without the escapes of Markdown.
func plainText(text []byte) []byte {
	if bytes.IndexByte(text, '\\') < 0 && bytes.IndexByte(text, '&') < 0 {
		return text
	}
	return util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(text)))
}
