package page

import (
	"bytes"
	"html/template"
	"regexp"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// nbsp keeps a figure and its unit on one line.
const nbsp = "\u00A0"

// figure prints a number as its author typed it, with the decimal sign of the
// page's language and the thousands grouped: by commas where the point is
// decimal, else from five digits on by a narrow space (ISO 80000-1, 7.3.1).
func figure(text, lang string) string {
	text = strings.TrimPrefix(text, "+")
	sign := ""
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		sign, text = "−", rest
	}
	whole, fraction, hasFraction := strings.Cut(text, ".")
	decimal := unit.DecimalSign(lang)
	mark := ","
	if decimal == ',' {
		mark = "\u202F"
	}
	if plainDigits(whole) && (len(whole) > 4 || len(whole) == 4 && decimal == '.') {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + mark + whole[i:]
		}
	}
	if hasFraction {
		whole += string(rune(decimal)) + fraction
	}
	return sign + whole
}

func plainDigits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}

// withUnit joins a figure and a unit.
func withUnit(figure string, u unit.Unit) string {
	if symbol := unitSymbol(u); symbol != "" {
		return figure + nbsp + symbol
	}
	return figure
}

// unitSymbol is a unit as it is printed. That a temperature is a difference
// stands in the words beside it.
func unitSymbol(u unit.Unit) string { return strings.TrimPrefix(u.Symbol, "Δ") }

// isolated keeps a text with figures, units and words of the theme in its own order
// where what surrounds it is written the other way (Unicode Standard Annex 9, 2.4).
func (w *writer) isolated(text string) string {
	if text == "" || theme.Direction(w.lang) == theme.Direction(w.words.Lang) {
		return text
	}
	return theme.LeftToRight + text + theme.EndIsolate
}

// in is Words.In for a page from right to left too: words in Latin letters there, of the source's language or a name, keep
// their order and their full stop.
func (w *writer) in(words handbook.Words) string { return w.latin(words.In(w.lang)) }

var (
	latinLetter = regexp.MustCompile(`\p{Latin}`)
	rtlLetter   = regexp.MustCompile(`[\p{Arabic}\p{Hebrew}]`)
)

func (w *writer) latin(text string) string {
	if theme.Direction(w.lang) == "rtl" && latinLetter.MatchString(text) && !rtlLetter.MatchString(text) {
		return theme.LeftToRight + text + theme.EndIsolate
	}
	return text
}

// apart keeps a text in its own order beside others of a line that is written from right to left.
func (w *writer) apart(text string) string {
	if text == "" || theme.Direction(w.lang) != "rtl" {
		return text
	}
	return theme.AsItsFirst + text + theme.EndIsolate
}

// leftToRight keeps a figure, its sign and its unit in their order among words that are written from right
// to left (Unicode Standard Annex 9, 2.4).
func (w *writer) leftToRight(figure string) string {
	if theme.Direction(w.words.Lang) == "rtl" {
		return theme.LeftToRight + figure + theme.EndIsolate
	}
	return figure
}

// limitText prints a limit: "11.5 to 12.6 V", "at most 0.5 V", "1,750 ± 50 rpm".
func (w *writer) limitText(l *handbook.Limit, u unit.Unit) string {
	return w.isolated(w.plainLimit(l, u))
}

func (w *writer) plainLimit(l *handbook.Limit, u unit.Unit) string {
	number := func(n *handbook.Number) string { return figure(n.Text, w.lang) }
	value := func(n *handbook.Number) string { return withUnit(figure(n.Text, w.lang), u) }
	text := ""
	switch {
	case l.Nominal != nil && l.Tolerance != nil:
		return w.leftToRight(withUnit(figure(l.Nominal.Text, w.lang)+nbsp+"±"+nbsp+figure(l.Tolerance.Text, w.lang), u))
	case l.Min != nil && l.Max != nil:
		text = w.words.Fill("limit.range", "min", number(l.Min), "max", value(l.Max))
	case l.Min != nil:
		text = w.words.Fill("limit.min", "min", value(l.Min))
	case l.Max != nil:
		text = w.words.Fill("limit.max", "max", value(l.Max))
	}
	if l.Nominal == nil {
		return text
	}
	if text == "" {
		return w.leftToRight(value(l.Nominal))
	}
	return w.leftToRight(value(l.Nominal)) + " (" + text + ")"
}

// group is the models for which a specification says the same.
type group struct {
	Models []*handbook.Model
	Limit  *handbook.Limit
	Text   string
	// Serials are the numbers for which it holds, unless a group of the model before it has them; nil: it depends on
	// none.
	Serials []handbook.Serials
}

// Ranged reports whether it depends on the serial number whether it holds.
func (g group) Ranged() bool { return g.Serials != nil }

// Numbers are the serial numbers as the script has them.
func (g group) Numbers() string {
	var ranges []string
	for _, n := range g.Serials {
		ranges = append(ranges, strings.Join([]string{n.Head, n.Tail, n.Low, n.High}, ","))
	}
	return strings.Join(ranges, " ")
}

// IDs are the models' ids, as the script looks for them.
func (g group) IDs() string { return modelIDs(g.Models) }

// groups returns what a specification says for the page's models, in their
// order; models for which it says nothing are left out.
func (w *writer) groups(s *handbook.Spec) []group {
	w.spec(s)
	models := w.book.Models
	if w.page != nil {
		models = w.page.Applicability
	}
	if len(models) == 0 {
		if s.General == nil {
			return nil
		}
		return []group{{Limit: s.General, Text: w.limitText(s.General, s.Unit)}}
	}
	return w.groupsOf(s, models)
}

// groupsOf returns what it says for some models.
func (w *writer) groupsOf(s *handbook.Spec, models []*handbook.Model) []group {
	var groups []group
	for _, m := range models {
		l := s.For(w.model(m))
		if l == nil {
			continue
		}
		text := w.limitText(l, s.Unit)
		if ranges := s.Ranges(m); ranges != nil {
			for _, e := range ranges {
				was := e.For(m)
				groups = append(groups, group{[]*handbook.Model{m}, was, w.words.List(w.limitText(was, s.Unit), w.serials(*e.Serials)), []handbook.Serials{*e.Serials}})
			}
			groups = append(groups, group{[]*handbook.Model{m}, l, w.words.List(text, w.serialsBeyond(m, ranges)), m.Serials})
			continue
		}
		i := slices.IndexFunc(groups, func(g group) bool { return g.Text == text })
		if i < 0 {
			groups = append(groups, group{Limit: l, Text: text})
			i = len(groups) - 1
		}
		groups[i].Models = append(groups[i].Models, m)
	}
	return groups
}

// specification writes a specified value: one for all, or each with the models
// that it holds for. The script leaves the chosen model's only. found: the
// first on a page has an id, so that a search can lead to it. alone: nothing
// stands beside it, so that each of several has a line.
func (w *writer) specification(s *handbook.Spec, found, alone bool) {
	w.out.WriteString(`<span class="spec"`)
	w.out.attribute("data-spec", s.ID)
	if found && w.page != nil && w.page.Procedure == nil && !w.printed[s] {
		w.out.attribute("id", "_spec-"+s.ID)
		w.printed[s] = true
	}
	w.out.WriteByte('>')
	then := w.words.Word("list.semicolon")
	if alone {
		then = "<br>"
	}
	groups := w.groups(s)
	named := len(groups) > 1
	if groups == nil {
		groups, named = w.groupsOf(s, w.book.Others), true
	}
	for i, g := range groups {
		w.out.WriteString("<span")
		w.out.attribute("data-model", g.IDs())
		if g.Ranged() {
			w.out.attribute("data-serials", g.Numbers())
			w.ranged = true
		}
		w.out.WriteByte('>')
		switch {
		case i > 0 && g.Ranged() && groups[i-1].IDs() == g.IDs():
			w.out.WriteString(`<span class="then">` + then + "</span>") // of the same model, which may be the chosen one
		case named:
			w.out.WriteString(`<span class="for">`)
			if i > 0 {
				w.out.WriteString(then)
			}
			w.out.escaped(w.modelNames(g.Models))
			w.out.WriteString(": </span>")
		}
		w.out.escaped(g.Text)
		w.out.WriteString("</span>")
	}
	if groups == nil {
		w.say("limit.none")
	}
	w.changed(s)
	w.out.WriteString("</span>")
}

// html returns what write writes, for use in a template.
func (w *writer) html(write func()) template.HTML {
	outer := w.out
	w.out = buffer{pool.Get().(*bytes.Buffer)}
	w.out.Reset()
	write()
	text := template.HTML(w.out.String())
	pool.Put(w.out.Buffer)
	w.out = outer
	return text
}
