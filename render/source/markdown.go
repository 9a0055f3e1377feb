package source

import (
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"benchleaf/render/remark"
)

// Extensions returns what a page may use beyond CommonMark; a page's renderer
// uses the same list. Bare addresses and typographic quotes are left out: they
// read some of CommonMark otherwise.
func Extensions() []goldmark.Extender {
	return []goldmark.Extender{
		extension.Table,
		extension.Strikethrough,
		extension.TaskList,
		extension.Footnote,
		extension.DefinitionList,
	}
}

var (
	markdown = goldmark.New(goldmark.WithExtensions(Extensions()...)).Parser()
	// plain is for lists of links, where `- [x](#step)` is no box to tick.
	plain = goldmark.New().Parser()
)

func parse(p parser.Parser, src []byte) ast.Node {
	return p.Parse(text.NewReader(src), parser.WithContext(parser.NewContext()))
}

// parseBody parses a page's body and puts a *Block for every fenced block that
// has the name of one.
func parseBody(p *Page, remarks *remark.List) ast.Node {
	doc := parse(markdown, p.Text)
	var fences []*ast.FencedCodeBlock
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if n.Kind() == ast.KindParagraph || n.Kind() == ast.KindTextBlock {
			size := 0
			for _, line := range n.Lines().Sliced(0, n.Lines().Len()) {
				size += line.Len()
			}
			if size > maxParagraph {
				tooMuch(remarks, p.PlaceOf(n), "the paragraph", size, maxParagraph, "bytes")
				n.RemoveChildren(n) // nothing looks through it
			}
			return ast.WalkSkipChildren, nil
		}
		if f, ok := n.(*ast.FencedCodeBlock); ok && entering && f.Info != nil {
			fences = append(fences, f)
		}
		return ast.WalkContinue, nil
	})
	for _, f := range fences {
		if b := newBlock(p, f, remarks); b != nil {
			f.Parent().ReplaceChild(f.Parent(), f, b)
		}
	}
	return doc
}

// Markdown is a piece of Markdown outside a page's running text, such as the
// text of a safety message or the list in an answers block.
type Markdown struct {
	Doc  ast.Node // nil in the zero value
	Text []byte   // offsets of Doc's nodes count in it

	place placer
}

// ParseMarkdown parses a piece that nobody will ask for places of.
func ParseMarkdown(s string) Markdown {
	return parseMarkdown(s, func(int) remark.Place { return remark.Place{} })
}

func parseMarkdown(s string, place placer) Markdown {
	src := []byte(s)
	return Markdown{parse(markdown, src), src, place}
}

// PlaceOf returns the place of a node of Doc.
func (m Markdown) PlaceOf(n ast.Node) remark.Place { return m.place(max(0, position(n))) }
