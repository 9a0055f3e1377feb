// Package jsontext writes texts into JSON: what is written for each page of a large handbook is put together by hand,
// since encoding/json asks of each value what it is.
//
// In: texts. Out: JSON strings (RFC 8259), as encoding/json writes them without SetEscapeHTML. It imports nothing of the project.
package jsontext

import "unicode/utf8"

// Append appends a text as a JSON string. U+2028 and U+2029 are escaped, since scripts read it too; bytes that are no
// UTF-8 become U+FFFD.
func Append(b []byte, text string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	from := 0 // of what goes as it is
	for i := 0; ; {
		if i += plain(text[i:]); i == len(text) {
			break
		}
		c := text[i]
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(text[i:])
			switch {
			case r == utf8.RuneError && size == 1:
				b = append(append(b, text[from:i]...), `\ufffd`...)
				from = i + size
			case r == '\u2028' || r == '\u2029':
				b = append(append(b, text[from:i]...), `\u202`...)
				b = append(b, hex[r&0xF])
				from = i + size
			}
			i += size
			continue
		}
		b = append(append(b, text[from:i]...), '\\')
		switch c {
		case '"', '\\':
			b = append(b, c)
		case '\b':
			b = append(b, 'b')
		case '\f':
			b = append(b, 'f')
		case '\n':
			b = append(b, 'n')
		case '\r':
			b = append(b, 'r')
		case '\t':
			b = append(b, 't')
		default:
			b = append(b, 'u', '0', '0', hex[c>>4], hex[c&0xF])
		}
		i++
		from = i
	}
	return append(append(b, text[from:]...), '"')
}

// AppendList appends a list of texts.
func AppendList(b []byte, texts []string) []byte {
	b = append(b, '[')
	for i, text := range texts {
		if i > 0 {
			b = append(b, ',')
		}
		b = Append(b, text)
	}
	return append(b, ']')
}

// plain is how many characters a text begins with that stand for themselves. It looks at eight bytes at once: of those
// of ASCII, subtraction leaves the high bit in the one that is less than another.
func plain(text string) (n int) {
	const ones, high = 0x0101010101010101, 0x8080808080808080
	for ; n+8 <= len(text); n += 8 {
		t := text[n : n+8]
		x := uint64(t[0]) | uint64(t[1])<<8 | uint64(t[2])<<16 | uint64(t[3])<<24 | uint64(t[4])<<32 | uint64(t[5])<<40 | uint64(t[6])<<48 | uint64(t[7])<<56
		if (x|(x-' '*ones)|(x^'"'*ones-ones)|(x^'\\'*ones-ones))&high != 0 {
			break
		}
	}
	for n < len(text) && text[n] >= ' ' && text[n] < utf8.RuneSelf && text[n] != '"' && text[n] != '\\' {
		n++
	}
	return n
}
