package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// unlinkedPages gives advice on sheets of theory and of reference to which no other page
// leads, in any language. A handbook whose pages do not lead to one another at all is a
// list, and is not asked; nor is one with a link that leads nowhere, which may be meant
// for the page.
func unlinkedPages(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	led := map[string]bool{}                             // keys of pages
	linked, lost := map[string]bool{}, map[string]bool{} // languages
	for i, p := range h.Pages {
		lost[p.Lang] = lost[p.Lang] || facts[i].Lost
		for key := range facts[i].LeadsTo.All() {
			led[key] = true
			linked[p.Lang] = true
		}
	}
	for _, p := range h.Pages {
		sheet := p.Sheet == "theory" || p.Sheet == "reference"
		if sheet && linked[p.Lang] && !lost[p.Lang] && !led[p.Key] && !p.Index {
			remarks.Add(remark.PageUnlinked, p.Source.Top())
		}
	}
}

// links notes where the page's links lead.
func (f *Facts) links(p *handbook.Page) {
	var keys []string
	eachLink(p, func(t handbook.Target) {
		f.Lost = f.Lost || t.Kind == handbook.ToNowhere
		if t.Page != nil && t.Page != p && t.Page.Lang == p.Lang && !slices.Contains(keys, t.Page.Key) {
			keys = append(keys, t.Page.Key)
		}
	})
	f.LeadsTo = source.Together(keys)
}

// eachLink calls f for where the links of a page lead, and the ways of its steps.
func eachLink(p *handbook.Page, f func(handbook.Target)) {
	for _, t := range p.Links {
		f(t)
	}
	if p.Procedure != nil {
		for _, s := range p.Procedure.Steps {
			for _, t := range s.Ways() {
				f(t)
			}
		}
	}
}
