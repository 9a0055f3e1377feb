package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// corners is a picture whose quarters have colours of their own: red, green, blue
// and white, from the upper left in the order of reading.
func corners(w, h int) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetNRGBA(x, y, cornerColours[2*(2*y/h)+2*x/w])
		}
	}
	return m
}

var cornerColours = [4]color.NRGBA{{255, 0, 0, 255}, {0, 255, 0, 255}, {0, 0, 255, 255}, {255, 255, 255, 255}}

// cornersOf returns which colours a picture has in its quarters, as places in
// cornerColours; a lossy format moves them a little.
func cornersOf(m image.Image) (found [4]int) {
	b := m.Bounds()
	for i := range found {
		r, g, bl, _ := m.At(b.Min.X+b.Dx()*(1+2*(i%2))/4, b.Min.Y+b.Dy()*(1+2*(i/2))/4).RGBA()
		found[i] = -1
		for k, c := range cornerColours {
			near := func(got uint32, want uint8) bool { return max(int(got>>8)-int(want), int(want)-int(got>>8)) < 60 }
			if near(r, c.R) && near(g, c.G) && near(bl, c.B) {
				found[i] = k
			}
		}
	}
	return found
}

var upright = [4]int{0, 1, 2, 3}

func asPNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asJPEG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// secret stands in all metadata that the tests put into a picture.
const secret = "N 52.5163 E 13.3777"

// exif is EXIF with an orientation and, where GPS data would lie, the secret.
func exif(turn int, order binary.AppendByteOrder, mark string) []byte {
	b := append([]byte(mark), order.AppendUint16(nil, 42)...)
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 2)
	for _, e := range []struct {
		tag, kind uint16
		count     uint32
		value     []byte
	}{
		{0x0112, 3, 1, order.AppendUint16(order.AppendUint16(nil, uint16(turn)), 0)},
		{0x010e, 2, uint32(len(secret) + 1), order.AppendUint32(nil, 38)},
	} {
		b = order.AppendUint32(order.AppendUint16(order.AppendUint16(b, e.tag), e.kind), e.count)
		b = append(b, e.value...)
	}
	b = order.AppendUint32(b, 0)
	return append(append(b, secret...), 0)
}

// withSegments puts segments behind the first marker of a JPEG.
func withSegments(data []byte, exif []byte) []byte {
	out := bytes.Clone(data[:2])
	for _, s := range []struct {
		marker byte
		body   []byte
	}{
		{0xe1, append([]byte("Exif\x00\x00"), exif...)},
		{0xe1, []byte("http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>" + secret + "</x:xmpmeta>")},
		{0xe2, []byte("ICC_PROFILE\x00\x01\x01" + secret)},
		{0xed, []byte("Photoshop 3.0\x00" + secret)},
		{0xfe, []byte(secret)},
	} {
		out = append(out, 0xff, s.marker)
		out = binary.BigEndian.AppendUint16(out, uint16(len(s.body)+2))
		out = append(out, s.body...)
	}
	return append(out, data[2:]...)
}

// withChunks puts chunks behind the head of a PNG.
func withChunks(data []byte, chunks ...string) []byte {
	const head = 8 + 25
	out := bytes.Clone(data[:head])
	for _, c := range chunks {
		out = binary.BigEndian.AppendUint32(out, uint32(len(c)-4))
		out = append(out, c...)
		out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE([]byte(c)))
	}
	return append(out, data[head:]...)
}

// withEXIF makes of a simple WebP one of the extended form (RFC 9649, 2.7) with EXIF.
func withEXIF(data, exif []byte, w, h int) []byte {
	const hasEXIF, hasAlpha = 8, 16
	head := []byte{hasEXIF | hasAlpha, 0, 0, 0, byte(w - 1), byte((w - 1) >> 8), 0, byte(h - 1), byte((h - 1) >> 8), 0}
	body := []byte("WEBP")
	chunk := func(kind string, b []byte) {
		body = binary.LittleEndian.AppendUint32(append(body, kind...), uint32(len(b)))
		body = append(body, b...)
		if len(b)%2 == 1 {
			body = append(body, 0)
		}
	}
	chunk("VP8X", head)
	body = append(body, data[12:]...)
	chunk("EXIF", exif)
	chunk("XMP ", []byte(secret))
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}
