package audit

import (
	"regexp"
	"slices"
	"sort"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// prose is the running text of one paragraph, item or cell as a reader sees it, with the
// places of its bytes. What is no text, a reference, stands as one letter.
type prose struct {
	page *handbook.Page
	text []byte
	runs []run
}

// String is the text.
func (t *prose) String() string { return string(t.text) }

// kept has the same places, and holds.
func (t *prose) kept() *prose { return &prose{page: t.page, runs: slices.Clone(t.runs)} }

// run is where a piece of the text begins, there and in the page's, and how far apart its
// bytes stand in that.
type run struct{ from, offset, apart int }

const reference = "\uFFFC" // object replacement character

// eachProse calls f for the text of every paragraph, item and cell below a node of the
// page's body. Headings are none. It holds until f returns.
func eachProse(p *handbook.Page, n ast.Node, f func(*prose)) {
	eachProseIn(p, n, func(*text.Segments) bool { return true }, f)
}

// eachFigured calls f for those alone that have a digit: all of a text stands in the lines of its block.
func eachFigured(p *handbook.Page, n ast.Node, f func(*prose)) {
	eachProseIn(p, n, func(lines *text.Segments) bool {
		for i := range lines.Len() {
			line := lines.At(i)
			if written := line.Value(p.Source.Text); beforeDigit(written) < len(written) {
				return true
			}
		}
		return false
	}, f)
}

func eachProseIn(p *handbook.Page, n ast.Node, wanted func(lines *text.Segments) bool, f func(*prose)) {
	t := &prose{page: p}
	source.EachBlock(n, func(n ast.Node) {
		if n.Kind() == ast.KindHeading || n.FirstChild() == nil || n.FirstChild().Type() != ast.TypeInline {
			return
		}
		if !wanted(n.Lines()) {
			return
		}
		t.text, t.runs = t.text[:0], t.runs[:0]
		t.take(n)
		f(t)
	})
}

func (t *prose) take(n ast.Node) {
	switch n := n.(type) {
	case *ast.Text:
		t.begin(n.Segment.Start, 1)
		t.text = append(t.text, n.Segment.Value(t.page.Source.Text)...)
		if n.SoftLineBreak() || n.HardLineBreak() {
			t.begin(n.Segment.Stop, 0)
			t.text = append(t.text, ' ')
		}
	case *ast.AutoLink:
		t.begin(n.Pos(), 0)
		t.text = append(t.text, reference...)
	case *ast.Image:
		return
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		t.take(c)
	}
}

// begin begins text whose bytes stand so many apart in the page, from an offset.
func (t *prose) begin(offset, apart int) {
	t.runs = append(t.runs, run{len(t.text), offset, apart})
}

func (t *prose) place(i int) remark.Place {
	k := sort.Search(len(t.runs), func(k int) bool { return t.runs[k].from > i }) - 1
	return t.page.Source.Place(t.runs[k].offset + (i-t.runs[k].from)*t.runs[k].apart)
}

// sentenceEnd is where a sentence ends: as ASD-STE100 counts, a colon and a semicolon
// end one too.
var sentenceEnd = regexp.MustCompile(`[.!?:;]["'”’)]*(?:\s+|$)`)

// eachSentence calls f for every sentence, with the offset at which it begins.
func (t *prose) eachSentence(f func(sentence string, from int)) {
	text, from := t.String(), 0
	for from < len(text) {
		to := len(text)
		if end := sentenceEnd.FindStringIndex(text[from:]); end != nil {
			to = from + end[1]
		}
		f(text[from:to], from)
		from = to
	}
}
