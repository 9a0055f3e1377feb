package draw

import (
	"cmp"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// unitFrame is a box in which 0 to 1 of both axes is 100 wide and as high as
// every box.
var unitFrame = frame{width: 100, x1: 1, y1: 1}

func TestLine(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		points []Point
		want   string
	}{
		{"nothing", nil, ""},
		{"one point is a dot", []Point{{0.5, 0.5}}, "M50 100h0"},
		{"points on the way are left out", []Point{{0, 0}, {0.3, 0.3}, {0.6, 0.6}, {1, 1}}, "M0 200L100 0"},
		{"a break", []Point{{0, 0}, {0.2, 0.2}, {0.3, nan}, {0.4, 0}, {0.5, 0}}, "M0 200L20 160M40 200L50 200"},
		{"a dot between breaks", []Point{{0, nan}, {0.5, 1}, {0.6, nan}}, "M50 0h0"},
		{"a place that is none", []Point{{0, 0}, {nan, 0.5}, {1, 0}}, "M0 200h0M100 200h0"},
		{"out at the top and in again", []Point{{0, 0.5}, {0.2, 1.5}, {0.4, 0.5}}, "M0 100L10 0M30 0L40 100"},
		{"up to the infinite and from it", []Point{{0, 0.5}, {0.2, inf}, {0.4, 0.5}}, "M0 100L0 0M40 0L40 100"},
		{"all out", []Point{{0, 2}, {1, 3}}, ""},
		{"from beyond one side to beyond the other is a pole", []Point{{0, 0.5}, {0.2, 2}, {0.4, -2}, {0.6, 0.5}}, "M0 100L6.7 0M56 200L60 100"},
		{"along a side", []Point{{0, 1}, {0.5, 1}, {1, 0}}, "M0 0L50 0L100 200"},
	} {
		if got := pathOf(unitFrame.line(c.points)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestLineOfAnyData holds on random lines that the drawn line stays in the box,
// passes every point of it within a quarter of a unit, and rises or falls with
// the data.
func TestLineOfAnyData(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for round := range 2000 {
		points := make([]Point, 2+r.IntN(120))
		for i := range points {
			points[i] = Point{r.Float64(), r.Float64()*1.6 - 0.3}
		}
		slices.SortFunc(points, func(a, b Point) int { return cmp.Compare(a.X, b.X) })
		rising := round%2 == 0
		if rising {
			ys := make([]float64, len(points))
			for i, p := range points {
				ys[i] = p.Y
			}
			slices.Sort(ys)
			for i := range points {
				points[i].Y = ys[i]
			}
		}
		pieces := unitFrame.line(points)
		for _, piece := range pieces {
			for i := range piece {
				piece[i] = spot{tenth(piece[i].x), tenth(piece[i].y)}
				if s := piece[i]; s.x < 0 || s.x > 100 || s.y < 0 || s.y > boxHeight {
					t.Fatalf("%v is out of the box", s)
				}
				if i > 0 && (piece[i].x < piece[i-1].x || rising && piece[i].y > piece[i-1].y) {
					t.Fatalf("%v, then %v", piece[i-1], piece[i])
				}
			}
		}
		if rising && len(pieces) > 1 {
			t.Fatalf("a rising line in %d pieces", len(pieces))
		}
		for _, p := range points {
			if p.Y < 0 || p.Y > 1 {
				continue
			}
			distance := math.Inf(1)
			for _, piece := range pieces {
				for i := range piece {
					distance = min(distance, apart(unitFrame.spot(p), piece[max(0, i-1)], piece[i]))
				}
			}
			if distance > 0.25 {
				t.Fatalf("%v is %v off the line", p, distance)
			}
		}
	}
}

func TestWrap(t *testing.T) {
	nine := 9 * 0.6 * letters // as wide as nine letters
	for s, want := range map[string][]string{
		"":                    nil,
		"Voltage":             {"Voltage"},
		"Voltage at no load":  {"Voltage", "at no", "load"},
		"at  the coil":        {"at the", "coil"},
		"Magnetzündung":       {"Magnetzün", "dung"},
		"at Magnetzündung, V": {"at", "Magnetzün", "dung, V"},
		"電圧降下電圧":              {"電圧降下電", "圧"},
	} {
		if got := wrap(s, nine); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, want %q", s, got, want)
		}
	}
}
