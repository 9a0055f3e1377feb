package source

import (
	"bytes"
	"strings"
	"sync"
	"unicode/utf8"

	yamlast "github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"benchleaf/render/remark"
)

// placer gives the place of an offset in a piece of Markdown.
type placer func(offset int) remark.Place

// blockPlacer is for a piece whose first character stands at a place and whose
// further lines are those of the file, all cut by the same number of columns.
func blockPlacer(text []byte, at remark.Place) placer {
	return func(offset int) remark.Place {
		place, before := at, text[:offset]
		if last := bytes.LastIndexByte(before, '\n'); last >= 0 {
			place.Line += bytes.Count(before, []byte("\n"))
			before = before[last+1:]
		}
		place.Column += utf8.RuneCount(before)
		return place
	}
}

// scalarPlacer is for the text of a scalar: YAML joins the lines of a folded, a
// plain and a quoted one and resolves escapes, so that the text is laid beside
// its source once more. That is done when the first place is asked for: most
// texts are without a mistake.
func (y *YAML) scalarPlacer(n yamlast.Node, value string) placer {
	made := sync.OnceValue(func() placer { return y.layScalar(n, value) })
	return func(offset int) remark.Place { return made()(offset) }
}

func (y *YAML) layScalar(n yamlast.Node, value string) placer {
	start, quote := n.GetToken().Position, byte(0)
	l := newLines(y.Path, []byte(y.text))
	from := l.offset(start.Line, start.Column)
	switch n.GetToken().Type {
	case token.DoubleQuoteType:
		from, quote = from+1, '"'
	case token.SingleQuoteType:
		from, quote = from+1, '\''
	case token.LiteralType, token.FoldedType:
		from = l.offset(start.Line+1, 1)
	}
	from = min(from, len(y.text))
	at := align(value, y.text[from:], quote)
	return func(offset int) remark.Place {
		place := l.place(from + at[min(offset, len(at)-1)])
		return y.place(&token.Position{Line: place.Line, Column: place.Column})
	}
}

// align returns for each byte of a scalar's value, and for its end, the offset
// in the source that it comes from. quote is the scalar's quotation mark or 0.
func align(value, source string, quote byte) []int {
	at := make([]int, 0, len(value)+1)
	i := 0
	for _, r := range value {
		if r != ' ' && r != '\n' && r != '\t' {
			i += blanks(source[i:])
		}
		for quote == '"' && escapedBreak(source[i:]) {
			i++
			i += blanks(source[i:])
		}
		for range utf8.RuneLen(r) {
			at = append(at, i)
		}
		switch rest := source[i:]; {
		case rest == "":
		case quote == '"' && rest[0] == '\\':
			i += min(escapeLength(rest), len(rest))
		case quote == '\'' && strings.HasPrefix(rest, "''"):
			i += 2
		case strings.HasPrefix(rest, string(r)):
			i += utf8.RuneLen(r)
		default: // a line break that became a space
			i += blanks(rest)
		}
	}
	return append(at, i)
}

func blanks(s string) int { return len(s) - len(strings.TrimLeft(s, " \t\r\n")) }

func escapedBreak(s string) bool {
	return strings.HasPrefix(s, "\\\n") || strings.HasPrefix(s, "\\\r\n")
}

// escapeLength is the length of an escape of a double-quoted scalar (YAML
// 1.2.2, section 5.7).
func escapeLength(s string) int {
	if len(s) < 2 {
		return len(s)
	}
	switch s[1] {
	case 'x':
		return 4
	case 'u':
		return 6
	case 'U':
		return 10
	}
	return 2
}
