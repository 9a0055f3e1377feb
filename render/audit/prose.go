package audit

import (
	"regexp"
	"sort"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// prose is the running text of one paragraph, item or cell as a reader sees it, with the
// places of its bytes. What is no text, a reference, stands as one letter.
type prose struct {
	page *handbook.Page
	text strings.Builder
	runs []run
}

// run is where a piece of the text begins, there and in the page's, and how far apart its
// bytes stand in that.
type run struct{ from, offset, apart int }

const reference = "\uFFFC" // object replacement character

// eachProse calls f for the text of every paragraph, item and cell below a node of the
// page's body. Headings are none.
func eachProse(p *handbook.Page, n ast.Node, f func(*prose)) {
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch {
		case !entering:
			return ast.WalkContinue, nil
		case n.Kind() == ast.KindHeading:
			return ast.WalkSkipChildren, nil
		case n.Type() != ast.TypeBlock || n.FirstChild() == nil || n.FirstChild().Type() != ast.TypeInline:
			return ast.WalkContinue, nil
		}
		t := &prose{page: p}
		t.take(n)
		f(t)
		return ast.WalkSkipChildren, nil
	})
}

func (t *prose) take(n ast.Node) {
	src := t.page.Source.Text
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			t.write(string(n.Segment.Value(src)), n.Segment.Start, 1)
			if n.SoftLineBreak() || n.HardLineBreak() {
				t.write(" ", n.Segment.Stop, 0)
			}
		case *ast.AutoLink:
			t.write(reference, n.Pos(), 0)
		case *ast.Image:
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
}

// write appends text whose bytes stand so many apart in the page, from an offset.
func (t *prose) write(s string, offset, apart int) {
	t.runs = append(t.runs, run{t.text.Len(), offset, apart})
	t.text.WriteString(s)
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
	text, from := t.text.String(), 0
	for from < len(text) {
		to := len(text)
		if end := sentenceEnd.FindStringIndex(text[from:]); end != nil {
			to = from + end[1]
		}
		f(text[from:to], from)
		from = to
	}
}
