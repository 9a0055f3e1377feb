package source

import (
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

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
	markdown = newParser(Extensions()...)
	// plain is for lists of links, where `- [x](#step)` is no box to tick.
	plain = newParser()
)

func newParser(extensions ...goldmark.Extender) parser.Parser {
	return goldmark.New(goldmark.WithExtensions(extensions...), goldmark.WithParserOptions(
		parser.WithParagraphTransformers(util.Prioritized(shortener{}, 1_000)),
		parser.WithInlineParsers(util.Prioritized(counter{}, -1)))).Parser()
}

// parse parses a text, of which place tells places, with a remark where a paragraph is beyond a limit.
func parse(p parser.Parser, src []byte, place placer, remarks *remark.List) ast.Node {
	c := parser.NewContext()
	found := &beyond{}
	c.Set(beyondKey, found)
	doc := p.Parse(text.NewReader(src), parser.WithContext(c))
	for _, long := range found.long {
		tooMuch(remarks, place(long.at), "the paragraph", long.has, maxParagraph, "bytes")
	}
	for _, marked := range found.marked {
		tooMuch(remarks, place(marked.at), "the text", marked.has, maxMarks, "brackets and marks of emphasis")
	}
	return doc
}

// parseBody parses a page's body and puts a *Block for every fenced block that
// has the name of one.
func parseBody(p *Page, remarks *remark.List) ast.Node {
	doc := parse(markdown, p.Text, p.Place, remarks)
	var fences []*ast.FencedCodeBlock
	EachBlock(doc, func(n ast.Node) {
		if f, ok := n.(*ast.FencedCodeBlock); ok && f.Info != nil {
			fences = append(fences, f)
		}
	})
	for _, f := range fences {
		if b := newBlock(p, f, remarks); b != nil {
			f.Parent().ReplaceChild(f.Parent(), f, b)
		}
	}
	return doc
}

// Each calls f for a node and all below it, in their order. Most of a page's nodes are pieces of text, so that
// what asks for none of these takes EachBlock.
func Each(n ast.Node, f func(ast.Node)) {
	f(n)
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		Each(c, f)
	}
}

// EachBlock calls f for a block and all blocks below it, in their order.
func EachBlock(n ast.Node, f func(ast.Node)) {
	f(n)
	for c := n.FirstChild(); c != nil && c.Type() == ast.TypeBlock; c = c.NextSibling() {
		EachBlock(c, f)
	}
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
	return parseMarkdown(markdown, s, func(int) remark.Place { return remark.Place{} }, new(remark.List))
}

func parseMarkdown(p parser.Parser, s string, place placer, remarks *remark.List) Markdown {
	src := []byte(s)
	return Markdown{parse(p, src, place, remarks), src, place}
}

// PlaceOf returns the place of a node of Doc.
func (m Markdown) PlaceOf(n ast.Node) remark.Place { return m.place(max(0, position(n))) }
