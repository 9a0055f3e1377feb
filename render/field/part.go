package field

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"benchleaf/render/record"
)

// partKey is a part that was replaced at the end of a procedure.
type partKey struct{ part, page string }

// parts counts replacements of a part by what the readings said of it.
type parts struct {
	outside, close, within, unread int
}

// part counts a part that was replaced. The reading that condemns it says
// whether it was out of limits; where none does, the reading that led to the
// cause, if one did.
func (s *Sum) part(r *record.Record, f *record.Finding, sign int) {
	p := row(s, s.parts, partKey{f.Part, f.Page}, sign)
	if p == nil {
		return
	}
	switch verdictOn(r, f) {
	case "low", "high", "none":
		p.outside += sign
	case "close":
		p.close += sign
	case "within":
		p.within += sign
	default:
		p.unread += sign
	}
}

func verdictOn(r *record.Record, f *record.Finding) string {
	by := -1
	if f.CondemnedBy != nil {
		by = *f.CondemnedBy
	} else {
		for i, e := range r.Entries {
			if e.Page == f.Page && strings.HasSuffix(e.To, "#cause-"+f.Cause) && !e.At.After(f.At) {
				by = i
			}
		}
	}
	if by < 0 || r.Entries[by].Reading == nil {
		return ""
	}
	return r.Entries[by].Reading.Verdict
}

func (s *Sum) partsTable() Table {
	t := Table{
		Name: "parts", Title: "Parts replaced, and what the readings said",
		About: "Out of limits or not: the reading that condemns the part, or else the one that led to its cause. Not read: no reading led there.",
		Columns: columns("part=Part", "title=Title", "!procedure=Procedure", "procedure_title=Procedure", "#replaced=Replaced", "#outside=Out of limits", "#close=Too close to call",
			"#within=Within limits", "#unread=Not read"),
	}
	for _, k := range slices.SortedFunc(maps.Keys(s.parts), func(a, b partKey) int {
		return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.page, b.page))
	}) {
		p := s.parts[k]
		replaced := p.outside + p.close + p.within + p.unread
		if replaced == 0 {
			continue
		}
		title := ""
		if s.book != nil {
			title = s.book.parts[k.part]
		}
		t.Rows = append(t.Rows, append([]string{cmp.Or(k.part, none), title, k.page, s.book.pageTitle(k.page)}, figures(replaced, p.outside, p.close, p.within, p.unread)...))
	}
	return t
}
