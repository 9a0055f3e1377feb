package page

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"math"
	"path"
	"slices"
	"strconv"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// labelsView is the body of the page of labels.
type labelsView struct {
	*theme.Words
	Book   string
	Sheets [][]labelView
}

// labelView is one label. The picture of its code stands in the page: no other page
// shows it.
type labelView struct {
	handbook.Label
	Code template.URL
	Size int
}

// LabelsPath returns the path of a language's page of labels, beside its finder; ""
// for a handbook without labels.
func LabelsPath(h *handbook.Handbook, lang string) string {
	if h.Labels == nil {
		return ""
	}
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.LabelsFile)
}

// Labels renders the labels of a language, to be printed on sheets of them.
func (r *Renderer) Labels(lang string) (Output, error) {
	w := r.newWriter(nil, LabelsPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Title = "labels", w.words.Word("labels.title")
	s.Named = true
	s.Look, s.Print = []theme.StyleEntry{theme.LabelStyle}, ""
	s.Models, s.Jobs = nil, "" // a page for the printer has no bar
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, LabelsPath(r.book, other)))
		}
	}
	for _, p := range r.book.Pages {
		w.readTitle(p)
	}
	for _, m := range r.book.Models {
		w.model(m)
	}
	l := r.book.Labels
	v := labelsView{Words: w.words, Book: s.Book}
	var labels []labelView
	for _, label := range r.book.LabelsIn(lang) {
		c, err := l.Code(label.Address)
		if err != nil {
			return Output{}, fmt.Errorf("%s: %w", w.path, err)
		}
		picture, err := c.PNG()
		if err != nil {
			return Output{}, fmt.Errorf("%s: %w", w.path, err)
		}
		labels = append(labels, labelView{label, template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(picture)), c.Modules()})
	}
	v.Sheets = slices.Collect(slices.Chunk(labels, l.Columns*l.Rows))
	w.template("labels", v)
	return w.finish(s)
}

// labelSize are the rules of that page's style that give its labels their size.
func (r *Renderer) labelSize() []byte {
	l := r.book.Labels
	rules := fmt.Appendf(nil, ".labels li{width:%s;height:%s}.labels img{width:%s;height:%[3]s}", mm(l.Width), mm(l.Height), mm(l.CodeSide()))
	if !l.Beside() {
		rules = fmt.Append(rules, ".labels li{flex-direction:column}")
	}
	return fmt.Appendf(rules, "@page{size:%s %s;margin:0}@media print{.labels{grid:auto-flow %s/repeat(%d,%s);column-gap:%s;padding:%s 0 0 %s}}",
		mm(l.Paper.Width), mm(l.Paper.Height), mm(l.Height), l.Columns, mm(l.Width), mm(l.Gap), mm(l.Top()), mm(l.Left()))
}

// mm writes a length of a style sheet, to the hundredth.
func mm(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) + "mm" }
