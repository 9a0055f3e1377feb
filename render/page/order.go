package page

import (
	"bytes"
	"regexp"
	"strings"

	"benchleaf/theme"
)

// figureForm finds figures in a text, with sign, range or tolerance, and unit, and before them what keeps its order already: an
// isolate, and a Latin name with its number. What HTML writes a character with is no name.
var figureForm = regexp.MustCompile(`&#?\w+;|\x{2066}[^\x{2069}]*\x{2069}|\p{Latin}[^\s،؛\p{Arabic}\p{Hebrew}]*(?:[ \x{a0}]\d[^\s،؛\p{Arabic}\p{Hebrew}]*)?|(^|[^\pL\d.,])([-−±+]?\d+(?:[.,]\d+)*(?:(?:[-–×:/]|[ \x{a0}\x{202f}]?±[ \x{a0}\x{202f}]?|[ \x{a0}\x{202f}]–[ \x{a0}\x{202f}])\d+(?:[.,]\d+)*)*(?:[ \x{a0}\x{202f}]?(?:%|[A-Za-zΩµ°][A-Za-zΩµ°²³·/%]{0,6}))?)`)

// figures keeps each figure of a text from right to left in its order, as leftToRight does with one, and on one line with its unit.
func (w *writer) figures(text string) string {
	if theme.Direction(w.lang) != "rtl" {
		return text
	}
	return figureForm.ReplaceAllStringFunc(text, func(s string) string {
		m := figureForm.FindStringSubmatch(s)
		if m[2] == "" || plainDigits(m[2]) {
			return s
		}
		return m[1] + theme.LeftToRight + strings.ReplaceAll(m[2], " ", nbsp) + theme.EndIsolate
	})
}

// markup finds what of a page no reader reads, its tags, and the texts between them.
var markup = regexp.MustCompile(`(?s)<(?:script|style|code)\b.*?</(?:script|style|code)>|<[^>]*>|[^<]+`)

// spoken finds the attributes that are read.
var spoken = regexp.MustCompile(` (?:aria-label|alt|title|placeholder)="[^"]*"`)

// sentence finds an isolate with words in it, as writer.in makes them: they are in the source's language.
var sentence = regexp.MustCompile(`\x{2066}[^\x{2066}\x{2069}]*\p{Latin}{2}[^\x{2066}\x{2069}]* \p{Latin}{2}[^\x{2066}\x{2069}]*\x{2069}`)

// plainHolder finds the tags between which there is text alone.
var plainHolder = regexp.MustCompile(`^<(?:title|option|text|tspan|desc)\b`)

// inOrder does that with a whole page: whoever wrote a text, the author, the theme or a calculator, its figures
// read from left to right. page is the writer's own still.
func (w *writer) inOrder(page []byte) []byte {
	if theme.Direction(w.lang) != "rtl" {
		return bytes.Clone(page)
	}
	source, before := w.book.Languages[0], ""
	return []byte(markup.ReplaceAllStringFunc(string(page), func(s string) string {
		switch {
		case s[0] != '<':
			s = w.figures(strings.ReplaceAll(s, "&#43;", "+"))
			if theme.Direction(source) == "rtl" || plainHolder.MatchString(before) {
				return s
			}
			return sentence.ReplaceAllString(s, `<span lang="`+source+`" dir="ltr">$0</span>`)
		case strings.HasPrefix(s, "<script"), strings.HasPrefix(s, "<style"), strings.HasPrefix(s, "<code"):
			return s
		}
		before = s
		return spoken.ReplaceAllStringFunc(s, func(a string) string {
			name, text, _ := strings.Cut(a, `="`)
			return name + `="` + w.figures(strings.ReplaceAll(strings.TrimSuffix(text, `"`), "&#43;", "+")) + `"`
		})
	}))
}
