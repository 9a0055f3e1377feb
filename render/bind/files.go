package bind

import (
	"bytes"
	"fmt"
	"path"
	"regexp"

	"golang.org/x/net/html"
)

// call is a script of data: nothing but one call of a function, if there is one,
// with JSON. As such it needs no leave of the content policy.
var call = regexp.MustCompile(`(?s)^self\.(\w+)&&(\w+)\((.*)\)\s*$`)

var endOfScript = regexp.MustCompile(`(?i)</(script)`)

// file is a script or a style sheet as it stands in the file, as text that the
// theme's script beside.ts looks up by its path. Other files stand where they are
// shown.
func (w *writer) file(name string) []byte {
	data := w.Files[name]
	kind, calls := "text/plain", ""
	switch path.Ext(name) {
	case ".js":
		if m := call.FindSubmatch(data); m != nil && bytes.Equal(m[1], m[2]) {
			kind, calls = "application/json", fmt.Sprintf(` data-call="%s"`, m[1])
			data = fmt.Appendf(nil, "[%s]", bytes.ReplaceAll(m[3], []byte("<"), []byte(`\u003c`)))
			break
		}
		// In a script these stand in texts alone, where the backslash changes nothing.
		data = endOfScript.ReplaceAll(data, []byte(`<\/$1`))
		data = bytes.ReplaceAll(data, []byte("<!--"), []byte(`<\!--`))
		w.scripts = append(w.scripts, hash(data))
	case ".css":
		w.styles = append(w.styles, hash(data))
	default:
		return nil
	}
	return fmt.Appendf(nil, `<script type="%s" data-file="%s"%s>%s</script>`+"\n", kind, html.EscapeString(address(name, "")), calls, data)
}
