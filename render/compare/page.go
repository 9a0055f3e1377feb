package compare

import (
	"cmp"
	"maps"
	"slices"
)

// comparePages returns nil where nothing changed. values are those that changed, by what blocks call
// them.
func comparePages(old, new *Page, values map[string]reach) *PageChange {
	c := &PageChange{
		PageName: nameOf(new), OldPath: old.Path,
		Fields: compareFields(&old.Page, &new.Page),
		Steps:  compareThings(old.Steps, new.Steps), Causes: compareThings(old.Causes, new.Causes),
		Ends: compareThings(old.Ends, new.Ends), Forms: compareThings(old.Forms, new.Forms),
		all: compareBlocks(old.Blocks, new.Blocks), Blocks: []BlockChange{}, Values: []string{},
	}
	if old.Sheet != new.Sheet {
		c.Fields = append([]FieldChange{{"sheet", []string{old.Sheet}, []string{new.Sheet}}}, c.Fields...)
	}
	steps := map[string]bool{}
	for _, s := range slices.Concat(old.Steps, new.Steps) {
		steps[s.ID] = true
	}
	for _, b := range c.all {
		if !toldBeside(b.Kind, steps[b.In]) {
			c.Blocks = append(c.Blocks, b)
		}
	}
	shown := map[string]bool{}
	for _, p := range []*Page{old, new} {
		for value := range p.shows() {
			if !shown[value] && (values[value].meets(old, new) || otherFile(old, new, value)) {
				shown[value] = true
				c.Values = append(c.Values, value)
			}
		}
	}
	slices.Sort(c.Values)
	if c.empty() {
		return nil
	}
	return c
}

// otherFile tells whether a file that a page shows has other bytes than before.
func otherFile(old, new *Page, value string) bool {
	was, is := old.Files[value], new.Files[value]
	return was != "" && is != "" && was != is
}

func (c *PageChange) empty() bool {
	return len(c.Fields)+len(c.Steps)+len(c.Causes)+len(c.Ends)+len(c.Forms)+len(c.Blocks)+len(c.Values) == 0
}

// toldBeside tells whether what a block says is told as a step's or a calculator's too.
func toldBeside(kind string, inStep bool) bool {
	switch kind {
	case "calculator":
		return true
	case "answers", "reading", "timing", "step", kindHeading:
		return inStep
	}
	return false
}

// compareThings compares two lists by id. Their order is that of the lists, by whichever has a
// thing earlier.
func compareThings(old, new []Thing) []ThingChange {
	at := map[string]int{}
	place := func(list []Thing) map[string]*Thing {
		named := map[string]*Thing{}
		for i := range list {
			id := list[i].ID
			named[id] = &list[i]
			if first, ok := at[id]; !ok || i < first {
				at[id] = i
			}
		}
		return named
	}
	before, after := place(old), place(new)
	changes := []ThingChange{}
	for id := range at {
		a, b := before[id], after[id]
		c := ThingChange{Change: Changed, ID: id}
		switch {
		case a == nil:
			c.Change, a = Added, &Thing{}
		case b == nil:
			c.Change, b = Removed, &Thing{}
		}
		c.Title, c.Fields = cmp.Or(b.Title, a.Title), compareFields(a, b)
		if c.Change != Changed || len(c.Fields) > 0 {
			changes = append(changes, c)
		}
	}
	slices.SortFunc(changes, func(x, y ThingChange) int {
		return cmp.Or(cmp.Compare(at[x.ID], at[y.ID]), cmp.Compare(x.ID, y.ID))
	})
	return changes
}

// compareFields compares two things field by field, in the order of their names.
func compareFields(old, new *Thing) []FieldChange {
	names := map[string]bool{}
	for _, f := range slices.Concat(old.Fields, new.Fields) {
		names[f.Name] = true
	}
	changes := []FieldChange{}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		a, b := old.lines(name), new.lines(name)
		if !slices.Equal(a, b) {
			changes = append(changes, FieldChange{name, append([]string{}, a...), append([]string{}, b...)})
		}
	}
	return changes
}
