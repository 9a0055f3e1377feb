// Draws content/pictures/back-probe.jpg of the demo, an illustration in pixels: a pin
// beside a wire in the back of a connector, read by a meter. Nothing in it is any
// maker's.
//
//	go run ./testdata/pictures content/pictures/back-probe.jpg
package main

import (
	"image"
	"image/color"
	"image/jpeg"
	"log"
	"math"
	"os"
)

const width, height = 1600, 1200

// point is a place in the picture, or a way.
type point struct{ x, y float64 }

func (p point) minus(q point) point { return point{p.x - q.x, p.y - q.y} }
func (p point) length() float64     { return math.Hypot(p.x, p.y) }

// shape gives how far a place is outside it, in pixels; negative within.
type shape func(p point) float64

func box(x, y, w, h, round float64) shape {
	return func(p point) float64 {
		dx, dy := math.Abs(p.x-x-w/2)-w/2+round, math.Abs(p.y-y-h/2)-h/2+round
		return point{max(dx, 0), max(dy, 0)}.length() + min(max(dx, dy), 0) - round
	}
}

func disc(x, y, r float64) shape {
	return func(p point) float64 { return p.minus(point{x, y}).length() - r }
}

// rod is a thick line from one place to another, thinner at its end by taper.
func rod(a, b point, r, taper float64) shape {
	way := b.minus(a)
	return func(p point) float64 {
		d := p.minus(a)
		t := min(1, max(0, (d.x*way.x+d.y*way.y)/(way.x*way.x+way.y*way.y)))
		return d.minus(point{t * way.x, t * way.y}).length() - r + t*taper
	}
}

// cord is a cubic curve, as a lead lies.
func cord(a, b, c, d point, r float64) shape {
	const parts = 60
	var on [parts + 1]point
	for i := range on {
		t := float64(i) / parts
		u := 1 - t
		on[i] = point{u*u*u*a.x + 3*u*u*t*b.x + 3*u*t*t*c.x + t*t*t*d.x, u*u*u*a.y + 3*u*u*t*b.y + 3*u*t*t*c.y + t*t*t*d.y}
	}
	return func(p point) float64 {
		nearest := math.Inf(1)
		for i := range parts {
			if p.minus(on[i]).length() < nearest+40 {
				nearest = min(nearest, rod(on[i], on[i+1], r, 0)(p))
			}
		}
		return nearest
	}
}

// hexagon is the head of a bolt.
func hexagon(x, y, r float64) shape {
	return func(p point) float64 {
		far := 0.0
		for i := range 3 {
			angle := float64(i)*math.Pi/3 + 0.3
			far = max(far, math.Abs((p.x-x)*math.Cos(angle)+(p.y-y)*math.Sin(angle)))
		}
		return far - r
	}
}

// canvas is the picture while it is drawn.
type canvas [height][width][3]float64

// each calls f for all pixels with the part of them that a shape covers, softened over
// some pixels, and how far they are within.
func (c *canvas) each(s shape, soft float64, f func(pixel *[3]float64, p point, cover, within float64)) {
	for y := range c {
		for x := range c[y] {
			p := point{float64(x) + 0.5, float64(y) + 0.5}
			d := s(p)
			if cover := min(1, max(0, 0.5-d/soft)); cover > 0 {
				f(&c[y][x], p, cover, -d)
			}
		}
	}
}

// put lays a shape on what is there: with a shadow to the lower right as high as it
// stands, and rounded at its edge where round is not 0.
func (c *canvas) put(s shape, r, g, b, high, round float64) {
	if high > 0 {
		c.each(func(p point) float64 { return s(point{p.x - high, p.y - 1.3*high}) }, 2.2*high, func(pixel *[3]float64, _ point, cover, _ float64) {
			for i := range pixel {
				pixel[i] *= 1 - 0.45*cover
			}
		})
	}
	c.each(s, 1.4, func(pixel *[3]float64, p point, cover, within float64) {
		light := 1.0
		if round > 0 {
			// The edge falls away: lighter where it looks up to the left.
			nx, ny := s(point{p.x + 1, p.y})-s(point{p.x - 1, p.y}), s(point{p.x, p.y + 1})-s(point{p.x, p.y - 1})
			light += 0.22 * -(nx + ny) * max(0, 1-within/round)
		}
		for i, v := range [3]float64{r, g, b} {
			pixel[i] += cover * (v*light - pixel[i])
		}
	})
}

// figures of seven bars: top, upper right, lower right, bottom, lower left, upper
// left, middle.
var figures = map[rune]string{'1': "bc", '2': "abged", '4': "fgbc", '8': "abcdefg"}

// figure writes one on the meter's display.
func (c *canvas) figure(of rune, x, y float64) {
	const w, h, thick = 46, 84, 9
	bars := map[rune]shape{
		'a': box(x, y, w, thick, 4), 'b': box(x+w-thick, y, thick, h/2, 4), 'c': box(x+w-thick, y+h/2, thick, h/2, 4),
		'd': box(x, y+h-thick, w, thick, 4), 'e': box(x, y+h/2, thick, h/2, 4), 'f': box(x, y, thick, h/2, 4), 'g': box(x, y+h/2-thick/2, w, thick, 4),
	}
	for _, bar := range figures[of] {
		c.put(bars[bar], 38, 46, 42, 0, 0)
	}
}

func main() {
	c := new(canvas)
	for y := range c {
		for x := range c[y] {
			// A bench of grey rubber under a lamp at the upper left.
			shade := 196 - 0.035*float64(x) - 0.03*float64(y) + 3*math.Sin(float64(x)/3.1)*math.Sin(float64(y)/3.7)
			c[y][x] = [3]float64{shade, shade, shade * 0.98}
		}
	}

	// The ground point: a bracket with a bolt.
	c.put(box(1010, 930, 500, 190, 24), 150, 154, 158, 14, 16)
	c.put(disc(1390, 1025, 64), 176, 180, 184, 4, 8)
	c.put(hexagon(1390, 1025, 42), 202, 204, 206, 8, 9)

	// The meter.
	c.put(box(90, 330, 480, 760, 54), 38, 96, 104, 26, 26)
	c.put(box(120, 360, 420, 700, 34), 52, 58, 62, 0, 10)
	c.put(box(160, 400, 340, 170, 16), 196, 206, 186, 0, 6)
	for i, f := range "1248" {
		x := 196 + 68*float64(i)
		if i > 1 {
			x += 18
		}
		c.figure(f, x, 440)
	}
	c.put(disc(334, 520, 6), 38, 46, 42, 0, 0)
	for i := range 9 {
		angle := math.Pi * (0.75 + float64(i)*0.1875)
		c.put(disc(330+138*math.Cos(angle), 760+138*math.Sin(angle), 6), 214, 218, 220, 0, 0)
	}
	c.put(disc(330, 760, 108), 84, 92, 98, 10, 14)
	c.put(rod(point{330, 760}, point{330 - 62, 760 - 62}, 17, 0), 226, 228, 230, 5, 12)
	c.put(disc(260, 990, 34), 22, 24, 26, 4, 9)
	c.put(disc(400, 990, 34), 150, 28, 26, 4, 9)
	c.put(disc(260, 990, 20), 50, 52, 54, 6, 9)
	c.put(disc(400, 990, 20), 198, 46, 40, 6, 9)

	// Its leads.
	c.put(cord(point{260, 990}, point{280, 1330}, point{820, 1160}, point{1120, 1000}, 15), 44, 46, 48, 9, 13)
	c.put(cord(point{400, 990}, point{460, 1220}, point{640, 900}, point{640, 560}, 15), 186, 38, 34, 9, 13)

	// The connector, mated, with its wires: towards the harness at the left, towards the heater at the right.
	wires := []struct{ r, g, b float64 }{{196, 44, 40}, {122, 82, 48}, {60, 100, 168}}
	for i, w := range wires {
		y := 330 + 80*float64(i)
		c.put(cord(point{940, y}, point{840, y}, point{790, y - 130 + 40*float64(i)}, point{430 + 60*float64(2-i), -60}, 16), w.r, w.g, w.b, 9, 13)
		c.put(cord(point{1370, y}, point{1450, y}, point{1490, y + 20*float64(i)}, point{1640, y - 90 + 60*float64(i)}, 16), w.r, w.g, w.b, 9, 13)
	}
	for i := range wires {
		c.put(box(890, 300+80*float64(i), 60, 60, 20), 214, 112, 40, 6, 14) // seals
	}
	c.put(box(930, 268, 240, 284, 22), 58, 62, 66, 18, 16)
	c.put(box(1140, 290, 240, 240, 20), 84, 88, 92, 16, 14)
	c.put(box(1080, 360, 130, 100, 14), 104, 108, 112, 9, 12) // the latch
	c.put(box(1150, 384, 34, 52, 8), 52, 56, 60, 0, 6)

	// The pin beside the red wire, and the probe that holds it.
	c.put(rod(point{716, 492}, point{904, 352}, 6, 3), 214, 216, 220, 5, 5)
	c.put(rod(point{640, 560}, point{724, 486}, 30, 14), 200, 42, 38, 14, 22)
	c.put(rod(point{688, 518}, point{690, 516}, 31, 0), 226, 78, 70, 5, 10)

	// The black clip on the bracket's edge.
	c.put(rod(point{1120, 1000}, point{1236, 972}, 26, 8), 40, 42, 44, 12, 18)
	c.put(rod(point{1216, 978}, point{1300, 1000}, 13, 6), 196, 200, 204, 6, 8)

	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range c {
		for x, v := range c[y] {
			part := func(i int) uint8 { return uint8(min(255, max(0, v[i]))) }
			picture.SetRGBA(x, y, color.RGBA{part(0), part(1), part(2), 255})
		}
	}
	out, err := os.Create(os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	if err := jpeg.Encode(out, picture, &jpeg.Options{Quality: 85}); err != nil {
		log.Fatal(err)
	}
	if err := out.Close(); err != nil {
		log.Fatal(err)
	}
}
