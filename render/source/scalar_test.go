package source

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
)

// TestPlacesInScalars finds the bracket of a link in Markdown that stands in
// YAML, in each style of scalar (YAML 1.2.2, chapters 7 and 8).
func TestPlacesInScalars(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"plain", "a: Ä ▸[x](#y)\n"},
		{"plain over lines", "a: Ä b\n  c\n  d ▸[x](#y)\n"},
		{"plain over lines, a paragraph", "a: Ä b\n\n\n  d ▸[x](#y)\n"},
		{"single quotes", "a: 'it''s Ä ▸[x](#y)'\n"},
		{"single quotes over lines", "a: 'it''s\n   Ä  ▸[x](#y)'\n"},
		{"double quotes", "a: \"Ä \\\"q\\\" \\u00e4 \\x41 \\U0001F600 \\\\ ▸[x](#y)\"\n"},
		{"double quotes over lines", "a: \"b\\n\n  Ä \\\n  c ▸[x](#y)\"\n"},
		{"double quotes, blank lines", "a: \"b\n\n\n  c ▸[x](#y)\"\n"},
		{"literal", "a: |\n  Ä b\n\n  d ▸[x](#y)\n"},
		{"literal, stripped", "a: |-\n    Ä b\n    d ▸[x](#y)\n"},
		{"literal, more indented", "a: |\n  - b\n\n    d ▸[x](#y)\n"},
		{"literal, indentation given", "a: |2\n  b\n  ▸[x](#y)\n"},
		{"literal after blank lines", "a: |\n\n\n  ▸[x](#y)\n"},
		{"literal with a comment", "a: | # why\n  b ▸[x](#y)\n"},
		{"folded", "a: >\n  Ä b\n  c\n  d ▸[x](#y)\n"},
		{"folded, paragraphs", "a: >\n  Ä b\n\n  c\n  d ▸[x](#y)\n"},
		{"folded, kept", "a: >+\n  Ä b\n  d ▸[x](#y)\n\n"},
		{"in a map", "z: {b: Ä, a: \"c ▸[x](#y)\"}\n"},
		{"deep", "z:\n  y:\n    a: |\n      Ä\n      ▸[x](#y)\n    b: c\n"},
		{"after comments", "# ä\nz: b # c\na: d ▸[x](#y)\n"},
		{"after others", "z: ä\ny: |\n  ä\n  b\n\na: >\n  ä\n  ▸[x](#y)\n"},
	} {
		for _, ending := range []string{"\n", "\r\n"} {
			text := strings.ReplaceAll(c.text, "\n", ending)
			before, after, _ := strings.Cut(text, "▸")
			want := newLines("f", []byte(before)).place(len(before))
			var remarks remark.List
			y := parseYAML(newLines("f", []byte(before+after)), &remarks)
			if len(remarks) > 0 {
				t.Errorf("%s: %v", c.name, remarks)
				continue
			}
			found := remark.Place{}
			eachMarkdown(y, func(m Markdown) {
				_ = ast.Walk(m.Doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
					if _, ok := n.(*ast.Link); ok && entering {
						found = m.PlaceOf(n)
					}
					return ast.WalkContinue, nil
				})
			})
			if found != want {
				t.Errorf("%s, %q: at %s, want %s", c.name, ending, found, want)
			}
		}
	}
}

// eachMarkdown reads every value below as Markdown.
func eachMarkdown(y *YAML, f func(Markdown)) {
	var remarks remark.List
	var below func(d *Decoder, key Text, value Node)
	below = func(d *Decoder, key Text, value Node) {
		if IsScalar(value) {
			if m, ok := d.Markdown(value, key.Value); ok {
				f(m)
			}
			return
		}
		d.Fields(value, key.Value, func(key Text, value Node) { below(d, key, value) })
	}
	DecodeFields(y, "a test", &remarks, below)
}
