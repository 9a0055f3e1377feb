package audit

import (
	"maps"
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// sameNames gives advice on models that are called alike, and on parts that are called or
// numbered alike.
func sameNames(h *handbook.Handbook, remarks *remark.List) {
	for i, m := range h.Models {
		for _, other := range h.Models[:i] {
			if alike(m.Title, other.Title) {
				remarks.Add(remark.NameTwice, m.Place, "model `"+m.ID+"`", "title", other.ID)
				break
			}
		}
	}
	for i, p := range h.Parts {
		for _, other := range h.Parts[:i] {
			// What is fitted to other models may be called the same.
			if alike(p.Title, other.Title) && shared(p.Models, other.Models) {
				remarks.Add(remark.NameTwice, p.Place, "part `"+p.ID+"`", "title", other.ID)
				break
			}
			if p.Number != "" && p.Number == other.Number {
				remarks.Add(remark.NameTwice, p.Place, "part `"+p.ID+"`", "number", other.ID)
				break
			}
		}
	}
}

// alike tells whether two names are the same words in all languages.
func alike(a, b handbook.Words) bool {
	return len(a) > 0 && maps.EqualFunc(a, b, func(x, y string) bool { return words(x) != "" && words(x) == words(y) })
}

// shared tells whether a model has both of two parts; no models are all.
func shared(a, b []*handbook.Model) bool {
	return a == nil || b == nil || slices.ContainsFunc(a, func(m *handbook.Model) bool { return slices.Contains(b, m) })
}
