package source

import (
	"bytes"
	"strings"

	"benchleaf/render/remark"
)

// Quote puts into each remark of a sorted list the line that it stands at. A file that is gone by now
// has none.
func (t *Tree) Quote(list remark.List) {
	var l *lines // of the last remark's file
	for i := range list {
		r := &list[i]
		if r.Place.Line == 0 {
			continue
		}
		if l == nil || l.file != r.Place.File {
			text, read := t.texts[r.Place.File]
			if !read {
				text, _ = t.read(r.Place.File, maxText)
			}
			l = newLines(r.Place.File, bytes.TrimPrefix(text, []byte(byteOrderMark)))
		}
		if i > 0 && list[i-1].Place.File == r.Place.File && list[i-1].Place.Line == r.Place.Line {
			r.Source = list[i-1].Source // a line has 20,000 bytes, and may have as many mistakes
			continue
		}
		r.Source = l.line(r.Place.Line)
	}
}

// line returns a line without its end, or "" where there is none of that number.
func (l *lines) line(number int) string {
	starts := l.starts()
	if number > len(starts) {
		return ""
	}
	end := len(l.text)
	if number < len(starts) {
		end = starts[number]
	}
	return strings.ToValidUTF8(strings.TrimRight(string(l.text[starts[number-1]:end]), "\r\n"), "\uFFFD")
}
