package search

import (
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// Read makes the places of a page from its rendered HTML.
func Read(h *handbook.Handbook, p *handbook.Page, rendered []byte) *Page {
	page := &Page{Path: p.Path, Key: p.Key, Sheet: p.Sheet, Title: p.Title}
	if len(p.Applicability) < len(h.Models) {
		for _, m := range p.Applicability {
			page.Models = append(page.Models, m.ID)
		}
	}
	places, gone := extract(rendered, p.Sheet)
	page.Gone = gone
	for i, x := range places {
		q := x.Place
		q.Title = strings.TrimSpace(q.Title)
		switch {
		case i == 0:
			q.Title, q.Lead = p.Title, p.Purpose
			if p.Sheet == "theory" { // what it names before all headings is what it is about
				q.Lead, q.Hazards = strings.TrimSpace(q.Lead+"\n"+q.Hazards), ""
			}
			if p.Procedure != nil {
				q.Lead = strings.TrimSpace(p.Procedure.Symptom + "\n" + p.Purpose)
				var hazards []string
				for _, z := range p.Procedure.Hazards {
					hazards = append(hazards, z.Title.In(p.Lang))
				}
				q.Hazards = strings.Join(hazards, ", ")
			}
			q.Names = modelNames(h, page.Models, p.Lang)
			q.Text = without(q.Text, q.Hazards, p.Revised, p.CheckBy)
		case q.Kind == Finding && x.cause != "":
			q.Names = partNames(p, x.cause)
		case q.Kind == Step || q.Kind == Value:
			for _, id := range x.specs {
				specified(h, p, id, &q)
			}
		}
		page.Places = append(page.Places, q)
	}
	return page
}

// ReadFinder makes the places of a finder, path, from its rendered HTML: the page
// and its engine states.
func ReadFinder(path, title string, rendered []byte) *Page {
	return readOwn(&Page{Path: path, Key: "index", Sheet: "finder", Title: title}, rendered)
}

// ReadModels makes the place of a language's page of models, path, from its rendered HTML: a model's name
// and the beginning of a serial number lead there.
func ReadModels(h *handbook.Handbook, lang, path, title string, rendered []byte) *Page {
	page := readOwn(&Page{Path: path, Key: "models", Sheet: "models", Title: title}, rendered)
	var names []string
	for _, m := range h.Models {
		names = append(names, m.Title.In(lang))
		for _, n := range m.Serials {
			names = append(names, n.From, n.To)
		}
	}
	page.Places[0].Names = strings.Join(names, "\n")
	return page
}

// readOwn gives a page that no author has written its places.
func readOwn(page *Page, rendered []byte) *Page {
	places, _ := extract(rendered, page.Sheet)
	for i, x := range places {
		q := x.Place
		q.Title = strings.TrimSpace(q.Title)
		if i == 0 {
			q.Title = page.Title
		}
		page.Places = append(page.Places, q)
	}
	return page
}

// modelNames are those of the models that a page is for, "" where it is for all.
func modelNames(h *handbook.Handbook, ids []string, lang string) string {
	var names []string
	for _, m := range h.Models {
		if slices.Contains(ids, m.ID) {
			names = append(names, m.Title.In(lang))
		}
	}
	return strings.Join(names, "\n")
}

func partNames(p *handbook.Page, cause string) string {
	for _, c := range p.Procedure.Causes {
		if c.ID == cause && c.Part != nil {
			return strings.Join([]string{c.Part.Title.In(p.Lang), c.Part.Number, c.Part.System.In(p.Lang)}, "\n")
		}
	}
	return ""
}

// specified adds a specification to the place where it is read or printed.
func specified(h *handbook.Handbook, p *handbook.Page, id string, q *Place) {
	i := slices.IndexFunc(h.Specs, func(s *handbook.Spec) bool { return s.ID == id })
	if i < 0 {
		return
	}
	s := h.Specs[i]
	title := s.Title.In(p.Lang)
	if q.Kind == Value {
		if q.Title == "" {
			q.Title = title
		}
		q.Text = strings.TrimSpace(q.Text + "\n" + s.Conditions.In(p.Lang))
		if of := holdsFor(h, s); len(of) == 1 && len(p.Applicability) > 1 { // of several the page prints whose each is
			q.Text = modelNames(h, of, p.Lang) + "\n" + q.Text
		}
	}
	q.Names = strings.TrimSpace(q.Names + "\n" + title)
	q.add(s.General, s.Unit)
	for _, m := range p.Applicability {
		q.add(s.ByModel[m.ID], s.Unit)
	}
}

// holdsFor are the models that have a specification.
func holdsFor(h *handbook.Handbook, s *handbook.Spec) (ids []string) {
	for _, m := range h.Models {
		if s.For(m) != nil {
			ids = append(ids, m.ID)
		}
	}
	return ids
}

// add adds what a limit allows, once.
func (q *Place) add(l *handbook.Limit, u unit.Unit) {
	measure, ok := measures[u.Kind]
	if !ok || l == nil || l.Min == nil || l.Max == nil {
		return
	}
	in, _ := unit.Lookup(measure)
	r := Range{strings.ToLower(measure), rounded(in.FromSI(u.ToSI(l.Min.Value))), rounded(in.FromSI(u.ToSI(l.Max.Value)))}
	own := Range{"", rounded(l.Min.Value), rounded(l.Max.Value)}
	ranges := []Range{r}
	if own.Min != r.Min || own.Max != r.Max {
		r.Measure = converted + r.Measure
		ranges = []Range{r, own}
	}
	for _, r := range ranges {
		if !slices.Contains(q.Ranges, r) {
			q.Ranges = append(q.Ranges, r)
		}
	}
}

// without takes whole lines out of a text.
func without(text string, lines ...string) string {
	return strings.Join(slices.DeleteFunc(strings.Split(text, "\n"), func(l string) bool { return slices.Contains(lines, l) }), "\n")
}
