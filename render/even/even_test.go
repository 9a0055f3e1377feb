package even_test

import (
	"testing"

	"benchleaf/render/even"
)

// letter by letter is the same, told simply.
func want(text string, blank bool) int {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > 0x7F || c == ' ' && blank {
			return i
		}
		blank = text[i] == ' '
	}
	return len(text)
}

func FuzzLength(f *testing.F) {
	for _, text := range []string{"", " ", "even text of some words", "two  blanks", "       ", "a line\nand another", "seven bytes", "a b c d e f g h  i", "a b c d e f g ", "1,750 ± 50", "\x00", "\x7f\x80", "abcdefgh abcdefgh  "} {
		f.Add(text, false)
		f.Add(text, true)
	}
	f.Fuzz(func(t *testing.T, text string, blank bool) {
		for i := range len(text) + 1 {
			if got := even.Length(text[i:], blank); got != want(text[i:], blank) {
				t.Errorf("%q: %d, want %d", text[i:], got, want(text[i:], blank))
			}
			if got := even.Length([]byte(text[:i]), blank); got != want(text[:i], blank) {
				t.Errorf("%q: %d, want %d", text[:i], got, want(text[:i], blank))
			}
		}
	})
}
