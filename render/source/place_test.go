package source

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// TestPlaceInLongLine: a column is the number of characters before it, however long the line.
func TestPlaceInLongLine(t *testing.T) {
	text := "a\n" + strings.Repeat("bÄ€𝄞 ", 1_000) + "\nc"
	l := newLines("a.md", []byte(text))
	for i := range text {
		line := strings.LastIndexByte(text[:i], '\n') + 1
		if want := utf8.RuneCountInString(text[line:i]) + 1; l.place(i).Column != want {
			t.Fatalf("byte %d: %v, want column %d", i, l.place(i), want)
		}
	}
}
