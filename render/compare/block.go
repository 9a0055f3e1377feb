package compare

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// Block is a piece of a page's text that a reader takes as one: a paragraph, an item of a
// list, a row of a table, one of the handbook's blocks.
type Block struct {
	Kind  string   `json:"kind"`
	In    string   `json:"in,omitempty"`    // the id of the heading or step that it stands under
	Text  string   `json:"text"`            // in Markdown, on one line
	Shows []string `json:"shows,omitempty"` // what stands in it that is written elsewhere: spec:ID, file:PATH and so on

	node ast.Node // that a mark is set at; only of a page that is being made
}

// The kinds of blocks beside those of source.BlockNames.
const (
	kindHeading   = "heading"
	kindParagraph = "paragraph"
	kindItem      = "item"
	kindNumbered  = "numbered item"
	kindTerm      = "term"
	kindRow       = "row"
	kindListing   = "listing"
)

// kindStep is the block that says what a step does to the machine. It is printed at the step's head, not
// where it stands.
const kindStep = "step"

// blocksOf takes the text of a page apart.
func blocksOf(p *handbook.Page) []Block {
	doc := p.Source.Doc
	b := &blocks{page: p, inline: inlineWriter{page: p, text: p.Source.Text}, list: make([]Block, 0, 2*doc.ChildCount())}
	b.children(doc)
	return b.list
}

// blocks collects those of a page.
type blocks struct {
	page   *handbook.Page
	inline inlineWriter
	in     string
	list   []Block
}

// add adds a block with its text on one line.
func (b *blocks) add(kind, text string, mark, of ast.Node) {
	if text != "" {
		b.list = append(b.list, Block{Kind: kind, In: b.in, Text: text, Shows: shownIn(b.page, of), node: mark})
	}
}

func (b *blocks) children(n ast.Node) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		b.node(c)
	}
}

func (b *blocks) node(n ast.Node) {
	switch n := n.(type) {
	case *ast.Heading:
		if id := b.page.IDs[n]; id != "" {
			b.in = id
		}
		if title := b.heading(n); title != b.page.Title {
			b.add(kindHeading, folded(title), n, n)
		}
	case *ast.Paragraph, *ast.TextBlock:
		kind, mark := b.place(n)
		b.add(kind, b.inline.line(n), mark, n)
	case *east.DefinitionTerm:
		b.add(kindTerm, b.inline.line(n), n, n)
	case *east.TableHeader, *east.TableRow:
		b.add(kindRow, b.inline.row(n), n, n)
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		b.add(kindListing, folded(n.Lines().Value(b.page.Source.Text)), n, n)
	case *source.Block:
		b.add(n.Name, folded(b.block(n)), n, n)
	case *ast.HTMLBlock: // is not printed
	default:
		b.children(n)
	}
}

// place tells of a paragraph whether it begins an item, and where its mark is set.
func (b *blocks) place(n ast.Node) (kind string, mark ast.Node) {
	parent := n.Parent()
	if parent.FirstChild() != n || parent.Kind() != ast.KindListItem && parent.Kind() != east.KindDefinitionDescription {
		return kindParagraph, n
	}
	list, ok := parent.Parent().(*ast.List)
	switch {
	case !ok:
		return kindParagraph, parent
	case list.IsOrdered():
		return kindNumbered, parent
	}
	return kindItem, parent
}

// block is what one of the handbook's blocks says. How its keys are written says nothing.
func (b *blocks) block(n *source.Block) string {
	p := b.page
	var lines []string
	switch x := p.Blocks[n].(type) {
	case *handbook.Answers:
		lines = answerLines(x.Answers)
	case *handbook.Reading:
		lines = append(readingLines(x), outcomeLines(x)...)
	case *handbook.Conduct:
		lines = conductLines(x)
	case *handbook.Safety:
		lines = append(lines, x.Level)
		if x.Hazard != nil {
			lines[0] += " " + x.Hazard.ID
		}
		return lines[0] + ": " + markdown(p, x.Text)
	case *handbook.Calculator:
		for _, f := range formOf(x).Fields {
			lines = append(lines, f.Lines...)
		}
	case *handbook.Plot:
		lines = plotLines(x)
	case *handbook.Picture:
		lines = append(lines, x.Asset, folded(x.Text))
		for _, s := range x.Spots {
			lines = append(lines, figure(s.X)+", "+figure(s.Y))
		}
	case *handbook.CircuitTable:
		return x.ID
	case *handbook.Glossary:
		return x.Lang
	case *handbook.SelfCheck:
		lines = append(lines, prose(p, x.Text.Text, x.Question...))
		for _, c := range x.Answers {
			mark := "[ ] "
			if c.Right {
				mark = "[x] "
			}
			lines = append(lines, mark+inline(p, c.Text, x.Text.Text))
		}
		lines = append(lines, prose(p, x.Text.Text, x.Explanation...))
	default: // it says nothing on the page
		return strings.TrimSpace(n.Arg + " " + string(n.Lines().Value(p.Source.Text)))
	}
	return strings.Join(lines, "; ")
}

// heading is what a reader sees of a heading.
func (b *blocks) heading(n ast.Node) string {
	var text strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := n.(*ast.Text); ok && entering {
			text.Write(t.Segment.Value(b.page.Source.Text))
			if t.SoftLineBreak() || t.HardLineBreak() {
				text.WriteByte(' ')
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(text.String())
}
