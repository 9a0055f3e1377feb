package draw

import (
	"math"
	"slices"
	"strings"
)

// label is the label of a band and where it stands.
type label struct {
	area
	lines []string
	setting
}

// setting is where a label may stand. Where bands overlap, a line over the reach
// of the band, and on to the label, tells whose label it is.
type setting struct {
	text        box
	reach, tail box // lines
	cost        int // what it covers of other lines, and how far off it is
}

// boxes is what a setting takes up of the picture.
func (s setting) boxes(crowded bool) []box {
	if !crowded {
		return []box{s.text}
	}
	return []box{s.text, s.reach.grown(6), s.tail.grown(2)}
}

// labels places the labels of bands where they cover least of the line, the
// limits, the mark and each other. Each goes to its best place in turn; of the
// turns, each label being first in one, the best is kept.
func (f frame) labels(bands []area, line [][]spot, m mark) (best []label) {
	avoid := slices.Clone(line)
	var taken []box
	if m.seen {
		taken = append(taken, box{m.x, m.y, m.x, m.y}.grown(10))
		avoid = append(avoid, []spot{{f.left, m.y}, m.spot, {m.x, f.bottom()}})
	}
	for _, a := range bands {
		avoid = append(avoid, a.limits()...)
	}
	var list []label
	var settings [][]setting
	for _, a := range bands {
		width := f.width * 2 / 3
		if a.upright {
			width = max(a.right-a.left-10, f.width/3)
		}
		lines := wrap(a.label, width)
		if len(lines) == 0 {
			continue
		}
		width = 0
		for _, l := range lines {
			width = max(width, widthOf(l))
		}
		list = append(list, label{area: a, lines: lines})
		settings = append(settings, f.settings(a, width, float64(len(lines))*lineOf, avoid))
	}
	least := math.MaxInt
	for first := range list {
		total, taken := 0, slices.Clone(taken)
		for k := range list {
			l := &list[(first+k)%len(list)]
			cost := l.place(settings[(first+k)%len(list)], taken)
			total += cost
			taken = append(taken, l.boxes(l.crowded)...)
		}
		if total < least {
			best, least = slices.Clone(list), total
		}
	}
	return best
}

// place gives a label the setting of least cost. To stand on what is taken costs
// more than to stand on any line.
func (l *label) place(settings []setting, taken []box) int {
	least := math.MaxInt
	for _, s := range settings {
		cost := s.cost
		for _, b := range s.boxes(l.crowded) {
			for _, t := range taken {
				if b.meets(t) {
					cost += 1000
				}
			}
		}
		if cost < least {
			l.setting, least = s, cost
		}
	}
	return least
}

// settings returns where a label of a size may stand, the better places first:
// inside its band, near a limit, before beside it.
func (f frame) settings(a area, width, height float64, avoid [][]spot) (list []setting) {
	const gap = 5
	add := func(x, y float64, reach, tail box) {
		x, y = max(f.left, min(f.right()-width, x)), max(f.top, min(f.bottom()-height, y))
		text := box{x, y, x + width, y + height}
		off := max(tail.right-tail.left, tail.bottom-tail.top) / 10
		list = append(list, setting{text, reach, tail, covered(text, avoid) + int(off)})
	}
	switch {
	case a.upright && a.crowded:
		for y := f.top + gap; y < max(f.top+2*gap, f.bottom()-height); y += lineOf {
			middle := y + height/2
			reach := box{a.left, middle, a.right, middle}
			for x := a.right + gap; x == a.right+gap || x+width <= f.right(); x += lineOf {
				add(x, y, reach, box{a.right, middle, x - gap/2, middle})
			}
			for x := a.left - gap - width; x == a.left-gap-width || x >= f.left; x -= lineOf {
				add(x, y, reach, box{x + width + gap/2, middle, a.left, middle})
			}
		}
	case a.crowded:
		for x := f.right() - gap - width; x-gap > f.left; x -= lineOf {
			line := x - gap
			reach := box{line, a.top, line, a.bottom}
			if a.bottom-a.top > height+2*gap {
				add(x, a.top+gap, reach, box{line, a.top, line, a.top})
				add(x, a.bottom-gap-height, reach, box{line, a.top, line, a.top})
			}
			for y := a.top - gap - height; y >= f.top; y -= lineOf {
				add(x, y, reach, box{line, y, line, a.top})
			}
			for y := a.bottom + gap; y+height <= f.bottom(); y += lineOf {
				add(x, y, reach, box{line, a.bottom, line, y + height})
			}
		}
	case a.upright:
		for _, x := range [...]float64{(a.left + a.right - width) / 2, a.right + gap, a.left - gap - width} {
			for _, y := range [...]float64{f.top + gap, f.bottom() - gap - height, (f.top + f.bottom() - height) / 2} {
				add(x, y, box{}, box{})
			}
		}
	default:
		for _, y := range [...]float64{a.top + gap, a.bottom - gap - height, a.top - gap - height, a.bottom + gap} {
			for _, x := range [...]float64{f.right() - gap - width, f.left + gap, (f.left + f.right() - width) / 2} {
				add(x, y, box{}, box{})
			}
		}
	}
	return list
}

// covered counts the places, two units apart, that a box covers of lines.
func covered(at box, lines [][]spot) (n int) {
	near := at.grown(3)
	for _, piece := range lines {
		for i, s := range piece {
			from := piece[max(0, i-1)]
			if !near.meets(box{min(from.x, s.x), min(from.y, s.y), max(from.x, s.x), max(from.y, s.y)}.grown(1)) {
				continue
			}
			steps := 1 + int(max(math.Abs(s.x-from.x), math.Abs(s.y-from.y))/2)
			for k := range steps {
				t := float64(k+1) / float64(steps)
				x, y := from.x+(s.x-from.x)*t, from.y+(s.y-from.y)*t
				if near.meets(box{x, y, x, y}) {
					n++
				}
			}
		}
	}
	return n
}

// draw writes a label. Behind the letters is a stroke in the colour of the sheet.
func (l label) draw(b *strings.Builder) {
	if l.crowded {
		b.WriteString(`<path class="plot-band"` + l.models + ` fill="none" stroke="currentColor" stroke-width="1.5" d="` + l.arrows(l.reach) +
			pathOf([][]spot{{{l.tail.left, l.tail.bottom}, {l.tail.right, l.tail.top}}}) + "\"/>\n")
	}
	b.WriteString(`<g class="plot-label"` + l.models + ` text-anchor="middle" font-weight="600" stroke="none" stroke-width="4" paint-order="stroke">`)
	for i, line := range l.lines {
		writeText(b, (l.text.left+l.text.right)/2, l.text.top+lineOf*float64(i)+letters-1, line)
	}
	b.WriteString("</g>\n")
}
