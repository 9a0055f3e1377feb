package compare

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// SpecChange is a specification that is new, gone or says something else.
type SpecChange struct {
	Change  string        `json:"change"`
	ID      string        `json:"id"`
	Title   string        `json:"title"`
	Fields  []FieldChange `json:"fields"` // what changed beside its values
	Values  []ValueChange `json:"values"`
	Renewed bool          `json:"renewed"` // its `revised` is a later day than before

	Titles handbook.Words `json:"-"`
	Unit   [2]string      `json:"-"` // as printed, old and new

	Past []ValueChange `json:"-"` // values that hold no more, where one of them is another

	concerns models // those of which something changed
	shown    models // those of which something changed that pages show
	over     models // those of which a value before changed, which pages of reference list
	// wordsAlone: that is its name or its conditions, and nothing else.
	wordsAlone bool
}

// ValueChange is a value of a model, as it was and as it is.
type ValueChange struct {
	Model string `json:"model"` // "" in a handbook without models
	Title string `json:"title"`
	Old   string `json:"old"` // with its unit; "none" where there was none
	New   string `json:"new"`

	Titles handbook.Words `json:"-"`
	Limits [2]*Limit      `json:"-"`
	Still  [2][]Past      `json:"-"` // what held and holds for some serial numbers
}

// models are those for which a value changed; nil where that is asked of none.
type models map[string]bool

// meet tells whether one of the models is among those that a page applied or applies to. A
// page without models is of a handbook that has none.
func (m models) meet(lists ...[]string) bool {
	if m[""] {
		return true
	}
	for _, list := range lists {
		for _, id := range list {
			if m[id] {
				return true
			}
		}
	}
	return false
}

// reach are the pages that something that changed reaches: of some models and languages.
type reach struct {
	models    models
	languages map[string]bool // nil: all
	reference models          // those for which it reaches pages of reference alone, in all languages
}

// meets tells whether a page, as it was or as it is, is among them.
func (r reach) meets(pages ...*Page) bool {
	return slices.ContainsFunc(pages, func(p *Page) bool {
		return r.models.meet(p.Models) && (r.languages == nil || r.languages[p.Lang]) || p.Sheet == "reference" && r.reference.meet(p.Models)
	})
}

// concerns tells whether it is of a model.
func (r reach) concerns(model string) bool {
	return r.models.meet([]string{model}) || r.reference.meet([]string{model})
}

// values lists what changed of what pages show and is written elsewhere, by what blocks call it.
func (c *Comparison) values() map[string]reach {
	values := map[string]reach{}
	for _, s := range c.Specs {
		if len(s.shown)+len(s.over) > 0 {
			r := reach{models: s.shown, reference: s.over}
			if s.wordsAlone {
				r.languages = c.languages(standing(dataSpec, s.Fields))
			}
			values[value(dataSpec, s.ID)] = r
		}
	}
	for _, p := range c.Parts {
		values[value(dataPart, p.ID)] = reach{models: models{"": true}, languages: c.languages(standing(dataPart, p.Fields))}
	}
	for _, d := range c.Data {
		values[value(d.Kind, d.ID)] = reach{models: models{"": true}, languages: c.languages(standing(d.Kind, d.Fields))}
	}
	return values
}

// onPages are the fields that stand on a page that names a thing, by its kind; of a kind that is not here
// all do. What is normal in an engine state stands in the finder alone, and the system of a part nowhere.
var onPages = map[string][]string{
	dataSpec:  {fieldTitle, fieldConditions},
	dataPart:  {fieldTitle, fieldNumber},
	DataState: {fieldTitle, fieldMinutes},
}

func standing(kind string, fields []FieldChange) (list []FieldChange) {
	for _, f := range fields {
		if names, ok := onPages[kind]; !ok || slices.Contains(names, f.Name) {
			list = append(list, f)
		}
	}
	return list
}

// languages are those in which something reads otherwise; nil where a field changed that is of no language.
func (c *Comparison) languages(fields []FieldChange) map[string]bool {
	found := map[string]bool{}
	for _, f := range fields {
		if !InWords(f.Name) {
			return nil
		}
		for _, lang := range c.book.Languages {
			if was, is := c.Words(f.Old, lang), c.Words(f.New, lang); was != is {
				found[lang] = true
			}
		}
	}
	return found
}

// InWords tells whether a field has words in each language.
func InWords(name string) bool {
	switch name {
	case fieldTitle, fieldConditions, fieldText, fieldRestore, fieldNotice:
		return true
	}
	return strings.HasPrefix(name, FieldPoint) || strings.HasPrefix(name, FieldElement)
}

// InWordsAlone tells whether nothing changed but what is told in the words of a language.
func (t *ThingChange) InWordsAlone() bool { return inWordsAlone(t.Fields) }

// InWordsAlone tells whether nothing of its fields changed but what is told in the words of a language.
func (c *SpecChange) InWordsAlone() bool { return inWordsAlone(c.Fields) }

func inWordsAlone(fields []FieldChange) bool {
	return !slices.ContainsFunc(fields, func(f FieldChange) bool { return !InWords(f.Name) })
}

// languageTag is how a line begins that is in a language, which may be none of the handbook's.
var languageTag = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]+)*$`)

// Words are what the lines of a field in words say to a reader of a language: as on a page, by those of
// another language where it has none.
func (c *Comparison) Words(lines []string, lang string) string {
	words := handbook.Words{}
	for _, line := range lines {
		of, text, ok := strings.Cut(line, ": ")
		switch {
		case ok && slices.Contains(c.book.Languages, of):
			words[of] = text
		case !ok || words[c.book.Lang] == "" || !languageTag.MatchString(of):
			words[c.book.Lang] = line
		}
	}
	return words.In(lang)
}

// Names are the names of what changed of the data, by what blocks call it.
func (c *Comparison) Names() map[string]handbook.Words {
	names := map[string]handbook.Words{}
	for _, s := range c.Specs {
		names[value(dataSpec, s.ID)] = s.Titles
	}
	for _, p := range c.Parts {
		names[value(dataPart, p.ID)] = p.Titles
	}
	for _, d := range c.Data {
		names[value(d.Kind, d.ID)] = d.Titles
	}
	return names
}

func compareSpecs(old, new *Book) []SpecChange {
	changes := []SpecChange{}
	before, after := specsByID(old), specsByID(new)
	names := modelNames(old, new)
	ids := maps.Clone(before)
	maps.Copy(ids, after)
	for _, id := range slices.Sorted(maps.Keys(ids)) {
		a, b := before[id], after[id]
		if change := compareSpec(a, b, names); change != nil {
			change.ID = id
			changes = append(changes, *change)
		}
	}
	return changes
}

func specsByID(b *Book) map[string]*Spec {
	specs := map[string]*Spec{}
	for i := range b.Specs {
		specs[b.Specs[i].ID] = &b.Specs[i]
	}
	return specs
}

// modelNames are the names of the models of two editions, in the order of the newer one and
// then of those that are gone; one without a name stands for a handbook without models.
func modelNames(old, new *Book) []Item {
	list := slices.Clone(new.Models)
	for _, m := range old.Models {
		if !slices.ContainsFunc(list, func(n Item) bool { return n.ID == m.ID }) {
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return []Item{{}}
	}
	return list
}

func compareSpec(a, b *Spec, names []Item) *SpecChange {
	c := &SpecChange{Change: Changed, Fields: []FieldChange{}, Values: []ValueChange{}, concerns: models{}, shown: models{}, over: models{}}
	switch {
	case a == nil:
		c.Change, a = Added, &Spec{}
	case b == nil:
		c.Change, b = Removed, &Spec{}
	}
	named := b
	if c.Change == Removed {
		named = a
	}
	c.Title, c.Titles, c.Unit = named.Title, named.Titles, [2]string{a.Symbol(), b.Symbol()}
	c.Fields = compareFields(&a.Thing, &b.Thing)
	everyone := c.says(fieldTitle, fieldUnit, fieldConditions)
	c.wordsAlone = c.Change == Changed && !c.says(fieldUnit)
	for _, m := range names {
		was, is := a.For(m.ID), b.For(m.ID)
		wasStill, wasOver := a.held(m.ID)
		isStill, isOver := b.held(m.ID)
		other := c.Unit[0] != c.Unit[1] && (was != nil || is != nil) || !was.same(is) || !slices.EqualFunc(wasStill, isStill, Past.same)
		if other {
			c.Values = append(c.Values, ValueChange{
				m.ID, m.Title, valueText(was, wasStill, c.Unit[0]), valueText(is, isStill, c.Unit[1]),
				m.Titles, [2]*Limit{was, is}, [2][]Past{wasStill, isStill},
			})
		}
		over := !slices.EqualFunc(wasOver, isOver, Past.same)
		if over {
			c.over[m.ID], c.concerns[m.ID] = true, true
			c.Past = append(c.Past, ValueChange{Model: m.ID, Title: m.Title, Titles: m.Titles, Still: [2][]Past{wasOver, isOver}})
		}
		c.wordsAlone = c.wordsAlone && !other
		if other || everyone && (was != nil || is != nil) {
			c.shown[m.ID], c.concerns[m.ID] = true, true
		}
	}
	if len(c.over) > 0 {
		c.Fields = append(c.Fields, FieldChange{fieldHistory, append([]string{}, a.overLines()...), append([]string{}, b.overLines()...)})
	}
	for _, m := range names {
		if len(c.shown)+len(c.over) == 0 && (a.For(m.ID) != nil || b.For(m.ID) != nil) {
			c.concerns[m.ID] = true
		}
	}
	c.Renewed = c.Change == Changed && b.revised() > a.revised()
	if c.Change == Changed && len(c.Fields)+len(c.Values) == 0 {
		return nil
	}
	return c
}

func (s *Spec) revised() string { return strings.Join(s.lines(fieldRevised), "") }

// Concerns lists the models of which something changed, but those of an older edition alone.
func (c *SpecChange) Concerns(of []*handbook.Model) (ids []string) {
	for _, m := range of {
		if c.concerns[m.ID] {
			ids = append(ids, m.ID)
		}
	}
	return ids
}

// says tells whether one of some fields changed.
func (c *SpecChange) says(names ...string) bool {
	return slices.ContainsFunc(c.Fields, func(f FieldChange) bool { return slices.Contains(names, f.Name) })
}

// Unrenewed remarks on the specifications that say something else than in an older edition, and
// have no later day of revision. A nil edition has nothing to say.
func Unrenewed(old *Edition, h *handbook.Handbook) (remarks remark.List) {
	if old == nil {
		return nil
	}
	for _, c := range compareSpecs(old.Book, OfBook(h)) {
		i := slices.IndexFunc(h.Specs, func(s *handbook.Spec) bool { return s.ID == c.ID })
		if c.Change != Changed || c.Renewed || !c.otherwise() || h.Specs[i].Faulty {
			continue
		}
		remarks.Add(remark.SpecUnrenewed, h.Specs[i].Place, c.ID, c.first())
	}
	return remarks
}

// otherwise tells whether something changed that is held against a reading.
func (c *SpecChange) otherwise() bool {
	return len(c.Values) > 0 || c.says(fieldUnit, fieldConditions)
}

// first is one thing that changed, as it was and as it is.
func (c *SpecChange) first() string {
	if len(c.Values) > 0 {
		return "`" + c.Values[0].Old + "` is `" + c.Values[0].New + "` now"
	}
	return "its conditions are other ones now"
}
