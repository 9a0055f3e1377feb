package draw

// The measures of a column.
const (
	columnGap   = 24
	boxLeft     = 2
	tabWidth    = 34 // of the mark at the left of a step
	stemX       = boxLeft + tabWidth/2
	labelX      = stemX + 13
	endWidth    = 154 // of a box beside a step
	endTab      = 26  // of the mark in its corner
	leastBox    = 55  // 44 px on a phone of 320 px: a finger's width
	boxPad      = 8
	laneGap     = 12
	laneInset   = 15 // from a box to the innermost lane: room for an arrow
	laneEdge    = 4  // from the outermost lane to the border
	arrowLength = 9
	belowLabel  = 6 // from a text to the line under it
	rowGap      = 11
	stepGap     = 26
)

// column is a part of a flow as it is drawn.
type column struct {
	height  float64
	heights []float64 // of each step with its exits
	boxes   []flowBox
	lines   []flowLine
	labels  []flowLabel
	order   []any // boxes and labels as a reader meets them
}

// flowBox is a box of the picture.
type flowBox struct {
	box
	node    FlowNode
	lines   []string
	note    []string
	cut     bool // not all of the text is in the lines
	end     bool // it stands beside a step
	pointer bool // and for a node that is drawn elsewhere
}

// flowLine is the line of an exit, from the lower side of a box to a side of
// another.
type flowLine struct {
	from, to int // in the column's boxes
	spots    []spot
}

// flowLabel is the text of an exit.
type flowLabel struct {
	box
	lines []string
	full  string // if it had to be shortened
}

// column lays nodes out below each other.
func (g graph) column(nodes []int) column {
	place := map[int]int{}
	for i, n := range nodes {
		place[n] = i
	}
	p := placing{graph: g, nodes: nodes, place: place, lanes: g.lanes(nodes, place), right: pictureWidth - boxLeft, y: boxLeft}
	for _, l := range p.lanes {
		p.right = min(p.right, pictureWidth-laneEdge-laneGap*float64(l.number)-laneInset)
	}
	for i := range nodes {
		from := p.y
		p.node(i)
		p.heights = append(p.heights, p.y-from)
	}
	p.height = max(0, p.y-stepGap) + boxLeft
	for _, w := range p.ways {
		p.join(w)
	}
	return p.column
}

// placing is a column being laid out.
type placing struct {
	column
	graph
	nodes []int
	place map[int]int // of a node in the column
	lanes map[laneKey]lane
	right float64 // where boxes end
	y     float64
	steps []int     // the box of each place
	ways  []laneWay // what takes a lane, to be drawn when all boxes stand
}

// laneWay is an exit that takes a lane, as far as it is known.
type laneWay struct {
	lane
	box int
	y   float64
}

// node places a step and its exits: to the right, one below the other, last the
// one that goes straight on.
func (p *placing) node(i int) {
	n := p.nodes[i]
	at := p.add(stepBox(p.graph.nodes[n], boxLeft, p.y, p.right))
	p.steps = append(p.steps, at)
	var on *exit
	for _, x := range p.out[n] {
		if to, ok := p.place[x.to]; ok && to == i+1 {
			on = &x
			continue
		}
		p.y += rowGap
		if to, ok := p.place[x.to]; ok {
			if l, ok := p.lanes[laneKey{to, to <= i}]; ok {
				p.label(x, p.right, 0)
				p.ways = append(p.ways, laneWay{l, at, p.y})
				continue
			}
		}
		p.end(at, x)
	}
	if on == nil {
		p.y += stepGap
		return
	}
	p.y += rowGap
	p.label(*on, p.right, 0)
	p.y += arrowLength
	p.lines = append(p.lines, flowLine{from: at, to: len(p.boxes), spots: []spot{{stemX, p.boxes[at].bottom}, {stemX, p.y}}})
}

// label places the text of an exit from the stem to the right, and goes down to
// the line under it, which is not above the least.
func (p *placing) label(x exit, right, least float64) {
	l := labelOf(x.texts, right-labelX)
	p.y = max(p.y+lineOf*float64(len(l.lines))+belowLabel, least)
	l.box = box{labelX, p.y - belowLabel - lineOf*float64(len(l.lines)), right, p.y - belowLabel}
	if len(l.lines) > 0 {
		p.labels, p.order = append(p.labels, l), append(p.order, l)
	}
}

// end places a box beside the step that leads to it.
func (p *placing) end(from int, x exit) {
	left := p.right - endWidth
	b := endBox(p.graph.nodes[x.to], left, p.right, !p.leaf(x.to))
	half := (b.bottom - b.top) / 2
	p.label(x, left-belowLabel, p.y+half)
	line := p.y
	b.top, b.bottom = line-half, line+half
	p.lines = append(p.lines, flowLine{from: from, to: len(p.boxes), spots: []spot{{stemX, p.boxes[from].bottom}, {stemX, line}, {left, line}}})
	p.add(b)
}

func (p *placing) add(b flowBox) (at int) {
	p.boxes, p.order = append(p.boxes, b), append(p.order, b)
	p.y = b.bottom
	return len(p.boxes) - 1
}

// join draws an exit that takes a lane.
func (p *placing) join(w laneWay) {
	from, to := p.boxes[w.box], p.boxes[p.steps[w.to]]
	third := (to.bottom - to.top) / 3
	entry := to.top + third
	if w.up {
		entry = to.bottom - third
	}
	x := p.right + laneInset + laneGap*float64(w.number)
	p.lines = append(p.lines, flowLine{from: w.box, to: p.steps[w.to], spots: []spot{
		{stemX, from.bottom}, {stemX, w.y}, {x, w.y}, {x, entry}, {to.right, entry},
	}})
}
