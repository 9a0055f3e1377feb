package page

import (
	"html/template"
	"strconv"

	"benchleaf/calc/unit"
	"benchleaf/render/draw"
	"benchleaf/render/handbook"
)

// timingView is a stopwatch.
type timingView struct {
	readingView
	Against    string // what it is judged by: a specification's id, or the name of a calculator whose curve it is
	Start      string
	Marks      []markView
	Limit      any    // of a timing with a tolerance
	Tolerance  string // as a share
	Calculator string // whose curve says when a mark is expected: its anchor, or ""
	By         string // and its title
	Plot       template.HTML
}

// markView is a mark as a row of the table. Level is the value of the curve's
// result, in SI, and At the same as the author has it.
type markView struct{ ID, Title, At, Level, Expected string }

// timing writes a stopwatch: without script a table to write the times in.
func (w *writer) timing(r *handbook.Reading) {
	t := r.Timing
	v := timingView{readingView: w.reading(r), Start: t.Start}
	w.timed = true
	own, _ := unit.Lookup("s")
	if r.Spec != nil {
		own, v.Against = r.Spec.Unit, r.Spec.ID
	} else {
		v.Against = t.Curve.Calculator.Calc.Name
	}
	v.Unit = unitSymbol(own)
	var spots []draw.Point // in SI
	var last float64
	for _, m := range t.Marks {
		row := markView{ID: m.ID, Title: m.Title}
		if m.Text != "" {
			last, _ = w.page.Reached(t.Curve, m.At)
			spots = append(spots, draw.Point{X: last, Y: m.At})
			row.At, row.Level = decimal(m.Text, w.lang), exact(m.At)
			row.Expected = w.time(last, own)
		}
		v.Marks = append(v.Marks, row)
	}
	if t.Tolerance > 0 {
		v.Tolerance = exact(t.Tolerance)
		share := figure(strconv.FormatFloat(100*t.Tolerance, 'g', 6, 64), w.lang) + nbsp + "%"
		least, most := own.FromSI(last*(1-t.Tolerance)), own.FromSI(last*(1+t.Tolerance))
		span := w.words.Fill("limit.range", "min", unit.FormatIn(least, 3, w.lang), "max", withUnit(unit.FormatIn(most, 3, w.lang), own))
		if given := w.given(t); given != "" {
			span += " (" + given + ")"
		}
		v.Limit = w.words.Marked(w.words.Fill("timing.limit", "tolerance", share, "range", span))
	}
	if t.Curve != nil {
		v.Calculator, v.By = t.Curve.Calculator.ID, w.calculatorTitle(t.Curve.Calculator)
		v.Plot = w.html(func() { w.plotted(t.Curve, nil, spots) })
	}
	w.template("timing", v)
}

// given says for which values of what is read at the machine a timing's limits hold.
func (w *writer) given(t *handbook.Timing) string {
	var given []string
	for _, in := range t.Read(w.book) {
		q := in.Of.Calc.Inputs[in.Index]
		f, _ := w.field(in.Of, q, w.page.Inputs(in.Of)[in.Index])
		shown := f.Unit
		for _, u := range f.Units {
			if u.Selected {
				shown = u.Text
			}
		}
		given = append(given, f.Label+" "+w.leftToRight(f.Value+nbsp+shown))
	}
	return w.words.List(given...)
}

// time prints a computed time, which is in SI.
func (w *writer) time(si float64, in unit.Unit) string {
	return w.leftToRight(withUnit(unit.FormatIn(in.FromSI(si), 3, w.lang), in))
}
