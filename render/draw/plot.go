// Package draw draws what the build computes, as SVG in a page.
//
// In: a Plot, a Flow or a Ladder. Out: the text of an <svg> element, the same for the same.
// It imports nothing of the project: units, words and numbers' texts come in
// from the caller.
package draw

import (
	"html"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Plot is a function of one quantity, drawn with its limits.
type Plot struct {
	ID     string // begins the ids of title and description; no spaces
	X, Y   Axis
	Points []Point // in the axes' first units, x rising; a y that is NaN breaks the line
	Bands  []Band
	Mark   *Point  // where the present inputs stand, or nil
	Spots  []Point // more points that are meant, each a diamond
	// Whole keeps all of Y in sight, for points that have no pole, as counts.
	Whole       bool
	Title, Desc string
}

// Point is a point in the first units of both axes.
type Point struct{ X, Y float64 }

// Axis is a quantity and the units that it can be read in. The first unit is
// that of the points and the one that shows without script.
type Axis struct {
	Label string
	Units []AxisUnit // at least one
	Comma string     // between the label and a unit, "" for ", "
}

// AxisUnit is one of the units of an axis.
type AxisUnit struct {
	Symbol string
	System string // whose unit it is, "" if everybody's
	// Convert takes a value of the first unit into this one, rising or falling
	// throughout. The first unit has none.
	Convert func(float64) float64
	// Format writes a tick; step, from this tick to the next, tells which
	// decimals it needs: see Decimals.
	Format func(v, step float64) string
}

// Band is a limit: the values from From to To, of Y, or of X if Upright. An
// infinite bound leaves that side open.
type Band struct {
	From, To float64
	Upright  bool
	Label    string
	Models   string // ids of the models that it holds for, for a script that leaves the chosen one's; "" for all
}

// The picture is as wide as the pictures of a handbook are drawn, so that its
// letters, at 15 units, are about 11 px high on a phone of 320 px, where 258 px
// are left for the picture, and 13 px on one of 360 px.
const (
	pictureWidth = 360
	boxHeight    = 200
	letters      = 15 // the size of the letters
	lineOf       = 18 // from one line of text to the next
	edge         = 4  // what stays free at the border of the picture
)

// SVG draws the plot. Nothing in it has a style of its own; every class takes
// its colour from the property color, so that a plot is black where no style
// sheet is:
//
//	.plot       { display: block; width: 100%; max-width: 30rem }
//	.plot-grid  { color: var(--hair) }
//	.plot-band  { color: var(--within) }
//	.plot-line  { color: var(--link) }
//	.plot-label { stroke: var(--sheet) }
//
// For a script, the root carries data-box="left top width height" and
// data-range="x0 x1 y0 y1", the latter in the first units. A point (x, y) of
// the range stands at
//
//	left + (x - x0) / (x1 - x0) * width,  top + (y1 - y) / (y1 - y0) * height
//
// To move the mark, set transform="translate(…)" of both elements of the class
// plot-mark, and remove their display, or set it to none where the point is not
// in the range. The spots, diamonds of the class plot-spot, are moved in the
// same way. The line is the attribute d of .plot-line; what leaves the box is
// not seen. Ticks stand in a group for each unit, g.ticks with data-axis (x
// or y) and data-system; all but each axis's first have display="none". What
// belongs to a band of some models, .plot-band and .plot-label, carries their
// ids as data-model.
func (p Plot) SVG() string {
	f, xs, ys := p.layout()
	var b strings.Builder
	below := f.bottom() + lineOf + 2 + lineOf*float64(most(xs, func(s scale) int { return len(s.label) })) + 2*edge
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ` + list(pictureWidth, below) +
		`" role="img" aria-labelledby="` + text(p.ID) + `-title ` + text(p.ID) + `-desc" data-box="` + list(f.left, f.top, f.width, boxHeight) +
		`" data-range="` + exact(f.x0) + " " + exact(f.x1) + " " + exact(f.y0) + " " + exact(f.y1) +
		`" font-size="` + list(letters) + `" fill="currentColor" stroke-linejoin="round">` +
		`<title id="` + text(p.ID) + `-title">` + text(p.Title) + `</title><desc id="` + text(p.ID) + `-desc">` + text(p.Desc) + "</desc>\n")
	for i, s := range xs {
		f.uprightTicks(&b, s, i == 0)
	}
	for i, s := range ys {
		f.acrossTicks(&b, s, i == 0)
	}
	bands := f.areas(p.Bands)
	for _, a := range bands {
		a.draw(&b)
	}
	b.WriteString(`<path fill="none" stroke="currentColor" stroke-width="2" d="M` + list(f.left, f.top) + `V` + list(f.bottom()) + `H` + list(f.right()) + "\"/>\n")

	at := f.markAt(p.Mark)
	line := f.line(p.Points)
	// The inner picture has the same coordinates and hides what is out of the box.
	hem := box{f.left, f.top, f.right(), f.bottom()}.grown(2)
	size := list(hem.left, hem.top, hem.right-hem.left, hem.bottom-hem.top)
	b.WriteString(`<svg overflow="hidden" x="` + list(hem.left) + `" y="` + list(hem.top) + `" width="` + list(hem.right-hem.left) +
		`" height="` + list(hem.bottom-hem.top) + `" viewBox="` + size + `" fill="none" stroke="currentColor" stroke-linecap="round">` +
		`<path class="plot-line" stroke-width="3" d="` + pathOf(line) + `"/>`)
	if p.Mark != nil {
		b.WriteString(`<path class="plot-mark" stroke-width="1.5" stroke-dasharray="4 4" stroke-linecap="butt"` + at.attributes() +
			` d="M0 0H-` + list(pictureWidth) + `M0 0V` + list(boxHeight) + `"/>`)
	}
	b.WriteString("</svg>\n")
	for _, l := range f.labels(bands, line, at) {
		l.draw(&b)
	}
	if p.Mark != nil {
		b.WriteString(`<g class="plot-mark"` + at.attributes() + `><circle r="8" fill="none" stroke="currentColor" stroke-width="2.5"/><circle r="3.5"/></g>` + "\n")
	}
	for _, s := range p.Spots {
		b.WriteString(`<path class="plot-spot"` + f.markAt(&s).attributes() + ` fill="none" stroke="currentColor" stroke-width="2.5" d="M-8 0 0-8 8 0 0 8Z"/>` + "\n")
	}
	b.WriteString("</svg>")
	return b.String()
}

// mark is where the mark stands in the picture; it is not seen out of the box.
type mark struct {
	spot
	seen bool
}

func (f frame) markAt(p *Point) mark {
	if p == nil || !usable(p.X) || !usable(p.Y) || p.X < f.x0 || p.X > f.x1 || p.Y < f.y0 || p.Y > f.y1 {
		return mark{spot{f.left, f.bottom()}, false}
	}
	return mark{f.spot(*p), true}
}

func (m mark) attributes() string {
	s := ` transform="translate(` + list(m.x, m.y) + `)"`
	if !m.seen {
		s += ` display="none"`
	}
	return s
}

// list writes coordinates, to a tenth of a unit.
func list(values ...float64) string {
	var b strings.Builder
	for i, v := range values {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(exact(tenth(v)))
	}
	return b.String()
}

// tenth rounds to a tenth of a unit; adding 0 takes the sign from -0.
func tenth(v float64) float64 { return math.Round(v*10)/10 + 0 }

func exact(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// text makes a text fit to stand in an element or an attribute. What XML 1.0
// has no character for (its production 2, Char) becomes U+FFFD.
func text(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD")))
}
