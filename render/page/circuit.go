package page

import (
	"strconv"

	"benchleaf/calc/unit"
	"benchleaf/render/circuit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// circuitView is a circuit as tables: what each point reads to ground in each
// engine state, and what lies between the points.
type circuitView struct {
	*theme.Words
	Title, Caption string
	States         []string
	Points         []pointView
	Elements       []elementView
}

type pointView struct {
	Name, Title, Wire string
	Volts             []string
}

type elementView struct{ From, To, Title string }

func (w *writer) circuit(c *handbook.Circuit) {
	w.reads.add(ReadCircuit, c.ID)
	v := circuitView{Words: w.words, Title: c.Title.In(w.lang)}
	v.Caption = w.words.Fill("circuit.volts", "title", v.Title, "ground", c.Points[c.Ground].Name)
	for _, s := range c.States {
		v.States = append(v.States, w.state(s).Title.In(w.lang))
	}
	for i, p := range c.Points {
		view := pointView{Name: p.Name, Title: p.Title.In(w.lang), Wire: p.Wire.In(w.lang)}
		for _, s := range c.States {
			view.Volts = append(view.Volts, w.voltsAt(c, s, i))
		}
		v.Points = append(v.Points, view)
	}
	for _, e := range c.Elements {
		v.Elements = append(v.Elements, elementView{c.Points[e.From].Name, c.Points[e.To].Name, e.Title.In(w.lang)})
	}
	w.template("circuit", v)
}

// voltsAt is what a voltmeter reads at a point of the sound circuit, for all models
// of the page: one figure, or the least and the greatest.
func (w *writer) voltsAt(c *handbook.Circuit, s *handbook.State, point int) string {
	models := w.page.Applicability
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	volt, _ := unit.Lookup("V")
	digits := 2
	if m, ok := w.book.Meter(volt); ok && m.Resolution > 0 {
		w.reads.add(ReadMeter, volt.Symbol)
		digits = max(0, decimalPlaces(m.Resolution*m.Unit.Factor))
	}
	var least, greatest float64
	for i, m := range models {
		r, err := c.Network(m, s, nil, nil).Read(circuit.Volts, point, c.Ground)
		if err != nil {
			return "–" // the circuit has a remark that stopped the build
		}
		if i == 0 {
			least, greatest = r.Value, r.Value
		}
		least, greatest = min(least, r.Value), max(greatest, r.Value)
	}
	text := func(v float64) string { return figure(strconv.FormatFloat(v, 'f', digits, 64), w.lang) }
	low, high := text(least), text(greatest)
	if low == high {
		return withUnit(high, volt)
	}
	return w.words.Fill("limit.range", "min", low, "max", withUnit(high, volt))
}

// decimalPlaces is how many decimals a display has whose last digit is worth so much.
func decimalPlaces(digit float64) int {
	places := 0
	for ; digit < 0.999 && places < 6; digit *= 10 {
		places++
	}
	return places
}
