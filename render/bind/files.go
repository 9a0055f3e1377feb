package bind

import (
	"bytes"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// call is a script of data: nothing but one call of a function, if there is one,
// with JSON. As such it needs no leave of the content policy.
var call = regexp.MustCompile(`(?s)^self\.(\w+)&&(\w+)\((.*)\)\s*$`)

var endOfScript = regexp.MustCompile(`(?i)</(script)`)

// files returns the scripts and style sheets as they stand in the file, and what
// the content policy says of them.
func (w *writer) files() (text string, scripts, styles []string) {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(w.Files)) {
		data := w.Files[name]
		switch path.Ext(name) {
		case ".js":
			if m := call.FindSubmatch(data); m != nil && bytes.Equal(m[1], m[2]) {
				data := bytes.ReplaceAll(m[3], []byte("<"), []byte(`\u003c`))
				fmt.Fprintf(&b, `<script type="application/json" data-file="%s" data-call="%s">[%s]</script>`+"\n", html.EscapeString(address(name, "")), m[1], data)
				continue
			}
			// In a script these stand in texts alone, where a backslash before a letter or a mark changes nothing.
			data = endOfScript.ReplaceAll(data, []byte(`<\/$1`))
			data = bytes.ReplaceAll(data, []byte("<!--"), []byte(`<\!--`))
			scripts = append(scripts, hash(data))
		case ".css":
			styles = append(styles, hash(data))
		default:
			continue
		}
		fmt.Fprintf(&b, `<script type="text/plain" data-file="%s">%s</script>`+"\n", html.EscapeString(address(name, "")), data)
	}
	return b.String(), scripts, styles
}
