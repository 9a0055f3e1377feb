package source

import (
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

// Each bracket could belong to each one before it, and so could each mark of emphasis: what stands in
// a paragraph is read in a time that grows with the square of them, and of its bytes. So both limits
// hold while the text is parsed, not afterwards.

// beyond is what a text has of each beyond the limit.
type beyond struct {
	long, marked []excess

	in    ast.Node // whose marks are counted
	count int
}

// excess is a paragraph that has too much: where it begins, and how much it has.
type excess struct{ at, has int }

var beyondKey = parser.NewContextKey()

// shortener empties a paragraph that is too long. It comes after the transformers that take definitions
// of links and tables out of paragraphs.
type shortener struct{}

// Transform implements parser.ParagraphTransformer.
func (shortener) Transform(n *ast.Paragraph, r text.Reader, c parser.Context) {
	lines, size := n.Lines(), 0
	for _, line := range lines.Sliced(0, lines.Len()) {
		size += line.Len()
	}
	if size > maxParagraph {
		last := lines.At(lines.Len() - 1)
		rest := last.TrimRightSpace(r.Source())
		start := lines.At(0).Start
		found := c.Get(beyondKey).(*beyond)
		found.long = append(found.long, excess{start, size - last.Len() + rest.Len()})
		lines.Clear()
		lines.Append(text.NewSegment(start, start))
	}
}

// counter counts marks before other parsers see them. Those beyond the limit are letters.
type counter struct{}

// Trigger implements parser.InlineParser.
func (counter) Trigger() []byte { return []byte("[]!*_~") }

// Parse implements parser.InlineParser.
func (counter) Parse(parent ast.Node, r text.Reader, c parser.Context) ast.Node {
	line, here := r.PeekLine()
	length := 1
	if line[0] == '!' {
		if length = 2; len(line) == 1 || line[1] != '[' {
			return nil
		}
	}
	found := c.Get(beyondKey).(*beyond)
	if found.in != parent {
		found.in, found.count = parent, 0
	}
	found.count++
	if found.count <= maxMarks {
		return nil
	}
	if found.count == maxMarks+1 {
		found.marked = append(found.marked, excess{here.Start, 0})
	}
	found.marked[len(found.marked)-1].has = found.count
	r.Advance(length)
	return ast.NewTextSegment(here.WithStop(here.Start + length))
}
