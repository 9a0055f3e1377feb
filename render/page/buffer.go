package page

import (
	"bytes"
	"sync"
)

// buffer is a bytes.Buffer in the form that goldmark's writer of escaped text
// asks for.
type buffer struct{ *bytes.Buffer }

// Buffered implements util.BufWriter: nothing waits.
func (buffer) Buffered() int { return 0 }

// Flush implements util.BufWriter.
func (buffer) Flush() error { return nil }

var pool = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// newBuffer is an empty one, of those that others have given back.
func newBuffer() buffer {
	b := pool.Get().(*bytes.Buffer)
	b.Reset()
	return buffer{b}
}

// escaped writes plain text.
func (b buffer) escaped(s string) {
	last := 0
	for i := range len(s) {
		var entity string
		switch s[i] {
		case '&':
			entity = "&amp;"
		case '<':
			entity = "&lt;"
		case '>':
			entity = "&gt;"
		case '"':
			entity = "&#34;"
		case '\'':
			entity = "&#39;"
		case 0:
			entity = "\uFFFD"
		default:
			continue
		}
		b.WriteString(s[last:i])
		b.WriteString(entity)
		last = i + 1
	}
	b.WriteString(s[last:])
}

// attribute writes a name and a quoted value, with a space before.
func (b buffer) attribute(name, value string) {
	b.WriteByte(' ')
	b.WriteString(name)
	b.WriteString(`="`)
	b.escaped(value)
	b.WriteByte('"')
}
