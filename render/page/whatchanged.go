package page

import (
	"path"
	"regexp"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// ChangedPath returns the path of a language's page of what changed, beside its finder.
func ChangedPath(h *handbook.Handbook, lang string) string {
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.ChangedFile)
}

// changedView is the body of the page of what changed.
type changedView struct {
	*theme.Words
	Between                         string
	Nothing                         bool
	Values                          []valueView
	Parts, Data                     []thingView
	Sheets, Added, Removed, Renamed []sheetChange
	Models                          []modelChange
}

// valueView is a value of a specification as it was and as it is, for models that have the same; or, with
// What, something else that it says.
type valueView struct {
	Title, IDs, Names string
	What              any // words of the theme
	Old, New          string
}

// thingView is something else that is written once for all pages, with what changed of it.
type thingView struct {
	Kind       any
	Title, IDs string
	Fields     []saidView
}

// saidView is a thing that is said, as it was and as it is. What is nil where it says itself what it is.
type saidView struct {
	What     any
	Old, New string
}

// sheetChange is a page and what changed of it. Href is "" for one that is gone.
type sheetChange struct {
	Href, Title, Models string
	What                []whatChanged
}

// whatChanged are things of a kind, by their titles.
type whatChanged struct {
	Kind       any // words of the theme
	Names, IDs string
}

// modelChange is what changed for a model.
type modelChange struct {
	ID, Model, Heading string
	Values             []valueView
	Sheets             []sheetChange
}

// Changed renders the page of a language that tells what changed.
func (r *Renderer) Changed(lang string, c *compare.Comparison) (Output, error) {
	w := r.newWriter(nil, ChangedPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Title, s.Named = "changed", w.words.Word("changed.title"), true
	s.Look = append(s.Look, theme.ChangeStyle)
	s.ModelIDs = modelIDs(r.book.Models)
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, ChangedPath(r.book, other)))
		}
	}
	v := changedView{Words: w.words, Between: w.words.Fill("changed.between", "old", w.editionName(c.Old), "new", w.editionName(c.New))}
	of := map[string]*compare.Comparison{}
	for _, m := range r.book.Models {
		of[m.ID] = c.Of(m.ID)
	}
	v.Values = w.changedValues(c)
	v.Parts, v.Data = w.changedParts(c), w.changedData(c)
	v.Sheets, v.Added, v.Removed, v.Renamed = w.changedSheets(c, of)
	v.Nothing = len(v.Values)+len(v.Parts)+len(v.Data)+len(v.Sheets)+len(v.Added)+len(v.Removed)+len(v.Renamed) == 0
	for _, m := range r.book.Models {
		one := of[m.ID]
		view := modelChange{ID: "model-" + m.ID, Model: m.ID, Heading: w.words.Fill("changed.byModel", "model", w.model(m).Title.In(lang)), Values: w.changedValues(one)}
		sheets, added, removed, renamed := w.changedSheets(one, of)
		view.Sheets = slices.Concat(sheets, added, removed, renamed)
		if len(view.Values)+len(view.Sheets) > 0 {
			v.Models = append(v.Models, view)
		}
	}
	w.template("changed", v)
	return w.finish(s)
}

func (w *writer) editionName(n compare.Name) string {
	if n.Date == "" {
		return w.words.Fill("changed.edition", "edition", n.Edition)
	}
	return w.words.Fill("changed.editionOf", "edition", n.Edition, "date", w.words.Day(n.Date))
}

// changedValues lists the values of specifications, and what else they say that a reader of the language is
// told; models that had and have the same are told of together.
func (w *writer) changedValues(c *compare.Comparison) (list []valueView) {
	for _, s := range c.Specs {
		title := w.in(s.Titles)
		from := len(list)
		add := func(x compare.ValueChange, v valueView) {
			v.Title = title
			i := slices.IndexFunc(list[from:], func(o valueView) bool { return o.What == v.What && o.Old == v.Old && o.New == v.New })
			if i < 0 {
				list, i = append(list, v), len(list)-from
			}
			if o := &list[from+i]; x.Model != "" {
				o.IDs = strings.TrimSpace(o.IDs + " " + x.Model)
				o.Names = strings.TrimPrefix(o.Names+w.words.Word("list.comma")+w.in(x.Titles), w.words.Word("list.comma"))
			}
		}
		for _, x := range s.Values {
			add(x, valueView{Old: w.valueAt(x, 0, s.Unit[0]), New: w.valueAt(x, 1, s.Unit[1])})
		}
		if s.Change != compare.Changed {
			continue
		}
		for _, x := range s.Past {
			add(x, valueView{What: w.words.Say("changed.past"), Old: w.pastValues(x.Still[0], s.Unit[0]), New: w.pastValues(x.Still[1], s.Unit[1])})
		}
		ids := strings.Join(s.Concerns(w.book.Models), " ")
		for _, f := range w.changedFields(s.Fields, c) {
			list = append(list, valueView{Title: title, IDs: ids, What: f.What, Old: f.Old, New: f.New})
		}
	}
	return list
}

// valueAt is a value before or now, with others that it has for some serial numbers.
func (w *writer) valueAt(x compare.ValueChange, i int, symbol string) string {
	text := w.words.Word("changed.none")
	if x.Limits[i] != nil {
		text = w.limitText(x.Limits[i].Resolved(), unit.Unit{Symbol: symbol})
	}
	if x.Still[i] == nil {
		return text
	}
	return w.words.Series(w.pastValues(x.Still[i], symbol), w.words.List(text, w.words.Word("bulletin.others")))
}

// pastValues are values before, each with its machines and days.
func (w *writer) pastValues(list []compare.Past, symbol string) string {
	var texts []string
	for _, p := range list {
		text := w.limitText(p.Limit.Resolved(), unit.Unit{Symbol: symbol})
		e := handbook.Earlier{From: p.From, Until: p.Until}
		if p.First != "" {
			e.Serials = &handbook.Serials{From: p.First, To: p.Last}
		}
		if when := w.holds(&e); when != "" {
			text = w.words.List(text, when)
		}
		texts = append(texts, text)
	}
	return w.orNone(w.words.Series(texts...))
}

func (w *writer) orNone(text string) string {
	if text == "" {
		return w.words.Word("changed.none")
	}
	return text
}

// changedFields are the fields that changed and that are shown, those in words as they read in the language.
func (w *writer) changedFields(fields []compare.FieldChange, c *compare.Comparison) (list []saidView) {
	for _, f := range fields {
		key, shown := fieldWords[f.Name]
		point, isPoint := strings.CutPrefix(f.Name, compare.FieldPoint)
		if !shown && !isPoint && !strings.HasPrefix(f.Name, compare.FieldElement) {
			continue
		}
		v := saidView{Old: w.fieldText(f.Name, f.Old, f.New, c), New: w.fieldText(f.Name, f.New, f.Old, c)}
		switch {
		case isPoint:
			v.What = point
		case key != "":
			v.What = w.words.Say(key)
		}
		if v.Old != v.New {
			list = append(list, v)
		}
	}
	return list
}

// fieldWords are the words for the fields that are shown; "" for those that say themselves what they are.
var fieldWords = map[string]string{
	"title": "changed.name", "conditions": "reading.conditions", "source": "changed.source", "number": "changed.number",
	"system": "changed.system", "models": "fact.models", "serial": "sheet.models", "text": "changed.text", "minutes": "", "states": "fact.state",
	"unit": "calculator.unit", "languages": "", "units": "units.title", "labels": "labels.title", "synonyms": "changed.synonyms", "instead-of": "changed.insteadOf",
	"restore": "end.restore", "meaning": "changed.meaning", "publisher": "", "address": "", "notice": "", "check-by": "fact.checkBy",
	"meters": "changed.meters",
}

// fractions finds figures with a decimal point.
var fractions = regexp.MustCompile(`\d+\.\d+`)

// fieldText is a field for a reader; of a list only the lines that the other edition has not.
func (w *writer) fieldText(name string, lines, others []string, c *compare.Comparison) string {
	if compare.InWords(name) {
		return w.orNone(w.figures(c.Words(lines, w.lang)))
	}
	var texts []string
	for _, line := range lines {
		if slices.Contains(others, line) {
			continue
		}
		switch name {
		case "models":
			line = w.titleOf(line, c.Models())
		case "serial":
			from, to, _ := strings.Cut(strings.TrimPrefix(line, "from "), " to ")
			line = w.serials(handbook.Serials{From: from, To: to})
		case "minutes":
			state, minutes, ok := strings.Cut(strings.TrimPrefix(line, "from "), ": ")
			if !ok {
				line = w.words.Fill("step.minutes", "minutes", figure(state, w.lang))
			} else {
				line = w.titleOf(state, c.States()) + ": " + w.words.Fill("step.minutes", "minutes", figure(minutes, w.lang))
			}
		case "states":
			line = w.titleOf(line, c.States())
		case "languages":
			line = w.languageName(line)
		case "units":
			line = w.words.Word("units." + line)
		case "synonyms":
			of, list, _ := strings.Cut(line, ": ")
			if of != w.lang {
				continue
			}
			line = list
		case "check-by":
			line = w.words.Day(line)
		case "meters", "labels":
			line = w.leftToRight(fractions.ReplaceAllStringFunc(line, func(s string) string { return figure(s, w.lang) }))
		}
		texts = append(texts, line)
	}
	return w.orNone(w.words.Series(texts...))
}

// titleOf is the name of one of some things, or its id where the newer edition has it no more.
func (w *writer) titleOf(id string, things []compare.Item) string {
	for _, i := range things {
		if i.ID == id {
			return w.in(i.Titles)
		}
	}
	return id
}

func (w *writer) changedParts(c *compare.Comparison) (list []thingView) {
	for _, p := range c.Parts {
		list = w.addThing(list, nil, p, "", c)
	}
	return list
}

// changedData lists what else changed of what is written once for all pages. Of a specification of which
// nothing stands among the values it is the name.
func (w *writer) changedData(c *compare.Comparison) (list []thingView) {
	for _, s := range c.Specs {
		if s.Change == compare.Changed && len(s.Values)+len(s.Past) == 0 && !s.InWordsAlone() && len(w.changedFields(s.Fields, c)) == 0 {
			list = append(list, thingView{Kind: w.words.Say("changed.spec"), Title: w.in(s.Titles), IDs: strings.Join(s.Concerns(w.book.Models), " ")})
		}
	}
	for _, d := range c.Data {
		ids := ""
		if d.Kind == compare.DataModel {
			ids = d.ID
		}
		list = w.addThing(list, w.words.Say("changed."+d.Kind), d.ThingChange, ids, c)
	}
	return list
}

// addThing adds something that changed, unless it did in another language alone.
func (w *writer) addThing(list []thingView, kind any, t compare.ThingChange, ids string, c *compare.Comparison) []thingView {
	v := thingView{Kind: kind, Title: w.in(t.Titles), IDs: ids}
	none := w.words.Word("changed.none")
	switch t.Change {
	case compare.Added:
		v.Fields = []saidView{{Old: none, New: v.Title}}
	case compare.Removed:
		v.Fields = []saidView{{Old: v.Title, New: none}}
	default:
		v.Fields = w.changedFields(t.Fields, c)
		if v.Fields == nil && t.InWordsAlone() {
			return list
		}
	}
	return append(list, v)
}

// changedSheets lists the pages of the language; of is what concerns each model.
func (w *writer) changedSheets(c *compare.Comparison, of map[string]*compare.Comparison) (changed, added, removed, renamed []sheetChange) {
	name := func(p compare.PageName, there bool) sheetChange {
		s := sheetChange{Title: p.Title, Models: strings.Join(p.Models, " ")}
		if there {
			s.Href = w.rel(p.Path)
		}
		return s
	}
	known := c.Names()
	for _, p := range c.Changed {
		if p.Lang == w.lang {
			s := name(p.PageName, true)
			s.What = w.whatChanged(p, known, c)
			var models []string
			for _, id := range p.Models {
				if one := of[id]; one != nil && slices.ContainsFunc(one.Changed, func(q compare.PageChange) bool { return q.Path == p.Path }) {
					models = append(models, id)
				}
			}
			if models != nil {
				s.Models = strings.Join(models, " ")
			}
			changed = append(changed, s)
		}
	}
	for _, p := range c.Added {
		if p.Lang == w.lang {
			added = append(added, name(p, true))
		}
	}
	for _, p := range c.Removed {
		if p.Lang == w.lang {
			removed = append(removed, name(p, false))
		}
	}
	for _, p := range c.Renamed {
		if p.New.Lang == w.lang {
			renamed = append(renamed, name(p.New, true))
		}
	}
	return changed, added, removed, renamed
}

func (w *writer) whatChanged(p compare.PageChange, known map[string]handbook.Words, c *compare.Comparison) (list []whatChanged) {
	add := func(key string, names ...string) {
		list = append(list, whatChanged{Kind: w.words.Say(key), Names: w.words.Series(names...)})
	}
	titles := func(key string, things ...compare.ThingChange) {
		var names []string
		for _, t := range things {
			names = append(names, t.Title)
		}
		if names != nil {
			add(key, names...)
		}
	}
	titles("changed.steps", p.Steps...)
	ends := slices.Clone(p.Causes)
	for _, e := range p.Ends {
		e.Title = w.words.Word(endKey(handbook.EndAnchor(e.ID)))
		ends = append(ends, e)
	}
	titles("changed.ends", ends...)
	titles("changed.calculators", p.Forms...)
	var others []string
	var values []whatChanged // by the models for which they are others
	for _, value := range p.Values {
		titles, ok := known[value]
		switch {
		case !ok:
			others = append(others, path.Base(value)) // a file
		case strings.HasPrefix(value, "spec:"):
			ids := ""
			if i := slices.IndexFunc(c.Specs, func(s compare.SpecChange) bool { return "spec:"+s.ID == value }); i >= 0 {
				ids = strings.Join(c.Specs[i].Concerns(w.book.Models), " ")
			}
			i := slices.IndexFunc(values, func(v whatChanged) bool { return v.IDs == ids })
			if i < 0 {
				values, i = append(values, whatChanged{Kind: w.words.Say("changed.values"), IDs: ids}), len(values)
			}
			values[i].Names = strings.TrimPrefix(values[i].Names+w.words.Word("list.semicolon")+w.in(titles), w.words.Word("list.semicolon"))
		default:
			others = append(others, w.in(titles))
		}
	}
	list = append(list, values...)
	if others != nil {
		add("changed.data", others...)
	}
	if len(p.Blocks) > 0 {
		add("changed.text")
	}
	if len(p.Fields) > 0 {
		add("changed.head")
	}
	return list
}
