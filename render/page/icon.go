package page

import (
	"hash/fnv"
	"image"
	"image/color"

	"benchleaf/render/picture"
)

// The icon of a handbook on a phone's screen: a sheet with its head and its ruled
// lines, and a key at the thumb. The head's colour comes from the title, so that two
// handbooks on one screen differ.

// heads are the colours, each dark enough beside the paper.
var heads = []color.RGBA{
	{0x0a, 0x3a, 0x66, 255}, {0x14, 0x53, 0x2d, 255}, {0x7a, 0x0f, 0x3c, 255}, {0x3a, 0x34, 0x80, 255},
	{0x8a, 0x3a, 0x00, 255}, {0x00, 0x52, 0x5e, 255}, {0x5c, 0x4a, 0x00, 255}, {0x4a, 0x1f, 0x66, 255},
}

var (
	iconGround = color.RGBA{0xd9, 0xd6, 0xcb, 255}
	iconPaper  = color.RGBA{0xfc, 0xfb, 0xf6, 255}
	iconLine   = color.RGBA{0x42, 0x47, 0x4b, 255}
)

// icon draws the icon as PNG. Everything but the ground lies within the middle
// 80 %, which no system cuts away (W3C, Web Application Manifest, "Icon masks and
// safe zone").
func icon(title string, size int) ([]byte, error) {
	hash := fnv.New32a()
	hash.Write([]byte(title))
	head := heads[hash.Sum32()%uint32(len(heads))]
	palette := color.Palette{iconGround, iconPaper, iconLine, head}
	img := image.NewPaletted(image.Rect(0, 0, size, size), palette)
	// Boxes in hundredths of the size: left, top, right, bottom.
	for _, box := range []struct {
		l, t, r, b int
		colour     uint8
	}{
		{27, 20, 73, 80, 1}, {27, 20, 73, 33, 3},
		{33, 40, 67, 43, 2}, {33, 48, 67, 51, 2}, {33, 56, 55, 59, 2},
		{33, 66, 67, 74, 3},
	} {
		for y := box.t * size / 100; y < box.b*size/100; y++ {
			for x := box.l * size / 100; x < box.r*size/100; x++ {
				img.SetColorIndex(x, y, box.colour)
			}
		}
	}
	return picture.PNG(img)
}
