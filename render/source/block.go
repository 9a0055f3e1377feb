package source

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
)

// BlockNames are the names that a fenced block's info string may begin with to
// be one of the handbook's blocks.
var BlockNames = []string{"answers", "calculator", "circuit", "glossary", "picture", "plot", "reading", "safety", "self-check", "step", "timing"}

// BlockAbout says of each of BlockNames what it is for.
var BlockAbout = map[string]string{
	"answers":    "What a technician can answer in a step, and where each answer leads.",
	"calculator": "A built-in calculator, its name beside it, or one of the handbook's own.",
	"circuit":    "The points of a circuit with the volts to expect, its file's name beside it.",
	"glossary":   "The terms of the handbook's glossary.",
	"picture":    "A picture with numbers on it, its file beside it.",
	"plot":       "A calculator of the page drawn over one of its inputs, its name beside it.",
	"reading":    "What is measured in a step, its specification, and where the reading leads.",
	"safety":     "A safety panel: what can hurt, and how to keep clear of it.",
	"self-check": "A question for training, with its answers and why.",
	"step":       "What the order of checks must know of a step.",
	"timing":     "What is timed in a step, the time to expect, and where it leads.",
}

// KindBlock is the node kind of a Block.
var KindBlock = ast.NewNodeKind("Block")

// Block is one of the handbook's blocks in a page.
type Block struct {
	ast.BaseBlock
	Name string // one of BlockNames
	Arg  string // what follows the name in the info string

	Place     remark.Place // of the name
	text      string       // the body
	bodyPlace remark.Place
	page      *Page
}

// Kind implements ast.Node.
func (b *Block) Kind() ast.NodeKind { return KindBlock }

// Dump implements ast.Node.
func (b *Block) Dump(source []byte, level int) {
	ast.DumpHelper(b, source, level, map[string]string{"Name": b.Name, "Arg": b.Arg}, nil)
}

// YAML parses the body as YAML.
func (b *Block) YAML(remarks *remark.List) *YAML {
	y := &YAML{Path: b.page.Path, at: b.bodyPlace, text: b.text}
	y.parse(remarks)
	return y
}

// List parses the body as CommonMark without extensions.
func (b *Block) List(remarks *remark.List) Markdown {
	return parseMarkdown(plain, b.text, blockPlacer([]byte(b.text), b.bodyPlace), remarks)
}

// Markdown parses the body as a page's text is.
func (b *Block) Markdown(remarks *remark.List) Markdown {
	return parseMarkdown(markdown, b.text, blockPlacer([]byte(b.text), b.bodyPlace), remarks)
}

// newBlock makes the block of a fence, or returns nil where the fence is an
// ordinary listing. A name that is nearly a block's gets a remark and counts as
// that block, so that its absence is not told as well.
func newBlock(p *Page, f *ast.FencedCodeBlock, remarks *remark.List) *Block {
	info := strings.TrimSpace(string(f.Info.Value(p.Text)))
	name, arg, _ := strings.Cut(info, " ")
	place := p.Place(f.Info.Segment.Start)
	if !slices.Contains(BlockNames, name) {
		near := remark.Nearest(name, BlockNames)
		if near == "" {
			return nil
		}
		*remarks = append(*remarks, remark.BlockUnknown.At(place, name, strings.Join(BlockNames, ", ")).
			Instead("Did you mean `%s`?", near))
		name = near
	}
	b := &Block{Name: name, Arg: strings.TrimSpace(arg), Place: place, page: p}
	b.SetPos(f.Pos())
	b.SetLines(f.Lines())
	var body strings.Builder
	for i := range f.Lines().Len() {
		line := f.Lines().At(i)
		body.Write(line.Value(p.Text))
	}
	b.text = body.String()
	b.bodyPlace = remark.Place{File: p.Path, Line: place.Line + 1, Column: 1}
	if f.Lines().Len() > 0 {
		b.bodyPlace = p.Place(f.Lines().At(0).Start)
	}
	return b
}
