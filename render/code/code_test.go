package code

import (
	"bytes"
	"image/png"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// TestDecoded reads codes with a decoder that shares nothing with what draws them.
func TestDecoded(t *testing.T) {
	for _, c := range []struct {
		text    string
		of      func(string) (Code, error)
		level   string
		modules int // the smallest version that holds the text in bytes, 17 + 4 × version, and 8 of quiet zone (ISO/IEC 18004:2015, table 7)
	}{
		{"https://handbook.example/en/fuel.html", Medium, "M", 17 + 4*3 + 8},           // 37 bytes; 3-M holds 42
		{"https://handbook.example/en/fuel.html", Quartile, "Q", 17 + 4*4 + 8},         // 3-Q holds 32, 4-Q 46
		{"https://handbook.example/en/fuel.html#pump", Quartile, "Q", 17 + 4*4 + 8},    // 42 bytes
		{"https://handbook.example/es/%C3%A1rbol.html", Medium, "M", 17 + 4*4 + 8},     // 43 bytes; 4-M holds 62
		{"https://a.example/" + strings.Repeat("x", 195), Medium, "M", 17 + 4*10 + 8},  // 213 bytes are what 10-M holds
		{"https://a.example/" + strings.Repeat("x", 2313), Medium, "M", 17 + 4*40 + 8}, // 2331 are the most
	} {
		drawn, err := c.of(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if drawn.Modules() != c.modules {
			t.Errorf("%d bytes at level %s: %d modules, want %d", len(c.text), c.level, drawn.Modules(), c.modules)
		}
		picture, err := drawn.PNG()
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(picture))
		if err != nil {
			t.Fatal(err)
		}
		bits, err := gozxing.NewBinaryBitmapFromImage(img)
		if err != nil {
			t.Fatal(err)
		}
		got, err := qrcode.NewQRCodeReader().DecodeWithoutHints(bits)
		if err != nil {
			t.Errorf("%d bytes at level %s: %v", len(c.text), c.level, err)
			continue
		}
		if level := got.GetResultMetadata()[gozxing.ResultMetadataType_ERROR_CORRECTION_LEVEL]; got.GetText() != c.text || level != c.level {
			t.Errorf("%s at level %v, want %s at level %s", got.GetText(), level, c.text, c.level)
		}
	}
	if _, err := Medium(strings.Repeat("x", MostBytes+1)); err == nil {
		t.Error("no code holds more than the most")
	}
}

// TestMediumModules holds the width that is only counted against the code's own.
func TestMediumModules(t *testing.T) {
	for _, letter := range []string{"7", "A", "a", "ä"} {
		for n := 1; ; n += 1 + n/40 {
			text := strings.Repeat(letter, n)
			drawn, err := Medium(text)
			got, countErr := MediumModules(text)
			if (err == nil) != (countErr == nil) {
				t.Fatalf("%d times %q: %v when drawn, %v when counted", n, letter, err, countErr)
			}
			if err != nil {
				break
			}
			if got != drawn.Modules() {
				t.Fatalf("%d times %q: %d modules, drawn %d", n, letter, got, drawn.Modules())
			}
		}
	}
}
