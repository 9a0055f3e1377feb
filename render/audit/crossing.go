package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// crossings gives advice on ways from a procedure to a page that does not hold for
// one of its models, unless the answer names a model for which it does. Several to one page are most likely a slip in what that page, or
// this one, applies to.
func crossings(p *handbook.Page, remarks *remark.List) {
	if p.ModelsUnknown {
		return
	}
	for _, s := range p.Procedure.Steps {
		said := answersFor(p, s)
		s.EachWay(func(t handbook.Target, at remark.Place) {
			if said[at] {
				return
			}
			if t.Kind != handbook.ToPage || t.Page.ModelsUnknown {
				return
			}
			var without []*handbook.Model
			var ids []string
			for _, m := range p.Applicability {
				if !slices.Contains(t.Page.Applicability, m) {
					without, ids = append(without, m), append(ids, "`"+m.ID+"`")
				}
			}
			if without == nil {
				return
			}
			there := remark.Subject{Name: "models of " + t.Page.Source.Path, Place: t.Page.Source.Top()}
			if len(t.Page.ModelPlaces) > 0 {
				there.Place = t.Page.ModelPlaces[0]
			}
			*remarks = append(*remarks, remark.PageModels.At(at, t.Page.Source.Path, strings.Join(ids, ", ")).
				About(there, p.AppliesTo(without...)))
		})
	}
}

// answersFor returns the places of the answers that name a model of the page to which
// they lead.
func answersFor(p *handbook.Page, s *handbook.Step) map[remark.Place]bool {
	said := map[remark.Place]bool{}
	for _, a := range s.Answers {
		if a.To.Kind != handbook.ToPage {
			continue
		}
		for _, m := range a.To.Page.Applicability {
			said[a.Place] = said[a.Place] || strings.Contains(words(a.Text), words(m.Title.In(p.Lang)))
		}
	}
	return said
}

// sameSymptoms gives advice on procedures of one language that are listed in the same
// words.
func sameSymptoms(h *handbook.Handbook, remarks *remark.List) {
	type listed struct{ lang, symptom string }
	first := map[listed]*handbook.Page{}
	for _, p := range h.Pages {
		if p.Procedure == nil || p.Procedure.SymptomPlace.File == "" {
			continue
		}
		l := listed{p.Lang, words(p.Procedure.Symptom)}
		if other := first[l]; other != nil {
			remarks.Add(remark.SymptomTwice, p.Procedure.SymptomPlace, other.Source.Path)
		} else {
			first[l] = p
		}
	}
}

// withoutRemedy gives advice on causes without a remedy, in a handbook in which others
// have one; those of a page are one slip.
func withoutRemedy(facts []*Facts, remarks *remark.List) {
	if !slices.ContainsFunc(facts, func(f *Facts) bool { return f.Remedies }) {
		return
	}
	for _, f := range facts {
		*remarks = append(*remarks, f.Remediless...)
	}
}

// remedies notes whether the page's causes have remedies.
func (f *Facts) remedies(p *handbook.Page) {
	lacks := lacking{others: true}
	for _, c := range p.Procedure.Causes {
		has := c.Remedy.Doc != nil
		f.Remedies = f.Remedies || has
		lacks.note(has, "cause `"+c.ID+"`", c.Place)
	}
	if !p.Procedure.ConductUnknown { // else its front matter may have been meant to say one
		lacks.tell(remark.RemedyMissing, &f.Remediless)
	}
}

// checkedElsewhere gives advice on causes whose check stands on another page that their
// remedy does not name. A cause without a remedy has its own advice.
func checkedElsewhere(p *handbook.Page, remarks *remark.List) {
	for _, c := range p.Procedure.Causes {
		named := c.Remedy.Doc == nil
		eachTarget(p, c.Remedy.Doc, func(t handbook.Target) {
			named = named || t.Kind == handbook.ToPage && t.Page != p || t == handbook.Target{}
		})
		if c.Unchecked && !named {
			remarks.Add(remark.CheckElsewhere, c.Place, c.ID)
		}
	}
}

// elsewhere notes the pages to which remedies lead of causes whose check stands on another.
func (f *Facts) elsewhere(p *handbook.Page) {
	for _, c := range p.Procedure.Causes {
		fact := ElsewhereFact{Cause: c.ID, Place: c.Place}
		known := c.Unchecked
		eachTarget(p, c.Remedy.Doc, func(t handbook.Target) {
			known = known && t != handbook.Target{}
			if t.Page != nil && t.Page != p {
				fact.Pages = append(fact.Pages, t.Page.Source.Path)
			}
		})
		if known && fact.Pages != nil { // without one it has its advice
			f.Elsewhere = append(f.Elsewhere, fact)
		}
	}
}

// checkedNowhere gives advice on causes whose check stands on another page, where none of
// those that their remedy names has one.
func checkedNowhere(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	checks := map[string]bool{}
	for i, p := range h.Pages {
		checks[p.Source.Path] = p.SheetUnknown || facts[i].Checks
	}
	for _, f := range facts {
		for _, c := range f.Elsewhere {
			if !slices.ContainsFunc(c.Pages, func(page string) bool { return checks[page] }) {
				*remarks = append(*remarks, remark.CheckElsewhere.At(c.Place, c.Cause).
					About(remark.Subject{Name: "the check of " + c.Pages[0]})) // it may be that page's slip
			}
		}
	}
}

// ownRemedies gives advice on remedies that lead to the beginning of their own page.
func ownRemedies(p *handbook.Page, remarks *remark.List) {
	for _, c := range p.Procedure.Causes {
		told := false
		eachTarget(p, c.Remedy.Doc, func(t handbook.Target) {
			if t.Kind == handbook.ToPage && t.Page == p && t.ID == "" && !told {
				told = true
				remarks.Add(remark.RemedyOwn, c.Place, c.ID)
			}
		})
	}
}

// sameCauses remarks on causes of a page in the same words.
func sameCauses(pr *handbook.Procedure, remarks *remark.List) {
	first := map[string]*handbook.Cause{}
	for _, c := range pr.Causes {
		title := words(c.Title)
		switch other := first[title]; {
		case title == "":
		case other == nil:
			first[title] = c
		case other.ID != c.ID: // else the key stands twice, which has its remark
			remarks.Add(remark.CauseTwice, c.Place, c.ID, other.ID)
		}
	}
}
