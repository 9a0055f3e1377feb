package page

import (
	"html/template"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// selfCheckView is a question for training.
type selfCheckView struct {
	*theme.Words
	ID                    string
	Topmost               bool // see writer.topmost
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

func (w *writer) selfCheck(s *handbook.SelfCheck) {
	nodes := func(list []ast.Node) template.HTML {
		return w.html(func() {
			for _, n := range list {
				w.markdown(n, s.Text.Text)
			}
		})
	}
	v := selfCheckView{Words: w.words, ID: s.ID, Topmost: w.topmost(), Question: nodes(s.Question), Explanation: nodes(s.Explanation)}
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
