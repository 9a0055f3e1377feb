package phone

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// The README's picture is of a long phone, so that a whole step stands on it.
const (
	pictureWidth, pictureHeight = 412, 980
	pictureBudget               = 150 << 10 // what it may weigh, in bytes
)

// TestPicture takes the README's picture, a step with a reading and its
// verdict, and with -update puts it into the docs. Fonts differ from machine to
// machine, so of the picture in the docs it asks for size and weight alone.
func TestPicture(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	call(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: pictureWidth, Height: pictureHeight, DeviceScaleFactor: 2, Mobile: true,
	})
	b.goLive(d.address("en/procedures/choke-opens-late.html"))
	b.choose(d.book.Models[0].ID)
	for _, answer := range []string{"#fuse", "#coil"} {
		b.tap(`document.querySelector('.step.current .answers a[href="` + answer + `"]')`)
		b.wait(`"#" + document.querySelector(".step.current").id === ` + quoted(answer)) // the address changes before the card does
	}
	b.wait(`document.querySelector(".step.current .reading input")`)
	b.tap(`document.querySelector(".step.current .reading input")`)
	b.keys("8.6")
	b.wait(`document.querySelector(".step.current output").dataset.verdict`)
	eval[bool](b, `(document.activeElement.blur(), document.querySelector(".step.current").scrollIntoView(), true)`)
	if !eval[bool](b, `document.querySelector(".step.current output").getBoundingClientRect().bottom < document.querySelector(".bar").getBoundingClientRect().top`) {
		t.Error("the verdict is not on the picture")
	}
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	shot, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	b.check(err)
	taken := fewColours(t, shot)
	file := filepath.Join("..", "..", "docs", "phone.png")
	if *update {
		b.check(os.WriteFile(file, taken, 0o644))
	}
	kept, err := os.ReadFile(file)
	b.check(err)
	for name, data := range map[string][]byte{"taken now": taken, file: kept} {
		config, err := png.DecodeConfig(bytes.NewReader(data))
		if err != nil || config.Width != 2*pictureWidth || config.Height != 2*pictureHeight || len(data) > pictureBudget {
			t.Errorf("%s: %d x %d, %d bytes, %v", name, config.Width, config.Height, len(data), err)
		}
	}
}

// fewColours writes a picture with its 256 most frequent colours; the others
// become the nearest of them.
func fewColours(t *testing.T, data []byte) []byte {
	t.Helper()
	from, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	bounds := from.Bounds()
	count := map[color.Color]int{}
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			count[from.At(x, y)]++
		}
	}
	palette := make(color.Palette, 0, len(count))
	for c := range count {
		palette = append(palette, c)
	}
	slices.SortFunc(palette, func(a, b color.Color) int { return count[b] - count[a] })
	palette = palette[:min(256, len(palette))]
	nearest := map[color.Color]uint8{}
	to := image.NewPaletted(bounds, palette)
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			c := from.At(x, y)
			i, known := nearest[c]
			if !known {
				i = uint8(palette.Index(c))
				nearest[c] = i
			}
			to.SetColorIndex(x, y, i)
		}
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&out, to); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
