package compare

import (
	"crypto/sha256"
	"encoding/base64"
	"slices"
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
	Text  string   `json:"text"`            // as its author wrote it, on one line
	Shows []string `json:"shows,omitempty"` // what stands in it: spec:ID, part:ID and file:PATH

	node ast.Node // that a mark is set at; only of a page that is being made
}

// The kinds of blocks beside those of source.BlockNames.
const (
	kindHeading   = "heading"
	kindParagraph = "paragraph"
	kindItem      = "item"
	kindTerm      = "term"
	kindRow       = "row"
	kindListing   = "listing"
)

// blocksOf takes the text of a page apart.
func blocksOf(p *handbook.Page) []Block {
	b := &blocks{page: p}
	b.children(p.Source.Doc)
	return b.list
}

// blocks collects those of a page.
type blocks struct {
	page *handbook.Page
	in   string
	list []Block
}

func (b *blocks) add(kind, text string, mark, of ast.Node) {
	if text = strings.Join(strings.Fields(text), " "); text != "" {
		b.list = append(b.list, Block{Kind: kind, In: b.in, Text: text, Shows: b.shows(of), node: mark})
	}
}

func (b *blocks) children(n ast.Node) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		b.node(c)
	}
}

func (b *blocks) node(n ast.Node) {
	text := b.page.Source.Text
	switch n := n.(type) {
	case *ast.Heading:
		if id := b.page.IDs[n]; id != "" {
			b.in = id
		}
		if title := b.heading(n); title != b.page.Title {
			b.add(kindHeading, title, n, n)
		}
	case *ast.Paragraph:
		b.add(kindParagraph, string(n.Lines().Value(text)), n, n)
	case *ast.TextBlock:
		kind, mark := kindParagraph, ast.Node(n)
		if parent := n.Parent(); parent.FirstChild() == n {
			mark = parent
			if parent.Kind() == ast.KindListItem {
				kind = kindItem
			}
		}
		b.add(kind, string(n.Lines().Value(text)), mark, n)
	case *east.DefinitionTerm:
		b.add(kindTerm, string(n.Lines().Value(text)), n, n)
	case *east.TableHeader, *east.TableRow:
		var cells []string
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			cells = append(cells, strings.TrimSpace(string(c.Lines().Value(text))))
		}
		b.add(kindRow, strings.Join(cells, " | "), n, n)
	case *ast.CodeBlock, *ast.FencedCodeBlock, *source.Block:
		b.fence(n)
	case *ast.HTMLBlock: // is not printed
	default:
		b.children(n)
	}
}

// fence adds a listing or one of the handbook's blocks.
func (b *blocks) fence(n ast.Node) {
	kind, text := kindListing, string(n.Lines().Value(b.page.Source.Text))
	block, ok := n.(*source.Block)
	if !ok {
		b.add(kind, text, n, n)
		return
	}
	kind = block.Name
	switch x := b.page.Blocks[block].(type) {
	case *handbook.Answers:
		var lines []string
		for _, a := range x.Answers {
			lines = append(lines, a.Text+" -> "+leadsTo(a.To))
		}
		text = strings.Join(lines, "; ")
	case *handbook.Reading:
		lines := readingLines(x)
		for _, o := range x.Outcomes {
			lines = append(lines, o.Kind+" -> "+leadsTo(o.To))
		}
		text = strings.Join(lines, "; ")
	case *handbook.Safety:
		hazard := ""
		if x.Hazard != nil {
			hazard = " " + x.Hazard.ID
		}
		text = x.Level + hazard + ": " + string(x.Text.Text)
	case *handbook.Calculator:
		var lines []string
		for _, f := range formOf(x).Fields {
			lines = append(lines, f.Lines...)
		}
		text = strings.Join(lines, "; ")
	}
	b.add(kind, strings.TrimSpace(block.Arg+" "+text), n, n)
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

// fileValue begins what blocks call a file.
const fileValue = "file:"

// shows lists the specifications and parts whose values, and the files that, stand in a piece of text or in a
// block, sorted.
func (b *blocks) shows(n ast.Node) []string {
	found := map[string]bool{}
	spec := func(list ...*handbook.Spec) {
		for _, s := range list {
			if s != nil {
				found["spec:"+s.ID] = true
			}
		}
	}
	file := func(name string) { found[fileValue+name] = true }
	targets := func(n ast.Node) {
		_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			switch t := b.page.Links[n]; {
			case !entering:
			case t.Kind == handbook.ToSpec:
				spec(t.Spec)
			case t.Kind == handbook.ToPart && t.Part != nil:
				found["part:"+t.Part.ID] = true
			case t.Kind == handbook.ToAsset:
				file(t.Asset)
			}
			return ast.WalkContinue, nil
		})
	}
	block, ok := n.(*source.Block)
	if !ok {
		targets(n)
	}
	switch x := b.page.Blocks[block].(type) {
	case *handbook.Reading:
		spec(x.Spec)
	case *handbook.Safety:
		if x.Text.Doc != nil {
			targets(x.Text.Doc)
		}
	case *handbook.Picture:
		file(x.Asset)
	case *handbook.Plot:
		spec(x.Limits...)
	case *handbook.Calculator:
		for _, preset := range x.Presets {
			spec(preset.Spec)
		}
		for _, s := range x.Limits {
			spec(s)
		}
	case *handbook.SelfCheck:
		for _, n := range slices.Concat(x.Question, x.Explanation) {
			targets(n)
		}
	}
	var list []string
	for name := range found {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

// digest is a short digest of a text.
func digest(text string) string {
	if text == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(text))
	return base64.RawURLEncoding.EncodeToString(sum[:9])
}
