package draw

import (
	"strings"
	"unicode"
)

// widthOf estimates how wide a text is. Digits and small letters of the sans
// serif fonts of phones are about 0.55 of the font's height wide, bold ones 0.6;
// from Hangul and the CJK scripts on, a letter is as wide as it is high.
func widthOf(s string) (width float64) {
	for _, r := range s {
		if r >= 0x1100 && (r < 0x2000 || r >= 0x2E80) {
			width += letters
		} else {
			width += 0.6 * letters
		}
	}
	return width
}

// breakable tells whether a line may end at a character: not at the space
// between a number and its unit.
func breakable(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' }

// slender is how wide a text may seem that fits still: its small letters are 0.55 of the font's height wide.
const slender = 0.6 / 0.55

// wrap breaks a text into lines at its spaces, and a word that is too long for
// a line where it must.
func wrap(s string, width float64) (lines []string) {
	line := ""
	for _, word := range strings.FieldsFunc(s, breakable) {
		if line != "" && widthOf(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		if widthOf(word) <= slender*width {
			line = word
			continue
		}
		for _, r := range word {
			if line != "" && widthOf(line+string(r)) > width {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func writeText(b *strings.Builder, x, y float64, s string) {
	b.WriteString(`<text x="` + list(x) + `" y="` + list(y) + `">` + ordered(s) + "</text>")
}

// ordered is a text with the order that its first letter gives it: a picture itself is never mirrored (Unicode
// Standard Annex 9, 2.4).
func ordered(s string) string {
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.In(r, unicode.Arabic, unicode.Hebrew) }) {
		s = "\u2068" + s + "\u2069"
	}
	return text(s)
}
