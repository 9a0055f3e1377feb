package draw

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// flowOf makes a flow from edges written as "from>to text". A node's name begins
// with its kind: s step, r reading, c cause, e end, p page; v is a step that
// comes after the others.
func flowOf(edges ...string) Flow {
	f := Flow{Title: "The whole way"}
	kinds := map[byte]FlowKind{'s': FlowStep, 'v': FlowStep, 'r': FlowReading, 'c': FlowCause, 'e': FlowEnd, 'p': FlowPage}
	seen := map[string]bool{}
	add := func(id string) {
		if seen[id] {
			return
		}
		seen[id] = true
		n := FlowNode{ID: id, Mark: id[1:], Kind: kinds[id[0]], Href: "page.html#" + id, After: id[0] == 'v'}
		switch n.Kind {
		case FlowStep:
			n.Text = "Look at part " + id
		case FlowReading:
			n.Text, n.Note = "Measure the voltage at part "+id, "Limits: Voltage while cranking"
		default:
			n.Text, n.Note = "Joint "+id+" is bad", string(n.Kind)
		}
		f.Nodes = append(f.Nodes, n)
	}
	for _, e := range edges {
		ends, text, _ := strings.Cut(e, " ")
		from, to, _ := strings.Cut(ends, ">")
		add(from)
		add(to)
		f.Edges = append(f.Edges, FlowEdge{from, to, text})
	}
	return f
}

// forty is a procedure of 25 steps and 15 causes: every step leads to the next,
// every third to the next but three, every seventh back, and each to a cause.
func forty() Flow {
	var edges []string
	for i := range 25 {
		kind := map[bool]string{true: "r", false: "s"}
		name := func(i int) string { return fmt.Sprint(kind[i%4 == 1], i+1) }
		if i < 24 {
			edges = append(edges, name(i)+">"+name(i+1)+" Within limits")
		}
		if i%3 == 0 && i < 21 {
			edges = append(edges, name(i)+">"+name(i+4)+" It turns freely and nothing rubs")
		}
		if i%7 == 6 {
			edges = append(edges, name(i)+">"+name(i-3)+" It has changed: once more")
		}
		edges = append(edges, fmt.Sprintf("%s>c%d Too low", name(i), i%15+1))
	}
	return flowOf(edges...)
}

var flows = map[string]Flow{
	"chain": flowOf("s1>s2 Clean", "s2>s3 Tight", "s3>e1 All of it is right"),
	"tree":  flowOf("s1>s2 Dry", "s1>r3 Wet", "s2>c1 White", "s2>c2 Black", "r3>c3 Low", "r3>c3 No reading", "r3>c1 High", "r3>p1 It jumps about"),
	"loop":  flowOf("s1>s2 It runs", "s2>s3 It stops", "s3>s1 Cooled down for an hour: again", "s3>e1 Cannot be told", "s2>s2 It starts again at once", "s2>c1 Flooded"),
	"check": flowOf("s1>s2 Wet", "s1>c1 Dry", "s2>c2 Bad", "v3>s1 It does not start", "v3>v4 It starts", "v4>e1 Again", "v4>s2 No"),
	"forty": forty(),
}

// TestFlows holds the pictures in testdata/flow, which -update draws anew; look
// at them before you commit them.
func TestFlows(t *testing.T) {
	files, _ := filepath.Glob("testdata/flow/*.svg")
	if len(files) != 2*len(flows) {
		t.Errorf("%d pictures in testdata, of %d", len(files), 2*len(flows))
	}
	for name, f := range flows {
		for file, got := range map[string]string{name: f.SVG(), name + "-paper": f.Paper()} {
			file = filepath.Join("testdata", "flow", file+".svg")
			got += "\n"
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if want, err := os.ReadFile(file); err != nil || got != string(want) {
				t.Errorf("%s: %v, got\n%s", file, err, got)
			}
			elements(t, got)
		}
		checkFlow(t, f)
	}
}

func TestSpine(t *testing.T) {
	for _, c := range []struct {
		flow Flow
		want string
	}{
		{flowOf("s1>s2", "s2>s3", "s3>e1"), "s1 s2 s3"},
		{flowOf("s1>s3", "s1>s2", "s3>e1", "s2>e1"), "s1 s3 s2"}, // as told: s3 comes second
		{flowOf("s1>s2", "s2>s4", "s1>s3", "s3>s2", "s4>e1"), "s1 s3 s2 s4"},
		{flowOf("s1>s2", "s2>s1", "s2>e1"), "s1 s2"},
		{flowOf("s1>s2", "s2>s3", "s3>s2", "s3>s1"), "s1 s2 s3"},
		{flowOf("s1>c1"), "s1"},
		{flowOf("s1>s2", "s2>c1", "v3>s1", "v3>v4", "v4>v3", "v4>e1"), "s1 s2 v3 v4"},
		{flowOf("v1>s2", "s2>c1", "s2>s3", "s3>c1", "v1>e1"), "s2 s3 v1"},
		{Flow{Nodes: []FlowNode{{ID: "s1"}, {ID: "s2"}}}, "s1 s2"}, // nothing leads anywhere
	} {
		g := c.flow.graph()
		var got []string
		for _, n := range g.spine() {
			got = append(got, g.nodes[n].ID)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%v: %v, want %s", c.flow.Edges, got, c.want)
		}
	}
}

// Two lanes of which one lies within the other do not cross; two that overlap
// cross once.
func TestLanes(t *testing.T) {
	chain := []string{"s1>s2", "s2>s3", "s3>s4", "s4>s5", "s5>s6", "s6>e1"}
	for _, c := range []struct {
		more []string
		want int
	}{
		{[]string{"s1>s6", "s2>s4"}, 0},
		{[]string{"s1>s4", "s2>s6"}, 1},
		{[]string{"s1>s4", "s2>s4"}, 0}, // they share one
		{[]string{"s1>s3", "s4>s6"}, 0},
		{[]string{"s5>s1", "s4>s2"}, 0},
	} {
		g := flowOf(slices.Concat(chain, c.more)...).graph()
		if got := strings.Count(g.column(g.spine()).crossings(), "M"); got != c.want {
			t.Errorf("%v: %d crossings, want %d", c.more, got, c.want)
		}
	}
}

// The highest part is as low as can be: worked by hand.
func TestParts(t *testing.T) {
	for _, c := range []struct {
		heights []float64
		n       int
		want    string
	}{
		{[]float64{4, 1, 1, 1, 1, 4}, 3, "[[0] [1 2 3 4] [5]]"},
		{[]float64{1, 2, 3, 4, 5}, 2, "[[0 1 2] [3 4]]"}, // 6 and 9; 10 and 5
		{[]float64{1, 2, 3, 4, 5}, 1, "[[0 1 2 3 4]]"},
		{[]float64{9, 1, 1}, 3, "[[0] [1 2]]"}, // a third would not be lower
		{nil, 1, "[[]]"},
	} {
		list := make([]int, len(c.heights))
		for i := range list {
			list[i] = i
		}
		if got := fmt.Sprint(parts(list, c.heights, c.n)); got != c.want {
			t.Errorf("%v in %d: %s, want %s", c.heights, c.n, got, c.want)
		}
	}
}

// TestFlowTexts: a text that is too long is cut and stands whole in a title; a
// word that is wider than its box is broken; a number stays with its unit.
func TestFlowTexts(t *testing.T) {
	f := flowOf("s1>c1 yes")
	f.Nodes[0].Text = strings.Repeat("Look at it again and again. ", 12)
	f.Nodes[1].Text = strings.Repeat("W", 200)
	f.Edges[0].Text = strings.Repeat("no, never, ", 30)
	list := elements(t, f.SVG())
	titles := of(list, "title")
	if len(titles) != 3 || !strings.HasPrefix(titles[0].text, "1 Look at") || titles[2].text != "1 "+strings.Repeat("W", 200) {
		t.Errorf("titles %q", titles)
	}
	for _, e := range of(list, "tspan") {
		if w := widthOf(e.text); w > pictureWidth {
			t.Errorf("%q is %v wide", e.text, w)
		}
	}
	if lines, _ := wrapped("colder than 20\u00a0°C here", 15*0.6*13, 9); slices.ContainsFunc(lines, func(l string) bool { return strings.HasPrefix(l, "°C") }) {
		t.Errorf("%q", lines)
	}
}

// TestHostileFlow: whatever a text is, it is text.
func TestHostileFlow(t *testing.T) {
	const hostile = "\"><script>alert(1)</script> ' & ]]> \x00\xff"
	f := Flow{Title: hostile, Nodes: []FlowNode{
		{"a", hostile, hostile, hostile, FlowStep, "a.html#\"><script>", false}, {"b", hostile, hostile, hostile, FlowCause, "b", true},
	}, Edges: []FlowEdge{{"a", "b", hostile}, {"a", "nowhere", "x"}, {"nowhere", "a", "x"}}}
	for _, svg := range []string{f.SVG(), f.Paper(), Flow{}.SVG(), Flow{}.Paper()} {
		for _, e := range elements(t, svg) {
			switch e.name {
			case "svg", "title", "g", "a", "path", "text", "tspan":
			default:
				t.Errorf("an element %s", e.name)
			}
			for name := range e.attr {
				if strings.HasPrefix(name, "on") || name == "style" {
					t.Errorf("an attribute %s", name)
				}
			}
		}
	}
}

func TestRandomFlows(t *testing.T) {
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 1))
		f := Flow{Title: "flow"}
		kinds := []FlowKind{FlowStep, FlowReading, FlowCause, FlowEnd, FlowPage}
		n := 1 + r.IntN(40)
		for i := range n {
			words := strings.Repeat("part of it ", r.IntN(9))
			f.Nodes = append(f.Nodes, FlowNode{fmt.Sprint(i), fmt.Sprint(i + 1), words, strings.Repeat("note ", r.IntN(4)), kinds[r.IntN(5)], "#", r.IntN(8) == 0})
		}
		for range r.IntN(3 * n) {
			f.Edges = append(f.Edges, FlowEdge{fmt.Sprint(r.IntN(n)), fmt.Sprint(r.IntN(n)), strings.Repeat("it is so ", r.IntN(6))})
		}
		checkFlow(t, f)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

// FuzzFlow draws any graph with any texts.
func FuzzFlow(f *testing.F) {
	f.Add("a b c", []byte{0, 1, 1, 2, 2, 0})
	f.Add("", []byte{})
	f.Add("\x00 <&> \xff", []byte{0, 0, 1, 1, 9, 9})
	f.Fuzz(func(t *testing.T, texts string, edges []byte) {
		words := strings.Split(texts, " ")
		if len(words) > 60 || len(edges) > 400 {
			return
		}
		flow := Flow{Title: texts}
		kinds := []FlowKind{FlowStep, FlowReading, FlowCause, FlowEnd, FlowPage, "other"}
		for i, w := range words {
			flow.Nodes = append(flow.Nodes, FlowNode{fmt.Sprint(i), w, w + " " + w, w, kinds[len(w)%len(kinds)], w, len(w)%3 == 2})
		}
		for i := 1; i < len(edges); i += 2 {
			flow.Edges = append(flow.Edges, FlowEdge{fmt.Sprint(edges[i-1]), fmt.Sprint(edges[i]), words[i%len(words)]})
		}
		checkFlow(t, flow)
		elements(t, flow.SVG())
		elements(t, flow.Paper())
	})
}

// checkFlow asks of a flow's picture what every picture must hold.
func checkFlow(t *testing.T, f Flow) {
	t.Helper()
	svg, paper := f.SVG(), f.Paper()
	if svg != f.SVG() || paper != f.Paper() {
		t.Error("two pictures of one flow differ")
	}
	g := f.graph()
	spine := g.spine()
	c := g.column(spine)
	checkColumn(t, c)

	drawn, led := map[string]bool{}, map[[2]string]bool{}
	for _, b := range c.boxes {
		drawn[b.node.ID] = drawn[b.node.ID] || !b.pointer
	}
	for _, l := range c.lines {
		led[[2]string{c.boxes[l.from].node.ID, c.boxes[l.to].node.ID}] = true
	}
	for n, node := range g.nodes {
		if !drawn[node.ID] {
			t.Errorf("%s is not drawn", node.ID)
		}
		for _, x := range g.out[n] {
			if !led[[2]string{node.ID, g.nodes[x.to].ID}] {
				t.Errorf("%s does not lead to %s", node.ID, g.nodes[x.to].ID)
			}
		}
	}
	for n := range 3 {
		for _, part := range parts(spine, c.heights, n+1) {
			checkColumn(t, g.column(part))
		}
	}
}

// checkColumn: boxes and labels stand apart and in the picture; a line is made of
// level and upright strokes, begins and ends at its boxes and runs through none,
// nor through a label; lanes that lead to different places do not share a stretch.
func checkColumn(t *testing.T, c column) {
	t.Helper()
	whole := box{0, 0, pictureWidth, c.height}
	inside := func(b box) bool {
		return b.left >= whole.left && b.top >= whole.top && b.right <= whole.right && b.bottom <= whole.bottom
	}
	var solid []box
	for _, b := range c.boxes {
		solid = append(solid, b.box)
		if !b.end && b.right-b.left < pictureWidth*5/6 {
			t.Errorf("lanes leave %v for a step", b.right-b.left)
		}
	}
	for _, l := range c.labels {
		solid = append(solid, l.box)
		for _, line := range l.lines {
			if widthOf(line) > l.right-l.left {
				t.Errorf("%q is wider than its place", line)
			}
		}
	}
	for i, b := range solid {
		if !inside(b) {
			t.Errorf("%v is not in %v", b, whole)
		}
		for _, other := range solid[:i] {
			if b.meets(other) {
				t.Errorf("%v overlaps %v", b, other)
			}
		}
	}
	for i, l := range c.lines {
		for _, other := range c.lines[:i] {
			if len(l.spots) != 5 || len(other.spots) != 5 || l.spots[4] == other.spots[4] || l.spots[2].x != other.spots[2].x {
				continue
			}
			a, b := l.spots[2].y, l.spots[3].y
			p, q := other.spots[2].y, other.spots[3].y
			if min(a, b) < max(p, q) && min(p, q) < max(a, b) {
				t.Errorf("%v and %v share a lane", l.spots, other.spots)
			}
		}
		from, to := c.boxes[l.from].box, c.boxes[l.to].box
		first, last := l.spots[0], l.spots[len(l.spots)-1]
		if first.y != from.bottom || first.x <= from.left || first.x >= from.right {
			t.Errorf("a line begins at %v, its box is %v", first, from)
		}
		level := (last.x == to.left || last.x == to.right) && to.top < last.y && last.y < to.bottom
		if !level && (last.y != to.top || last.x <= to.left || last.x >= to.right) {
			t.Errorf("a line ends at %v, its box is %v", last, to)
		}
		for i := 1; i < len(l.spots); i++ {
			a, b := l.spots[i-1], l.spots[i]
			if a.x != b.x && a.y != b.y {
				t.Errorf("a line from %v to %v", a, b)
			}
			stroke := box{min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)}
			if !inside(stroke) {
				t.Errorf("%v is not in %v", stroke, whole)
			}
			for _, s := range solid {
				if s.meets(stroke) {
					t.Errorf("a line from %v to %v runs through %v", a, b, s)
				}
			}
		}
	}
}
