package page

import (
	"html/template"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// selfCheckView is a question for training.
type selfCheckView struct {
	*theme.Words
	ID                    string
	Topmost               bool   // see writer.topmost
	Beneath               string // the id of a heading above that says the same as its title, "" for none
	Question, Explanation template.HTML
	Answers               []choiceView
	Right                 string // the letters of the right answers
}

// choiceView is an answer; Letter is how the solution speaks of it.
type choiceView struct {
	Letter string
	Text   template.HTML
	Right  bool
}

func (w *writer) selfCheck(n *source.Block, s *handbook.SelfCheck) {
	nodes := func(list []ast.Node) template.HTML {
		return w.html(func() {
			for _, n := range list {
				w.markdown(n, s.Text.Text)
			}
		})
	}
	v := selfCheckView{Words: w.words, ID: s.ID, Topmost: w.topmost(), Beneath: w.beneathTitle(n), Question: nodes(s.Question), Explanation: nodes(s.Explanation)}
	var right []string
	for i, a := range s.Answers {
		c := choiceView{Letter: letter(i), Right: a.Right, Text: w.html(func() { w.children(a.Text, s.Text.Text) })}
		if a.Right {
			right = append(right, c.Letter)
		}
		v.Answers = append(v.Answers, c)
	}
	v.Right = w.words.List(right...)
	w.checked = true
	w.template("self-check", v)
}

// beneathTitle returns the id of the author's heading under which a self-check stands, with others at most between, where that says
// what its own title would say once more.
func (w *writer) beneathTitle(b *source.Block) string {
	above := b.PreviousSibling()
	for {
		other, ok := above.(*source.Block)
		if !ok {
			break
		}
		if _, ok := w.page.Blocks[other].(*handbook.SelfCheck); !ok {
			return ""
		}
		above = above.PreviousSibling()
	}
	if h, ok := above.(*ast.Heading); ok && above != w.title && strings.TrimSpace(plainText(h, w.text)) == w.words.Word("check.title") {
		return w.page.IDs[h]
	}
	return ""
}
