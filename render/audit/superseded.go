package audit

import (
	"bytes"
	"maps"
	"regexp"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// supersededValues remarks on figures that a specification of the page held before, wherever in its file they stand: in the
// text, its tables, titles, remedies and safety messages, in drawings and what is said of them, in what a calculator begins with. A
// reader takes them for what holds. A bulletin tells of what it supersedes.
func supersededValues(p *handbook.Page, remarks *remark.List) {
	specs := shownSpecs(p)
	past := slices.DeleteFunc(slices.Clone(specs), func(s *handbook.Spec) bool {
		told := slices.ContainsFunc(p.Supersedes, func(said handbook.Supersession) bool { return said.Spec.Value == s.ID })
		return told || !slices.ContainsFunc(s.History, func(e *handbook.Earlier) bool { return e.Until != "" })
	})
	if len(past) == 0 {
		return
	}
	file := p.Source.File()
	text := string(comment.ReplaceAllFunc(file, func(c []byte) []byte { return bytes.Repeat([]byte{' '}, len(c)) }))
	body := len(file) - len(p.Source.Text)
	look := func(text string, place func(offset int) remark.Place) {
		eachFigure(text, func(from, to int, number, symbol string) bool {
			values := valuesOf(number)
			if slices.ContainsFunc(specs, func(s *handbook.Spec) bool { return holds(s, limitsHeld(p, s), values, symbol) }) {
				return false // another quantity, or the same still
			}
			for _, s := range past {
				if e := before(p, s, values, symbol); e != nil {
					remarks.Add(remark.ValueSuperseded, place(from), text[from:to], s.ID, e.Until)
					return true
				}
			}
			return false
		})
	}
	look(text, func(offset int) remark.Place { return p.Source.Place(offset - body) })
	for _, d := range p.Drawn {
		look(d.Text, func(int) remark.Place { return d.Place })
	}
}

var comment = regexp.MustCompile(`(?s)<!--.*?-->`)

// beforeFigure is a number before another one with the unit of both: 3,500 to 3,700 rpm, 3600 ± 100 rpm. Words between are
// short in every language.
var beforeFigure = regexp.MustCompile(`([-−]?\d+(?:[.,]\d+)?)(?:[ \x{a0}]?[±–—/-][ \x{a0}]?|[ \x{a0}]\pL{1,3}[ \x{a0}])$`)

// eachFigure calls f for each number with a unit, behind it or behind the number that follows, and where it stands. Where f
// has told of two together it is not asked about the second.
func eachFigure(text string, f func(from, to int, number, symbol string) (told bool)) {
	for _, x := range figures(text) {
		if x.from > 0 && strings.ContainsRune("0123456789.,", rune(text[x.from-1])) {
			continue // within a longer number
		}
		number, symbol := text[x.from:x.numberEnd], text[x.symbol:x.to]
		start := x.from
		if number[0] == '-' && x.from > 0 && text[x.from-1] >= '0' && text[x.from-1] <= '9' {
			start++ // a dash between two
		}
		line := strings.LastIndexByte(text[:start], '\n') + 1
		b := beforeFigure.FindStringSubmatchIndex(text[line:start])
		if b == nil || !f(line+b[0], x.to, text[line+b[2]:line+b[3]], symbol) {
			f(x.from, x.to, number, symbol)
		}
	}
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
func before(p *handbook.Page, s *handbook.Spec, values []float64, symbol string) *handbook.Earlier {
	for _, e := range s.History {
		if limits := []*handbook.Limit{e.General}; e.Until != "" {
			for _, m := range p.Applicability {
				limits = append(limits, e.For(m))
			}
			if holds(s, limits, values, symbol) {
				return e
			}
		}
	}
	return nil
}

// pastData remarks on texts of the handbook's data, the meanings of terms and what is said of engine states and models, in
// which a specification is named by its title, with a figure that it held before.
func pastData(h *handbook.Handbook, remarks *remark.List) {
	all := &handbook.Page{Applicability: h.Models}
	look := func(lang, name, text string, at remark.Place) {
		said := strings.ToLower(name + " " + text)
		eachFigure(text, func(from, to int, number, symbol string) bool {
			values := valuesOf(number)
			for _, s := range h.Specs {
				if s.Faulty || !strings.Contains(said, strings.ToLower(s.Title.In(lang))) || holds(s, limitsHeld(all, s), values, symbol) {
					continue
				}
				if e := before(all, s, values, symbol); e != nil {
					remarks.Add(remark.ValueSuperseded, at, text[from:to], s.ID, e.Until)
					return true
				}
			}
			return false
		})
	}
	for _, lang := range h.Languages {
		for _, term := range h.Glossary[lang] {
			look(lang, term.Term, term.Meaning, term.Place)
		}
	}
	for _, s := range h.States {
		for _, lang := range slices.Sorted(maps.Keys(s.Text)) {
			look(lang, "", s.Text[lang], s.Place)
		}
	}
	for _, m := range h.Models {
		for _, lang := range slices.Sorted(maps.Keys(m.Text)) {
			look(lang, "", m.Text[lang], m.Place)
		}
	}
}
