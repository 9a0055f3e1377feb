package audit

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

// figureForm is what figures finds, as a regular expression.
var figureForm = regexp.MustCompile(`([-−]?(?:\d+(?:[.,]\d+)?|[.,]\d+))[*_` + "`" + `]{0,3}(?:[ \x{a0}\x{2009}\x{202f}-]|&nbsp;|&#160;|\n *)?[*_` + "`" + `]{0,3}([\pL°%][\pL\d°%/·²³]*)`)

// TestFigures holds what is found by hand against regular expressions, on texts of what
// matters to them.
func TestFigures(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	pieces := []string{"1", "2", "3", "12", ".", ",", "-", "−", "±", "–", " ", " ", "\u00a0", "\u2009", "\u202f", "&nbsp;", "&#160;", "\n", "*", "_", "`", "V", "Ω", "to", "bis", "°", "%", "/", "·", "²", "(", "\u0301", "\x80", "４"}
	found, before := 0, 0
	for range 20000 {
		var b strings.Builder
		for range r.IntN(14) {
			b.WriteString(pieces[r.IntN(len(pieces))])
		}
		text := b.String()
		var want []figure
		for _, m := range figureForm.FindAllStringSubmatchIndex(text, -1) {
			want = append(want, figure{m[2], m[3], m[4], m[5]})
		}
		if got := figures(text); !slices.Equal(got, want) {
			t.Fatalf("%q: %v, want %v", text, got, want)
		}
		found += len(want)
		number := beforeFigure.FindStringSubmatchIndex(text)
		if got := numberBefore(text); !slices.Equal(got, number) {
			t.Fatalf("%q: %v before, want %v", text, got, number)
		}
		if number != nil {
			before++
		}
	}
	if found < 2000 || before < 200 {
		t.Errorf("no more than %d figures and %d numbers before one were there to find", found, before)
	}
}

// TestUnitWords: what a unit is called in words is a unit.
func TestUnitWords(t *testing.T) {
	for word, symbol := range unitWords {
		if _, ok := unit.Lookup(symbol); !ok {
			t.Errorf("%q is said to be %q, which is no unit", word, symbol)
		}
	}
	for _, text := range []string{"0.5 volts", "0.5 Voltios", "0,5 V"} {
		if list := figuresOf(text); len(list) != 1 || list[0].symbol != "V" {
			t.Errorf("%q: %v", text, list)
		}
	}
}
