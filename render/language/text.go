package language

import (
	"bytes"
	"sort"
	"unicode/utf8"

	"benchleaf/render/remark"
)

// text is a text with its lines, which end as the protocol has them: with LF, CRLF or CR.
type text struct {
	data   []byte
	starts []int // offset of each line
	// Where position was last, and how many units that is behind the line's start: who asks for many
	// places of a long line asks in their order.
	last, units int
	encoding    encoding
}

func newText(data []byte) *text {
	t := &text{data: data, starts: []int{0}}
	for i, b := range data {
		if b == '\n' || b == '\r' && (i+1 == len(data) || data[i+1] != '\n') {
			t.starts = append(t.starts, i+1)
		}
	}
	return t
}

// line returns where a line begins and where it ends, without what ends it.
func (t *text) line(n int) (start, end int) {
	start, end = t.starts[n], len(t.data)
	if n+1 < len(t.starts) {
		end = t.starts[n+1]
	}
	for end > start && (t.data[end-1] == '\n' || t.data[end-1] == '\r') {
		end--
	}
	return start, end
}

// units is how many units of an encoding a character has: bytes, or the code units of UTF-16.
func (e encoding) units(r rune, bytes int) int {
	switch {
	case e == utf8Encoding:
		return bytes
	case r > 0xffff:
		return 2
	}
	return 1
}

// offset returns where a position lies. One beyond a line is at its end, one beyond
// the text at the end of that.
func (t *text) offset(p position, e encoding) int {
	if p.Line < 0 {
		return 0
	}
	if p.Line >= len(t.starts) {
		return len(t.data)
	}
	at, end := t.line(p.Line)
	for left := p.Character; left > 0 && at < end; {
		r, n := utf8.DecodeRune(t.data[at:])
		if left -= e.units(r, n); left < 0 {
			break // within a character: before it
		}
		at += n
	}
	return at
}

// position is the inverse of offset.
func (t *text) position(offset int, e encoding) position {
	offset = max(0, min(offset, len(t.data)))
	line := sort.SearchInts(t.starts, offset+1) - 1
	if t.last < t.starts[line] || t.last > offset || t.encoding != e {
		t.last, t.units, t.encoding = t.starts[line], 0, e
	}
	for t.last < offset {
		r, n := utf8.DecodeRune(t.data[t.last:])
		t.units += e.units(r, n)
		t.last += n
	}
	return position{line, t.units}
}

func (t *text) span(start, end int, e encoding) span {
	return span{t.position(start, e), t.position(end, e)}
}

// marked returns what of a text a remark's place is about: the word that begins there, else
// the rest of the line, else the line.
func (t *text) marked(at remark.Place) (start, end int) {
	n := max(0, min(at.Line-1, len(t.starts)-1))
	first, end := t.line(n)
	start = first
	if n == 0 && bytes.HasPrefix(t.data, []byte("\xef\xbb\xbf")) {
		start += 3
	}
	for range at.Column - 1 {
		if start >= end {
			break
		}
		_, size := utf8.DecodeRune(t.data[start:])
		start += size
	}
	if start == end {
		start = first
	} else if word := bytes.IndexAny(t.data[start+1:end], " \t,;()[]{}<>"); word >= 0 {
		end = start + 1 + word
	}
	return start, end
}
