package draw

import (
	"math"
	"strings"
	"testing"
)

// TestLabelsInBox reads where the labels of bands stand: in the box, the lines
// of one a line apart.
func TestLabelsInBox(t *testing.T) {
	for name, p := range pictures {
		list := elements(t, p.SVG())
		frame := numbers(t, list[0].attr["data-box"])
		for i, e := range list {
			if e.attr["class"] != "plot-label" {
				continue
			}
			for k, line := range list[i+1:] {
				if line.name != "text" {
					break
				}
				x, y := numbers(t, line.attr["x"])[0], numbers(t, line.attr["y"])[0]
				half := widthOf(line.text) / 2
				if x-half < frame[0]-0.1 || x+half > frame[0]+frame[2]+0.1 || y-letters < frame[1]-2 || y > frame[1]+frame[3] {
					t.Errorf("%s: %q at %v %v is out of the box %v", name, line.text, x, y, frame)
				}
				if k > 0 && math.Abs(y-numbers(t, list[i+k].attr["y"])[0]-lineOf) > 0.11 {
					t.Errorf("%s: %q is not a line below", name, line.text)
				}
			}
		}
	}
}

// TestLabelsKeepOff: the labels of bands cover no line, no limit and not the mark,
// and the lines that tell overlapping bands apart stand clear of each other.
func TestLabelsKeepOff(t *testing.T) {
	for name, p := range pictures {
		f, _, _ := p.layout()
		bands, line, m := f.areas(p.Bands), f.line(p.Points), f.markAt(p.Mark)
		labels := f.labels(bands, line, m)
		if len(labels) != len(p.Bands) {
			t.Errorf("%s: %d labels of %d bands", name, len(labels), len(p.Bands))
		}
		avoid := line
		for _, a := range bands {
			avoid = append(avoid, a.limits()...)
		}
		var taken []box
		if m.seen {
			taken = []box{box{m.x, m.y, m.x, m.y}.grown(8)}
		}
		for _, l := range labels {
			if n := covered(l.text, avoid); n > 0 {
				t.Errorf("%s: %q covers %d places of lines", name, l.lines, n)
			}
			if l.crowded && l.upright && (l.reach.left != l.left || l.reach.right != l.right) || l.crowded && !l.upright && (l.reach.top != l.top || l.reach.bottom != l.bottom) {
				t.Errorf("%s: %q reaches over %v, its band over %v", name, l.lines, l.reach, l.box)
			}
			own := []box{l.text}
			if l.crowded {
				own = append(own, l.reach.grown(2), l.tail.grown(1))
			}
			for _, b := range own {
				for _, u := range taken {
					if b.meets(u) {
						t.Errorf("%s: %q at %v meets %v", name, l.lines, b, u)
					}
				}
			}
			taken = append(taken, own...)
		}
	}
}

// TestPlace: a label goes where nothing is, and rather over a line than over
// another label.
func TestPlace(t *testing.T) {
	a := area{box: box{0, 50, 100, 150}, first: true, last: true}
	place := func(lines [][]spot, taken ...box) box {
		l := label{area: a}
		l.place(unitFrame.settings(a, 30, lineOf, lines), taken)
		return l.text
	}
	free := place(nil)
	if want := (box{65, 55, 95, 73}); free != want { // inside, at the upper limit, to the right
		t.Fatalf("a free label stands at %v, want %v", free, want)
	}
	if at := place(nil, free); at.meets(free) {
		t.Errorf("a second stands at %v, on the first", at)
	}
	var lines [][]spot
	for x := 0.0; x < 60; x += 4 { // lines all over the left of the box
		lines = append(lines, []spot{{x, 0}, {x, 200}})
	}
	right := box{61, 0, 100, 200}
	if at := place(lines); !at.meets(right) {
		t.Errorf("a label stands at %v, on lines", at)
	}
	if at := place(lines, right); at.meets(right) {
		t.Errorf("a label stands at %v, on another", at)
	}
}

// TestTextsInPicture: there is room for the numbers beside the axes, in each
// unit, and for long labels of X, which end at the end of the axis or later.
func TestTextsInPicture(t *testing.T) {
	for name, p := range pictures {
		f, xs, ys := p.layout()
		for _, s := range xs {
			for _, tick := range s.ticks {
				if x, half := f.x(tick.at), widthOf(tick.text)/2; x-half < 0 || x+half > pictureWidth {
					t.Errorf("%s: %q at %v does not fit", name, tick.text, x)
				}
			}
		}
		for _, s := range ys {
			if widest(s.ticks) > f.left-8 {
				t.Errorf("%s: %v do not fit to the left of %v", name, s.ticks, f.left)
			}
		}
	}
	long := strings.Repeat("length of the lead ", 8)
	for _, label := range []string{long, strings.ReplaceAll(long, " ", "")} {
		p := Plot{X: Axis{Label: label, Units: unitOf("m")}, Y: Axis{Label: "y", Units: unitOf("V")}, Points: []Point{{1000000, 0}, {9000000, 1}}}
		for _, e := range of(elements(t, p.SVG()), "text") {
			if x := numbers(t, e.attr["x"])[0]; len(e.text) > 12 && (x-widthOf(e.text) < 0 || x > pictureWidth) {
				t.Errorf("%q does not end at %v", e.text, x)
			}
		}
	}
}
