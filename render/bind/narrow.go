package bind

import (
	"slices"

	"benchleaf/render/handbook"
)

// Choice is what is bound of a handbook.
type Choice struct {
	Language string
	Model    *handbook.Model  // nil: all
	Pages    []*handbook.Page // nil: all
}

// Narrow returns the handbook with what is chosen of it and no more. Links still
// lead to the pages that are left out. Labels lead to an edition, and come with it.
func Narrow(book *handbook.Handbook, c Choice) *handbook.Handbook {
	narrow := *book
	narrow.Languages, narrow.Labels = []string{c.Language}, nil
	if c.Model != nil {
		narrow.Models = []*handbook.Model{c.Model}
		narrow.Others = slices.DeleteFunc(slices.Clone(book.Models), func(m *handbook.Model) bool { return m == c.Model })
	}
	narrow.Pages = nil
	for _, p := range book.Pages {
		if !chosen(p, c) {
			continue
		}
		if c.Model != nil {
			own := *p
			own.Applicability = narrow.Models
			own.Superseded, own.Notices = handbook.NoticesFor(p.Superseded, c.Model), handbook.NoticesFor(p.Notices, c.Model)
			p = &own
		}
		narrow.Pages = append(narrow.Pages, p)
	}
	return &narrow
}

// chosen tells whether a page is. The finder always is, for it leads to the others.
func chosen(p *handbook.Page, c Choice) bool {
	switch {
	case p.Lang != c.Language:
		return false
	case p.Index:
		return true
	}
	return (c.Pages == nil || slices.Contains(c.Pages, p)) && (c.Model == nil || slices.Contains(p.Applicability, c.Model))
}
