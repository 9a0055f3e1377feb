package language

import (
	"bytes"
	"regexp"
	"strings"

	"benchleaf/render/handbook"
)

// level is a key of a block mapping, and how far it is set in.
type level struct {
	indent  int
	key     string
	mapping int // the offset of its mapping's first key
}

// spot is a place of YAML where a key or a value stands, or could.
type spot struct {
	rules      string   // what it is in, as rules has it
	form       string   // the name of the calculator that the block is, or is about
	keys       []string // that lead there
	key, value bool     // a key can stand there, a value
	start, end int
	mapping    int
	keysOf     map[int][]string // by mapping
	name       *site            // that a key there would be, nil where keys are no names
}

// spotAt is the spot at an offset, nil where there is none.
func spotAt(name string, data []byte, languages []string, offset int) *spot {
	return scanned(name, data, languages, offset).spot
}

// meet keeps the spot that is asked for.
func (s *scanner) meet(keys []string, start, end int, key, value bool) {
	if s.spot == nil && start <= s.ask && s.ask <= end {
		s.spot = &spot{s.name, s.form, keys, key, value, start, end, s.mapping, s.keysOf, nil}
	}
}

// nameOf is the name that a key in a spot would be, nil where it would be none, or a new one.
func (s *scanner) nameOf(p *spot) *site {
	for _, r := range rules[p.rules] {
		if p.key && !r.defines && r.matches(append(p.keys[:len(p.keys):len(p.keys)], ""), true) {
			return &site{kind: r.kind, start: p.start, end: p.end, scope: s.scope(r.kind, p.form)}
		}
	}
	return nil
}

// deepest bounds brackets one in the other.
const deepest = 64

// keyOfLine is a key with its colon, which may be still to be written.
var keyOfLine = regexp.MustCompile(`^("[^"]*"|'[^']*'|[^\s:#\[\]{}"'&*!|>@,][^:#\[\]{},]*?|)[ \t]*:([ \t]|$)`)

// yaml scans lines of YAML by the rules of that name. It knows keys by how far they are set
// in, lists, brackets, quotes, comments and texts of several lines.
func (s *scanner) yaml(name string, from, to int) {
	s.name, s.rules, s.keysOf = name, rules[name], map[int][]string{}
	var at []level
	keys := func() (list []string) {
		for _, l := range at {
			list = append(list, l.key)
		}
		return list
	}
	textBelow := -1 // how far the key of a text of several lines is set in
	for next := from; next < to; {
		start := next
		var end int
		end, next = s.line(start)
		end = min(end, to)
		i := start
		for i < end && s.data[i] == ' ' {
			i++
		}
		indent := i - start
		lead := indent
		if i == end && textBelow < 0 {
			s.between(at, start, end)
		}
		if i == end || s.data[i] == '#' && textBelow < 0 {
			continue
		}
		if textBelow >= 0 && indent > textBelow {
			s.scalar(keys(), i, end)
			continue
		}
		textBelow = -1
		dash := bytes.HasPrefix(s.data[i:end], []byte("- ")) || end-i == 1 && s.data[i] == '-'
		s.mapping = i
		for len(at) > 0 && (at[len(at)-1].indent > indent || at[len(at)-1].indent == indent && !dash) {
			if at[len(at)-1].indent == indent {
				s.mapping = at[len(at)-1].mapping
			}
			at = at[:len(at)-1]
		}
		for dash {
			i++
			for i < end && s.data[i] == ' ' {
				i++
			}
			dash = bytes.HasPrefix(s.data[i:end], []byte("- "))
		}
		indent = i - start
		s.bare = true
		if m := keyOfLine.FindSubmatchIndex(s.data[i:end]); m != nil {
			s.bare = false
			keyStart, keyEnd := unquoted(s.data, i+m[2], i+m[3])
			at = append(at, level{indent, string(s.data[keyStart:keyEnd]), s.mapping})
			s.keySite(keys(), keyStart, keyEnd)
			i += m[3]
			for s.data[i] != ':' {
				i++
			}
			i++
			for i < end && (s.data[i] == ' ' || s.data[i] == '\t') {
				i++
			}
		}
		switch {
		case i < end && (s.data[i] == '|' || s.data[i] == '>'):
			textBelow = indent
		case i < end && (s.data[i] == '[' || s.data[i] == '{'):
			s.indent, s.bare = lead, false
			stop := s.flow(i, to, keys(), 0)
			_, next = s.line(stop - 1) // what stands behind the bracket is a comment
			next = min(next, to)
		default:
			s.scalar(keys(), i, end)
		}
	}
}

// between meets a spot on an empty line, where keys could go on that are set in as far.
func (s *scanner) between(at []level, start, end int) {
	var keys []string
	s.mapping = -1
	for _, l := range at {
		if l.indent < s.ask-start {
			keys = append(keys, l.key)
		} else if l.indent == s.ask-start {
			s.mapping = l.mapping
		}
	}
	if start <= s.ask && s.ask <= end {
		s.meet(keys, s.ask, s.ask, true, false)
	}
}

// leaves tells whether brackets end at the end of a line, though none closes them: before a line
// that is not set in further than the one where they begin, nor begins with what closes.
func (s *scanner) leaves(lineEnd int) bool {
	end, _ := s.line(lineEnd + 1)
	line := s.data[lineEnd+1 : end]
	inner := bytes.TrimLeft(line, " ")
	return len(bytes.TrimSpace(inner)) > 0 && len(line)-len(inner) <= s.indent && inner[0] != ']' && inner[0] != '}'
}

// flow scans what stands between brackets, and returns where it ends.
func (s *scanner) flow(i, end int, keys []string, depth int) int {
	open, mapping := s.data[i], i
	i++
	if depth > deepest {
		lineEnd, _ := s.line(i)
		return min(lineEnd, end)
	}
	for fresh := true; i < end; {
		s.looked++
		switch c := s.data[i]; {
		case c == ' ' || c == '\t' || c == '\r':
			i++
			continue
		case c == '\n' || c == ',' || c == ']' || c == '}':
			if fresh && open == '[' {
				s.scalar(keys, i, i)
			} else if fresh {
				s.mapping = mapping
				s.keySite(append(keys[:len(keys):len(keys)], ""), i, i)
			}
			if c == ']' || c == '}' {
				return i + 1
			}
			if c == '\n' && s.leaves(i) {
				return i
			}
			fresh = c == ','
			i++
			continue
		case c == '#':
			for i < end && s.data[i] != '\n' {
				i++
			}
			continue
		}
		fresh = false
		inner := keys
		if open == '{' {
			start, stop := i, s.token(i, end, ",}:\n")
			from, to := unquoted(s.data, start, stop)
			inner = append(keys[:len(keys):len(keys)], string(s.data[from:to]))
			s.mapping = mapping
			s.keySite(inner, from, to)
			if i = stop; i >= end || s.data[i] != ':' {
				continue
			}
			for i++; i < end && s.data[i] == ' '; i++ {
			}
			if i >= end {
				return i
			}
		}
		if s.data[i] == '[' || s.data[i] == '{' {
			i = s.flow(i, end, inner, depth+1)
			continue
		}
		stop := s.token(i, end, ",]}\n")
		s.scalar(inner, i, stop)
		i = stop
	}
	return i
}

// token returns where a text between brackets ends: before one of stops, or with its quotes.
func (s *scanner) token(i, end int, stops string) (stop int) {
	defer func() { s.looked += stop - i }()
	if s.data[i] == '"' || s.data[i] == '\'' {
		n := bytes.IndexByte(s.data[i+1:end], s.data[i])
		for at := i; n >= 0; { // quotes may go on in the next line, but not out of the brackets
			line := bytes.IndexByte(s.data[at:i+n+1], '\n')
			if line < 0 {
				return i + n + 2
			}
			if at += line; s.leaves(at) {
				return at
			}
			at++
		}
	}
	if n := bytes.IndexAny(s.data[i:end], stops); n >= 0 {
		return i + n
	}
	return end
}

// unquoted are the offsets of a text without its quotes, blanks and comment.
func unquoted(data []byte, start, end int) (int, int) {
	for start < end && (data[start] == ' ' || data[start] == '\t') {
		start++
	}
	if start < end && (data[start] == '"' || data[start] == '\'') {
		quote := data[start]
		if n := bytes.IndexByte(data[start+1:end], quote); n >= 0 {
			return start + 1, start + 1 + n
		}
		return start + 1, end
	}
	if n := bytes.Index(data[start:end], []byte(" #")); n >= 0 {
		end = start + n
	}
	if start < end && data[start] == '#' {
		end = start
	}
	return start, start + len(bytes.TrimRight(data[start:end], " \t\r"))
}

// keySite is called for each key; keys are those that lead to it, itself the last.
func (s *scanner) keySite(keys []string, start, end int) {
	s.meet(keys[:len(keys)-1], start, end, true, false)
	if s.ask >= 0 && end > start {
		s.keysOf[s.mapping] = append(s.keysOf[s.mapping], keys[len(keys)-1])
	}
	for _, r := range s.rules {
		if r.matches(keys, true) {
			k := r.kind
			if k == kindRemark {
				s.allowed(start, end)
				return
			}
			if k == kindSection { // steps and causes by the ids that their places have
				if k = kindStep; strings.HasPrefix(keys[len(keys)-1], handbook.CauseAnchor("")) {
					k, start = kindCause, start+len(handbook.CauseAnchor(""))
				}
			}
			x := s.add(k, start, end, s.key)
			if x.defines = r.defines; r.defines {
				s.entries[strings.Join(keys, "/")] = len(s.sites) - 1
			}
			return
		}
	}
}

// formulaWord finds names and figures in a formula, which writes an underscore for the hyphen of a name.
var formulaWord = regexp.MustCompile(`[A-Za-z0-9_.]+`)

// scalar is called for each text that is a value.
func (s *scanner) scalar(keys []string, start, end int) {
	start, end = unquoted(s.data, start, end)
	s.meet(keys, start, end, s.bare, true)
	defer func(before int) {
		if start == end && start > 0 && s.data[start-1] == ':' && len(s.sites) > before {
			s.sites[before].tight = true
		}
	}(len(s.sites))
	value := string(s.data[start:end])
	for n, key := range keys {
		if key == "title" && n > 0 {
			if i, ok := s.entries[strings.Join(keys[:n], "/")]; ok && s.sites[i].title == "" {
				s.sites[i].title = value
			}
		}
	}
	if len(keys) == 1 && keys[0] == "procedure" {
		s.measured = value
	}
	if strings.HasPrefix(value, "spec:") {
		s.add(kindSpec, start+len("spec:"), end, "")
		return
	}
	if s.name == "calculator" && len(keys) > 1 && (keys[0] == "values" || keys[len(keys)-1] == "formula") {
		for _, m := range formulaWord.FindAllStringIndex(value, -1) {
			s.add(kindFormula, start+m[0], start+m[1], "").name = strings.ReplaceAll(value[m[0]:m[1]], "_", "-")
		}
		return
	}
	for _, r := range s.rules {
		if !r.matches(keys, false) {
			continue
		}
		switch r.kind {
		case kindMarkdown:
			s.prose(start, end)
		case kindWay, kindPage:
			s.way(r.kind, start, end)
		case kindCalculator:
			name, result, chained := strings.Cut(value, ".")
			s.add(r.kind, start, start+len(name), s.key).defines = r.defines && !chained
			switch {
			case chained:
				s.add(kindResult, end-len(result), end, "").scope = s.key + "/" + name
			case len(keys) == 1 || keys[len(keys)-1] == "calculator": // the block is it, or is about it
				s.form = name
			}
		case kindDigest:
			for at := start; at < end; {
				word, rest, _ := strings.Cut(string(s.data[at:end]), " ")
				s.add(r.kind, at, at+len(word), "")
				at = end - len(rest)
			}
		case kindAnswer:
			s.add(r.kind, start, end, "").scope = keys[len(keys)-1]
		default:
			s.add(r.kind, start, end, s.key)
		}
		return
	}
}
