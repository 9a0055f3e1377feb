package draw

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestAreas(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		band   Band
		box    box
		limits string
	}{
		{"across", Band{From: 0.25, To: 0.75}, box{0, 50, 100, 150}, "M0 150L100 150M0 50L100 50"},
		{"upright", Band{From: 0.25, To: 0.75, Upright: true}, box{25, 0, 75, 200}, "M25 0L25 200M75 0L75 200"},
		{"open below", Band{From: -inf, To: 0.75}, box{0, 50, 100, 200}, "M0 50L100 50"},
		{"open to the right", Band{From: 0.25, To: inf, Upright: true}, box{25, 0, 100, 200}, "M25 0L25 200"},
		{"a limit out of the box", Band{From: 0.25, To: 2}, box{0, 0, 100, 150}, "M0 150L100 150"},
		{"all of the box", Band{From: -inf, To: inf}, box{0, 0, 100, 200}, ""},
		{"one value", Band{From: 0.5, To: 0.5}, box{0, 100, 100, 100}, "M0 100L100 100M0 100L100 100"},
	} {
		a, ok := unitFrame.area(c.band)
		if !ok || a.box != c.box || pathOf(a.limits()) != c.limits {
			t.Errorf("%s: %v with %q, want %v with %q", c.name, a.box, pathOf(a.limits()), c.box, c.limits)
		}
	}
	for _, band := range []Band{{From: 1.5, To: 2}, {From: -2, To: -1, Upright: true}, {From: 0.7, To: 0.3}, {From: nan, To: 0.5}, {From: 0.5, To: nan}, {From: inf, To: inf}} {
		if a, ok := unitFrame.area(band); ok {
			t.Errorf("%v is seen at %v", band, a.box)
		}
	}
}

// TestHatch: strokes 9 apart, each in its area and all of them at 45°.
func TestHatch(t *testing.T) {
	a := area{box: box{10, 20, 40, 30}}
	got := numbers(t, a.hatch())
	// x + y is 36, 45, 54, 63 on them; the corners' are 30 and 70.
	if want := []float64{10, 26, 16, 20, 15, 30, 25, 20, 24, 30, 34, 20, 33, 30, 40, 23}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestLabelsInBox reads where the labels of bands stand: in the box, the lines
// of one a line apart, and none on another or on the mark.
func TestLabelsInBox(t *testing.T) {
	for name, p := range pictures {
		list := elements(t, p.SVG())
		frame := numbers(t, list[0].attr["data-box"])
		var taken []box
		if m := of(list, "plot-mark"); m[0].attr["display"] == "" {
			at := numbers(t, m[0].attr["transform"])
			taken = append(taken, box{at[0] - 8, at[1] - 8, at[0] + 8, at[1] + 8})
		}
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
				at := box{x - half, y - letters + 2, x + half, y + 2}
				if covered(at, nil, taken) > 0 {
					t.Errorf("%s: %q stands on another label or on the mark", name, line.text)
				}
				taken = append(taken, at)
				if k > 0 && math.Abs(y-numbers(t, list[i+k].attr["y"])[0]-lineOf) > 0.11 {
					t.Errorf("%s: %q is not a line below", name, line.text)
				}
			}
		}
	}
}

// TestPlace: a label goes where nothing is, and rather over a line than over
// another label.
func TestPlace(t *testing.T) {
	a := area{box: box{0, 50, 100, 150}, first: true, last: true}
	free := unitFrame.place(a, 30, lineOf, nil, nil).box
	if want := (box{65, 55, 95, 73}); free != want { // inside, at the upper limit, to the right
		t.Fatalf("a free label stands at %v, want %v", free, want)
	}
	if at := unitFrame.place(a, 30, lineOf, nil, []box{free}); at.meets(free) {
		t.Errorf("a second stands at %v, on the first", at.box)
	}
	lines := [][]spot{{{0, 0}, {60, 200}}}
	for x := 0.0; x < 60; x += 4 { // lines all over the left of the box
		lines = append(lines, []spot{{x, 0}, {x, 200}})
	}
	right := box{61, 0, 100, 200}
	if at := unitFrame.place(a, 30, lineOf, lines, nil); !at.meets(right) {
		t.Errorf("a label stands at %v, on lines", at.box)
	}
	if at := unitFrame.place(a, 30, lineOf, lines, []box{right}); at.meets(right) {
		t.Errorf("a label stands at %v, on another", at.box)
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
		p := Plot{X: Axis{label, unitOf("m")}, Y: Axis{"y", unitOf("V")}, Points: []Point{{1000000, 0}, {9000000, 1}}}
		for _, e := range of(elements(t, p.SVG()), "text") {
			if x := numbers(t, e.attr["x"])[0]; len(e.text) > 12 && (x-widthOf(e.text) < 0 || x > pictureWidth) {
				t.Errorf("%q does not end at %v", e.text, x)
			}
		}
	}
}
