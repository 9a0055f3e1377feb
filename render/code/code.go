// Package code draws QR codes (ISO/IEC 18004) of addresses.
//
// In: a text. Out: the code as a picture, with the quiet zone around it.
// It may import picture.
package code

import (
	"fmt"
	"image"
	"image/color"

	"rsc.io/qr"
	"rsc.io/qr/coding"

	"benchleaf/render/picture"
)

// quiet is the width of the light border on each side, in modules
// (ISO/IEC 18004:2015, 5.3.8).
const quiet = 4

// MostBytes is the longest text that a code holds at level M (the same, table 7).
const MostBytes = 2331

// Code is a QR code.
type Code struct {
	code *qr.Code
}

// Medium returns a code that is read with 15 % of its words spoilt, level M.
func Medium(text string) (Code, error) { return encode(text, qr.M) }

// Quartile returns one that is read with 25 % spoilt, level Q, for what gets dirty.
func Quartile(text string) (Code, error) { return encode(text, qr.Q) }

func encode(text string, level qr.Level) (Code, error) {
	c, err := qr.Encode(text, level)
	if err != nil {
		return Code{}, fmt.Errorf("code: %w", err)
	}
	return Code{c}, nil
}

// MediumModules is the width that Medium's code would have, without drawing it: the least
// version that holds the text in the densest of the modes for all of it.
func MediumModules(text string) (int, error) {
	enc := coding.Encoding(coding.String(text))
	if coding.Num(text).Check() == nil {
		enc = coding.Num(text)
	} else if coding.Alpha(text).Check() == nil {
		enc = coding.Alpha(text)
	}
	for v := coding.Version(coding.MinVersion); v <= coding.MaxVersion; v++ {
		if enc.Bits(v) <= v.DataBytes(coding.M)*8 {
			return 17 + 4*int(v) + 2*quiet, nil // ISO/IEC 18004:2015, 5.3.1
		}
	}
	return 0, fmt.Errorf("code: %d bytes are too many", len(text))
}

// Modules is the width of the code in modules, with the quiet zone.
func (c Code) Modules() int { return c.code.Size + 2*quiet }

// dots is the width of a module in the picture: edges stay sharp where a program
// smooths them.
const dots = 4

// PNG returns the picture, black on white.
func (c Code) PNG() ([]byte, error) {
	side := c.Modules() * dots
	img := image.NewPaletted(image.Rect(0, 0, side, side), color.Palette{color.White, color.Black})
	for y := range side {
		for x := range side {
			if c.code.Black(x/dots-quiet, y/dots-quiet) {
				img.SetColorIndex(x, y, 1)
			}
		}
	}
	return picture.PNG(img)
}
