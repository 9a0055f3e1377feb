package audit

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// supersededValues remarks on figures that a specification of the page held before, wherever in its file they stand: in the
// text, its tables, titles, remedies and safety messages, in drawings and what is said of them, in what a calculator begins with. A
// reader takes them for what holds. A bulletin tells of what it supersedes.
func supersededValues(p *handbook.Page, remarks *remark.List) {
	specs := shownSpecs(p)
	past := slices.DeleteFunc(slices.Clone(specs), func(s *handbook.Spec) bool { return !hasPast(s) || supersedes(p, s) })
	if len(past) == 0 {
		return
	}
	judge := func(text string, t typed, place func(int) remark.Place) bool {
		if slices.ContainsFunc(specs, func(s *handbook.Spec) bool { return holds(s, limitsHeld(p, s), t.number, t.symbol) }) {
			return false // another quantity, or the same still
		}
		for _, s := range past {
			if e := before(p, s, t); e != nil {
				*remarks = append(*remarks, superseded(place(t.from), text, t, s, e))
				return true
			}
		}
		return false
	}
	eachText(p, func(text string, place func(int) remark.Place) {
		eachFigure(text, func(t typed) bool { return judge(text, t, place) })
	})
	for _, c := range p.Calculators {
		for _, q := range c.Calc.Inputs {
			if x := c.Presets[q.Name]; x.Place.File != "" && bare(x.Text) { // one in the input's unit
				if judge(x.Text, typed{0, len(x.Text), x.Text, q.Unit.Symbol}, func(int) remark.Place { return x.Place }) {
					last := &(*remarks)[len(*remarks)-1]
					*last = last.Instead("Begin with what holds now: with the specification itself, where it has a nominal value.")
				}
			}
		}
	}
}

// bare tells whether a text is a number without a unit.
func bare(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}

// eachText calls f for what a page shows: its file without comments, and the texts of its drawings.
func eachText(p *handbook.Page, f func(text string, place func(offset int) remark.Place)) {
	file := p.Source.File()
	text := string(file)
	if strings.Contains(text, "<!--") {
		text = comment.ReplaceAllStringFunc(text, func(c string) string { return strings.Repeat(" ", len(c)) })
	}
	body := len(file) - len(p.Source.Text)
	f(text, func(offset int) remark.Place { return p.Source.Place(offset - body) })
	for _, d := range p.Drawn {
		f(d.Text, func(int) remark.Place { return d.Place })
	}
}

var comment = regexp.MustCompile(`(?s)<!--.*?-->`)

// superseded is the remark on a figure of a text.
func superseded(at remark.Place, text string, t typed, s *handbook.Spec, e *handbook.Earlier) remark.Remark {
	return remark.ValueSuperseded.At(at, strings.Join(strings.Fields(text[t.from:t.to]), " "), s.ID, e.Until)
}

// hasPast tells whether a specification was changed on a day.
func hasPast(s *handbook.Spec) bool {
	return !s.Faulty && slices.ContainsFunc(s.History, func(e *handbook.Earlier) bool { return e.Until != "" })
}

// supersedes tells whether a page is the bulletin that tells of a specification's change.
func supersedes(p *handbook.Page, s *handbook.Spec) bool {
	return slices.ContainsFunc(p.Supersedes, func(said handbook.Supersession) bool { return said.Spec.Value == s.ID })
}

// shownSpecs are the specifications that the page shows in any way, by id.
func shownSpecs(p *handbook.Page) []*handbook.Spec {
	list := specsOf(p)
	for _, c := range p.Calculators {
		for preset := range maps.Values(c.Presets) {
			list = append(list, preset.Spec)
		}
		list = slices.AppendSeq(list, maps.Values(c.Limits))
	}
	list = slices.DeleteFunc(list, func(s *handbook.Spec) bool { return s == nil || s.Faulty })
	slices.SortFunc(list, func(a, b *handbook.Spec) int { return strings.Compare(a.ID, b.ID) })
	return slices.Compact(list)
}

// before returns the earlier value of a specification that a figure is of, for a model of the page; nil for none.
func before(p *handbook.Page, s *handbook.Spec, t typed) *handbook.Earlier {
	for _, e := range s.History {
		if e.Until != "" && holds(s, limitsBefore(p, e), t.number, t.symbol) {
			return e
		}
	}
	return nil
}

// limitsBefore are those of an earlier value, the general one and those for the models of a page.
func limitsBefore(p *handbook.Page, e *handbook.Earlier) []*handbook.Limit {
	limits := []*handbook.Limit{e.General}
	for _, m := range p.Applicability {
		limits = append(limits, e.For(m))
	}
	return limits
}
