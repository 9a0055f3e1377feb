package draw

import (
	"cmp"
	"math"
	"strings"
)

// Ticks returns the ticks along X in its first unit: where a table of the plot
// is best computed.
func (p Plot) Ticks() []float64 {
	values, _ := ticks(p.xRange())
	return values
}

// Decimals returns how many decimals the multiples of a step need.
func Decimals(step float64) int {
	for n := range 12 {
		if v := step * math.Pow10(n); math.Abs(v-math.Round(v)) < 1e-6*v {
			return n
		}
	}
	return 12
}

// pace is a step of ticks, times · 10^power; kept in two parts, its multiples are
// the floats nearest to their decimals.
type pace struct {
	times float64
	power int
}

func (p pace) at(k float64) float64 {
	if p.power < 0 {
		return k * p.times / math.Pow10(-p.power)
	}
	return k * p.times * math.Pow10(p.power)
}

// The steps are 1, 2 or 5 times a power of ten: P. Heckbert, Nice Numbers for
// Graph Labels, in Graphics Gems (1990). 2.5 is tried last: it is for the few
// ranges in which a step of 2 makes more than seven ticks and one of 5 only
// three, as 2 to 16.
var times = [...]float64{1, 2, 5, 2.5}

// hair is the part of a step that an end of a range may miss a tick by, lest
// rounding lose it.
const hair = 1e-6

// ticks returns the multiples of a nice step in a range that is wide, 4 to 7 of them, and
// the step.
func ticks(lo, hi float64) (values []float64, step float64) {
	for power := firstPower(lo, hi); ; power++ {
		for _, t := range times {
			p := pace{t, power}
			first, last := math.Ceil(lo/p.at(1)-hair), math.Floor(hi/p.at(1)+hair)
			if n := last - first + 1; n < 4 || n > 7 {
				continue
			}
			for k := first; k <= last; k++ {
				values = append(values, min(hi, max(lo, p.at(k)+0)))
			}
			return values, p.at(1)
		}
	}
}

// niceRange widens a range to multiples of the step that then makes 4 to 7
// ticks.
func niceRange(lo, hi float64) (float64, float64) {
	for power := firstPower(lo, hi); ; power++ {
		for _, t := range times[:3] {
			p := pace{t, power}
			first, last := math.Floor(lo/p.at(1)+hair), math.Ceil(hi/p.at(1)-hair)
			if last-first <= 6 {
				return p.at(first) + 0, p.at(last) + 0
			}
		}
	}
}

// firstPower is of a step that is too small.
func firstPower(lo, hi float64) int { return int(math.Floor(math.Log10(hi-lo))) - 2 }

// scale is an axis in one of its units.
type scale struct {
	label  []string // the axis's label in lines
	system string
	ticks  []tick
}

type tick struct {
	at   float64 // in the first unit
	text string
}

// scales returns an axis over a range, in each of its units.
func (a Axis) scales(lo, hi float64) []scale {
	var list []scale
	for i, u := range a.Units {
		label := a.Label
		if u.Symbol != "" {
			label += cmp.Or(a.Comma, ", ") + u.Symbol
		}
		s := scale{label: wrap(label, pictureWidth-2*edge), system: u.System}
		from, to, inFirst := lo, hi, func(v float64) float64 { return v }
		if i > 0 {
			from, to = u.Convert(lo), u.Convert(hi)
			inFirst = func(v float64) float64 { return inverse(u.Convert, lo, hi, v) }
		}
		if !usable(from) || !usable(to) || !wide(min(from, to), max(from, to)) {
			list = append(list, s) // a unit that does not reach so far
			continue
		}
		values, step := ticks(min(from, to), max(from, to))
		for _, v := range values {
			s.ticks = append(s.ticks, tick{inFirst(v), u.Format(v, step)})
		}
		list = append(list, s)
	}
	return list
}

// inverse returns where between lo and hi a rising or falling function has a
// value, by bisection, so that a unit need not tell its inverse: wire sizes
// have none that is simple.
func inverse(convert func(float64) float64, lo, hi, v float64) float64 {
	if convert(lo) > convert(hi) {
		lo, hi = hi, lo
	}
	for range 60 {
		middle := lo + (hi-lo)/2
		if convert(middle) < v {
			lo = middle
		} else {
			hi = middle
		}
	}
	return hi
}

// uprightTicks draws the ticks along X: grid, numbers, and the label below.
func (f frame) uprightTicks(b *strings.Builder, s scale, first bool) {
	openTicks(b, "x", s, first)
	var grid strings.Builder
	for _, t := range s.ticks {
		grid.WriteString("M" + list(f.x(t.at), f.top) + "V" + list(f.bottom()+5))
	}
	b.WriteString(grid.String() + `"/><g text-anchor="middle">`)
	need, last := widest(s.ticks)+letters/2, math.Inf(-1)
	for _, t := range s.ticks {
		if x := f.x(t.at); math.Abs(x-last) >= need { // numbers that would touch are left out
			writeText(b, x, f.bottom()+lineOf+2, t.text)
			last = x
		}
	}
	b.WriteString(`</g><g text-anchor="end">`)
	for i, line := range s.label {
		end := max(f.right(), edge+widthOf(line)) // a long one needs the margin too
		writeText(b, end, f.bottom()+lineOf*float64(i+2)+4, line)
	}
	b.WriteString("</g></g>\n")
}

// acrossTicks draws the ticks along Y: grid, numbers, and the label above.
func (f frame) acrossTicks(b *strings.Builder, s scale, first bool) {
	openTicks(b, "y", s, first)
	for _, t := range s.ticks {
		b.WriteString("M" + list(f.left-5, f.y(t.at)) + "H" + list(f.right()))
	}
	b.WriteString(`"/><g text-anchor="end">`)
	for _, t := range s.ticks {
		writeText(b, f.left-8, f.y(t.at)+letters/3, t.text)
	}
	b.WriteString("</g>")
	for i, line := range s.label {
		writeText(b, edge, lineOf*float64(i+1)-2, line)
	}
	b.WriteString("</g>\n")
}

func openTicks(b *strings.Builder, axis string, s scale, first bool) {
	b.WriteString(`<g class="ticks" data-axis="` + axis + `"`)
	if s.system != "" {
		b.WriteString(` data-system="` + text(s.system) + `"`)
	}
	if !first {
		b.WriteString(` display="none"`)
	}
	b.WriteString(`><path class="plot-grid" stroke="currentColor" d="`)
}
