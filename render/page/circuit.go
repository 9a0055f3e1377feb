package page

import (
	"cmp"
	"html/template"
	"math"
	"slices"
	"strconv"

	"benchleaf/calc/unit"
	"benchleaf/render/circuit"
	"benchleaf/render/draw"
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
	Picture        template.HTML // its marks are the numbers of the elements
	Shows          string        // the model and the engine state of the picture
	Elements       []elementView
}

type pointView struct {
	Name, Title, Wire string
	Volts             []string
}

type elementView struct{ From, To, Title string }

func (w *writer) circuit(c *handbook.Circuit) {
	w.reads.add(ReadCircuit, c.ID)
	v := circuitView{Words: w.words, Title: w.in(c.Title)}
	v.Caption = w.words.Fill("circuit.volts", "title", v.Title, "ground", c.Points[c.Ground].Name)
	for _, s := range c.States {
		v.States = append(v.States, w.in(w.state(s).Title))
	}
	for i, p := range c.Points {
		view := pointView{Name: p.Name, Title: w.in(p.Title), Wire: w.in(p.Wire)}
		for _, s := range c.States {
			view.Volts = append(view.Volts, w.voltsAt(c, s, i))
		}
		v.Points = append(v.Points, view)
	}
	for _, e := range c.Elements {
		v.Elements = append(v.Elements, elementView{c.Points[e.From].Name, c.Points[e.To].Name, w.in(e.Title)})
	}
	ladder := w.ladder(c)
	v.Shows, v.Picture = ladder.Title, template.HTML(ladder.SVG())
	w.template("circuit", v)
}

// ladder is the circuit of the page's first model in the engine state in which it
// has most voltage, its points from the highest to the lowest.
func (w *writer) ladder(c *handbook.Circuit) (l draw.Ladder) {
	var model *handbook.Model
	if len(w.page.Applicability) > 0 {
		model = w.page.Applicability[0]
		l.Title = w.in(w.model(model).Title) + w.words.Word("list.comma")
	}
	var volts []float64
	var shown string
	most := -1.0
	for _, s := range c.States {
		state, err := c.Network(model, s, nil, nil).Solve()
		if err != nil {
			continue // the circuit has a remark that stopped the build
		}
		sum := 0.0
		for _, v := range state.Volts {
			sum += math.Abs(v)
		}
		if sum > most {
			most, volts, shown = sum, state.Volts, w.in(w.state(s).Title)
		}
	}
	order := make([]int, len(volts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(volts[b], volts[a]) })
	l.Title += shown
	rung := make([]int, len(volts))
	volt, _ := unit.Lookup("V")
	for i, point := range order {
		rung[point] = i
		l.Rungs = append(l.Rungs, draw.Rung{Name: c.Points[point].Name, Value: withUnit(w.volts(volts[point]), volt)})
	}
	for i, e := range c.Elements {
		l.Struts = append(l.Struts, draw.Strut{From: rung[e.From], To: rung[e.To], Mark: strconv.Itoa(i + 1), Source: e.Source()})
	}
	return l
}

// voltsAt is what a voltmeter reads at a point of the sound circuit, for all models
// of the page: one figure, or the least and the greatest.
func (w *writer) voltsAt(c *handbook.Circuit, s *handbook.State, point int) string {
	models := w.page.Applicability
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	volt, _ := unit.Lookup("V")
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
	low, high := w.volts(least), w.volts(greatest)
	if low == high {
		return withUnit(high, volt)
	}
	return w.words.Fill("limit.range", "min", low, "max", withUnit(high, volt))
}

// volts is a voltage as the handbook's voltmeter shows it.
func (w *writer) volts(v float64) string {
	digits := w.voltDigits()
	if math.Abs(v) < math.Pow10(-digits)/2 {
		v = 0 // without a sign
	}
	return figure(strconv.FormatFloat(v, 'f', digits, 64), w.lang)
}

// voltDigits is how many decimals the handbook's voltmeter shows.
func (w *writer) voltDigits() int {
	volt, _ := unit.Lookup("V")
	w.reads.add(ReadMeter, volt.Symbol)
	if m, ok := w.book.Meter(volt); ok && m.Resolution > 0 {
		return decimalPlaces(m.Resolution * m.Unit.Factor)
	}
	return 2
}

// decimalPlaces is how many decimals a display has whose last digit is worth so much.
func decimalPlaces(digit float64) int {
	places := 0
	for ; digit < 0.999 && places < 6; digit *= 10 {
		places++
	}
	return places
}
