package draw

// frame is the box of the picture that the line is drawn in, and the ranges
// along its sides.
type frame struct {
	left, top, width float64
	x0, x1, y0, y1   float64
}

// spot is a place in the picture, y downwards.
type spot struct{ x, y float64 }

// box is a rectangle of the picture.
type box struct{ left, top, right, bottom float64 }

func (b box) meets(c box) bool {
	return b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom
}

func (b box) grown(by float64) box {
	return box{b.left - by, b.top - by, b.right + by, b.bottom + by}
}

func (f frame) right() float64      { return f.left + f.width }
func (f frame) bottom() float64     { return f.top + boxHeight }
func (f frame) x(v float64) float64 { return f.left + (v-f.x0)/(f.x1-f.x0)*f.width }
func (f frame) y(v float64) float64 { return f.top + (f.y1-v)/(f.y1-f.y0)*boxHeight }
func (f frame) spot(p Point) spot   { return spot{f.x(p.X), f.y(p.Y)} }

// layout finds the ranges, the scales along them, and the room that their texts
// leave: the label of Y stands above the box, its numbers to the left, those of
// X below, where the last may stand out half its width.
func (p Plot) layout() (f frame, xs, ys []scale) {
	f.x0, f.x1 = p.xRange()
	f.y0, f.y1 = p.yRange()
	xs, ys = p.X.scales(f.x0, f.x1), p.Y.scales(f.y0, f.y1)
	f.top = lineOf*float64(most(ys, func(s scale) int { return len(s.label) })) + 14
	// Texts that are too long for the picture leave the box a third of it.
	f.left = min(pictureWidth/3, edge+8+most(ys, func(s scale) float64 { return widest(s.ticks) }))
	right := min(pictureWidth/3, max(10, edge+most(xs, func(s scale) float64 { return widest(s.ticks) })/2))
	f.width = pictureWidth - f.left - right
	return f, xs, ys
}

func most[N int | float64](scales []scale, of func(scale) N) (n N) {
	for _, s := range scales {
		n = max(n, of(s))
	}
	return n
}

func widest(ticks []tick) (width float64) {
	for _, t := range ticks {
		width = max(width, widthOf(t.text))
	}
	return width
}
