package draw

import (
	"math"
	"strings"
)

// bend is the radius of a line's corners. They show which way it turns where
// lines meet.
const bend = 6

// write draws the lines, then what a reader meets.
func (c column) write(b *pen) {
	var path, heads strings.Builder
	for _, l := range c.lines {
		path.WriteString(bent(l.spots))
		heads.WriteString(head(l.spots))
	}
	if path.Len() > 0 {
		b.WriteString(`<path fill="none" stroke="currentColor" stroke-width="1.5" d="` + path.String() + "\"/>\n")
	}
	if over := c.crossings(); over != "" {
		b.WriteString(`<path class="flow-gap" fill="none" stroke="none" stroke-width="7" d="` + over + "\"/>" +
			`<path fill="none" stroke="currentColor" stroke-width="1.5" d="` + over + "\"/>\n")
	}
	if heads.Len() > 0 {
		b.WriteString(`<path d="` + heads.String() + "\"/>\n")
	}
	for _, item := range c.order {
		switch item := item.(type) {
		case flowBox:
			item.write(b)
		case flowLabel:
			item.write(b)
		}
	}
}

// bent is the path of a line with round corners, which are alike and so written from
// where they begin.
func bent(spots []spot) string {
	from := spots[0]
	d := "M" + list(from.x, from.y)
	for i, at := range spots[1:] {
		if i == len(spots)-2 {
			return d + straight(from, at)
		}
		before, after := toward(at, spots[i]), toward(at, spots[i+2])
		d += straight(from, before) + "q" + list(at.x-before.x, at.y-before.y, after.x-before.x, after.y-before.y)
		from = after
	}
	return d
}

// straight is the path from one spot to another.
func straight(from, to spot) string {
	switch {
	case from.x == to.x:
		return "V" + list(to.y)
	case from.y == to.y:
		return "H" + list(to.x)
	}
	return "L" + list(to.x, to.y)
}

// toward is the spot at the distance of a bend, or half way.
func toward(from, to spot) spot {
	length := math.Hypot(to.x-from.x, to.y-from.y)
	if length == 0 {
		return from
	}
	t := min(bend, length/2) / length
	return spot{from.x + (to.x-from.x)*t, from.y + (to.y-from.y)*t}
}

// head is the arrow at the end of a line, which is upright or level.
func head(spots []spot) string {
	from, at := spots[len(spots)-2], spots[len(spots)-1]
	const half = 5
	switch {
	case at.x > from.x:
		return "M" + list(at.x, at.y) + "l" + list(-arrowLength, -half) + "v" + list(2*half) + "z"
	case at.x < from.x:
		return "M" + list(at.x, at.y) + "l" + list(arrowLength, -half) + "v" + list(2*half) + "z"
	}
	return "M" + list(at.x, at.y) + "l" + list(-half, -arrowLength) + "h" + list(2*half) + "z"
}

// crossings returns a short level stroke wherever a line crosses a lane: the
// lane passes under it.
func (c column) crossings() (path string) {
	seen := map[spot]bool{}
	for _, l := range c.lines {
		for i := 1; i < len(l.spots); i++ {
			a, b := l.spots[i-1], l.spots[i]
			if a.y != b.y {
				continue
			}
			for _, x := range c.passed(min(a.x, b.x), max(a.x, b.x), a.y) {
				if at := (spot{x, a.y}); !seen[at] {
					seen[at] = true
					path += "M" + list(x-4, a.y) + "h8"
				}
			}
		}
	}
	return path
}

// passed returns where upright strokes pass a level one; strokes that only meet
// it do not.
func (c column) passed(lo, hi, y float64) (xs []float64) {
	for _, l := range c.lines {
		for i := 1; i < len(l.spots); i++ {
			a, b := l.spots[i-1], l.spots[i]
			if a.x == b.x && lo < a.x && a.x < hi && min(a.y, b.y) < y && y < max(a.y, b.y) {
				xs = append(xs, a.x)
			}
		}
	}
	return xs
}
