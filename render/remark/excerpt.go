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
	source, column, end := r.Source, r.Place.Column, r.End()
	// Of a line of a megabyte only what could be shown is looked at letter by letter.
	var before, behind bool
	if around := 4 * width; len(source) > 3*around {
		letters := []rune(source)
		from := min(max(0, column-1-around), len(letters))
		to := min(from+3*around, len(letters))
		before, behind = from > 0, to < len(letters)
		source, column, end = string(letters[from:to]), column-from, end-from
	}
	type cell struct {
		text  string
		width int
	}
	var cells []cell
	first, last := -1, -1 // cells of the mark
	next, at := 1, 0
	for g := uniseg.NewGraphemes(strings.TrimRight(source, " \t\r\n")); g.Next(); {
		c := cell{text: Printable(g.Str())}
		if g.Str() == "\t" {
			c.text = strings.Repeat(" ", tabWidth-at%tabWidth)
		}
		c.width = uniseg.StringWidth(c.text)
		next += len(g.Runes())
		if next > column && first < 0 {
			first = len(cells)
		}
		if next <= end {
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
		leading := func(most int) {
			for ; from > 0 && cells[from-1].width <= min(most, room); from-- {
				most -= cells[from-1].width
				room -= cells[from-1].width
			}
		}
		trailing := func(end int) {
			for ; to < end && cells[to].width <= room; to++ {
				room -= cells[to].width
			}
		}
		trailing(last + 1)
		leading(width / 3)
		trailing(len(cells))
		leading(width)
		last = min(last, to-1)
	}

	var shown, under strings.Builder
	if from > 0 || before {
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
	if to < len(cells) || behind {
		shown.WriteString("…")
	}
	return strings.TrimRight(shown.String(), " "), under.String()
}
