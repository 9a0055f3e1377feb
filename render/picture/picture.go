// Package picture makes of an author's picture the files that an edition has of it:
// of a photograph one for phones and one to be looked at large, upright, without
// what a camera wrote into it; of a drawing the drawing and nothing that could act
// or lead elsewhere.
//
// In: a file's name and bytes. Out: files, sizes, and what is wrong with it. It may
// import nothing of the project. The same bytes give the same files on every
// machine.
package picture

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"path"
	"strings"
)

// Widths in pixels. A phone's screen has 360 to 430 CSS pixels of two or three
// pixels each, of which the sheet's margins take 32. Narrow fills what two give;
// Large is for three of them, for wider screens and for looking close.
const (
	Narrow = 720
	Large  = 1440
)

const (
	// mostLines bounds the height of what an edition has; WebP takes 16,383.
	mostLines = 4096
	// MostPixels is what a picture may have to be read; the largest of phones' cameras have 50 million.
	MostPixels = 50_000_000
	// worthwhile is the width from which a picture has two files.
	worthwhile = 900
	// jpegQuality of what is written anew as JPEG.
	jpegQuality = 80
)

// File is a file of an edition.
type File struct {
	Path string
	Data []byte
}

// Source is a file that a browser may choose, with its width in pixels.
type Source struct {
	Path  string
	Width int
}

// Info is what a page must know of a picture.
type Info struct {
	Width, Height int // as it is laid out, in CSS pixels
	Dark          bool
	Pixels        int          // of a photograph: the width of the author's file, upright
	Sources       []Source     // of a photograph: WebP, the narrowest first
	Texts         []string     // of a drawing: what it says
	Callouts      map[int]Spot // and where its numbers stand
}

// Unfit says that a picture cannot be taken, and why: an author's mistake.
type Unfit struct {
	Why  string
	Line int // of a drawing
}

func (u *Unfit) Error() string { return u.Why }

// Oversize says that a picture has more pixels than can be taken.
type Oversize struct{ Width, Height int }

func (o *Oversize) Error() string {
	return fmt.Sprintf("%d × %d pixels are more than %d", o.Width, o.Height, MostPixels)
}

// IsPicture tells by its name whether a file is a picture that an edition may have.
func IsPicture(name string) bool { return formats[strings.ToLower(path.Ext(name))] != "" }

// IsDrawing tells whether it is an SVG.
func IsDrawing(name string) bool { return formats[strings.ToLower(path.Ext(name))] == "SVG" }

var formats = map[string]string{".svg": "SVG", ".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WebP"}

// Look tells what a page must know of a picture. Of a photograph it reads the head
// alone.
func Look(name string, data []byte) (Info, error) {
	if IsDrawing(name) {
		_, info, _, err := Clean(data)
		return info, err
	}
	p, err := open(name, data)
	if err != nil {
		return Info{}, err
	}
	return p.info(name), nil
}

// Check reads a picture to its end, as Variants will; taken is what a drawing
// loses. The error is *Unfit or *Oversize.
func Check(name string, data []byte) (taken []Taken, err error) {
	if IsDrawing(name) {
		_, _, taken, err = Clean(data)
		return taken, err
	}
	p, err := open(name, data)
	if err == nil {
		_, err = p.decode()
	}
	return nil, err
}

// Variants makes the files of a picture: first that of its own name, which every
// browser can show, then those in WebP. It is a pure function, and takes a second
// or more of a photograph; the error tells of the picture, as Check's does, or of the
// machine.
func Variants(name string, data []byte) ([]File, Info, error) {
	if IsDrawing(name) {
		clean, info, _, err := Clean(data)
		return []File{{name, clean}}, info, err
	}
	p, err := open(name, data)
	if err != nil {
		return nil, Info{}, err
	}
	whole, err := p.decode()
	if err != nil {
		return nil, Info{}, err
	}
	info := p.info(name)
	flat := p.format == "PNG" && fewColours(whole)
	var files []File
	for _, s := range info.Sources {
		m := p.upright(whole, s.Width)
		if s.Width == p.large() && p.format != "WebP" {
			own, err := p.own(whole, m)
			if err != nil {
				return nil, Info{}, err
			}
			files = append([]File{{name, own}}, files...)
		}
		w, err := smallest(m, flat)
		if err != nil {
			return nil, Info{}, err
		}
		files = append(files, File{s.Path, w})
	}
	return files, info, nil
}

// smallest writes WebP; of a picture with few colours, where edges count, also
// without loss, and keeps the shorter.
func smallest(m *image.NRGBA, flat bool) ([]byte, error) {
	lossy, err := encodeWebP(m, false)
	if err != nil || !flat {
		return lossy, err
	}
	exact, err := encodeWebP(m, true)
	if len(exact) > len(lossy) {
		return lossy, err
	}
	return exact, err
}

// own writes a picture in the format that it came in. A palette is kept where no
// pixel has changed.
func (p *photo) own(whole image.Image, m *image.NRGBA) ([]byte, error) {
	if p.format == "JPEG" {
		var b bytes.Buffer
		err := jpeg.Encode(&b, m, &jpeg.Options{Quality: jpegQuality})
		return b.Bytes(), err
	}
	var out image.Image = m
	if _, ok := whole.(*image.Paletted); ok && p.turn == 1 && m.Bounds() == whole.Bounds() {
		out = whole
	}
	return PNG(out)
}

// fewColours tells a drawing or a screen from a photograph.
func fewColours(m image.Image) bool {
	if _, ok := m.(*image.Paletted); ok {
		return true
	}
	const most = 256
	seen := map[color.Color]bool{}
	var last color.Color
	for y := m.Bounds().Min.Y; y < m.Bounds().Max.Y; y++ {
		for x := m.Bounds().Min.X; x < m.Bounds().Max.X; x++ {
			c := m.At(x, y)
			if c == last {
				continue
			}
			last = c
			if seen[c] = true; len(seen) > most {
				return false
			}
		}
	}
	return true
}
