package handbook

import (
	"fmt"
	"math"
	"strconv"

	"benchleaf/render/code"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// LabelsFile is the name of a language's page of labels, which lies beside its finder.
const LabelsFile = "labels.html"

// Labels are sheets of labels with codes that lead to pages. Lengths are in mm.
type Labels struct {
	Paper         Paper
	Columns, Rows int
	Width, Height float64 // of a label
	Gap           float64 // between columns

	pages              []labelPage
	procedures, models bool
}

// Paper is a size of paper in mm.
type Paper struct {
	Name          string
	Width, Height float64
}

// papers are those that labels are sold on: ISO 216, and ANSI Y14.1 size A.
var papers = []Paper{{"A4", 210, 297}, {"Letter", 215.9, 279.4}}

// labelPage is a place of the handbook that the author gives a label.
type labelPage struct {
	title Words
	page  *Page
	id    string // of a step or heading, or ""
}

// Label is one label.
type Label struct{ Title, Address string }

type labelsYAML struct {
	Place   remark.Place
	Paper   source.Text   `yaml:"paper,needed"`
	Columns number        `yaml:"columns,needed"`
	Rows    number        `yaml:"rows,needed"`
	Width   number        `yaml:"width,needed"`
	Height  number        `yaml:"height,needed"`
	Gap     number        `yaml:"gap"`
	Every   []source.Text `yaml:"every,needed unless pages"`
	Pages   []labelYAML   `yaml:"pages" noun:"a label"`
}

type labelYAML struct {
	Title Words       `yaml:"title"`
	Page  source.Text `yaml:"page,needed"`
}

// What `every` can be.
const (
	everyProcedure = "procedures"
	everyModel     = "models"
)

// The borders of a label that stay free: printers place a sheet with some 1 mm.
const labelBorder = 1.5

// leastModule is the least width of a module in mm that phones read from an arm's
// length off a printed label (common practice, no source).
const leastModule = 0.4

// labels takes the labels once the pages are known, and tells what is wrong with
// them.
func (r *resolver) labels() {
	y := r.labelled
	if y.Place.File == "" {
		return
	}
	before := len(r.remarks)
	if r.book.Address == "" && !r.addressWrong {
		r.remarks.Add(remark.KeyMissing, y.Place, "address", "a handbook with labels")
	}
	l := &Labels{Gap: y.Gap.between(&r.remarks, "width in mm", "2.5", 0, 100)}
	l.Columns = y.Columns.whole(&r.remarks)
	l.Rows = y.Rows.whole(&r.remarks)
	l.Width = y.Width.between(&r.remarks, "width in mm", "63.5", 1, 300)
	l.Height = y.Height.between(&r.remarks, "height in mm", "38.1", 1, 300)
	for _, p := range papers {
		if y.Paper.Value == p.Name {
			l.Paper = p
		}
	}
	if l.Paper.Name == "" && y.Paper.Given() {
		r.remarks.Add(remark.ValueChoice, y.Paper.Place, y.Paper.Value, "paper", "A4, Letter")
	}
	for _, every := range distinct(&r.remarks, y.Every) {
		switch every.Value {
		case everyProcedure:
			l.procedures = true
		case everyModel:
			l.models = true
		default:
			r.remarks.Add(remark.ValueChoice, every.Place, every.Value, "every", everyProcedure+", "+everyModel)
		}
	}
	// A label leads where a link in a file beside handbook.yaml would.
	from := newPageResolver(r, &Page{Source: &source.Page{Path: handbookFile}})
	for _, p := range y.Pages {
		if !p.Page.Given() {
			continue
		}
		switch to := from.relative(p.Page.Value, p.Page.Place); to.Kind {
		case ToPage:
			l.pages = append(l.pages, labelPage{p.Title, to.Page, to.ID})
		case ToAsset:
			r.remarks.Add(remark.LinkNowhere, p.Page.Place, p.Page.Value)
		}
	}
	r.remarks = append(r.remarks, from.remarks...)
	if len(r.remarks) > before || r.addressWrong || l.Columns*l.Rows == 0 || l.Width*l.Height == 0 {
		return // what follows hangs on these
	}
	r.labelsFit(l, y)
	r.book.Labels = l
}

// labelsFit holds the labels against their paper, and the codes against the labels.
func (r *resolver) labelsFit(l *Labels, y labelsYAML) {
	for _, way := range []struct {
		at         remark.Place
		what       string
		have, most float64
	}{
		{y.Columns.place, "columns", l.sheetWidth(), l.Paper.Width},
		{y.Rows.place, "rows", l.sheetHeight(), l.Paper.Height},
	} {
		// A tenth of a millimetre is rounding of inches.
		if way.have > way.most+0.1 {
			r.remarks.Add(remark.LabelSheet, way.at, way.what, millimetres(way.have), l.Paper.Name, millimetres(way.most))
		}
	}
	most := 0
	for _, lang := range r.book.Languages {
		for _, label := range r.book.labels(l, lang) {
			modules, err := code.MediumModules(label.Address)
			if err != nil {
				r.remarks.Add(remark.TextLimit, y.Place, "the address of a label", fmt.Sprintf("%d bytes", len(label.Address)), fmt.Sprint(code.MostBytes))
				return
			}
			most = max(most, modules)
		}
	}
	if need := float64(most) * leastModule; need > l.CodeSide() {
		r.remarks.Add(remark.LabelSmall, y.Height.place, millimetres(l.CodeSide()), millimetres(need))
	}
}

func (l *Labels) sheetWidth() float64 {
	return float64(l.Columns)*l.Width + float64(l.Columns-1)*l.Gap
}

func (l *Labels) sheetHeight() float64 { return float64(l.Rows) * l.Height }

// Left and Top are the margins of the paper.
func (l *Labels) Left() float64 { return max(0, l.Paper.Width-l.sheetWidth()) / 2 }

// Top is the margin above the first row.
func (l *Labels) Top() float64 { return max(0, l.Paper.Height-l.sheetHeight()) / 2 }

// Beside tells whether the words stand beside the code, else below it.
func (l *Labels) Beside() bool { return l.Width >= 1.5*l.Height }

// CodeSide is the width of the code with its quiet zone: what a label of this form
// has for it beside, or above, the words.
func (l *Labels) CodeSide() float64 {
	if l.Beside() {
		return min(l.Height-2*labelBorder, 0.6*l.Width)
	}
	return min(l.Width-2*labelBorder, 0.7*l.Height)
}

// Code returns the code for a label: the level that bears dirt best, as long as its
// modules are not too small.
func (l *Labels) Code(address string) (code.Code, error) {
	if c, err := code.Quartile(address); err == nil && float64(c.Modules())*leastModule <= l.CodeSide() {
		return c, nil
	}
	return code.Medium(address)
}

// LabelsIn returns the labels of a language: those that the author lists, then the
// procedures, then the models.
func (h *Handbook) LabelsIn(lang string) []Label {
	if h.Labels == nil {
		return nil
	}
	return h.labels(h.Labels, lang)
}

// LabelTitles are the titles that the author gives labels.
func (h *Handbook) LabelTitles() (titles []Words) {
	if h.Labels != nil {
		for _, p := range h.Labels.pages {
			titles = append(titles, p.title)
		}
	}
	return titles
}

func (h *Handbook) labels(l *Labels, lang string) (list []Label) {
	for _, p := range l.pages {
		page := h.sibling(p.page, lang)
		title := page.Title
		if p.title != nil {
			title = p.title.In(lang)
		}
		list = append(list, Label{title, h.At(page.Path, p.id)})
	}
	for _, p := range h.Pages {
		if l.procedures && p.Procedure != nil && !p.Index && p.Lang == lang {
			list = append(list, Label{p.Title, h.At(p.Path, "")})
		}
	}
	for _, m := range h.Models {
		if l.models {
			list = append(list, Label{m.Title.In(lang), h.At(h.finder(lang), "") + "?model=" + m.ID})
		}
	}
	return list
}

// sibling is a page in another language; the page itself where there is none.
func (h *Handbook) sibling(page *Page, lang string) *Page {
	for _, p := range h.Pages {
		if p.Key == page.Key && p.Lang == lang {
			return p
		}
	}
	return page
}

// whole returns a number of columns or rows; 0 with a remark where it is none.
func (n number) whole(remarks *remark.List) int {
	v := n.between(remarks, "number of columns or rows", "3", 1, 50)
	if v != math.Trunc(v) {
		remarks.Add(remark.ValueText, n.place, n.Text, "number of columns or rows", "3")
		return 0
	}
	return int(v)
}

func millimetres(v float64) string {
	return strconv.FormatFloat(math.Ceil(v*10-1e-9)/10, 'f', -1, 64) + " mm"
}
