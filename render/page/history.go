package page

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// historiesView is what values of a page of reference were before.
type historiesView struct {
	*theme.Words
	Values []historyView
}

// historyView is a value through its changes.
type historyView struct {
	Title string
	Rows  []pastView
}

// pastView is what a value was, or is, for some machines.
type pastView struct {
	IDs, Names, Text, When string
	Gone, Now              bool // it holds for no machine any more; it holds where no other does
	By                     linkView
}

// histories writes below a page of reference what the values that it shows were before: each with when or for
// which serial numbers it held, and by which bulletin it was changed.
func (w *writer) histories(p *handbook.Page) {
	v := historiesView{Words: w.words}
	for _, s := range w.book.Specs {
		if !w.printed[s] || s.History == nil {
			continue
		}
		h := historyView{Title: w.in(s.Title)}
		for _, e := range s.History {
			row := pastView{Gone: e.Until != "", When: w.holds(e)}
			if b := w.inLanguage(e.Bulletin); b != nil {
				w.readTitle(b)
				row.By = linkView{Href: w.pageHref(b, ""), Text: b.Title}
			}
			h.Rows = append(h.Rows, w.past(p, s, row, e.For)...)
		}
		if h.Rows == nil { // it is of other models
			continue
		}
		changed := func(m *handbook.Model) *handbook.Limit {
			if !slices.ContainsFunc(s.History, func(e *handbook.Earlier) bool { return e.For(m) != nil }) {
				return nil
			}
			return s.For(m)
		}
		h.Rows = append(h.Rows, w.past(p, s, pastView{Now: true}, changed)...)
		v.Values = append(v.Values, h)
	}
	if v.Values != nil {
		w.amended = true
		w.template("history", v)
	}
}

// past is what a value was for the models of a page, those of which it was the same together.
func (w *writer) past(p *handbook.Page, s *handbook.Spec, of pastView, limit func(*handbook.Model) *handbook.Limit) (rows []pastView) {
	models := p.Applicability
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	var held [][]*handbook.Model // by each row
	for _, m := range models {
		l := limit(m)
		if l == nil {
			continue
		}
		row := of
		if row.Text = w.limitText(l, s.Unit); of.Now {
			row.When = w.holdsNow(s, m)
		}
		i := slices.Index(rows, row)
		if i < 0 {
			rows, held, i = append(rows, row), append(held, nil), len(held)
		}
		if m != nil {
			held[i] = append(held[i], w.model(m))
		}
	}
	for i, list := range held {
		rows[i].IDs, rows[i].Names = modelIDs(list), w.modelNames(list)
	}
	return rows
}

// holds says when an earlier value held, and for which machines.
func (w *writer) holds(e *handbook.Earlier) string {
	var when []string
	if e.Serials != nil {
		when = append(when, w.serials(*e.Serials))
	}
	if e.From != "" {
		when = append(when, w.words.Fill("bulletin.from", "day", w.words.Day(e.From)))
	}
	if e.Until != "" {
		when = append(when, w.words.Fill("bulletin.until", "day", w.words.Day(e.Until)))
	}
	return w.words.List(when...)
}

// holdsNow says from when, or for which machines, the value of a model holds that has no end.
func (w *writer) holdsNow(s *handbook.Spec, m *handbook.Model) string {
	if ranges := s.Ranges(m); ranges != nil {
		return w.serialsBeyond(m, ranges)
	}
	last := ""
	for _, e := range s.History {
		if e.For(m) != nil {
			last = max(last, e.Until)
		}
	}
	return w.words.Fill("bulletin.from", "day", w.words.Day(last))
}

// inLanguage is the page of a key in the reader's language or the nearest to it; nil for none.
func (w *writer) inLanguage(key string) (best *handbook.Page) {
	for q := range w.keyed.All(key) {
		if best == nil || w.book.Nearer(w.lang, q.Lang, best.Lang) {
			best = q
		}
	}
	return best
}
