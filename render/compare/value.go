package compare

import (
	"maps"
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// SpecChange is a specification that is new, gone or says something else.
type SpecChange struct {
	Change  string        `json:"change"`
	ID      string        `json:"id"`
	Title   string        `json:"title"`
	Fields  []FieldChange `json:"fields"` // unit, conditions, source, revised
	Values  []ValueChange `json:"values"`
	Renewed bool          `json:"renewed"` // its `revised` is a later day than before

	Titles handbook.Words `json:"-"`
	Unit   [2]string      `json:"-"` // as printed, old and new
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

// values lists what changed of specifications and parts, by what blocks call them.
func (c *Comparison) values() map[string]models {
	values := map[string]models{}
	for _, s := range c.Specs {
		m := models{}
		for _, v := range s.Values {
			m[v.Model] = true
		}
		if len(m) > 0 {
			values["spec:"+s.ID] = m
		}
	}
	for _, p := range c.Parts {
		values["part:"+p.ID] = models{"": true}
	}
	return values
}

func compareSpecs(old, new *Book) []SpecChange {
	changes := []SpecChange{}
	before, after := specsByID(old), specsByID(new)
	names := modelNames(old, new)
	ids := maps.Clone(before)
	maps.Copy(ids, after)
	for _, id := range slices.Sorted(maps.Keys(ids)) {
		a, b := before[id], after[id]
		if change := compareSpec(a, b, old, new, names); change != nil {
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
func modelNames(old, new *Book) []Named {
	list := slices.Clone(new.Models)
	for _, m := range old.Models {
		if !slices.ContainsFunc(list, func(n Named) bool { return n.ID == m.ID }) {
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return []Named{{}}
	}
	return list
}

func compareSpec(a, b *Spec, old, new *Book, names []Named) *SpecChange {
	c := &SpecChange{Change: Changed, Fields: []FieldChange{}, Values: []ValueChange{}}
	switch {
	case a == nil:
		c.Change, c.Title, c.Titles = Added, words(b.Title, new), b.Title
	case b == nil:
		c.Change, c.Title, c.Titles = Removed, words(a.Title, old), a.Title
	default:
		c.Title, c.Titles = words(b.Title, new), b.Title
	}
	var before, after Thing
	if a != nil {
		before, c.Unit[0] = a.thing(old), a.Symbol()
	}
	if b != nil {
		after, c.Unit[1] = b.thing(new), b.Symbol()
	}
	c.Fields = compareFields(&before, &after)
	for _, m := range names {
		was, is := a.For(m.ID), b.For(m.ID)
		v := ValueChange{m.ID, words(m.Title, new), was.Text(c.Unit[0]), is.Text(c.Unit[1]), m.Title, [2]*Limit{was, is}}
		if v.Old != v.New {
			c.Values = append(c.Values, v)
		}
	}
	c.Renewed = a != nil && b != nil && b.Revised > a.Revised
	if c.Change == Changed && len(c.Fields)+len(c.Values) == 0 {
		return nil
	}
	return c
}

// thing is what a specification says beside its values.
func (s *Spec) thing(b *Book) Thing {
	var t Thing
	t.say("title", words(s.Title, b))
	t.say("unit", s.Unit)
	t.say("conditions", words(s.Conditions, b))
	t.say("source", s.Source)
	t.say("revised", s.Revised)
	return t
}

// compareParts tells which parts have another number or name.
func compareParts(old, new *Book) []ThingChange {
	things := func(b *Book) (list []Thing) {
		for _, p := range b.Parts {
			t := Thing{ID: p.ID, Title: words(p.Title, b)}
			t.say("title", t.Title)
			t.say("number", p.Number)
			list = append(list, t)
		}
		return list
	}
	return compareThings(things(old), things(new))
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
	return len(c.Values) > 0 || slices.ContainsFunc(c.Fields, func(f FieldChange) bool { return f.Name == "unit" || f.Name == "conditions" })
}

// first is one thing that changed, as it was and as it is.
func (c *SpecChange) first() string {
	if len(c.Values) > 0 {
		return "`" + c.Values[0].Old + "` is `" + c.Values[0].New + "` now"
	}
	return "its conditions are other ones now"
}
