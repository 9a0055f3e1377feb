package source

import (
	"bytes"
	"sort"
	"sync"
	"unicode/utf8"

	"benchleaf/render/remark"
)

// lines turns byte offsets of a text into places.
type lines struct {
	file string
	text []byte

	indexing sync.Once
	begins   []int // offset of each line, once a place was asked for

	counting sync.Once
	counted  []int // characters before each stretch of bytes, once a place far into a line was asked for
}

// stretch is how many bytes are counted together.
const stretch = 512

// characters counts those between two offsets. A long line may have as many mistakes as words: what
// lies before them is not counted again for each.
func (l *lines) characters(from, to int) int {
	if to-from <= stretch {
		return utf8.RuneCount(l.text[from:to])
	}
	l.counting.Do(func() {
		n := 0
		for i, b := range l.text {
			if i%stretch == 0 {
				l.counted = append(l.counted, n)
			}
			if utf8.RuneStart(b) {
				n++
			}
		}
	})
	before := func(at int) int {
		n := l.counted[min(at/stretch, len(l.counted)-1)]
		for _, b := range l.text[min(at/stretch, len(l.counted)-1)*stretch : at] {
			if utf8.RuneStart(b) {
				n++
			}
		}
		return n
	}
	return before(to) - before(from)
}

func newLines(file string, text []byte) *lines {
	return &lines{file: file, text: lineFeeds(text)}
}

// starts are the offsets of the lines.
func (l *lines) starts() []int {
	l.indexing.Do(func() {
		l.begins = make([]int, 1, 1+bytes.Count(l.text, lineFeed))
		for at := 0; ; {
			i := bytes.IndexByte(l.text[at:], '\n')
			if i < 0 {
				return
			}
			at += i + 1
			l.begins = append(l.begins, at)
		}
	})
	return l.begins
}

var lineFeed = []byte("\n")

// lineFeeds puts a line feed in the place of each carriage return that stands alone. It ends a line in
// CommonMark, in YAML and in editors, and not in the parsers.
func lineFeeds(text []byte) []byte {
	own := false
	for i := bytes.IndexByte(text, '\r'); i >= 0 && i < len(text); i++ {
		if text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			if !own {
				text, own = bytes.Clone(text), true
			}
			text[i] = '\n'
		}
	}
	return text
}

// place returns line and column of an offset; columns count characters.
func (l *lines) place(offset int) remark.Place {
	offset = max(0, min(offset, len(l.text)))
	line := sort.SearchInts(l.starts(), offset+1) - 1
	column := l.characters(l.starts()[line], offset) + 1
	if line == 0 && len(l.text) >= 3 && string(l.text[:3]) == byteOrderMark && column > 1 {
		column-- // the mark is no character that an editor shows
	}
	return remark.Place{File: l.file, Line: line + 1, Column: column}
}

// offset is the inverse of place, for a text without a byte order mark.
func (l *lines) offset(line, column int) int {
	if line > len(l.starts()) {
		return len(l.text)
	}
	i := l.starts()[max(line, 1)-1]
	for range column - 1 {
		if i >= len(l.text) || l.text[i] == '\n' {
			break
		}
		_, n := utf8.DecodeRune(l.text[i:])
		i += n
	}
	return i
}

const byteOrderMark = "\xef\xbb\xbf"
