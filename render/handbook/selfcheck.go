package handbook

import (
	"fmt"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// SelfCheck is a question for training: it changes nothing of a procedure.
type SelfCheck struct {
	ID                    string     // anchor
	Question, Explanation []ast.Node // Explanation may be empty
	Answers               []Choice
	Text                  source.Markdown // what the nodes' offsets count in
}

// Choice is one of the answers to a self-check.
type Choice struct {
	Text  ast.Node // its children are the words
	Right bool
}

// selfCheck resolves a self-check: a question, a list of answers with boxes, the
// right ones ticked, and what explains them.
func (r *pageResolver) selfCheck(b *source.Block) {
	m := b.Markdown(&r.remarks)
	r.links(m.Doc, m.Text, m.PlaceOf)
	form := &SelfCheck{Text: m}
	var list *ast.List
	for n := m.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		l, isList := n.(*ast.List)
		switch {
		case list != nil:
			form.Explanation = append(form.Explanation, n)
		case isList:
			list = l
		default:
			form.Question = append(form.Question, n)
		}
	}
	right := 0
	for item := firstItem(list); item != nil; item = item.NextSibling() {
		text := item.FirstChild()
		var box *east.TaskCheckBox
		if text != nil {
			box, _ = text.FirstChild().(*east.TaskCheckBox)
		}
		if box == nil {
			r.remarks.Add(remark.SelfCheckForm, b.Place)
			return
		}
		if box.IsChecked {
			right++
		}
		text.RemoveChild(text, box)
		form.Answers = append(form.Answers, Choice{text, box.IsChecked})
	}
	if len(form.Question) == 0 || len(form.Answers) < 2 || right == 0 || right == len(form.Answers) {
		r.remarks.Add(remark.SelfCheckForm, b.Place)
		return
	}
	r.selfChecks++
	form.ID = fmt.Sprintf("self-check-%d", r.selfChecks)
	r.page.Blocks[b] = form
}

func firstItem(l *ast.List) ast.Node {
	if l == nil {
		return nil
	}
	return l.FirstChild()
}
