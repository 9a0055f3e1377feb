package field

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"benchleaf/render/draw"
)

// Picture is an SVG with the words above it.
type Picture struct{ Caption, SVG string }

// scaleOf is the end of the scale on which a section's shares are drawn: the next
// tenth above the highest.
func scaleOf(shares []Share, written []float64) float64 {
	highest := 0.0
	for i, s := range shares {
		highest = max(highest, s.High, written[i])
	}
	return min(1, math.Ceil(10*highest)/10)
}

// whisker draws a share with its interval on a scale from 0 to an end, and a
// stroke where the author's frequency puts it.
func whisker(s Share, written, end float64) Picture {
	x := func(share float64) string { return strconv.FormatFloat(5+150*share/end, 'f', 1, 64) }
	return Picture{"0 to " + trimmed(100*end) + " %", `<svg xmlns="http://www.w3.org/2000/svg" class="whisker" viewBox="0 0 160 20" role="img" aria-label="` +
		percent(s.Mean) + ` %, from ` + percent(s.Low) + ` to ` + percent(s.High) + `; written ` + percent(written) + ` %">` +
		`<path class="track" d="M5 10H155M5 6V14M80 7V13M155 6V14"/>` +
		`<path class="written" d="M` + x(written) + ` 2V18"/>` +
		`<path class="interval" d="M` + x(s.Low) + ` 10H` + x(s.High) + `"/>` +
		`<circle cx="` + x(s.Mean) + `" cy="10" r="4"/></svg>`}
}

// histogram draws how many values each bin has, with the limits as a band;
// nothing where there are no limits, or no values.
func (s *Sum) histogram(number int, k readingKey) Picture {
	c := s.readings[k]
	drawn := 0
	for _, n := range c.bins {
		drawn += n
	}
	if !k.limited() || drawn == 0 {
		return Picture{}
	}
	_, width := k.scale()
	first, last := k.drawn(c.bins)
	points := []draw.Point{{X: k.edge(first), Y: 0}}
	for bin := first; bin <= last; bin++ {
		// The end bins reach to infinity; they are drawn as wide as the others.
		points = append(points, draw.Point{X: k.edge(bin), Y: float64(c.bins[bin])}, draw.Point{X: k.edge(bin + 1), Y: float64(c.bins[bin])})
	}
	points = append(points, draw.Point{X: k.edge(last + 1), Y: 0})
	plain := func(v, step float64) string { return strconv.FormatFloat(v, 'f', draw.Decimals(step), 64) }
	p := draw.Plot{
		ID: "readings-" + strconv.Itoa(number),
		X:  draw.Axis{Label: s.specTitle(k), Units: []draw.AxisUnit{{Symbol: k.unit, Format: plain}}},
		Y: draw.Axis{Label: "Readings", Units: []draw.AxisUnit{{Format: func(v, step float64) string {
			if v != math.Trunc(v) {
				return "" // half a reading is none
			}
			return plain(v, step)
		}}}},
		Points: points,
		Bands:  []draw.Band{{From: k.min, To: k.max, Upright: true, Label: "within limits"}},
		Title:  s.specTitle(k) + ", " + modelText(k.model),
		Desc: fmt.Sprintf("Histogram of %d values in steps of %s %s; a step at either end of the whole range holds all that lies farther out. %s",
			drawn, trimmed(width), k.unit, k.limitsText()),
	}
	return Picture{modelText(k.model) + ". " + k.limitsText(), p.SVG()}
}

// drawn returns the first and the last bin worth drawing: those between the
// limits with two on either side, and all that hold anything.
func (k readingKey) drawn(bins [binCount]int) (first, last int) {
	first, last = binsBeside-1, binsBeside+binsWithin+2
	for bin, n := range bins {
		if n != 0 {
			first, last = min(first, bin), max(last, bin)
		}
	}
	return first, last
}

func (k readingKey) limitsText() string {
	var limits []string
	if !math.IsInf(k.min, 0) {
		limits = append(limits, "at least "+trimmed(k.min)+" "+k.unit)
	}
	if !math.IsInf(k.max, 0) {
		limits = append(limits, "at most "+trimmed(k.max)+" "+k.unit)
	}
	return "Limits: " + strings.Join(limits, ", ") + "."
}

// modelText is a model as tables have it.
func modelText(model string) string {
	if model == "" {
		return none
	}
	return model
}

// blocks are bars of letters, an eighth of a line more each.
var blocks = []rune(" ▁▂▃▄▅▆▇█")

// bars draws the histogram in one line of text, with the limits as brackets.
func (s *Sum) bars(k readingKey) string {
	c := s.readings[k]
	most := 0
	for _, n := range c.bins {
		most = max(most, n)
	}
	if !k.limited() || most == 0 {
		return ""
	}
	var b strings.Builder
	for bin, n := range c.bins {
		switch {
		case bin > 0 && math.Abs(k.edge(bin)-k.min) < 1e-9*(1+math.Abs(k.min)):
			b.WriteByte('[')
		case bin > 0 && math.Abs(k.edge(bin)-k.max) < 1e-9*(1+math.Abs(k.max)):
			b.WriteByte(']')
		}
		level := 0
		if n > 0 {
			level = max(1, n*(len(blocks)-1)/most)
		}
		b.WriteRune(blocks[level])
	}
	return b.String()
}
