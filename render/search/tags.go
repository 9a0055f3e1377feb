package search

import (
	"bytes"
	"html"
)

// tags goes through a page that this program has written: well-formed, and with quoted values. A tenth of the time
// of an edition went into reading pages as browsers read any; a test holds the two against each other.
type tags struct {
	page []byte
	text []byte // before the tag at hand, with references in it resolved
	tag  []byte // between its angle brackets
}

// next goes to the next tag. It tells whether there was one; the text before it, or the last of the page, is read
// either way. What is no element, such as a comment, is a tag without a name.
func (t *tags) next() bool {
	switch {
	case bytes.HasPrefix(t.tag, []byte("script")):
		t.page = t.page[max(0, bytes.Index(t.page, []byte("</script"))):]
	case bytes.HasPrefix(t.tag, []byte("style")):
		t.page = t.page[max(0, bytes.Index(t.page, []byte("</style"))):]
	}
	from := bytes.IndexByte(t.page, '<')
	if from < 0 {
		t.text, t.page = resolved(t.page), nil
		return false
	}
	t.text, t.page, t.tag = resolved(t.page[:from]), t.page[from+1:], nil
	end := 0
	switch {
	case len(t.page) == 0 || t.page[0] != '!' && t.page[0] != '?':
		end = tagEnd(t.page)
		t.tag = t.page[:end]
	case bytes.HasPrefix(t.page, []byte("!--")):
		end = bytes.Index(t.page, []byte("-->")) + len("-->") - 1
	case bytes.HasPrefix(t.page, []byte("![CDATA[")): // in a picture
		end = bytes.Index(t.page, []byte("]]>")) + len("]]>") - 1
	default:
		end = bytes.IndexByte(t.page, '>')
	}
	t.page = t.page[min(max(end, 0)+1, len(t.page)):]
	return true
}

// pass goes on to the end of an element in which no other of its name stands.
func (t *tags) pass(name string) {
	if at := bytes.Index(t.page, []byte("</"+name)); at > 0 {
		t.page = t.page[at:]
	}
}

// tagEnd is where a tag ends: at an angle bracket that is in no value.
func tagEnd(page []byte) int {
	quote := byte(0)
	for i, c := range page {
		switch {
		case quote == 0 && c == '>':
			return i
		case quote == 0 && (c == '"' || c == '\''):
			quote = c
		case c == quote:
			quote = 0
		}
	}
	return len(page)
}

// resolved is a text with its references as the characters that they stand for.
func resolved(text []byte) []byte {
	if bytes.IndexByte(text, '&') < 0 {
		return text
	}
	return []byte(html.UnescapeString(string(text)))
}

// name is that of the tag at hand.
func (t *tags) name() (name []byte, end, closed bool) {
	name = bytes.TrimSuffix(t.tag, []byte("/"))
	closed = len(name) < len(t.tag)
	name = name[:blankIn(name)]
	if len(name) > 0 && name[0] == '/' {
		return name[1:], true, false
	}
	return name, false, closed
}

// blankIn is where a text has its first blank, or else ends.
func blankIn(text []byte) int {
	for i, c := range text {
		if isBlank(c) {
			return i
		}
	}
	return len(text)
}

// attributes gives each attribute of the tag at hand.
func (t *tags) attributes(each func(key, value []byte)) {
	for rest := t.tag; ; {
		rest = rest[blankIn(rest):]
		for len(rest) > 0 && isBlank(rest[0]) {
			rest = rest[1:]
		}
		end := 0
		for end < len(rest) && rest[end] != '=' && !isBlank(rest[end]) {
			end++
		}
		if end == len(rest) {
			if key := bytes.TrimSuffix(rest, []byte("/")); len(key) > 0 {
				each(key, nil)
			}
			return
		}
		key, value := rest[:end], []byte(nil)
		rest = rest[end:]
		if rest[0] == '=' && len(rest) > 1 && (rest[1] == '"' || rest[1] == '\'') {
			quote := rest[1]
			to := bytes.IndexByte(rest[2:], quote)
			if to < 0 {
				return
			}
			value, rest = resolved(rest[2:2+to]), rest[2+to+1:]
		}
		each(key, value)
	}
}
