package page

import (
	"net/url"
	"path"
	"strings"

	"benchleaf/render/handbook"
)

// relative returns the link from one file of the edition to another. Both paths
// are slash-separated; the link names the file, escaped, and never begins with
// something that could be read as a scheme.
func relative(from, to string) string {
	here := strings.Split(path.Dir(from), "/")
	if here[0] == "." {
		here = nil
	}
	there := strings.Split(to, "/")
	common := 0
	for common < len(here) && common < len(there)-1 && here[common] == there[common] {
		common++
	}
	up := strings.Repeat("../", len(here)-common)
	return (&url.URL{Path: up + strings.Join(there[common:], "/")}).String()
}

// href returns the link to a target, "" if there is nothing to link to.
func (w *writer) href(t handbook.Target) string {
	switch t.Kind {
	case handbook.ToHeading, handbook.ToCalculator, handbook.ToCause, handbook.ToEnd:
		if w.quoting { // it stands on the source's page
			return w.pageHref(w.page, t.ID)
		}
		return "#" + t.ID
	case handbook.ToPage:
		return w.pageHref(t.Page, t.ID)
	case handbook.ToAsset:
		w.reads.add(ReadAsset, t.Asset)
		return w.rel(t.Asset)
	}
	return ""
}

func (w *writer) pageHref(p *handbook.Page, id string) string {
	if id != "" {
		id = "#" + id
	}
	if p == w.page && id != "" && !w.quoting {
		return id
	}
	w.readTitle(p)
	if p.Index {
		return w.rel(FinderPath(w.book, p.Lang)) + id
	}
	return w.rel(p.Path) + id
}

// label returns the words for a target that an autolink names.
func (w *writer) label(t handbook.Target) string {
	switch t.Kind {
	case handbook.ToCause:
		return t.Cause.Title
	case handbook.ToEnd:
		return w.words.Word(endKey(t.ID))
	case handbook.ToPage:
		return w.readTitle(t.Page).Title
	case handbook.ToPart:
		return w.partName(t.Part)
	case handbook.ToHazard:
		return w.in(w.hazard(t.Hazard).Title)
	case handbook.ToCalculator:
		if w.page != nil {
			for _, c := range w.page.Calculators {
				if c.ID == t.ID {
					return w.calculatorTitle(c)
				}
			}
		}
	}
	return t.ID
}

// partName is a part's title with its number.
func (w *writer) partName(p *handbook.Part) string {
	name := w.in(w.part(p).Title)
	if p.Number != "" {
		name += " (" + strings.ReplaceAll(p.Number, " ", nbsp) + ")"
	}
	return name
}

// outside returns an address of another host as it may be linked to, "" if its
// scheme is none of those that a page may hold.
func outside(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	switch strings.ToLower(u.Scheme) {
	case "http", "https", "mailto", "tel":
		return u.String()
	}
	return ""
}
