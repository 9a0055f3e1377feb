package phone

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
)

// shot is what the screen shows.
func (b *tab) shot() image.Image {
	b.Helper()
	taken := call(b, page.CaptureScreenshot, page.CaptureScreenshotParams{Format: "png"})
	img, err := png.Decode(bytes.NewReader(taken.Data))
	b.check(err)
	return img
}

// TestTableEdge: a table that is wider than the phone has a line at the edge where it is cut, from top to bottom, in light, in dark and where
// colours are forced, from left to right and from right to left; it has none where nothing more follows.
func TestTableEdge(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, phoneHeight)
	const table = `document.querySelector(".circuit").parentElement`
	for _, feature := range [][2]string{{"prefers-color-scheme", "light"}, {"prefers-color-scheme", "dark"}, {"forced-colors", "active"}} {
		b.prefer(feature[0], feature[1])
		for _, dir := range []string{"ltr", "rtl"} {
			b.goLive(d.address("en/theory/heater-circuit.html"))
			eval[bool](b, `(document.documentElement.dir = `+quoted(dir)+`, `+table+`.scrollIntoView(), true)`)
			// lined tells whether the last pixels within the table's edge are of one colour, which the sheet has not.
			lined := func() bool {
				at := eval[[]float64](b, `(({left, right, top, bottom}) => [`+quoted(dir)+` === "ltr" ? right - 2 : left + 1, left - 4, Math.max(top, 0) + 8, Math.min(bottom, innerHeight - 80) - 8])(`+table+`.getBoundingClientRect())`)
				img := b.shot()
				scale := float64(img.Bounds().Dx()) / 320
				grey := func(x, y float64) int {
					r, g, b, _ := img.At(int(x*scale), int(y*scale)).RGBA()
					return int(r+g+b) / 3 >> 8
				}
				dark, all := 0, 0
				for y := at[2]; y < at[3]; y += 3 {
					all++
					if abs(grey(at[0], y)-grey(at[1], y)) > 100 {
						dark++
					}
				}
				if all < 20 {
					t.Fatalf("the table has %d lines on the screen", all)
				}
				return dark > all*9/10
			}
			if !lined() {
				t.Errorf("%v, %s: nothing tells where the table is cut", feature, dir)
			}
			eval[bool](b, `(`+table+`.scrollBy(`+map[string]string{"ltr": "999", "rtl": "-999"}[dir]+`, 0), true)`)
			if lined() {
				t.Errorf("%v, %s: at its end the table seems to go on", feature, dir)
			}
		}
		b.prefer(feature[0], "")
	}
}

// TestBulletinOnNarrowPhone: what a value was and what it is are whole on the narrowest phone, and each says which it is.
func TestBulletinOnNarrowPhone(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, phoneHeight)
	for _, name := range []string{"en/bulletins/top-speed.html", "es/bulletins/top-speed.html"} {
		b.goLive(d.address(name))
		for _, dir := range []string{"ltr", "rtl"} {
			for _, wide := range eval[[]string](b, `(document.documentElement.dir = `+quoted(dir)+`, [...document.querySelectorAll(".table")].filter((e) => e.scrollWidth > e.clientWidth).map((e) => e.innerText))`) {
				t.Errorf("%s, %s: cut: %q", name, dir, wide)
			}
		}
		if shown := eval[string](b, `getComputedStyle(document.querySelector(".changes td"), "::before").content`); len(strings.Trim(shown, `": `)) < 3 || shown == "none" {
			t.Errorf("%s: nothing says what the value is: %s", name, shown)
		}
	}
}
