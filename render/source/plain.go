package source

import "bytes"

// Heading is a heading of a page that was not parsed.
type Heading struct {
	Level int
	Words string
}

// plain finds a page's headings without parsing it. ok is false where a heading could be
// something else, or something else a heading, and where a comment may say something: such a page
// wants to be parsed. Of a handbook's pages most are plain, and looking at the first bytes of
// their lines takes a twentieth of what parsing takes.
func (p *Page) plain() (list []Heading, ok bool) {
	text := p.Text
	if bytes.Contains(text, []byte("<!--")) || bytes.IndexByte(text, '\r') >= 0 || bytes.IndexByte(text, 0) >= 0 {
		return nil, false
	}
	var fence []byte // that is open
	blank := true    // the line before
	for at := 0; at < len(text); {
		end := len(text)
		if i := bytes.IndexByte(text[at:], '\n'); i >= 0 {
			end = at + i
		}
		line := bytes.TrimRight(text[at:end], " \t")
		at = end + 1
		if fence != nil {
			if closes(line, fence) {
				fence, blank = nil, true
			}
			continue
		}
		if len(line) == 0 {
			blank = true
			continue
		}
		first := line[blanksAt(line):]
		switch {
		case line[0] == '#':
			h, ok := plainHeading(line)
			if !ok {
				return nil, false
			}
			list = append(list, h)
			blank = true
			continue
		case bytes.HasPrefix(first, []byte("```")), bytes.HasPrefix(first, []byte("~~~")):
			mark := first[:len(first)-len(bytes.TrimLeft(first, string(first[:1])))]
			if len(first) < len(line) || bytes.IndexByte(first[len(mark):], '`') >= 0 {
				return nil, false
			}
			fence = mark
			continue
		case first[0] == '<', hash(line), ruled(line) && !(blank && line[0] == '-'):
			return nil, false
		}
		blank = false
	}
	return list, true
}

// plainHeading takes a line apart that begins with #.
func plainHeading(line []byte) (h Heading, ok bool) {
	words := bytes.TrimLeft(line, "#")
	h.Level = len(line) - len(words)
	if h.Level > 6 || len(words) == 0 || words[0] != ' ' {
		return h, false
	}
	for _, c := range words {
		if c < ' ' || c < 0x80 && bytes.IndexByte([]byte("!#$&*:<>@[\\]^_`{|}~"), c) >= 0 {
			return h, false
		}
	}
	h.Words = string(bytes.TrimLeft(words, " "))
	return h, h.Words != ""
}

// closes tells whether a line ends a listing.
func closes(line, fence []byte) bool {
	first := bytes.TrimLeft(line, " ")
	return len(line)-len(first) < 4 && len(first) >= len(fence) && len(bytes.Trim(first, string(fence[:1]))) == 0
}

// hash tells whether a line may have a heading in a list, a quotation or the like.
func hash(line []byte) bool {
	for i := bytes.LastIndexByte(line, '#'); i > 0; i = bytes.LastIndexByte(line[:i], '#') {
		if bytes.IndexByte([]byte(" \t>"), line[i-1]) >= 0 {
			return true
		}
	}
	return false
}

// ruled tells whether a line may underline a heading, in a list or a quotation too.
func ruled(line []byte) bool {
	last := line[len(line)-1]
	return (last == '-' || last == '=') && len(bytes.Trim(line, " \t>-=*+.):0123456789")) == 0
}
