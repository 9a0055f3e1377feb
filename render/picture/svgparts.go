package picture

import (
	"encoding/xml"
	"strings"
)

// maxDrawn bounds the elements that a browser draws of a drawing, where those that are
// used count at each use: ten parts that use the next one ten times each are ten
// thousand million.
const maxDrawn = 100_000

// part is what stands within an element that has an id, but for what stands in
// another such element in it: that counts as used. Of the id "" it is what stands in none.
type part struct {
	elements int
	uses     []string // ids
}

// count adds an element to the part that it stands in.
func (c *cleaner) count(name string, attributes []xml.Attr) {
	within := ""
	if len(c.ids) > 0 {
		within = c.ids[len(c.ids)-1]
	}
	uses := func(id string) { c.part(within).uses = append(c.part(within).uses, id) }
	for _, a := range attributes {
		if a.Name.Local == "id" && a.Value != "" {
			uses(a.Value)
			within = a.Value
		}
	}
	c.ids = append(c.ids, within)
	c.part(within).elements++
	for _, a := range attributes {
		if name == "use" && (a.Name.Local == "href" || a.Name.Local == "xlink:href") {
			uses(strings.TrimPrefix(a.Value, "#"))
		}
	}
}

func (c *cleaner) part(id string) *part {
	if c.parts[id] == nil {
		c.parts[id] = &part{}
	}
	return c.parts[id]
}

// drawn returns how many elements are drawn of a part, maxDrawn + 1 for more. What
// uses itself is not drawn (SVG 2, 5.6).
func (c *cleaner) drawn(id string, known map[string]int) int {
	p := c.parts[id]
	if p == nil {
		return 0
	}
	if n, ok := known[id]; ok {
		return n
	}
	known[id] = 0
	n := p.elements
	for _, used := range p.uses {
		if n += c.drawn(used, known); n > maxDrawn {
			n = maxDrawn + 1
			break
		}
	}
	known[id] = n
	return n
}
