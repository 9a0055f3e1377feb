package field

import (
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// Book is what a handbook says about that which records name. Its methods take
// a nil Book for one that knows every name.
type Book struct {
	dir        string
	title      string                // with the edition and its date
	first      string                // the language of its titles
	procedures map[string]*Procedure // by page, as records name it
	specs      map[string]string     // titles by id; of a calculator that judges times, by its name
	models     map[string]string
	parts      map[string]string
	sources    map[string][]*source.Page // the files of a procedure, of each language one
}

// Procedure is a troubleshooting procedure of a Book.
type Procedure struct {
	Title, Symptom string
	Causes         []Cause
	Steps          []Step
}

// Cause is a cause with its author's frequency, 0 if there is none.
type Cause struct {
	ID, Title string
	Frequency float64
}

// Step is a step; Ways counts the places that it can be left to, Minutes is 0
// where the author gives none.
type Step struct {
	ID, Title string
	Minutes   float64
	Ways      int
}

// Open reads the handbook in dir. It says nothing of what is wrong with it, as
// the audit does; the Book holds what could be read.
func Open(dir string) (*Book, error) {
	tree, _, err := source.Read(dir)
	if err != nil {
		return nil, err
	}
	book, _ := handbook.Resolve(tree)
	b := &Book{
		dir: dir, title: titleOf(book), first: book.Languages[0], procedures: map[string]*Procedure{}, sources: map[string][]*source.Page{},
		specs: map[string]string{}, models: map[string]string{}, parts: map[string]string{},
	}
	for _, p := range book.Pages {
		if p.Procedure == nil {
			continue
		}
		b.sources[p.Key] = append(b.sources[p.Key], p.Source)
		if b.procedures[p.Key] == nil || p.Lang == b.first {
			b.procedures[p.Key] = procedureOf(p)
		}
	}
	for _, s := range book.Specs {
		b.specs[s.ID] = s.Title.In(b.first)
	}
	for _, p := range book.Pages {
		b.addTimings(p)
	}
	for _, m := range book.Models {
		b.models[m.ID] = m.Title.In(b.first)
	}
	for _, p := range book.Parts {
		b.parts[p.ID] = p.Title.In(b.first)
	}
	return b, tree.Close()
}

func titleOf(book *handbook.Handbook) string {
	title := book.Title.In(book.Languages[0])
	if book.Edition != "" {
		title += ", edition " + book.Edition
	}
	if book.Date != "" {
		title += ", " + book.Date
	}
	return title
}

// addTimings adds what judges times by a tolerance: records name the calculator
// that says what is expected where others name a specification.
func (b *Book) addTimings(p *handbook.Page) {
	if p.Procedure == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		if s.Reading == nil || s.Reading.Timing == nil || s.Reading.Spec != nil || s.Reading.Timing.Curve == nil {
			continue
		}
		if name := s.Reading.Timing.Curve.Calculator.Calc.Name; !has(b.specs, name) || p.Lang == b.first {
			b.specs[name] = s.Reading.Measure
		}
	}
}

func procedureOf(p *handbook.Page) *Procedure {
	pr := &Procedure{Title: p.Title, Symptom: p.Procedure.Symptom}
	for _, c := range p.Procedure.Causes {
		pr.Causes = append(pr.Causes, Cause{c.ID, c.Title, c.Frequency})
	}
	for _, s := range p.Procedure.Steps {
		ways := map[handbook.Target]bool{}
		for _, way := range s.Ways() {
			ways[way] = true
		}
		pr.Steps = append(pr.Steps, Step{s.ID, headingText(s.Heading, p.Source.Text), s.Minutes, len(ways)})
	}
	return pr
}

// headingText is a heading's words without what its references say to the build.
func headingText(h ast.Node, text []byte) string {
	var b strings.Builder
	_ = ast.Walk(h, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := n.(*ast.Text); ok && entering {
			b.Write(t.Value(text))
		}
		return ast.WalkContinue, nil
	})
	return strings.Join(strings.Fields(b.String()), " ")
}

// pageTitle is the title of a procedure; its key if the book does not have it.
func (b *Book) pageTitle(page string) string {
	if b == nil || b.procedures[page] == nil {
		return page
	}
	return b.procedures[page].Title
}

// modelTitle is the title of a model; what stands for it if the book does not have it.
func (b *Book) modelTitle(model string) string {
	if b == nil || b.models[model] == "" {
		return modelText(model)
	}
	return b.models[model]
}

func (b *Book) knowsPage(page string) bool { return b == nil || b.procedures[page] != nil }

func (b *Book) knowsModel(id string) bool { return b == nil || has(b.models, id) }

func (b *Book) knowsSpec(id string) bool { return b == nil || has(b.specs, id) }

func has(titles map[string]string, id string) bool {
	_, ok := titles[id]
	return ok
}

func (b *Book) knowsCause(page, id string) bool {
	if b == nil || b.procedures[page] == nil {
		return b == nil
	}
	for _, c := range b.procedures[page].Causes {
		if c.ID == id {
			return true
		}
	}
	return false
}

func (b *Book) knowsStep(page, id string) bool { return b == nil || b.step(page, id) != nil }

func (b *Book) step(page, id string) *Step {
	if b == nil || b.procedures[page] == nil {
		return nil
	}
	for i, s := range b.procedures[page].Steps {
		if s.ID == id {
			return &b.procedures[page].Steps[i]
		}
	}
	return nil
}
