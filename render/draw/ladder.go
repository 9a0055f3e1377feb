package draw

import (
	"slices"
	"strings"
)

// Ladder is a circuit as a ladder of potentials: a rung for each point, the highest
// on top, and upright between them what lies there.
type Ladder struct {
	Title  string // for who does not see it
	Rungs  []Rung // from the top
	Struts []Strut
}

// Rung is a point.
type Rung struct{ Name, Value string }

// Strut lies between two rungs, by their numbers. The mark is one or two
// characters, which a list beside the picture explains.
type Strut struct {
	From, To int
	Mark     string
	Source   bool
}

const (
	rungGap     = 30
	strutGap    = 40 // at most, from one column to the next
	strutWidth  = 26
	strutHeight = 20
)

// SVG draws the ladder. Struts that do not overlap share a column, so that what
// follows one another stands one below the other.
func (l Ladder) SVG() string {
	left, right := 0.0, 0.0
	for _, r := range l.Rungs {
		left, right = max(left, widthOf(r.Name)), max(right, widthOf(r.Value))
	}
	left, right = left+2*edge, pictureWidth-right-2*edge
	columns, count := l.columns()
	gap := min(strutGap, (right-left)/float64(count+1))
	right = min(right, left+gap*float64(count+1))
	y := func(rung int) float64 { return rungGap * (float64(rung) + 0.6) }
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="plot ladder" viewBox="0 0 ` + list(pictureWidth) + " " + list(y(len(l.Rungs)-1)+0.6*rungGap) + `" role="img" aria-label="` + text(l.Title) + `" font-size="` + list(letters) + `" fill="currentColor">`)
	for i, r := range l.Rungs {
		writeText(&b, edge, y(i)+0.35*letters, r.Name)
		writeText(&b, right+edge, y(i)+0.35*letters, r.Value)
		b.WriteString(`<path d="M` + list(left) + " " + list(y(i)) + "H" + list(right) + `" fill="none" stroke="currentColor" stroke-opacity=".35"/>`)
	}
	for i, s := range l.Struts {
		x, top, bottom := left+gap*float64(columns[i]+1), y(min(s.From, s.To)), y(max(s.From, s.To))
		middle := (top + bottom) / 2
		b.WriteString(`<g fill="none" stroke="currentColor" stroke-width="2"><path d="M` + list(x) + " " + list(top) + "V" + list(middle-strutHeight/2) + "M" + list(x) + " " + list(middle+strutHeight/2) + "V" + list(bottom) + `"/>`)
		corner := 2.0
		if s.Source {
			corner = strutHeight / 2
		}
		b.WriteString(`<rect x="` + list(x-strutWidth/2) + `" y="` + list(middle-strutHeight/2) + `" width="` + list(strutWidth) + `" height="` + list(strutHeight) + `" rx="` + list(corner) + `"/></g>`)
		for _, end := range []float64{top, bottom} {
			b.WriteString(`<circle cx="` + list(x) + `" cy="` + list(end) + `" r="3"/>`)
		}
		b.WriteString(`<text x="` + list(x) + `" y="` + list(middle+0.35*letters) + `" text-anchor="middle">` + text(s.Mark) + "</text>")
	}
	b.WriteString("</svg>")
	return b.String()
}

// columns gives each strut the first column that has room for it, the upper ones
// first, and returns how many there are.
func (l Ladder) columns() (of []int, count int) {
	of = make([]int, len(l.Struts))
	order := make([]int, len(l.Struts))
	for i := range order {
		order[i] = i
	}
	top := func(s Strut) int { return min(s.From, s.To) }
	slices.SortStableFunc(order, func(a, b int) int { return top(l.Struts[a]) - top(l.Struts[b]) })
	var ends []int // the rung that each column is taken down to
	for _, i := range order {
		s := l.Struts[i]
		k := slices.IndexFunc(ends, func(end int) bool { return end <= top(s) })
		if k < 0 {
			k, ends = len(ends), append(ends, 0)
		}
		of[i], ends[k] = k, max(s.From, s.To)
	}
	return of, len(ends)
}
