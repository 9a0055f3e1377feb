package bind

import (
	"bytes"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Named returns the paths that a page's main part links to, in their order, each
// once.
func Named(page string, text []byte) ([]string, error) {
	doc, err := html.Parse(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	var paths []string
	seen := map[string]bool{}
	for n := range find(doc, atom.Main).Descendants() {
		if n.DataAtom != atom.A {
			continue
		}
		if to, ok := follow(page, attribute(n, "href")); ok && !seen[to.path] {
			seen[to.path] = true
			paths = append(paths, to.path)
		}
	}
	return paths, nil
}
