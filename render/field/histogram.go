package field

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"benchleaf/render/draw"
)

// The bins: as many between the limits as beyond each, so that the limits are
// edges, and one at each end for all that lies farther out.
const (
	binsWithin = 8
	binsBeside = 8
	binCount   = 1 + binsBeside + binsWithin + binsBeside + 1
)

// scale returns where the bins between the limits begin, and how wide a bin is.
// One limit alone has the bins reach from it to 0 and as far beyond; a limit of
// 0 alone has bins of a tenth of the unit.
func (k readingKey) scale() (from, width float64) {
	switch low, high := !math.IsInf(k.min, 0), !math.IsInf(k.max, 0); {
	case low && high && k.max > k.min:
		return k.min, (k.max - k.min) / binsWithin
	case low && k.min != 0:
		return k.min, math.Abs(k.min) / binsWithin
	case high && k.max != 0:
		return k.max - math.Abs(k.max), math.Abs(k.max) / binsWithin
	case low:
		return 0, 0.1
	}
	return -0.1 * binsWithin, 0.1
}

// edge is the lower edge of a bin; the first and the last reach farther than
// theirs.
func (k readingKey) edge(bin int) float64 {
	from, width := k.scale()
	return from + float64(bin-1-binsBeside)*width
}

// bin returns the bin of a value. A value on a limit is within, so the bins up
// to the lower limit hold their lower edge, and those above hold their upper.
func (k readingKey) bin(v float64) int {
	from, width := k.scale()
	at := (v - from) / width
	n := math.Floor(at)
	if at > 0 && n == at {
		n--
	}
	n += 1 + binsBeside
	return int(max(0, min(binCount-1, n)))
}

func (s *Sum) binsTable() Table {
	t := Table{
		Name: "histogram", Title: "Histogram of the readings", Figures: true,
		Columns: columns("specification=Specification", "model=Model", "#min=Lower limit", "#max=Upper limit", "unit=Unit", "#from=From", "#to=To", "#readings=Readings"),
	}
	for _, k := range s.readingKeys() {
		if !k.limited() {
			continue
		}
		for bin, n := range s.readings[k].bins {
			from, to := "", ""
			if bin > 0 {
				from = trimmed(k.edge(bin))
			}
			if bin < binCount-1 {
				to = trimmed(k.edge(bin + 1))
			}
			t.Rows = append(t.Rows, []string{k.spec, modelText(k.model), trimmed(k.min), trimmed(k.max), k.unit, from, to, strconv.Itoa(n)})
		}
	}
	return t
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
