package picture

import (
	"image"
	"image/draw"
)

// upright returns the picture as it is to be looked at, with a width.
func (p *photo) upright(whole image.Image, width int) *image.NRGBA {
	w, h := width, p.heightFor(width)
	if p.turn >= 5 {
		w, h = h, w
	}
	return turned(scaled(whole, w, h), p.turn)
}

// scaled makes a picture smaller, never larger. Each pixel is the mean of the area
// that it covers, counted in whole numbers: a processor that multiplies and adds in
// one step rounds fractions otherwise than one that does not (The Go Programming
// Language Specification, Floating-point operators), and files would differ.
func scaled(m image.Image, w, h int) *image.NRGBA {
	from := m.Bounds()
	sw, sh := from.Dx(), from.Dy()
	if same, ok := m.(*image.NRGBA); ok && sw == w && sh == h {
		return same
	}
	to := image.NewNRGBA(image.Rect(0, 0, w, h))
	if sw == w && sh == h {
		draw.Draw(to, to.Bounds(), m, from.Min, draw.Src)
		return to
	}
	row := image.NewRGBA(image.Rect(0, 0, sw, 1))
	across := make([]uint64, 4*w) // a row of the source, made narrower; weights add up to sw
	sum := make([]uint64, 4*w)    // the rows so far of a row of the target; weights add up to sh
	for y, at := 0, 0; y < sh; y++ {
		draw.Draw(row, row.Bounds(), m, image.Pt(from.Min.X, from.Min.Y+y), draw.Src)
		narrower(across, row.Pix, sw, w)
		// In parts of which a row of the source has h and one of the target sh.
		for top, bottom := y*h, (y+1)*h; top < bottom; {
			end := min(bottom, (at+1)*sh)
			for i, v := range across {
				sum[i] += v * uint64(end-top)
			}
			if top = end; top == (at+1)*sh {
				plain(to.Pix[at*to.Stride:], sum, uint64(sw)*uint64(sh))
				clear(sum)
				at++
			}
		}
	}
	return to
}

// narrower adds up the pixels of a row, in parts of which a pixel of the source has
// w and one of the target sw.
func narrower(to []uint64, pix []uint8, sw, w int) {
	clear(to)
	for x, at := 0, 0; x < sw; x++ {
		for left, right := x*w, (x+1)*w; left < right; {
			end := min(right, (at+1)*sw)
			for c := range 4 {
				to[4*at+c] += uint64(pix[4*x+c]) * uint64(end-left)
			}
			if left = end; left == (at+1)*sw {
				at++
			}
		}
	}
}

// plain writes a row of sums whose colours have the opacity in them.
func plain(to []uint8, sum []uint64, all uint64) {
	for i := 0; i < len(sum); i += 4 {
		a := sum[i+3]
		for c := range 3 {
			to[i+c] = 0
			if a > 0 {
				to[i+c] = uint8(min(255, (sum[i+c]*255+a/2)/a))
			}
		}
		to[i+3] = uint8((a + all/2) / all)
	}
}

// turned holds a picture upright.
// Source: CIPA DC-008 (Exif 2.32), 4.6.4, tag 274: which side of what is seen the
// first row and the first column are.
func turned(m *image.NRGBA, turn int) *image.NRGBA {
	if turn == 1 {
		return m
	}
	w, h := m.Bounds().Dx(), m.Bounds().Dy()
	tw, th := w, h
	if turn >= 5 {
		tw, th = h, w
	}
	to := image.NewNRGBA(image.Rect(0, 0, tw, th))
	for y := range h {
		for x := range w {
			// right and down are the places counted from the other side.
			right, down := w-1-x, h-1-y
			tx, ty := x, y
			switch turn {
			case 2: // top, right
				tx, ty = right, y
			case 3: // bottom, right
				tx, ty = right, down
			case 4: // bottom, left
				tx, ty = x, down
			case 5: // left, top
				tx, ty = y, x
			case 6: // right, top
				tx, ty = down, x
			case 7: // right, bottom
				tx, ty = down, right
			case 8: // left, bottom
				tx, ty = y, right
			}
			copy(to.Pix[to.PixOffset(tx, ty):][:4], m.Pix[m.PixOffset(x, y):][:4])
		}
	}
	return to
}
