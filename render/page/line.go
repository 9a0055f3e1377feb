package page

import (
	"fmt"

	"github.com/yuin/goldmark/ast"
)

// At the desk a page says where in its source each block begins, so that a remark
// can stand where it belongs: a comment before the block has the number of its line.
// An edition has none.

// line writes it before a block of the page's own text. What a list's item or a cell
// holds stands where that does.
func (w *writer) line(n ast.Node) {
	if !w.theme.Desk() || w.page == nil || n == w.title || n.Type() != ast.TypeBlock || n.Kind() == ast.KindDocument || n.Kind() == ast.KindTextBlock {
		return
	}
	// Offsets in the text of a block count from the block.
	if own := w.page.Source.Text; len(own) > 0 && len(w.text) > 0 && &own[0] != &w.text[0] {
		return
	}
	// A list of footnotes stands nowhere; what does so is not in the front matter.
	if place := w.page.Source.PlaceOf(n); place.Line >= w.page.Source.Place(0).Line {
		w.lineAt(place.Line)
	}
}

func (w *writer) lineAt(line int) {
	if w.theme.Desk() && line > 0 {
		fmt.Fprintf(w.out, "<!--%d-->", line)
	}
}
