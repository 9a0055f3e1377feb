package picture

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/url"
	"strings"
	"testing"

	"github.com/tetratelabs/wazero"
	"golang.org/x/image/webp"
)

func decode(t *testing.T, f File) image.Image {
	t.Helper()
	p := &photo{format: sniff(f.Data), data: f.Data}
	config, err := p.config()
	if err != nil {
		t.Fatalf("%s: %v", f.Path, err)
	}
	p.width, p.height = config.Width, config.Height
	m, err := p.decode()
	if err != nil {
		t.Fatalf("%s: %v", f.Path, err)
	}
	return m
}

// TestVariants holds which files a photograph has, and how large they and their
// place on the page are.
func TestVariants(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	for _, c := range []struct {
		name   string
		w, h   int
		files  string
		layout string
	}{
		// 1500 × 720 / 2000 = 540, 1500 × 1440 / 2000 = 1080.
		{"a/x.jpg", 2000, 1500, "a/x.jpg 1440×1080, a/x.jpg.720.webp 720×540, a/x.jpg.1440.webp 1440×1080", "720×540"},
		{"x.PNG", 1000, 500, "x.PNG 1000×500, x.PNG.720.webp 720×360, x.PNG.1000.webp 1000×500", "720×360"},
		{"x.jpeg", 800, 400, "x.jpeg 800×400, x.jpeg.800.webp 800×400", "720×360"},
		{"x.png", 40, 30, "x.png 40×30, x.png.40.webp 40×30", "40×30"},
		// 1000 × 4096 / 8000 = 512.
		{"x.png", 1000, 8000, "x.png 512×4096, x.png.512.webp 512×4096", "512×4096"},
		{"x.png", 3000, 1, "x.png 1440×1, x.png.720.webp 720×1, x.png.1440.webp 1440×1", "720×1"},
	} {
		data := asPNG(t, corners(c.w, c.h))
		if formats[c.name[len(c.name)-4:]] != "PNG" && c.name != "x.PNG" {
			data = asJPEG(t, corners(c.w, c.h))
		}
		files, info, err := Variants(c.name, data)
		if err != nil {
			t.Fatal(err)
		}
		var got string
		for i, f := range files {
			if i > 0 {
				got += ", "
			}
			b := decode(t, f).Bounds()
			got += fmt.Sprintf("%s %d×%d", f.Path, b.Dx(), b.Dy())
		}
		if got != c.files {
			t.Errorf("files are %s\nwant %s", got, c.files)
		}
		if got := fmt.Sprintf("%d×%d", info.Width, info.Height); got != c.layout {
			t.Errorf("%s %d×%d is laid out as %s, want %s", c.name, c.w, c.h, got, c.layout)
		}
		if looked, err := Look(c.name, data); err != nil || fmt.Sprint(looked) != fmt.Sprint(info) {
			t.Errorf("Look says %v, %v; Variants %v", looked, err, info)
		}
	}
}

// TestUpright holds the eight orientations by the definition of each: the side of what
// is seen that the first row, and the first column, of the file are.
// Source: CIPA DC-008 (Exif 2.32), 4.6.4, tag 274.
func TestUpright(t *testing.T) {
	const w, h = 64, 48
	seen := corners(w, h)
	at := func(side string, i int) (x, y int, ofRow bool) {
		switch side {
		case "top":
			return 0, i, false
		case "bottom":
			return 0, h - 1 - i, false
		case "left":
			return i, 0, true
		}
		return w - 1 - i, 0, true
	}
	for i, sides := range [][2]string{
		{"top", "left"}, {"top", "right"}, {"bottom", "right"}, {"bottom", "left"},
		{"left", "top"}, {"right", "top"}, {"right", "bottom"}, {"left", "bottom"},
	} {
		turn := i + 1
		sw, sh := w, h
		if _, _, across := at(sides[0], 0); across {
			sw, sh = h, w
		}
		stored := image.NewNRGBA(image.Rect(0, 0, sw, sh))
		for row := range sh {
			for column := range sw {
				x1, y1, _ := at(sides[0], row)
				x2, y2, _ := at(sides[1], column)
				stored.Set(column, row, seen.At(x1+x2, y1+y2))
			}
		}
		lossless, err := encodeWebP(stored, true)
		if err != nil {
			t.Fatal(err)
		}
		for name, data := range map[string][]byte{
			"a.jpg":  withSegments(asJPEG(t, stored), exif(turn, binary.BigEndian, "MM")),
			"b.jpg":  withSegments(asJPEG(t, stored), exif(turn, binary.LittleEndian, "II")),
			"a.png":  withChunks(asPNG(t, stored), "eXIf"+string(exif(turn, binary.BigEndian, "MM"))),
			"a.webp": withEXIF(lossless, exif(turn, binary.LittleEndian, "II"), sw, sh),
		} {
			files, info, err := Variants(name, data)
			if err != nil {
				t.Fatalf("%s, %d: %v", name, turn, err)
			}
			if info.Width != w || info.Height != h {
				t.Errorf("%s, %d: laid out as %d×%d", name, turn, info.Width, info.Height)
			}
			for _, f := range files {
				if m := decode(t, f); cornersOf(m) != upright || m.Bounds() != seen.Bounds() {
					t.Errorf("%s, %d: %s has its corners at %v, %v", name, turn, f.Path, cornersOf(m), m.Bounds())
				}
			}
		}
	}
}

// TestNothingBesides: of what a camera, a phone or a program wrote into a picture no
// byte is left.
func TestNothingBesides(t *testing.T) {
	m := corners(64, 48)
	photo := exif(1, binary.BigEndian, "MM")
	lossless, err := encodeWebP(m, true)
	if err != nil {
		t.Fatal(err)
	}
	svg := `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:d="urn:draws" d:path="` + secret + `">` +
		`<!-- ` + secret + ` --><metadata>` + secret + `</metadata><d:view>` + secret + `</d:view><path d="M0 0"/>` +
		`<image width="9" xlink:href="` + dataURL("jpeg", withSegments(asJPEG(t, m), photo)) + `"/></svg>`
	for name, data := range map[string][]byte{
		"a.jpg": withSegments(asJPEG(t, m), photo),
		"a.png": withChunks(asPNG(t, m), "eXIf"+string(photo), "tEXtComment\x00"+secret, "iTXtXML:com.adobe.xmp\x00\x00\x00\x00\x00"+secret,
			"tIME\x07\xe9\x01\x01\x01\x01\x01"),
		"a.webp": withEXIF(lossless, photo, 64, 48),
		"a.svg":  []byte(svg),
	} {
		if name != "a.svg" && !bytes.Contains(data, []byte(secret)) {
			t.Fatalf("%s has no metadata to begin with", name)
		}
		files, _, err := Variants(name, data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, f := range files {
			for _, left := range []string{secret, "Exif", "EXIF", "eXIf", "XMP", "xmp", "ICC", "tEXt", "tIME", "Photoshop", "metadata", "VP8X", "urn:"} {
				if bytes.Contains(f.Data, []byte(left)) {
					t.Errorf("%s: %s has %q in it", name, f.Path, left)
				}
			}
		}
		if name != "a.svg" {
			continue
		}
		_, after, _ := bytes.Cut(files[0].Data, []byte("base64,"))
		body, _, _ := bytes.Cut(after, []byte(`"`))
		if inner := unbase64(t, body); bytes.Contains(inner, []byte(secret)) || cornersOf(decode(t, File{Data: inner})) != upright {
			t.Error("the picture within the drawing is not clean, or another")
		}
	}
}

// TestScaled holds means that are worked by hand.
func TestScaled(t *testing.T) {
	row := func(pixels ...color.NRGBA) *image.NRGBA {
		m := image.NewNRGBA(image.Rect(0, 0, len(pixels), 1))
		for x, c := range pixels {
			m.SetNRGBA(x, 0, c)
		}
		return m
	}
	gray := func(v uint8) color.NRGBA { return color.NRGBA{v, v, v, 255} }
	for _, c := range []struct {
		from *image.NRGBA
		want []color.NRGBA
	}{
		// (2×0 + 1×90) / 3 and (1×90 + 2×255) / 3.
		{row(gray(0), gray(90), gray(255)), []color.NRGBA{gray(30), gray(200)}},
		// (10 + 20) / 2 and (30 + 41) / 2 = 35.5, rounded up.
		{row(gray(10), gray(20), gray(30), gray(41)), []color.NRGBA{gray(15), gray(36)}},
		// What cannot be seen has no colour to give: half of the mean is blue.
		{row(color.NRGBA{255, 0, 0, 0}, color.NRGBA{0, 0, 255, 255}), []color.NRGBA{{0, 0, 255, 128}}},
	} {
		m := scaled(c.from, len(c.want), 1)
		for x, want := range c.want {
			if got := m.NRGBAAt(x, 0); got != want {
				t.Errorf("pixel %d is %v, want %v", x, got, want)
			}
		}
	}
	// The same by columns.
	tall := image.NewGray(image.Rect(5, 5, 6, 8))
	tall.Pix = []uint8{0, 90, 255}
	if m := scaled(tall, 1, 2); m.NRGBAAt(0, 0) != gray(30) || m.NRGBAAt(0, 1) != gray(200) {
		t.Errorf("columns give %v", m.Pix)
	}
}

// TestPalette: a picture that need not be made smaller keeps its pixels, and its
// palette.
func TestPalette(t *testing.T) {
	m := image.NewPaletted(image.Rect(0, 0, 50, 40), color.Palette{color.NRGBA{1, 2, 3, 255}, color.NRGBA{200, 100, 50, 128}})
	for i := range m.Pix {
		m.Pix[i] = uint8(i / 7 % 2)
	}
	files, _, err := Variants("a.png", asPNG(t, m))
	if err != nil {
		t.Fatal(err)
	}
	own, err := png.Decode(bytes.NewReader(files[0].Data))
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := own.(*image.Paletted); !ok {
		t.Errorf("it is %T now", own)
	}
	small, err := webp.Decode(bytes.NewReader(files[1].Data))
	if err != nil {
		t.Fatal(err)
	}
	for y := range 40 {
		for x := range 50 {
			want := color.NRGBAModel.Convert(m.At(x, y))
			for _, got := range []image.Image{own, small} {
				if c := color.NRGBAModel.Convert(got.At(x, y)); c != want {
					t.Fatalf("at %d, %d %T has %v, want %v", x, y, got, c, want)
				}
			}
		}
	}
}

// TestSameEverywhere holds the bytes of WebP files. They come from this machine's
// processor; another one, or an interpreter, must give the same.
func TestSameEverywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	interpreter, err := newEncoder(wazero.NewRuntimeConfigInterpreter())
	if err != nil {
		t.Fatal(err)
	}
	m := image.NewNRGBA(image.Rect(0, 0, 97, 61))
	for y := range 61 {
		for x := range 97 {
			m.SetNRGBA(x, y, color.NRGBA{uint8(3 * x * y), uint8(x * x), uint8(255 - 4*y), uint8(255 - x%2*y)})
		}
	}
	m = scaled(m, 53, 37)
	for lossless, want := range map[bool]string{false: "df5196c373d76d4a", true: "15e86d37079b77d0"} {
		data, err := encodeWebP(m, lossless)
		if err != nil {
			t.Fatal(err)
		}
		other, err := interpreter.encode(m, lossless)
		if err != nil || !bytes.Equal(data, other) {
			t.Errorf("lossless %v: the interpreter gives other bytes, %v", lossless, err)
		}
		if sum := fmt.Sprintf("%x", sha256.Sum256(data))[:16]; sum != want {
			t.Errorf("lossless %v: the digest is %s, want %s", lossless, sum, want)
		}
	}
}

// TestForPhones: the file for phones is the smallest, that for browsers without WebP
// the largest.
func TestForPhones(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	files, _, err := Variants("a.jpg", asJPEG(t, corners(1440, 1080)))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := jpeg.Decode(bytes.NewReader(files[0].Data)); err != nil {
		t.Error(err)
	}
	narrow, large := files[1], files[2]
	if len(narrow.Data) >= len(large.Data) || len(large.Data) >= len(files[0].Data) {
		t.Errorf("%d bytes for phones, %d at large, %d as JPEG", len(narrow.Data), len(large.Data), len(files[0].Data))
	}
}

// What stands in an address is what an image shows of what was put in: of a drawing as text that no address and no
// attribute takes for something else.
func TestEnclose(t *testing.T) {
	for drawing, want := range map[string]string{
		"<svg a=\"b\" c='d&amp;e'>\n#%20 é ?|^`{}[]\\</svg>":                         "<svg a='b' c='d&amp;e'>#%20 é ?|^`{}[]\\</svg>",
		"<svg role=\"img\"\n  aria-labelledby=\"t d\" a=\"b'c>\"/>\n":                "<svg a='b&#39;c>'/>",
		"<svg>\n<path d=\"M 1 2, 3 -4 l5.5 6 z\"/>\n<g b=\"1 2\"/>\n</svg>\n":        "<svg><path d='M1,2,3,-4l5.5,6z'/><g b='1 2'/></svg>",
		"<svg viewBox=\"0 0 36 40\"><style>\n.a {\n b: c;\n}\n.d e{}\n</style>":      "<svg viewBox='0,0,36,40'><style>.a {b: c;}.d e{}</style>",
		"<text>a;\n<tspan>\"b\"</tspan>\n</text>\n<textPath>\nc</textPath>\n<text/>": "<text>a;\n<tspan>\"b\"</tspan>\n</text><textPath>c</textPath><text/>",
		"<svg><title id=\"t\">T</title>\n<desc>D &lt;</desc>\n<title>a<b/></title>":  "<svg><title>a<b/></title>",
	} {
		got, found := strings.CutPrefix(Enclose("a/B.SVG", []byte(drawing)), "data:image/svg+xml,")
		if back, err := url.PathUnescape(got); !found || err != nil || back != want {
			t.Errorf("%q, want %q, %v", back, want, err)
		}
		if strings.ContainsAny(got, "<>\"& #?|^`{}[]\\\n") {
			t.Errorf("%q holds a character of its own meaning", got)
		}
	}
	if got := Enclose("a.jpeg", []byte{0xFF, 0xD8}); got != "data:image/jpeg;base64,/9g=" {
		t.Errorf("got %q", got)
	}
}
