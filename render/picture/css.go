package picture

import (
	"slices"
	"strings"
)

// clean returns a style without what leads out of the file.
func (c *cleaner) clean(css, what string) string {
	kept, whole := cleanStyle(css)
	if !whole {
		c.take(what)
	}
	return kept
}

// cleanStyle leaves out declarations, rules without a block and heads of rules that
// lead out of the file. It finds their ends as CSS does (CSS Syntax Module Level 3, 4),
// and what a browser would still find is refused as a whole: safety does not hang
// on where the cuts are.
func cleanStyle(css string) (kept string, whole bool) {
	var out strings.Builder
	whole = true
	for css = uncommented(css); css != ""; {
		n, end := pieceEnd(css)
		piece := css[:n]
		if outward(piece) {
			whole = false
			if end == ";" {
				end = ""
			}
		} else {
			out.WriteString(piece)
		}
		out.WriteString(end)
		css = css[n:][min(len(css)-n, 1):]
	}
	if outward(out.String()) {
		return "", false
	}
	return out.String(), whole
}

// pieceEnd returns where a piece ends that has no semicolon and no brace in it, but
// for strings and parentheses, and what ends it.
func pieceEnd(css string) (n int, end string) {
	depth, quote := 0, byte(0)
	for i := range len(css) {
		switch b := css[i]; {
		case quote != 0:
			if b == quote || b == '\n' {
				quote = 0
			}
		case b == '"' || b == '\'':
			quote = b
		case b == '(':
			depth++
		case b == ')' && depth > 0:
			depth--
		case depth == 0 && (b == ';' || b == '{' || b == '}'):
			return i, css[i : i+1]
		}
	}
	return len(css), ""
}

// uncommented puts a blank in the place of each comment, so that what stood apart does not
// come together. One within a string goes too: no drawing needs it.
func uncommented(css string) string {
	var out strings.Builder
	for {
		before, rest, found := strings.Cut(css, "/*")
		out.WriteString(before)
		if !found {
			return out.String()
		}
		out.WriteByte(' ')
		if _, css, found = strings.Cut(rest, "*/"); !found {
			return out.String()
		}
	}
}

// outwardParts are what loads a file or runs a script in CSS wherever it stands; by a
// backslash a name can be written otherwise.
var outwardParts = []string{"@import", "image-set(", "image(", "src(", "javascript:", `\`}

// outward tells whether a style, or the value of an attribute, leads out of the file.
func outward(css string) bool {
	css = strings.ToLower(css)
	if slices.ContainsFunc(outwardParts, func(part string) bool { return strings.Contains(css, part) }) {
		return true
	}
	for rest := css; ; {
		_, after, found := strings.Cut(rest, "url(")
		if !found {
			return false
		}
		if rest = after; !strings.HasPrefix(strings.TrimLeft(rest, ` "'`), "#") {
			return true
		}
	}
}
