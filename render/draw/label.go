package draw

import (
	"math"
	"slices"
	"strings"
)

// widthOf estimates how wide a text is. Digits and small letters of the sans
// serif fonts of phones are about 0.55 of the font's height wide, bold ones 0.6;
// from Hangul and the CJK scripts on, a letter is as wide as it is high.
func widthOf(s string) (width float64) {
	for _, r := range s {
		if r >= 0x1100 && (r < 0x2000 || r >= 0x2E80) {
			width += letters
		} else {
			width += 0.6 * letters
		}
	}
	return width
}

// wrap breaks a text into lines at its spaces, and a word that is too long for
// a line where it must.
func wrap(s string, width float64) (lines []string) {
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && widthOf(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		for _, r := range word {
			if line != "" && widthOf(line+string(r)) > width {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func writeText(b *strings.Builder, x, y float64, s string) {
	b.WriteString(`<text x="` + list(x) + `" y="` + list(y) + `">` + text(s) + "</text>")
}

// writeLabels writes the labels of bands where they cover least of the line,
// the limits, the mark and each other. Behind the letters is a stroke in the colour of the
// sheet.
func (f frame) writeLabels(b *strings.Builder, bands []area, line [][]spot, m mark) {
	avoid := slices.Clone(line)
	var taken []box
	if m.seen {
		taken = append(taken, box{m.x, m.y, m.x, m.y}.grown(10))
		avoid = append(avoid, []spot{{f.left, m.y}, m.spot, {m.x, f.bottom()}})
	}
	for _, a := range bands {
		avoid = append(avoid, a.limits()...)
	}
	for _, a := range bands {
		width := f.width * 2 / 3
		if a.upright {
			width = max(a.right-a.left-10, f.width/3)
		}
		lines := wrap(a.label, width)
		if len(lines) == 0 {
			continue
		}
		size := 0.0
		for _, l := range lines {
			size = max(size, widthOf(l))
		}
		at := f.place(a, size, float64(len(lines))*lineOf, avoid, taken)
		taken = append(taken, at.box)
		if a.crowded {
			taken = append(taken, at.reach.grown(6))
			b.WriteString(`<path class="plot-band"` + a.models + ` fill="none" stroke="currentColor" stroke-width="1.5" d="` + a.arrows(at.reach) + "\"/>\n")
		}
		b.WriteString(`<g class="plot-label"` + a.models + ` text-anchor="middle" font-weight="600" stroke="none" stroke-width="4" paint-order="stroke">`)
		for i, l := range lines {
			writeText(b, (at.left+at.right)/2, at.top+lineOf*float64(i)+letters-1, l)
		}
		b.WriteString("</g>\n")
	}
}

// setting is where a label stands. Where bands overlap, reach is the line beside
// it that tells how far its band reaches.
type setting struct {
	box
	reach box
}

// settings returns where a label of a size may stand, the better places first:
// inside its band, near a limit, before beside it.
func (f frame) settings(a area, width, height float64) (list []setting) {
	const gap = 5
	add := func(x, y float64, reach box) {
		x, y = max(f.left, min(f.right()-width, x)), max(f.top, min(f.bottom()-height, y))
		list = append(list, setting{box{x, y, x + width, y + height}, reach})
	}
	switch {
	case a.upright && a.crowded:
		for y := f.top + gap; y < max(f.top+2*gap, f.bottom()-height); y += lineOf {
			reach := box{a.left, y + height/2, a.right, y + height/2}
			add(a.right+gap, y, reach)
			add(a.left-gap-width, y, reach)
		}
	case a.crowded:
		for x := f.right() - gap - width; x-gap > f.left; x -= 2 * lineOf {
			reach := box{x - gap, a.top, x - gap, a.bottom}
			add(x, a.top+gap, reach)
			add(x, a.bottom-gap-height, reach)
			add(x, (a.top+a.bottom-height)/2, reach)
		}
	case a.upright:
		for _, x := range [...]float64{(a.left + a.right - width) / 2, a.right + gap, a.left - gap - width} {
			for _, y := range [...]float64{f.top + gap, f.bottom() - gap - height, (f.top + f.bottom() - height) / 2} {
				add(x, y, box{})
			}
		}
	default:
		for _, y := range [...]float64{a.top + gap, a.bottom - gap - height, a.top - gap - height, a.bottom + gap} {
			for _, x := range [...]float64{f.right() - gap - width, f.left + gap, (f.left + f.right() - width) / 2} {
				add(x, y, box{})
			}
		}
	}
	return list
}

// place returns the setting that covers least.
func (f frame) place(a area, width, height float64, lines [][]spot, taken []box) (best setting) {
	least := math.MaxInt
	for _, s := range f.settings(a, width, height) {
		n := covered(s.box, lines, taken)
		if a.crowded {
			n += covered(s.reach.grown(6), nil, taken)
		}
		if n < least {
			best, least = s, n
		}
	}
	return best
}

// covered counts what a box would cover: places on lines, two units apart,
// and, counting for more than any line, what is taken.
func covered(at box, lines [][]spot, taken []box) (n int) {
	for _, t := range taken {
		if at.meets(t) {
			n += 1000
		}
	}
	for _, piece := range lines {
		for i, s := range piece {
			from := piece[max(0, i-1)]
			steps := 1 + int(max(math.Abs(s.x-from.x), math.Abs(s.y-from.y))/2)
			for k := range steps {
				t := float64(k+1) / float64(steps)
				x, y := from.x+(s.x-from.x)*t, from.y+(s.y-from.y)*t
				if at.meets(box{x, y, x, y}.grown(3)) {
					n++
				}
			}
		}
	}
	return n
}
