package remark

import (
	"slices"
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// tabWidth is how far apart the tab stops of a shown line are.
const tabWidth = 4

// End returns the column after the word at the remark's place, or after the text in
// brackets or quotes that begins there; the column itself where the line is not known.
// Columns count from 1, in characters.
func (r Remark) End() int {
	line := []rune(r.Source)
	start := r.Place.Column - 1
	if start < 0 || start >= len(line) {
		return r.Place.Column
	}
	end := start + 1
	if closing, ok := closings[line[start]]; ok {
		if n := slices.Index(line[end:], closing); n >= 0 {
			end += n + 1
		}
		return end + 1
	}
	if !inWord(line[start]) {
		return end + 1
	}
	for end < len(line) && (inWord(line[end]) || strings.ContainsRune(".,", line[end]) && end+1 < len(line) && inWord(line[end+1])) {
		end++
	}
	return end + 1
}

var closings = map[rune]rune{'<': '>', '[': ']', '{': '}', '"': '"', '\'': '\'', '`': '`'}

func inWord(c rune) bool {
	return unicode.IsLetter(c) || unicode.IsMark(c) || unicode.IsDigit(c) || c == '-' || c == '_'
}

// excerpt returns the source line as a terminal shows it, at most so many columns of
// it around the place, and a second line that marks the place beneath.
func (r Remark) excerpt(width int) (line, mark string) {
	type cell struct {
		text  string
		width int
	}
	var cells []cell
	first, last := -1, -1 // cells of the mark
	column, at := 1, 0
	for g := uniseg.NewGraphemes(strings.TrimRight(r.Source, " \t\r\n")); g.Next(); {
		c := cell{text: Printable(g.Str())}
		if g.Str() == "\t" {
			c.text = strings.Repeat(" ", tabWidth-at%tabWidth)
		}
		c.width = uniseg.StringWidth(c.text)
		column += len(g.Runes())
		if column > r.Place.Column && first < 0 {
			first = len(cells)
		}
		if column <= r.End() {
			last = len(cells)
		}
		cells = append(cells, c)
		at += c.width
	}
	if first < 0 { // the place is the line's end
		first = len(cells)
		cells = append(cells, cell{" ", 1})
	}
	last = max(first, last)

	// from and to are the cells that are shown: all, or those of the mark, then what
	// has room before them, up to a third, and after, and before.
	from, to := 0, len(cells)
	if at > width {
		from, to = first, first
		room := width - 2 // an ellipsis at each end
		before := func(most int) {
			for ; from > 0 && cells[from-1].width <= min(most, room); from-- {
				most -= cells[from-1].width
				room -= cells[from-1].width
			}
		}
		after := func(end int) {
			for ; to < end && cells[to].width <= room; to++ {
				room -= cells[to].width
			}
		}
		after(last + 1)
		before(width / 3)
		after(len(cells))
		before(width)
		last = min(last, to-1)
	}

	var shown, under strings.Builder
	if from > 0 {
		shown.WriteString("…")
		under.WriteString(" ")
	}
	for i, c := range cells[from:to] {
		shown.WriteString(c.text)
		switch i += from; {
		case i == first:
			under.WriteString("^" + strings.Repeat("~", max(0, c.width-1)))
		case i > first && i <= last:
			under.WriteString(strings.Repeat("~", c.width))
		case i < first:
			under.WriteString(strings.Repeat(" ", c.width))
		}
	}
	if to < len(cells) {
		shown.WriteString("…")
	}
	return strings.TrimRight(shown.String(), " "), under.String()
}
