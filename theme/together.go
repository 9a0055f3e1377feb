package theme

import (
	"io/fs"
	"regexp"
	"strings"
)

// together is the folder of style sheets as a handbook in one file needs them.
// There pages with different sheets stand one below the other: what a sheet says
// besides what it takes in holds for its own pages only, and counts no more than
// it did before. Of a page that stands alone the main element is what here is a leaf.
type together struct{ fs.FS }

// of are the sheets of some pages, with what such a page's data-style says.
var of = map[string]string{"flow.css": "flow", "jobs.css": "jobs", "search.css": "search"}

var (
	importRule  = regexp.MustCompile(`@import [^;]*;`)
	mainElement = regexp.MustCompile(`(?m)(^|[\s,>])main([\s,:>{])`)
)

// ReadFile implements fs.ReadFileFS.
func (f together) ReadFile(name string) ([]byte, error) {
	data, err := fs.ReadFile(f.FS, name)
	if err != nil {
		return nil, err
	}
	text := mainElement.ReplaceAllString(string(data), "${1}:where(.leaf)${2}")
	if style := of[name]; style != "" {
		text = importRule.ReplaceAllString(text, "")
		text = `:where([data-style="` + style + `"]) {` + strings.TrimSpace(text) + "}\n"
	}
	return []byte(text), nil
}
