package page

import (
	"regexp"
	"strings"

	"benchleaf/theme"
)

// figureForm finds figures in a text, with sign, range and unit, and before them what keeps its order already: an
// isolate, and a Latin name with its number. What HTML writes a character with is no name.
var figureForm = regexp.MustCompile(`&#?\w+;|\x{2066}[^\x{2069}]*\x{2069}|\p{Latin}[^\s،؛\p{Arabic}\p{Hebrew}]*(?:[ \x{a0}]\d[^\s،؛\p{Arabic}\p{Hebrew}]*)?|(^|[^\pL\d.,])([-−±+]?\d+(?:[.,]\d+)*(?:[-–×:/]\d+(?:[.,]\d+)*)*(?:[ \x{a0}\x{202f}]?(?:%|[A-Za-zΩµ°][A-Za-zΩµ°²³·/%]{0,6}))?)`)

// figures keeps each figure of a text from right to left in its order, as leftToRight does with one.
func (w *writer) figures(text string) string {
	if theme.Direction(w.lang) != "rtl" {
		return text
	}
	return figureForm.ReplaceAllStringFunc(text, func(s string) string {
		m := figureForm.FindStringSubmatch(s)
		if m[2] == "" || plainDigits(m[2]) {
			return s
		}
		return m[1] + theme.LeftToRight + m[2] + theme.EndIsolate
	})
}

// markup finds what of a page no reader reads, its tags, and the texts between them.
var markup = regexp.MustCompile(`(?s)<(?:script|style|code)\b.*?</(?:script|style|code)>|<[^>]*>|[^<]+`)

// spoken finds the attributes that are read.
var spoken = regexp.MustCompile(` (?:aria-label|alt|title|placeholder)="[^"]*"`)

// inOrder does that with a whole page: whoever wrote a text, the author, the theme or a calculator, its figures
// read from left to right.
func (w *writer) inOrder(page string) string {
	if theme.Direction(w.lang) != "rtl" {
		return page
	}
	return markup.ReplaceAllStringFunc(page, func(s string) string {
		switch {
		case s[0] != '<':
			return w.figures(strings.ReplaceAll(s, "&#43;", "+"))
		case strings.HasPrefix(s, "<script"), strings.HasPrefix(s, "<style"), strings.HasPrefix(s, "<code"):
			return s
		}
		return spoken.ReplaceAllStringFunc(s, func(a string) string {
			name, text, _ := strings.Cut(a, `="`)
			return name + `="` + w.figures(strings.ReplaceAll(strings.TrimSuffix(text, `"`), "&#43;", "+")) + `"`
		})
	})
}
