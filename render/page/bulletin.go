package page

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// noticeView says at the head of a page what a bulletin has changed on it.
type noticeView struct {
	IDs         string // of the models that it is about
	Text        any
	Href, Title string
}

// notices says what bulletins have changed of a page.
func (w *writer) notices(p *handbook.Page, notices []handbook.Notice) (views []noticeView) {
	for _, n := range notices {
		w.readTitle(n.Bulletin)
		about := w.machines(p, n)
		text := w.words.Fill("bulletin.procedure", "day", w.words.Day(n.From))
		if n.Spec != nil {
			value := w.in(w.spec(n.Spec).Title)
			if about != "" {
				value += " (" + about + ")"
			}
			text = w.words.Fill("bulletin.value", "value", value, "day", w.words.Day(n.From))
		} else if about != "" {
			text = about + ": " + text
		}
		views = append(views, noticeView{modelIDs(n.Models), w.words.Marked(text), w.pageHref(n.Bulletin, ""), n.Bulletin.Title})
	}
	return views
}

// valueNotices are the notices of a page that are about values on it.
func valueNotices(p *handbook.Page) (list []handbook.Notice) {
	for _, n := range p.Notices {
		if n.Spec != nil {
			list = append(list, n)
		}
	}
	return list
}

// superseded says of a procedure where it is named which bulletins supersede it, "" of one that holds.
func (w *writer) superseded(p *handbook.Page) string {
	var said []string
	for _, n := range p.Superseded {
		w.readTitle(n.Bulletin)
		text := w.words.Fill("bulletin.gone", "day", w.words.Day(n.From), "bulletin", n.Bulletin.Title)
		if about := w.machines(p, n); about != "" {
			text = about + ": " + text
		}
		said = append(said, w.isolated(text))
	}
	return w.words.Series(said...)
}

// machines names those that a notice is about, "" where that is every one of the page.
func (w *writer) machines(p *handbook.Page, n handbook.Notice) string {
	var about []string
	if len(n.Models) < len(p.Applicability) {
		about = append(about, w.modelNames(n.Models))
	}
	if n.Serials != nil {
		about = append(about, w.serials(*n.Serials))
	}
	return w.words.List(about...)
}

// serials is a range of serial numbers in words.
func (w *writer) serials(s handbook.Serials) string {
	if s.To == "" {
		return w.words.Fill("models.from", "from", s.From)
	}
	return w.words.Fill("models.range", "from", s.From, "to", s.To)
}

// serialsBeyond are the numbers of a model that none of some ranges has.
func (w *writer) serialsBeyond(m *handbook.Model, ranges []*handbook.Earlier) string {
	first, last := ranges[0].Serials, ranges[len(ranges)-1].Serials
	if len(m.Serials) == 1 && m.Serials[0].Head == last.Head && m.Serials[0].Tail == last.Tail && m.Serials[0].Low == first.Low {
		return w.words.Fill("models.from", "from", last.Next())
	}
	return w.words.Word("bulletin.others")
}

// changed writes behind a value that bulletins have changed since when that is so. Of several
// about the same models the last one counts.
func (w *writer) changed(s *handbook.Spec) {
	if w.page == nil {
		return
	}
	var notices []handbook.Notice
	for _, n := range w.page.Notices {
		if n.Spec == s {
			notices = append(notices, n)
		}
	}
	slices.SortStableFunc(notices, func(a, b handbook.Notice) int { return cmp.Compare(b.From, a.From) })
	told := map[*handbook.Model]bool{}
	for i, n := range notices {
		if i > 0 && !slices.ContainsFunc(n.Models, func(m *handbook.Model) bool { return !told[m] }) {
			continue
		}
		for _, m := range n.Models {
			told[m] = true
		}
		w.out.WriteString(` <a class="amended"`)
		w.out.attribute("href", w.pageHref(n.Bulletin, ""))
		if n.Models != nil {
			w.out.attribute("data-model", modelIDs(n.Models))
		}
		w.out.WriteByte('>')
		if len(n.Models) < len(w.page.Applicability) {
			w.out.WriteString(`<span class="for">`)
			w.out.escaped(w.modelNames(n.Models))
			w.out.WriteString(": </span>")
		}
		w.out.escaped(w.words.Fill("bulletin.changed", "day", w.words.Day(n.From)))
		w.out.WriteString("</a>")
	}
}

// changedAlone is that for a place where nothing else is said of each model: an empty part for the other models has the
// script hide it where one of those is chosen.
func (w *writer) changedAlone(s *handbook.Spec) template.HTML {
	return w.html(func() {
		before := w.out.Len()
		if w.changed(s); w.out.Len() == before {
			return
		}
		w.out.WriteString("<span")
		w.out.attribute("data-model", modelIDs(slices.DeleteFunc(slices.Clone(w.page.Applicability), func(m *handbook.Model) bool {
			return slices.ContainsFunc(w.page.Notices, func(n handbook.Notice) bool { return n.Spec == s && slices.Contains(n.Models, m) })
		})))
		w.out.WriteString("></span>")
	})
}

// changesView is what a bulletin changes.
type changesView struct {
	*theme.Words
	Values     []changeView
	Procedures []linkView
}

// changeView is a value before and after.
type changeView struct {
	Title, About string
	IDs          string
	Gone         bool // the value before holds for no machine any more
	Day          string
	Earlier, Now string
}

// supersessions writes what a bulletin changes, from the history of the specifications: an earlier value
// stands nowhere else.
func (w *writer) supersessions(p *handbook.Page) {
	v := changesView{Words: w.words}
	told := map[*handbook.Page]bool{}
	for _, said := range p.Supersedes {
		for _, s := range w.book.Specs {
			if s.ID == said.Spec.Value {
				v.Values = append(v.Values, w.changesOf(p, w.spec(s), said.From)...)
			}
		}
		if best := w.inLanguage(said.Procedure.Value); best != nil && !told[best] {
			told[best] = true
			v.Procedures = append(v.Procedures, w.supersededBy(p, best)...)
		}
	}
	if v.Values != nil || v.Procedures != nil {
		w.amended = true
		w.template("changes", v)
	}
}

// supersededBy are links to a procedure: from when, and for which machines, a bulletin supersedes it.
func (w *writer) supersededBy(bulletin, p *handbook.Page) (links []linkView) {
	for _, n := range p.Superseded {
		if n.Bulletin.Key != bulletin.Key {
			continue
		}
		more := w.words.Fill("bulletin.from", "day", w.words.Day(n.From))
		if about := w.machines(p, n); about != "" {
			more = w.words.List(about, more)
		}
		links = append(links, linkView{Href: w.pageHref(p, ""), Text: p.Title, More: more})
	}
	return links
}

func (w *writer) changesOf(p *handbook.Page, s *handbook.Spec, day string) (views []changeView) {
	models := p.Applicability
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	for _, e := range s.History {
		if e.Bulletin != p.Key {
			continue
		}
		var of [][]*handbook.Model // of each view
		first := len(views)
		for _, m := range models {
			before := e.For(m)
			if before == nil {
				continue
			}
			c := changeView{Title: w.in(s.Title), Gone: e.Until != "", Day: w.words.Day(e.Until), Earlier: w.limitText(before, s.Unit), Now: w.words.Word("limit.none")}
			if now := s.For(m); now != nil {
				c.Now = w.limitText(now, s.Unit)
			}
			if e.Serials != nil {
				c.Earlier = w.words.List(c.Earlier, w.serials(*e.Serials))
				if ranges := s.Ranges(m); slices.Contains(ranges, e) {
					c.Now = w.words.List(c.Now, w.serialsBeyond(m, ranges))
				}
			}
			i := slices.Index(views[first:], c)
			if i < 0 {
				views, of, i = append(views, c), append(of, nil), len(of)
			}
			if m != nil {
				of[i] = append(of[i], w.model(m))
			}
		}
		for i, list := range of {
			c := &views[first+i]
			c.IDs = modelIDs(list)
			c.About = strings.Join(slices.DeleteFunc([]string{w.modelNames(list), w.words.Fill("bulletin.from", "day", w.words.Day(day))}, func(s string) bool { return s == "" }), " · ")
		}
	}
	return views
}
