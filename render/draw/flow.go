package draw

import (
	"slices"
	"sort"
	"strings"
)

// Flow is a graph of steps and of what they lead to, drawn from the top down.
type Flow struct {
	Title string
	Nodes []FlowNode // in the order in which they are told; the first is the beginning
	Edges []FlowEdge
	// Mirrored: the flow begins at the right, for who reads from there.
	Mirrored bool
}

// FlowNode is a box of a flow.
type FlowNode struct {
	ID   string
	Mark string // its number or letter
	Text string
	Note string // what kind of end it is, or what belongs to a step
	Kind FlowKind
	Href string
	// After: it comes after all nodes that are not, whichever way its edges lead.
	After bool
}

// FlowKind is the shape of a box.
type FlowKind string

// The kinds. A reading has its right corners cut, a cause is round, the end of
// a flow has a double line, and a page a corner turned down.
const (
	FlowStep    FlowKind = "step"
	FlowReading FlowKind = "reading"
	FlowCause   FlowKind = "cause"
	FlowEnd     FlowKind = "end"
	FlowPage    FlowKind = "page"
)

// FlowEdge leads from one node to another; the ids are those of nodes.
type FlowEdge struct{ From, To, Text string }

// The shape of the page for Paper, height to width: what A4 and Letter have in
// common within margins, less the head of a sheet.
const paperShape = 1.19

// mostColumns keeps the letters of Paper at 5 pt or more.
const mostColumns = 4

// SVG draws the flow in one column, as wide as a phone. Steps stand below each
// other; to the right of each stand the ends that it leads to, again at each
// step that leads there, so that no line has to cross the picture for them.
// Nothing in it has a style of its own:
//
//	.flow        { display: block; width: 100% }
//	.flow-box    { fill: var(--field) }
//	.flow-number { fill: var(--sheet) }
//	.flow-gap    { stroke: var(--sheet) }
func (f Flow) SVG() string {
	g := f.graph()
	return f.write([]column{g.column(g.spine())}, "flow")
}

// Paper draws the flow in as many columns as make it largest on a printed page.
// A step in another column is drawn as a small box with a broken line.
func (f Flow) Paper() string {
	g := f.graph()
	spine := g.spine()
	heights := g.column(spine).heights
	var best []column
	least := 0.0
	for n := range min(mostColumns, max(1, len(spine))) {
		var columns []column
		for _, part := range parts(spine, heights, n+1) {
			columns = append(columns, g.column(part))
		}
		// The width that the picture has if it is to fit, by its height too.
		width := max(widthOfColumns(len(columns)), heightOf(columns)/paperShape)
		if best == nil || width < least {
			best, least = columns, width
		}
	}
	return f.write(best, "flow paper")
}

// parts cuts a list into at most n parts in a row, the highest as low as can be.
func parts(list []int, heights []float64, n int) [][]int {
	cut := func(limit float64) (parts [][]int) {
		height := 0.0
		for i, v := range list {
			if height += heights[i]; len(parts) == 0 || height > limit {
				parts, height = append(parts, nil), heights[i]
			}
			parts[len(parts)-1] = append(parts[len(parts)-1], v)
		}
		return parts
	}
	// The limit that just does is the height of some run of the list.
	var limits []float64
	for i := range heights {
		height := 0.0
		for _, h := range heights[i:] {
			height += h
			limits = append(limits, height)
		}
	}
	slices.Sort(limits)
	k := sort.Search(len(limits), func(k int) bool {
		return limits[k] >= slices.Max(heights) && len(cut(limits[k])) <= n
	})
	if k == len(limits) {
		return [][]int{list}
	}
	return cut(limits[k])
}

func widthOfColumns(n int) float64 { return float64(n)*(pictureWidth+columnGap) - columnGap }

func heightOf(columns []column) (height float64) {
	for _, c := range columns {
		height = max(height, c.height)
	}
	return height
}

// pen writes a flow. A mirrored one is drawn as others are and turned over as a whole, each text in it once more.
type pen struct {
	strings.Builder
	mirrored bool
}

// text begins a text that has its beginning at an x of the picture.
func (p *pen) text(attributes string) {
	if p.mirrored {
		attributes += ` transform="scale(-1 1)"`
		if !strings.Contains(attributes, "text-anchor") {
			attributes += ` text-anchor="end"`
		}
	}
	p.WriteString("<text" + attributes + ">")
}

// x is an x of the picture in a text.
func (p *pen) x(x float64) string {
	if p.mirrored {
		x = -x
	}
	return list(x)
}

func (f Flow) write(columns []column, class string) string {
	b := pen{mirrored: f.Mirrored}
	width := widthOfColumns(len(columns))
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="` + class + `" viewBox="0 0 ` + list(width, heightOf(columns)) +
		`" role="group" aria-label="` + text(f.Title) + `" direction="ltr" font-size="` + list(letters) + `" fill="currentColor">` + "\n")
	if f.Mirrored {
		b.WriteString(`<g transform="translate(` + list(width) + `) scale(-1 1)">` + "\n")
	}
	for i, c := range columns {
		if i > 0 {
			b.WriteString(`<g transform="translate(` + list(widthOfColumns(i)+columnGap, 0) + `)">` + "\n")
		}
		c.write(&b)
		if i > 0 {
			b.WriteString("</g>\n")
		}
	}
	if f.Mirrored {
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>")
	return b.String()
}
