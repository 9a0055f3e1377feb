package draw

import (
	"math"
	"strings"
)

// area is what is seen of a band.
type area struct {
	box
	upright     bool
	first, last bool // whether the side at the left or at the bottom, and the other, is a limit
	label       string
	crowded     bool   // whether it overlaps another that is drawn the same way
	models      string // an attribute, or ""
}

// area returns the part of a band that is in the box.
func (f frame) area(band Band) (area, bool) {
	lo, hi := f.y0, f.y1
	if band.Upright {
		lo, hi = f.x0, f.x1
	}
	if !(band.From <= band.To && band.From <= hi && band.To >= lo) {
		return area{}, false
	}
	from, to := max(lo, band.From), min(hi, band.To)
	a := area{upright: band.Upright, first: from == band.From, last: to == band.To, label: band.Label}
	if band.Models != "" {
		a.models = ` data-model="` + text(band.Models) + `"`
	}
	if band.Upright {
		a.box = box{f.x(from), f.top, f.x(to), f.bottom()}
	} else {
		a.box = box{f.left, f.y(to), f.right(), f.y(from)}
	}
	return a, true
}

// limits returns the sides of an area that are limits.
func (a area) limits() (lines [][]spot) {
	from, to := spot{a.left, a.top}, spot{a.right, a.bottom}
	first, last := []spot{{from.x, to.y}, to}, []spot{from, {to.x, from.y}}
	if a.upright {
		first, last = []spot{from, {from.x, to.y}}, []spot{{to.x, from.y}, to}
	}
	if a.first {
		lines = append(lines, first)
	}
	if a.last {
		lines = append(lines, last)
	}
	return lines
}

// areas returns what is seen of bands.
func (f frame) areas(bands []Band) (list []area) {
	for _, band := range bands {
		if a, ok := f.area(band); ok {
			list = append(list, a)
		}
	}
	for i := range list {
		for j := range list {
			list[i].crowded = list[i].crowded || i != j && list[i].upright == list[j].upright && list[i].meets(list[j].box)
		}
	}
	return list
}

// draw draws a band as an area with a line at each limit, hatched where it is by
// itself.
func (a area) draw(b *strings.Builder) {
	b.WriteString(`<g class="plot-band"` + a.models + `><path fill-opacity=".1" d="M` + list(a.left, a.top) + "H" + list(a.right) + "V" + list(a.bottom) + "H" + list(a.left) + `Z"/>`)
	if !a.crowded {
		b.WriteString(`<path stroke="currentColor" stroke-opacity=".4" d="` + a.hatch() + `"/>`)
	}
	b.WriteString(`<path stroke="currentColor" stroke-width="2" d="` + pathOf(a.limits()) + "\"/></g>\n")
}

// arrows returns a line over the reach of a band, with a head at each limit.
func (a area) arrows(reach box) string {
	from, to := spot{reach.left, reach.bottom}, spot{reach.right, reach.top}
	pieces := [][]spot{{from, to}}
	length := min(7, max(to.x-from.x, from.y-to.y)/3)
	head := func(at spot, along float64) {
		side, back := spot{at.x + along, at.y - 4}, spot{at.x + along, at.y + 4}
		if !a.upright {
			side, back = spot{at.x - 4, at.y - along}, spot{at.x + 4, at.y - along}
		}
		pieces = append(pieces, []spot{side, at, back})
	}
	if a.first {
		head(from, length)
	}
	if a.last {
		head(to, -length)
	}
	return pathOf(pieces)
}

// hatch returns slanted strokes over an area; on each, x + y is the same.
func (a area) hatch() string {
	const pitch = 9
	var b strings.Builder
	for sum := pitch * math.Ceil((a.left+a.top)/pitch); sum < a.right+a.bottom; sum += pitch {
		from, to := max(a.left, sum-a.bottom), min(a.right, sum-a.top)
		b.WriteString("M" + list(from, sum-from) + "L" + list(to, sum-to))
	}
	return b.String()
}
