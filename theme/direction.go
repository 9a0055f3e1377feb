package theme

import "strings"

// Direction returns the direction in which a language is written, as HTML names it.
func Direction(lang string) string {
	base, _, _ := strings.Cut(lang, "-")
	switch base {
	case "ar", "fa", "he", "ps", "sd", "ug", "ur", "yi":
		return "rtl"
	}
	return "ltr"
}

// The marks around an isolate: a text that keeps its order whatever surrounds it, written from left to right or as
// its first letter is (Unicode Standard Annex 9, 2.4).
const (
	LeftToRight = "\u2066"
	AsItsFirst  = "\u2068"
	EndIsolate  = "\u2069"
	// rightToLeft gives a text its direction, whatever its first letter is.
	rightToLeft = "\u200f"
)
