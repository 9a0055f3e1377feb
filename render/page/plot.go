package page

import (
	"html/template"
	"math"
	"strconv"

	"benchleaf/calc/unit"
	"benchleaf/render/draw"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// plotView is a calculator's picture with its values as a table.
type plotView struct {
	*theme.Words
	ID, Calculator string // anchors
	Over, Show     int
	Min, Max       string // of the input, in SI
	Picture        template.HTML
	Title          string
	X, Y           string // heads of the table
	Titled, Own    bool   // the title, and the names of quantities, are the author's
	Rows           [][2]string
}

func (w *writer) plot(p *handbook.Plot) {
	now := w.page.Inputs(p.Calculator)[p.Over]
	w.plotted(p, &draw.Point{X: now, Y: w.page.Value(p, now)}, nil)
}

// plotted draws a plot with a mark, or nil, and spots, all of them in SI.
func (w *writer) plotted(p *handbook.Plot, mark *draw.Point, spots []draw.Point) {
	w.charted = true
	c := p.Calculator.Calc
	x, y := c.Inputs[p.Over], c.Results[p.Show]
	xName, yName := w.quantityName(c, x), w.quantityName(c, y)
	v := plotView{
		Words: w.words, ID: p.ID, Calculator: p.Calculator.ID, Over: p.Over, Show: p.Show,
		Min: exact(p.Min), Max: exact(p.Max), Title: p.Title, Titled: p.Title != "", Own: c.Own(),
	}
	if v.Title == "" {
		v.Title = w.words.Fill("plot.against", "x", xName, "y", yName)
	}
	picture := draw.Plot{ID: p.ID, X: w.axis(xName, x.Unit), Y: w.axis(yName, y.Unit), Title: v.Title}
	xUnit, yUnit := axisUnit(x.Unit, w.book.System), axisUnit(y.Unit, w.book.System)
	for i := range handbook.PlotPoints {
		si := p.Min + (p.Max-p.Min)*float64(i)/(handbook.PlotPoints-1)
		picture.Points = append(picture.Points, draw.Point{X: xUnit.FromSI(si), Y: yUnit.FromSI(w.page.Value(p, si))})
	}
	for _, s := range p.Limits {
		across := s.Unit.Kind == y.Unit.Kind
		own := yUnit
		if !across {
			own = xUnit
		}
		groups := w.groups(s)
		for _, g := range groups {
			if g.Limit.Min == nil && g.Limit.Max == nil {
				continue
			}
			b := draw.Band{From: math.Inf(-1), To: math.Inf(1), Upright: !across, Label: w.in(s.Title), Models: g.IDs()}
			if g.Limit.Min != nil {
				b.From = own.FromSI(s.Unit.ToSI(g.Limit.Min.Value))
			}
			if g.Limit.Max != nil {
				b.To = own.FromSI(s.Unit.ToSI(g.Limit.Max.Value))
			}
			if len(groups) > 1 {
				b.Label = w.modelNames(g.Models)
				if g.Ranged() {
					b.Label += ": " + g.Text
				}
			}
			picture.Bands = append(picture.Bands, b)
		}
	}
	inUnits := func(si draw.Point) draw.Point { return draw.Point{X: xUnit.FromSI(si.X), Y: yUnit.FromSI(si.Y)} }
	if mark != nil {
		now := inUnits(*mark)
		picture.Mark = &now
	}
	for _, s := range spots {
		picture.Spots = append(picture.Spots, inUnits(s))
	}
	v.X, v.Y = withUnit(xName+",", xUnit), withUnit(yName+",", yUnit)
	if unitSymbol(xUnit) == "" {
		v.X = xName
	}
	if unitSymbol(yUnit) == "" {
		v.Y = yName
	}
	for _, t := range picture.Ticks() {
		if si := xUnit.ToSI(t); si >= p.Min && si <= p.Max {
			v.Rows = append(v.Rows, [2]string{decimal(strconv.FormatFloat(t, 'f', -1, 64), w.lang), unit.FormatIn(yUnit.FromSI(w.page.Value(p, si)), 3, w.lang)})
		}
	}
	for i, r := range v.Rows {
		if i > 0 {
			picture.Desc += "; "
		}
		picture.Desc += withUnit(r[0], xUnit) + ": " + withUnit(r[1], yUnit)
	}
	v.Picture = template.HTML(picture.SVG())
	w.template("plot", v)
}

// axisUnit is the unit of an axis in a system: sizes of the wire gauge are names
// and no scale, so that an area stays one.
func axisUnit(u unit.Unit, s unit.System) unit.Unit {
	if u.In(s).IsGauge() {
		return u.In(unit.Metric)
	}
	return u.In(s)
}

// axis is a quantity's axis, first in the handbook's system of units.
func (w *writer) axis(name string, u unit.Unit) draw.Axis {
	first := axisUnit(u, w.book.System)
	other := unit.Metric
	if w.book.System == unit.Metric {
		other = unit.Inch
	}
	format := func(v, step float64) string {
		return decimal(strconv.FormatFloat(v, 'f', draw.Decimals(step), 64), w.lang)
	}
	a := draw.Axis{Label: name, Comma: w.words.Word("list.comma"), Units: []draw.AxisUnit{{Symbol: unitSymbol(first), Format: format}}}
	if second := axisUnit(u, other); second != first {
		a.Units[0].System = string(w.book.System)
		a.Units = append(a.Units, draw.AxisUnit{
			Symbol: unitSymbol(second), System: string(other), Format: format,
			Convert: func(v float64) float64 { return second.FromSI(first.ToSI(v)) },
		})
	}
	return a
}

func exact(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
