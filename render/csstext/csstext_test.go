package csstext

import "testing"

// The escapes are those of CSS Syntax 3, 4.3.7: a blank ends the number and is no part of the text.
func TestString(t *testing.T) {
	for text, want := range map[string]string{
		"":                          `""`,
		"Choke, ½ öffnet دليل 🔧":    `"Choke, ½ öffnet دليل 🔧"`,
		`A "B" \22 C`:               `"A \22 B\22  \5c 22 C"`,
		"two\nlines\r\x00":          `"two\a lines\d \0 "`,
		"</style><!-- & &#34; } */": `"\3c /style>\3c !-- \26  \26 #34; } */"`,
		"\xff'":                     "\"\ufffd'\"", // no UTF-8
	} {
		if got := String(text); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
}
