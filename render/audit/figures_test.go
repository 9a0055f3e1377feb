package audit

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// form is what a figure is, as a regular expression.
var form = regexp.MustCompile(`([-−]?\d+(?:[.,]\d+)?)[ \x{a0}\x{202f}]?([\pL°%][\pL\d°%/·²³]*)`)

// TestFigures holds figures against its regular expression, on texts of the characters that
// matter to it.
func TestFigures(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	letters := []string{"1", "2", "3", ".", ",", "-", "−", " ", "\u00a0", "\u202f", "V", "Ω", "°", "%", "/", "·", "²", "(", "\u0301", "\x80", "４"}
	found := 0
	for range 20000 {
		var b strings.Builder
		for range r.IntN(12) {
			b.WriteString(letters[r.IntN(len(letters))])
		}
		text := b.String()
		var want []figure
		for _, m := range form.FindAllStringSubmatchIndex(text, -1) {
			want = append(want, figure{m[0], m[3], m[4], m[1]})
		}
		if got := figures(text); !slices.Equal(got, want) {
			t.Fatalf("%q: %v, want %v", text, got, want)
		}
		found += len(want)
	}
	if found < 1000 {
		t.Errorf("no more than %d figures were there to find", found)
	}
}
