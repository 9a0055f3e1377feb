package phone

import (
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// photographed compiles a handbook of one page with a photograph of 2,000 pixels, as it is and
// with numbers on it.
func photographed(t *testing.T) *demo {
	t.Helper()
	dir := t.TempDir()
	m := image.NewRGBA(image.Rect(0, 0, 2000, 1500))
	for y := range 1500 {
		for x := range 2000 {
			m.SetRGBA(x, y, color.RGBA{uint8(x / 8), uint8(y / 6), 90, 255})
		}
	}
	photo, err := os.Create(filepath.Join(dir, "pump.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(photo, m, nil); err != nil {
		t.Fatal(err)
	}
	if err := photo.Close(); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"handbook.yaml": "title: Pump\npublisher: Example\nedition: \"1\"\nlanguages: [en]\n",
		"en/pump.md": "# Pump\n\n![The pump](../pump.jpg)\n\n```picture ../pump.jpg\ntext: The seal\ncallouts: [25 25, 75 60]\n```\n\n" +
			"1. Seal\n2. Screw\n\nTurn <callout:2>.\n",
	} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	d, err := compile(dir, "photo")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestPhotograph: a phone takes the file that its screen has pixels for, at large the largest; numbers lie
// where they were put, on the page and at large.
func TestPhotograph(t *testing.T) {
	t.Parallel()
	d := photographed(t)
	axe := axeScript(t)
	page := d.address("en/pump.html")
	for _, c := range []struct {
		pixels int // of the screen to one of the page
		file   string
	}{{2, "pump.jpg.720.webp"}, {3, "pump.jpg.1440.webp"}} {
		b := open(t, "")
		call(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
			Width: phoneWidth, Height: phoneHeight, DeviceScaleFactor: float64(c.pixels), Mobile: true,
		})
		b.goLive(page)
		b.wait(`[...document.images].every(i => i.complete && i.naturalWidth)`)
		for _, src := range eval[[]string](b, `[...document.images].map(i => i.currentSrc)`) {
			if !strings.HasSuffix(src, "/"+c.file) {
				t.Errorf("%d pixels to one: the page shows %s, want %s", c.pixels, src, c.file)
			}
		}
		// 2000 × 1500 is 4 to 3, and the sheet leaves 1 rem of margin at either side.
		if got := eval[[]float64](b, `(({width, height}) => [width, height])(document.images[0].getBoundingClientRect())`); max(got[0]-float64(phoneWidth-32), float64(phoneWidth-32)-got[0]) > 1 ||
			max(got[0]*3/4-got[1], got[1]-got[0]*3/4) > 1 {
			t.Errorf("the picture has %v", got)
		}
		b.tap(`document.querySelector("a.large")`)
		b.wait(openPicture + `?.querySelector("img")?.naturalWidth`)
		if src := eval[string](b, openPicture+`.querySelector("img").currentSrc`); !strings.HasSuffix(src, "/pump.jpg.1440.webp") {
			t.Errorf("%d pixels to one: at large it is %s", c.pixels, src)
		}
		covers := `(({width, height}, v) => width >= v.clientWidth - 1 && height >= v.clientHeight - 1 && Math.abs(width / height - 4 / 3) < 0.01)(` +
			openPicture + `.querySelector("img, svg").getBoundingClientRect(), ` + openPicture + `.querySelector(".view"))`
		if !eval[bool](b, covers) {
			t.Error("the picture at large does not cover the view, or is distorted")
		}
		eval[bool](b, axe)
		b.axe("a photograph at large")
		b.tap(openPicture + `.querySelector("button")`)
		b.wait(`!` + openPicture)

		// The second number lies at three quarters of the width and three fifths of the height.
		lies := func(picture, mark string) bool {
			return eval[bool](b, `((p, m) => Math.abs((m.left + m.width / 2 - p.left) / p.width - 0.75) < 0.01 && Math.abs((m.top + m.height / 2 - p.top) / p.height - 0.6) < 0.01)(`+
				picture+`.getBoundingClientRect(), `+mark+`.getBoundingClientRect())`)
		}
		if !lies(`document.querySelector(".marked img")`, `document.querySelectorAll(".marks circle")[1]`) {
			t.Error("on the page a number lies elsewhere")
		}
		b.tap(`document.querySelector("a.callout")`)
		b.wait(openPicture + `?.querySelector("[aria-current]")?.textContent.startsWith("Screw")`)
		if href := eval[string](b, openPicture+`.querySelector("image").getAttribute("href")`); !strings.HasSuffix(href, "/pump.jpg.1440.webp") {
			t.Errorf("with numbers it is %s at large", href)
		}
		if !eval[bool](b, covers) || !lies(openPicture+`.querySelector("image")`, openPicture+`.querySelectorAll("circle")[1]`) {
			t.Error("at large a number lies elsewhere, or the picture does not cover the view")
		}
		b.axe("a photograph with numbers at large")
		b.close()
	}

	// Without script the file of the author's name opens, which every browser can show.
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	b.script(false)
	b.goTo(page)
	b.tap(`document.querySelector("a.large")`)
	b.wait(`location.pathname.endsWith("/pump.jpg")`)
}

// TestPhotographInOneFile: there it has one file and its numbers with it, on the page and at large.
func TestPhotographInOneFile(t *testing.T) {
	t.Parallel()
	v := bound(t)
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	b.goLive(v.address("en/theory/meter.html", ""))
	// The demo puts its fourth number at 70 and 88 hundredths.
	lies := func(picture string) bool {
		return eval[bool](b, `((p) => { const {left, top, width, height} = p.querySelector("use").getBoundingClientRect(), m = p.querySelectorAll("circle")[3].getBoundingClientRect();
			return width > 300 && Math.abs((m.left + m.width / 2 - left) / width - 0.7) < 0.01 && Math.abs((m.top + m.height / 2 - top) / height - 0.88) < 0.01; })(`+picture+`)`)
	}
	b.wait(`document.querySelector(".marked")?.closest("button")`)
	if !lies(`document.querySelector(".marked")`) {
		t.Error("a number lies elsewhere")
	}
	b.tap(`document.querySelector(".marked").closest("button")`)
	b.wait(openPicture + `?.querySelectorAll("li").length === 4`)
	if !lies(openPicture) || !eval[bool](b, `(({width, height}, v) => width >= v.clientWidth - 1 && height >= v.clientHeight - 1)(`+openPicture+`.querySelector("svg").getBoundingClientRect(), `+openPicture+`.querySelector(".view"))`) {
		t.Error("at large a number lies elsewhere, or the picture does not cover the view")
	}
}
