package theme

import (
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// styles calls f for each style sheet, without its comments.
func styles(t *testing.T, f func(name, css string)) {
	t.Helper()
	names, err := fs.Glob(files, "style/*.css")
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			t.Fatal(err)
		}
		f(name, regexp.MustCompile(`(?s)/\*.*?\*/`).ReplaceAllString(string(text), ""))
	}
}

var (
	physical = regexp.MustCompile(`(?:^|[\s;{-])(?:left|right)\s*:|-(?:left|right)[\w-]*\s*:|(?:align|float|clear)[\w-]*\s*:\s*(?:left|right)\b`)
	fourEnds = regexp.MustCompile(`(?:margin|padding|inset|border-width)\s*:\s*([^\s();]+) ([^\s();]+) ([^\s();]+) ([^\s();]+);`)
)

// TestStylesHaveNoSides asks that nothing is laid out by left and right: a page that is written from right to
// left is the mirror image of the others.
func TestStylesHaveNoSides(t *testing.T) {
	styles(t, func(name, css string) {
		for _, found := range physical.FindAllString(css, -1) {
			t.Errorf("%s: %q", name, found)
		}
		for _, found := range fourEnds.FindAllStringSubmatch(css, -1) {
			if found[2] != found[4] {
				t.Errorf("%s: %q differs by side", name, found[0])
			}
		}
	})
}

// luminance is the relative luminance of a colour. Source: WCAG 2.2, definition of relative luminance.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	hex := strings.TrimPrefix(colour, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	v, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("%q is no colour", colour)
	}
	part := func(shift uint) float64 {
		c := float64(v>>shift&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

// contrast is the contrast ratio of two colours. Source: WCAG 2.2, definition of contrast ratio.
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	l, m := luminance(t, a), luminance(t, b)
	return (max(l, m) + 0.05) / (min(l, m) + 0.05)
}

// TestContrast computes what a reader in the sun needs: text 7:1 or better on all that it stands on (WCAG 2.2,
// 1.4.6), in both schemes.
func TestContrast(t *testing.T) {
	if got := contrast(t, "#000", "#fff"); math.Abs(got-21) > 1e-9 {
		t.Fatalf("black on white is %g:1, want 21:1", got)
	}
	// The lightest grey that has 4.5:1 on white is #767676, with 4.54:1.
	if got := contrast(t, "#767676", "#ffffff"); math.Abs(got-4.54) > 0.005 {
		t.Fatalf("#767676 on white is %g:1, want 4.54:1", got)
	}
	css, err := fs.ReadFile(files, "style/colour.css")
	if err != nil {
		t.Fatal(err)
	}
	light, rest, _ := strings.Cut(string(css), "@media (prefers-color-scheme: dark)")
	dark, _, _ := strings.Cut(rest, "@media")
	for scheme, text := range map[string]string{"light": light, "dark": dark} {
		colours := map[string]string{}
		for _, c := range regexp.MustCompile(`--([\w-]+): (#\w+);`).FindAllStringSubmatch(text, -1) {
			colours[c[1]] = c[2]
		}
		for _, pair := range []string{
			"ink sheet", "ink ground", "ink field", "soft sheet", "soft ground", "soft field", "link sheet", "link ground", "link field",
			"within sheet", "outside sheet", "close sheet", "within field", "outside field", "close field", // words of a listing
			"on within", "on outside", "on close", "on-bar bar", "sheet ink",
		} {
			a, b, _ := strings.Cut(pair, " ")
			if got := contrast(t, colours[a], colours[b]); got < 7 {
				t.Errorf("%s: %s on %s is %.2f:1, want 7:1", scheme, a, b, got)
			}
		}
	}
}
