package phone

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// cover returns as few pages of the edition as hold all that stands in any of its pages: each sheet, each element
// with each class. What a page is made of tells its kind, and nobody has to remember a new one.
func (d *demo) cover(t *testing.T) []string {
	t.Helper()
	holds := map[string]map[string]bool{} // page -> what it is made of
	left := map[string]bool{}
	for _, p := range d.pages {
		holds[p] = map[string]bool{}
		for n := range parse(t, d.read(t, p)).Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			parts := []string{n.Data}
			for _, class := range strings.Fields(attribute(n, "class")) {
				parts = append(parts, n.Data+"."+class)
			}
			if n.Data == "body" {
				parts = append(parts, "sheet "+attribute(n, "data-sheet"))
			}
			for _, part := range parts {
				holds[p][part], left[part] = true, true
			}
		}
	}
	var pages []string
	for len(left) > 0 {
		gain := func(p string) int {
			n := 0
			for part := range left {
				if holds[p][part] {
					n++
				}
			}
			return n
		}
		best := slices.MaxFunc(d.pages, func(a, b string) int { return gain(a) - gain(b) })
		pages = append(pages, best)
		for part := range holds[best] {
			delete(left, part)
		}
	}
	return pages
}
