package source

import (
	"bytes"
	"fmt"
	"strings"

	"benchleaf/render/remark"
)

// Limits of a text beside its size. Parsers of Markdown and YAML take time or
// memory that grows with the square of these, so that a file of 2 MB could
// hold a build for hours; no page that a technician reads comes near them.
const (
	maxLines     = 20_000 // of a file
	maxLine      = 20_000 // bytes of a line
	maxParagraph = 40_000 // bytes of a paragraph
	maxMarks     = 1_000  // brackets and marks of emphasis of one, of a heading or of a table's cell
	maxLevels    = 50     // lists and quotations that begin on one line, one in the other
	maxColumns   = 50     // of a table
)

// withinLimits tells whether a text can be parsed, with a remark if it cannot.
func withinLimits(l *lines, remarks *remark.List) bool {
	if n := bytes.Count(l.text, lineFeed); n > maxLines {
		tooMuch(remarks, remark.Place{File: l.file}, "the file", n, maxLines, "lines")
		return false
	}
	page := isPage(l.file)
	for start, end := 0, 0; start < len(l.text); start = end {
		end = len(l.text)
		if i := bytes.IndexByte(l.text[start:], '\n'); i >= 0 {
			end = start + i + 1
		}
		if end-start > maxLine {
			tooMuch(remarks, l.place(start), "the line", end-start, maxLine, "bytes")
			return false
		}
		if !page {
			continue
		}
		line := l.text[start:end]
		if n := levels(line); n > maxLevels {
			tooMuch(remarks, l.place(start), "the line", n, maxLevels, "lists or quotations one in the other")
			return false
		}
		if n := columns(line); n > maxColumns {
			tooMuch(remarks, l.place(start), "the table", n, maxColumns, "columns")
			return false
		}
	}
	return true
}

func tooMuch(remarks *remark.List, at remark.Place, what string, has, most int, of string) {
	remarks.Add(remark.TextLimit, at, what, fmt.Sprintf("%d %s", has, of), fmt.Sprint(most))
}

// levels counts the marks that open a list item, a quotation, a footnote or a
// definition at the start of a line. A line of hyphens alone is a rule.
func levels(line []byte) int {
	n := 0
	for {
		line = line[blanksAt(line):]
		mark := markLength(line)
		if mark == 0 {
			return n
		}
		if n == 0 && len(bytes.Trim(line, string(line[0])+" \t\r\n")) == 0 && line[0] != '>' {
			return 0
		}
		n++
		line = line[mark:]
	}
}

// markLength returns the length of the mark that a line begins with, or 0.
func markLength(line []byte) int {
	digits := 0
	for digits < len(line) && '0' <= line[digits] && line[digits] <= '9' {
		digits++
	}
	switch {
	case len(line) == 0:
		return 0
	case line[0] == '>':
		return 1
	case strings.IndexByte("-*+:", line[0]) >= 0 && blankAt(line, 1):
		return 1
	case digits > 0 && digits < len(line) && (line[digits] == '.' || line[digits] == ')') && blankAt(line, digits+1):
		return digits + 1
	case bytes.HasPrefix(line, []byte("[^")):
		if i := bytes.Index(line, []byte("]:")); i > 0 {
			return i + 2
		}
	}
	return 0
}

// blanksAt counts the blanks that a line begins with.
func blanksAt(line []byte) (n int) {
	for n < len(line) && (line[n] == ' ' || line[n] == '\t') {
		n++
	}
	return n
}

func blankAt(line []byte, i int) bool {
	return i == len(line) || line[i] == ' ' || line[i] == '\t' || line[i] == '\r' || line[i] == '\n'
}

// columns returns the number of columns where the line is what stands below a
// table's head, else 0: every row is filled up to as many.
func columns(line []byte) int {
	if bytes.IndexByte(line, '-') < 0 {
		return 0
	}
	line = bytes.Trim(line, "> \t\r\n")
	if len(bytes.Trim(line, "|-: \t")) > 0 {
		return 0
	}
	return bytes.Count(bytes.Trim(line, "|"), []byte("|")) + 1
}
