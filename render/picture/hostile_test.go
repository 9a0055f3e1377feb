package picture

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func dataURL(kind string, data []byte) string {
	return "data:image/" + kind + ";base64," + base64.StdEncoding.EncodeToString(data)
}

func unbase64(t *testing.T, text []byte) []byte {
	t.Helper()
	data, err := base64.StdEncoding.DecodeString(string(text))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// goTool returns what the go command says.
func goTool(t *testing.T, args ...string) string {
	t.Helper()
	out, err := exec.Command("go", args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(out))
}

// TestKinds takes pictures of every kind that other programs write: progressive
// and CMYK JPEG, PNG of 1 to 16 bits with and without palette and interlaced, WebP with and
// without loss. Sources: the test pictures of Go, among them PngSuite by Willem van
// Schaik, and of golang.org/x/image.
func TestKinds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	root := goTool(t, "env", "GOROOT")
	module := goTool(t, "list", "-m", "-f", "{{.Dir}}", "golang.org/x/image")
	taken := 0
	for _, pattern := range []string{
		root + "/src/image/testdata/video-001*.jpeg", root + "/src/image/testdata/video-001*.png",
		root + "/src/image/png/testdata/pngsuite/bas*.png", module + "/testdata/*.webp",
	} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Errorf("%s: no pictures, %v", pattern, err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			made, _, err := Variants(filepath.Base(file), data)
			if err != nil {
				t.Errorf("%s: %v", file, err)
				continue
			}
			for _, f := range made {
				decode(t, f)
			}
			taken++
		}
	}
	t.Logf("%d pictures", taken)
}

// TestUnfit holds what an author is told of a picture that cannot be taken.
func TestUnfit(t *testing.T) {
	m := corners(40, 30)
	jpg, pic := asJPEG(t, m), asPNG(t, m)
	lossy, err := encodeWebP(m, false)
	if err != nil {
		t.Fatal(err)
	}
	bomb := bytes.Clone(pic[:33])
	copy(bomb[16:], "\x00\x01\x00\x00\x00\x01\x00\x00")
	binary.BigEndian.PutUint32(bomb[29:], crc32.ChecksumIEEE(bomb[12:29]))
	moving := withEXIF(lossy, nil, 40, 30)
	copy(moving[bytes.Index(moving, []byte("EXIF")):], "ANIM")
	for name, c := range map[string]struct {
		data []byte
		why  string
	}{
		"a.jpg":  {jpg[:len(jpg)/2], "it breaks off"},
		"b.png":  {pic[:len(pic)-20], "it breaks off"},
		"c.webp": {lossy[:len(lossy)/2], "it breaks off"},
		"d.jpg":  {pic, "its name says JPEG, and it is PNG"},
		"e.png":  {[]byte("GIF89a\x01\x00\x01\x00"), "its name says PNG, and it is GIF"},
		"f.jpg":  {[]byte("\x00\x00\x00\x18ftypheic"), "its name says JPEG, and it is HEIC"},
		"g.png":  {nil, "it is no picture of the kind that its name says"},
		"h.png":  {withChunks(pic, "acTL\x00\x00\x00\x02\x00\x00\x00\x00"), "it moves; a page shows pictures that stand still"},
		"i.webp": {moving, "it moves; a page shows pictures that stand still"},
		"j.svg":  {[]byte("<html/>"), "there is no SVG element at its root"},
		"k.svg":  {[]byte(`<svg xmlns="http://www.w3.org/2000/svg">` + strings.Repeat("<g>", 300)), "it has more than 200 elements in one another"},
	} {
		_, checked := Check(name, c.data)
		_, _, made := Variants(name, c.data)
		for _, err := range []error{checked, made} {
			var unfit *Unfit
			if !errors.As(err, &unfit) || unfit.Why != c.why {
				t.Errorf("%s: %v, want %s", name, err, c.why)
			}
		}
	}
	var oversize *Oversize
	if _, err := Check("a.png", bomb); !errors.As(err, &oversize) || oversize.Width != 65536 {
		t.Errorf("a bomb: %v", err)
	}
}

// TestBreaksOff cuts and spoils pictures everywhere: each is taken, or an author is
// told.
func TestBreaksOff(t *testing.T) {
	m := corners(24, 16)
	lossy, err := encodeWebP(m, false)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"a.jpg": withSegments(asJPEG(t, m), exif(6, binary.BigEndian, "MM")), "a.png": withChunks(asPNG(t, m), "eXIf"+string(exif(6, binary.BigEndian, "MM"))),
		"a.webp": withEXIF(lossy, exif(6, binary.BigEndian, "MM"), 24, 16),
	} {
		for n := range data {
			spoilt := bytes.Clone(data)
			spoilt[n] ^= 0xff
			for _, d := range [][]byte{data[:n], spoilt} {
				_, err := Check(name, d)
				var unfit *Unfit
				var oversize *Oversize
				if err != nil && !errors.As(err, &unfit) && !errors.As(err, &oversize) {
					t.Errorf("%s, byte %d: %v", name, n, err)
				}
			}
		}
	}
}

// FuzzCheck: no bytes make the readers of pictures fail otherwise than with what an
// author is told, and what is taken has the size that a page is told.
func FuzzCheck(f *testing.F) {
	m := corners(9, 7)
	lossy, err := encodeWebP(m, false)
	if err != nil {
		f.Fatal(err)
	}
	names := []string{"a.jpg", "a.png", "a.webp"}
	f.Add(uint8(0), withSegments(asJPEG(f, m), exif(6, binary.BigEndian, "MM")))
	f.Add(uint8(1), withChunks(asPNG(f, m), "eXIf"+string(exif(6, binary.BigEndian, "MM"))))
	f.Add(uint8(2), withEXIF(lossy, exif(6, binary.BigEndian, "MM"), 9, 7))
	f.Fuzz(func(t *testing.T, kind uint8, data []byte) {
		name := names[int(kind)%len(names)]
		p, err := open(name, data)
		if err != nil || p.width*p.height > 1<<14 {
			return
		}
		whole, err := p.decode()
		if err != nil {
			return
		}
		info := p.info(name)
		if b := p.upright(whole, info.Width).Bounds(); b.Dx() != info.Width || b.Dy() != info.Height {
			t.Errorf("%v, told %d×%d", b, info.Width, info.Height)
		}
	})
}
