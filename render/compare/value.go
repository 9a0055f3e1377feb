package compare

import (
	"maps"
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

	concerns models // those of which something changed
	shown    models // those of which something changed that pages show
}

// ValueChange is a value of a model, as it was and as it is.
type ValueChange struct {
	Model string `json:"model"` // "" in a handbook without models
	Title string `json:"title"`
	Old   string `json:"old"` // with its unit; "none" where there was none
	New   string `json:"new"`

	Titles handbook.Words `json:"-"`
	Limits [2]*Limit      `json:"-"`
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

// values lists what changed of what pages show and is written elsewhere, by what blocks call it.
func (c *Comparison) values() map[string]models {
	values := map[string]models{}
	for _, s := range c.Specs {
		if len(s.shown) > 0 {
			values[value(dataSpec, s.ID)] = s.shown
		}
	}
	for _, p := range c.Parts {
		values[value(dataPart, p.ID)] = models{"": true}
	}
	for _, d := range c.Data {
		values[value(d.Kind, d.ID)] = models{"": true}
	}
	return values
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
	c := &SpecChange{Change: Changed, Fields: []FieldChange{}, Values: []ValueChange{}, concerns: models{}, shown: models{}}
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
	for _, m := range names {
		was, is := a.For(m.ID), b.For(m.ID)
		v := ValueChange{m.ID, m.Title, was.Text(c.Unit[0]), is.Text(c.Unit[1]), m.Titles, [2]*Limit{was, is}}
		if v.Old != v.New {
			c.Values = append(c.Values, v)
		}
		if v.Old != v.New || !slices.Equal(a.History[m.ID], b.History[m.ID]) || everyone && (was != nil || is != nil) {
			c.shown[m.ID], c.concerns[m.ID] = true, true
		}
	}
	if was, is := a.historyLines(), b.historyLines(); !slices.Equal(was, is) {
		c.Fields = append(c.Fields, FieldChange{"history", append([]string{}, was...), append([]string{}, is...)})
	}
	for _, m := range names {
		if len(c.shown) == 0 && (a.For(m.ID) != nil || b.For(m.ID) != nil) {
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
