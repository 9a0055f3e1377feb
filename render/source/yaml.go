package source

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	yamlast "github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"benchleaf/render/remark"
)

// YAML is a parsed piece of YAML: a data file, a front matter or a block.
type YAML struct {
	Path   string
	Broken bool // it could not be parsed, or not be read at all
	Torn   bool // decoding found that a line of it is lost, so that it is not known what it defines

	told bool         // parsing it brought remarks
	root yamlast.Node // nil if empty or broken
	text string
	at   remark.Place // of its first character
}

// Start returns the place where the YAML begins.
func (y *YAML) Start() remark.Place {
	if y.at.Line == 0 {
		return remark.Place{File: y.Path}
	}
	return y.at
}

func parseYAML(l *lines, remarks *remark.List) *YAML {
	y := &YAML{Path: l.file, text: strings.TrimPrefix(string(l.text), byteOrderMark), at: remark.Place{File: l.file, Line: 1, Column: 1}}
	y.parse(remarks)
	return y
}

// parseYAMLPart parses the part of a file between two offsets.
func parseYAMLPart(l *lines, start, end int, remarks *remark.List) *YAML {
	y := &YAML{Path: l.file, text: string(l.text[start:end]), at: l.place(start)}
	y.parse(remarks)
	return y
}

func (y *YAML) parse(remarks *remark.List) {
	// The parser counts the line of a comment twice where it ends with CRLF. No
	// line and no column moves without the CR.
	y.text = strings.ReplaceAll(y.text, "\r\n", "\n")
	if line := tooDeep(y.text); line > 0 {
		y.Broken = true
		remarks.Add(remark.YAMLSyntax, y.place(&token.Position{Line: line, Column: 1}), fmt.Sprintf("more than %d brackets or lists stand one in the other", maxDepth))
		return
	}
	if line := tooMany(y.text); line > 0 {
		y.Broken = true
		tooMuch(remarks, y.place(&token.Position{Line: line, Column: 1}), "the YAML up to here", maxValues+1, maxValues, "values")
		return
	}
	file, err := parseText(y.text)
	if err != nil {
		y.Broken = true
		place, message := y.at, err.Error()
		var at yaml.Error
		if errors.As(err, &at) {
			message = at.GetMessage()
			if at.GetToken() != nil {
				place = y.place(at.GetToken().Position)
			}
		}
		remarks.Add(remark.YAMLSyntax, place, plainly(message))
		return
	}
	for _, doc := range file.Docs {
		if doc.Body == nil {
			continue
		}
		if y.root != nil {
			y.Broken = true
			remarks.Add(remark.YAMLSyntax, y.placeOf(doc.Body), "a second document begins")
			return
		}
		y.root = doc.Body
	}
}

// plainly adds to the parser's words what trips up who knows no YAML.
func plainly(message string) string {
	switch {
	case strings.Contains(message, "mapping value is not allowed"):
		return message + "; a text with a colon in it stands in quotes"
	case strings.Contains(message, "cannot start any token") && strings.Contains(message, "\t"):
		return "a tab stands here; lines are set in with blanks"
	}
	return message
}

// maxDepth bounds brackets, and marks of lists on a line, one in the other: the parser's time grows with the
// square of it, and no handbook has ten.
const maxDepth = 64

// tooDeep returns the line where the brackets become too many, or 0. It counts
// them in texts too, which only makes it stricter.
func tooDeep(text string) int {
	depth, line, marks := 0, 1, 0
	for i, c := range []byte(text) {
		switch c {
		case '\n':
			line++
			marks = 0
		case '-', '?': // items of lists in lists, on one line
			if blankAt([]byte(text[i:min(i+2, len(text))]), 1) {
				marks++
			}
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(0, depth-1)
		}
		if depth > maxDepth || marks > maxDepth {
			return line
		}
	}
	return 0
}

// maxValues bounds the values of a piece of YAML: the parser keeps a kilobyte of each.
const maxValues = 200_000

// tooMany returns the line where values become too many, or 0. It counts what separates them, in
// texts too.
func tooMany(text string) int {
	values, line := 0, 1
	for _, c := range []byte(text) {
		switch c {
		case '\n':
			line++
		case ',', ':', '[', '{', '-', '?':
			values++
		}
		if values > maxValues {
			return line
		}
	}
	return 0
}

// parseText guards the build against a parser that panics on text nobody tried.
// A key that stands twice is left to the decoder, which knows its place.
func parseText(text string) (file *yamlast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the parser gave up: %v", r)
		}
	}()
	return parser.ParseBytes([]byte(text), 0, parser.AllowDuplicateMapKey())
}

// place turns a position in the YAML's text into one in the file.
func (y *YAML) place(p *token.Position) remark.Place {
	// Every line of a block begins at the fence's column, of a file at 1.
	place := y.at
	place.Line += p.Line - 1
	place.Column += p.Column - 1
	return place
}

func (y *YAML) placeOf(n yamlast.Node) remark.Place {
	// A mapping's own token is its first colon; its place is its first key.
	switch n := n.(type) {
	case *yamlast.MappingNode:
		if len(n.Values) > 0 && !n.IsFlowStyle {
			return y.placeOf(n.Values[0])
		}
	case *yamlast.MappingValueNode:
		return y.placeOf(n.Key)
	}
	return y.place(n.GetToken().Position)
}
