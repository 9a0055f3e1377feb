package bind

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// datum is what a script of data says: a calculator's module, or what a page's
// scripts have to know of it.
type datum struct{ kind, text string }

// dataKinds are the types of such scripts.
var dataKinds = []string{"application/wasm", "application/json"}

// takeData takes what a page's script says to the front of the file: there it stands
// once, among others that say nearly the same, which packs well. In its place is left
// its number; the theme's script bound.ts puts it back.
func (w *writer) takeData(n *html.Node) {
	d := datum{kind: attribute(n, "type")}
	if !slices.Contains(dataKinds, d.kind) || n.FirstChild == nil {
		return
	}
	d.text = n.FirstChild.Data
	n.RemoveChild(n.FirstChild)
	i := slices.Index(w.data, d)
	if i < 0 {
		i = len(w.data)
		w.data = append(w.data, d)
	}
	set(n, "data-of", fmt.Sprint(i))
}

// dataScripts are the scripts of data, each kind together.
func (w *writer) dataScripts() string {
	var b strings.Builder
	for _, kind := range dataKinds {
		for i, d := range w.data {
			if d.kind == kind {
				fmt.Fprintf(&b, `<script type="%s" data-no="%d">%s</script>`+"\n", kind, i, d.text)
			}
		}
	}
	return b.String()
}
