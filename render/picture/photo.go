package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"path"
	"strings"

	"golang.org/x/image/webp"
)

// photo is a picture of pixels whose head was read.
type photo struct {
	format        string
	data          []byte
	width, height int // as they stand in the file
	turn          int // how it is held upright, as EXIF counts it: 1 to 8
}

// open reads the head of a picture.
func open(name string, data []byte) (*photo, error) {
	p := &photo{format: sniff(data), data: data, turn: 1}
	switch want := formats[strings.ToLower(path.Ext(name))]; {
	case p.format == "":
		return nil, &Unfit{Why: "it is no picture of the kind that its name says"}
	case p.format != want:
		return nil, &Unfit{Why: "its name says " + want + ", and it is " + p.format}
	}
	config, err := p.config()
	if err != nil {
		return nil, unfit(err)
	}
	p.width, p.height = config.Width, config.Height
	switch {
	case p.width < 1 || p.height < 1:
		return nil, &Unfit{Why: "it has no pixels"}
	case p.width > MostPixels/p.height:
		return nil, &Oversize{p.width, p.height}
	}
	animated := false
	p.blocks(func(kind string, body []byte) {
		switch kind {
		case "Exif":
			p.turn = turnOf(body)
		case "acTL", "ANIM": // PNG Specification, Third Edition, 11.3.6; WebP Container Specification (RFC 9649, 2.7)
			animated = true
		}
	})
	if animated {
		return nil, &Unfit{Why: "it moves; a page shows pictures that stand still"}
	}
	return p, nil
}

// sniff tells what a file is by its first bytes.
func sniff(data []byte) string {
	has := func(at int, s string) bool { return len(data) >= at+len(s) && string(data[at:at+len(s)]) == s }
	switch {
	case has(0, "\xff\xd8\xff"):
		return "JPEG"
	case has(0, "\x89PNG\r\n\x1a\n"):
		return "PNG"
	case has(0, "RIFF") && has(8, "WEBP"):
		return "WebP"
	case has(0, "GIF8"):
		return "GIF"
	case has(4, "ftypavi"):
		return "AVIF"
	case has(4, "ftyphei"), has(4, "ftypmif1"):
		return "HEIC"
	}
	return ""
}

func (p *photo) config() (image.Config, error) {
	r := bytes.NewReader(p.data)
	switch p.format {
	case "JPEG":
		return jpeg.DecodeConfig(r)
	case "PNG":
		return png.DecodeConfig(r)
	}
	return webp.DecodeConfig(r)
}

// decode reads the pixels. A decoder that stumbles over a file made to trip it has not
// read it either.
func (p *photo) decode() (m image.Image, err error) {
	defer func() {
		if r := recover(); r != nil {
			m, err = nil, unfit(fmt.Errorf("%v", r))
		}
	}()
	r := bytes.NewReader(p.data)
	switch p.format {
	case "JPEG":
		m, err = jpeg.Decode(r)
	case "PNG":
		m, err = png.Decode(r)
	default:
		m, err = webp.Decode(r)
	}
	switch {
	case err != nil:
		return nil, unfit(err)
	case m.Bounds().Dx() != p.width || m.Bounds().Dy() != p.height:
		return nil, &Unfit{Why: "its head and its body differ in size"}
	}
	return m, nil
}

// unfit says in an author's words what a decoder says.
func unfit(err error) error {
	// Some decoders wrap the end of the file, some name it.
	if errors.Is(err, io.EOF) || strings.Contains(err.Error(), io.ErrUnexpectedEOF.Error()) {
		return &Unfit{Why: "it breaks off"}
	}
	why := err.Error()
	for _, package_ := range []string{"jpeg: ", "png: ", "webp: ", "vp8: ", "vp8l: ", "riff: "} {
		why = strings.TrimPrefix(why, package_)
	}
	return &Unfit{Why: "it is damaged, or of a rare kind (" + why + ")"}
}

// blocks gives the parts of a file that stand beside its pixels. What breaks off is
// told by decode.
// Sources: ITU-T T.81, B.1.1.4 for JPEG; PNG Specification, Third Edition, 5.3;
// RFC 9649, 2.3 for WebP.
func (p *photo) blocks(take func(kind string, body []byte)) {
	rest := p.data
	switch p.format {
	case "JPEG":
		for rest = rest[2:]; len(rest) >= 4 && rest[0] == 0xff; {
			marker, n := rest[1], int(binary.BigEndian.Uint16(rest[2:]))
			switch {
			case marker == 0xff: // fills
				rest = rest[1:]
				continue
			case marker == 0xda || n < 2 || len(rest) < 2+n:
				return
			}
			body := rest[4 : 2+n]
			if exif, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); ok && marker == 0xe1 {
				take("Exif", exif)
			}
			rest = rest[2+n:]
		}
	case "PNG":
		for rest = rest[8:]; len(rest) >= 12; {
			n := int(binary.BigEndian.Uint32(rest))
			if n > len(rest)-12 {
				return
			}
			kind := string(rest[4:8])
			if kind == "eXIf" {
				kind = "Exif"
			}
			take(kind, rest[8:8+n])
			rest = rest[12+n:]
		}
	case "WebP":
		for rest = rest[12:]; len(rest) >= 8; {
			n := int(binary.LittleEndian.Uint32(rest[4:]))
			if n > len(rest)-8 {
				return
			}
			kind := string(rest[:4])
			if kind == "EXIF" {
				kind = "Exif"
			}
			take(kind, bytes.TrimPrefix(rest[8:8+n], []byte("Exif\x00\x00")))
			rest = rest[min(len(rest), 8+n+n&1):]
		}
	}
}

// turnOf reads the orientation out of EXIF, whose form is TIFF's; 1 where it says
// nothing.
// Source: CIPA DC-008 (Exif 2.32), 4.6.4, tag 274; TIFF 6.0, section 2.
func turnOf(exif []byte) int {
	var order binary.ByteOrder = binary.LittleEndian
	if bytes.HasPrefix(exif, []byte("MM")) {
		order = binary.BigEndian
	}
	if len(exif) < 8 {
		return 1
	}
	at := int64(order.Uint32(exif[4:]))
	if at > int64(len(exif))-2 {
		return 1
	}
	entries := exif[at+2:]
	for range order.Uint16(exif[at:]) {
		if len(entries) < 12 {
			return 1
		}
		const orientation, short = 274, 3
		if order.Uint16(entries) == orientation && order.Uint16(entries[2:]) == short {
			if turn := int(order.Uint16(entries[8:])); turn >= 1 && turn <= 8 {
				return turn
			}
			return 1
		}
		entries = entries[12:]
	}
	return 1
}

// size is the picture's, upright.
func (p *photo) size() (w, h int) {
	if p.turn >= 5 {
		return p.height, p.width
	}
	return p.width, p.height
}

// large is the width of the largest file.
func (p *photo) large() int {
	w, h := p.size()
	return max(1, min(w, Large, int(int64(w)*mostLines/int64(h))))
}

// heightFor is the height that belongs to a width.
func (p *photo) heightFor(width int) int {
	w, h := p.size()
	return max(1, int((int64(width)*int64(h)+int64(w)/2)/int64(w)))
}

// info is laid out as wide as the narrow file at most: a photograph of a thousand
// pixels looks as large as one of four thousand.
func (p *photo) info(name string) Info {
	w, _ := p.size()
	large := p.large()
	shown := min(large, Narrow)
	i := Info{Width: shown, Height: p.heightFor(shown), Pixels: w}
	variant := func(width int) Source { return Source{fmt.Sprintf("%s.%d.webp", name, width), width} }
	if large >= worthwhile {
		i.Sources = append(i.Sources, variant(Narrow))
	}
	last := variant(large)
	if p.format == "WebP" {
		last.Path = name
	}
	i.Sources = append(i.Sources, last)
	return i
}
