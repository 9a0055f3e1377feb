package draw

import (
	"math"
	"strings"
)

// line returns the pieces of the line that are in the box, each as few spots
// as show it.
func (f frame) line(points []Point) [][]spot {
	var pieces [][]spot
	var piece []spot
	end := func() {
		if len(piece) > 0 {
			pieces = append(pieces, simplified(piece))
		}
		piece = nil
	}
	for i, p := range points {
		if !usable(p.X) || math.IsNaN(p.Y) {
			end()
			continue
		}
		if i == 0 || !usable(points[i-1].X) || math.IsNaN(points[i-1].Y) {
			if f.y0 <= p.Y && p.Y <= f.y1 {
				piece = append(piece, f.spot(p))
			}
			continue
		}
		from, to, ok := f.cut(points[i-1], p)
		if !ok {
			end()
			continue
		}
		if len(piece) == 0 || piece[len(piece)-1] != from {
			end()
			piece = append(piece, from)
		}
		piece = append(piece, to)
	}
	end()
	return pieces
}

// cut returns the part of a stroke that is in the box. A stroke from beyond one
// side to beyond the other is the two sides of a pole, and no part of the line.
func (f frame) cut(a, b Point) (from, to spot, ok bool) {
	if max(a.Y, b.Y) < f.y0 || min(a.Y, b.Y) > f.y1 || max(a.Y, b.Y) > f.y1 && min(a.Y, b.Y) < f.y0 {
		return from, to, false
	}
	// The greatest stands for the infinite: the stroke then goes straight up.
	a.Y, b.Y = max(-greatest, min(greatest, a.Y)), max(-greatest, min(greatest, b.Y))
	inside := func(p, other Point) spot {
		y := max(f.y0, min(f.y1, p.Y))
		x := p.X
		if y != p.Y {
			x += (other.X - p.X) * ((y - p.Y) / (other.Y - p.Y))
		}
		return f.spot(Point{x, y})
	}
	return inside(a, b), inside(b, a), true
}

// simplified leaves out the spots that are within a seventh of a unit of the line
// through the others, so that it stays within a quarter when all are rounded:
// D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number
// of points required to represent a digitized line or its caricature,
// Cartographica 10 (1973).
func simplified(piece []spot) []spot {
	last := len(piece) - 1
	if last < 2 {
		return piece
	}
	farthest, distance := 0, 1.0/7
	for i := 1; i < last; i++ {
		if d := apart(piece[i], piece[0], piece[last]); d > distance {
			farthest, distance = i, d
		}
	}
	if farthest == 0 {
		return []spot{piece[0], piece[last]}
	}
	before := simplified(piece[:farthest+1])
	return append(before[:len(before)-1:len(before)-1], simplified(piece[farthest:])...)
}

// apart is how far a spot is from a stroke.
func apart(s, from, to spot) float64 {
	dx, dy := to.x-from.x, to.y-from.y
	t := 0.0
	if length := dx*dx + dy*dy; length > 0 {
		t = max(0, min(1, ((s.x-from.x)*dx+(s.y-from.y)*dy)/length))
	}
	return math.Hypot(s.x-from.x-t*dx, s.y-from.y-t*dy)
}

// pathOf writes a line as path data; a piece of one spot is a dot.
func pathOf(pieces [][]spot) string {
	var b strings.Builder
	for _, piece := range pieces {
		for i, s := range piece {
			b.WriteString(string("ML"[min(i, 1)]) + list(s.x, s.y))
		}
		if len(piece) == 1 {
			b.WriteString("h0")
		}
	}
	return b.String()
}
