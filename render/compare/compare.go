package compare

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// Edition are the facts of an edition.
type Edition struct {
	ID    string // a digest of what it says of itself
	Name  Name
	Book  *Book
	Pages map[string]*Page // by path in the edition

	files map[string]string // digests of the files of facts
}

// Page returns a page by the file of its facts, if that has a digest.
func (e *Edition) Page(file, digest string) *Page {
	if name := strings.TrimSuffix(strings.TrimPrefix(file, folder), ".json"); file != BookFile && e.files[file] == digest {
		return e.Pages[name]
	}
	return nil
}

// Name is how an edition calls itself.
type Name struct {
	Title   string `json:"title"`
	Edition string `json:"edition"`
	Date    string `json:"date,omitempty"`
}

// Comparison is what changed from one edition to another. Lists are never nil, so that
// JSON always has them.
type Comparison struct {
	Format  int           `json:"format"`
	Old     Name          `json:"old"`
	New     Name          `json:"new"`
	Added   []PageName    `json:"added"`
	Removed []PageName    `json:"removed"`
	Renamed []Renaming    `json:"renamed"`
	Changed []PageChange  `json:"changed"`
	Specs   []SpecChange  `json:"specs"`
	Parts   []ThingChange `json:"parts"`

	book *Book // the newer, for the names of models
}

// PageName names a page.
type PageName struct {
	Path   string   `json:"path"`
	Lang   string   `json:"lang"`
	Sheet  string   `json:"sheet"`
	Title  string   `json:"title"`
	Models []string `json:"models"` // that it applies to
}

func nameOf(p *Page) PageName {
	return PageName{p.Path, p.Lang, p.Sheet, p.Page.Title, append([]string{}, p.Models...)}
}

// Renaming is a page that has another path than before.
type Renaming struct {
	Old PageName `json:"old"`
	New PageName `json:"new"`
}

// What became of something.
const (
	Added   = "added"
	Removed = "removed"
	Changed = "changed"
)

// PageChange is a page that says something else than before.
type PageChange struct {
	PageName
	OldPath string        `json:"oldPath"`
	Fields  []FieldChange `json:"fields"` // what it says of itself
	Steps   []ThingChange `json:"steps"`
	Causes  []ThingChange `json:"causes"`
	Ends    []ThingChange `json:"ends"`
	Forms   []ThingChange `json:"calculators"`
	Blocks  []BlockChange `json:"blocks"`
	// Values are the specifications and parts that the page shows, and of which the value
	// is another one for a model that it applies to; and the files that have other bytes.
	Values []string `json:"values"`

	all []BlockChange // Blocks, and those that Steps and Forms tell of already
}

// ThingChange is a step, cause, end or calculator that is new, gone or another one.
type ThingChange struct {
	Change string        `json:"change"`
	ID     string        `json:"id"`
	Title  string        `json:"title"`
	Fields []FieldChange `json:"fields"`
}

// FieldChange is a field with its lines as they were and as they are.
type FieldChange struct {
	Name string   `json:"name"`
	Old  []string `json:"old"`
	New  []string `json:"new"`
}

// BlockChange is a piece of text that is new, gone or written otherwise.
type BlockChange struct {
	Change string `json:"change"`
	Kind   string `json:"kind"`
	In     string `json:"in"` // the id of the heading or step, where it stands now, or stood
	Old    string `json:"old"`
	New    string `json:"new"`

	oldAt, newAt int // its places; what is gone stood before newAt, what is new stands before oldAt
}

// Compare tells what changed.
func Compare(old, new *Edition) *Comparison {
	c := &Comparison{
		Format: Format, Old: old.Name, New: new.Name, book: new.Book,
		Added: []PageName{}, Removed: []PageName{}, Renamed: []Renaming{}, Changed: []PageChange{},
		Specs: compareSpecs(old.Book, new.Book), Parts: compareParts(old.Book, new.Book),
	}
	values := c.values()
	same := map[*Page]*Page{} // old pages by new ones
	var gone, come []*Page
	for _, path := range slices.Sorted(maps.Keys(old.Pages)) {
		if p := new.Pages[path]; p != nil {
			same[p] = old.Pages[path]
		} else {
			gone = append(gone, old.Pages[path])
		}
	}
	for _, path := range slices.Sorted(maps.Keys(new.Pages)) {
		if old.Pages[path] == nil {
			come = append(come, new.Pages[path])
		}
	}
	for _, r := range renamed(gone, come) {
		same[r.new] = r.old
		c.Renamed = append(c.Renamed, Renaming{nameOf(r.old), nameOf(r.new)})
		gone = slices.DeleteFunc(gone, func(p *Page) bool { return p == r.old })
		come = slices.DeleteFunc(come, func(p *Page) bool { return p == r.new })
	}
	for _, p := range gone {
		c.Removed = append(c.Removed, nameOf(p))
	}
	for _, p := range come {
		c.Added = append(c.Added, nameOf(p))
	}
	for p, before := range same {
		if change := comparePages(before, p, values); change != nil {
			c.Changed = append(c.Changed, *change)
		}
	}
	slices.SortFunc(c.Changed, func(a, b PageChange) int { return cmp.Compare(a.Path, b.Path) })
	slices.SortFunc(c.Renamed, func(a, b Renaming) int { return cmp.Compare(a.New.Path, b.New.Path) })
	return c
}

// Empty tells whether nothing changed but the edition's name.
func (c *Comparison) Empty() bool {
	return len(c.Added)+len(c.Removed)+len(c.Renamed)+len(c.Changed)+len(c.Specs)+len(c.Parts) == 0
}

// couple is an old page and what it became.
type couple struct{ old, new *Page }

// mostLost is how many pages that are gone are held against all that are new; with more
// of them a handbook was written anew.
const mostLost = 200

// renamed finds pages that went and came under another path: of the same language and sheet,
// with at least half of their text in common, the most alike first.
func renamed(gone, come []*Page) (found []couple) {
	if len(gone) > mostLost || len(come) > mostLost {
		return nil
	}
	type candidate struct {
		couple
		alike float64
	}
	var candidates []candidate
	for _, a := range gone {
		for _, b := range come {
			if a.Lang == b.Lang && a.Sheet == b.Sheet {
				if alike := likeness(a, b); alike >= 0.5 {
					candidates = append(candidates, candidate{couple{a, b}, alike})
				}
			}
		}
	}
	slices.SortFunc(candidates, func(x, y candidate) int {
		return cmp.Or(cmp.Compare(y.alike, x.alike),
			cmp.Compare(min(x.old.Path, x.new.Path), min(y.old.Path, y.new.Path)),
			cmp.Compare(max(x.old.Path, x.new.Path), max(y.old.Path, y.new.Path)))
	})
	taken := map[*Page]bool{}
	for _, x := range candidates {
		if !taken[x.old] && !taken[x.new] {
			taken[x.old], taken[x.new] = true, true
			found = append(found, x.couple)
		}
	}
	return found
}

// likeness is the share of two pages' text that is the same, whatever its order. Pages
// without text are as alike as their titles.
func likeness(a, b *Page) float64 {
	if len(a.Blocks)+len(b.Blocks) == 0 {
		if a.Page.Title == b.Page.Title {
			return 1
		}
		return 0
	}
	return share(keys(a.Blocks), keys(b.Blocks))
}

// share is how much of two lists is in both, from 0 to 1.
func share(a, b []string) float64 {
	left := map[string]int{}
	for _, s := range a {
		left[s]++
	}
	common := 0
	for _, s := range b {
		if left[s] > 0 {
			left[s]--
			common++
		}
	}
	return 2 * float64(common) / float64(len(a)+len(b))
}

func keys(blocks []Block) []string {
	list := make([]string, len(blocks))
	for i, b := range blocks {
		list[i] = b.Kind + " " + b.Text
	}
	return list
}

// comparePages returns nil where nothing changed. values are those that changed, by the models
// that they changed for.
func comparePages(old, new *Page, values map[string]models) *PageChange {
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
	for _, b := range slices.Concat(old.Blocks, new.Blocks) {
		for _, value := range b.Shows {
			if !shown[value] && (values[value].meet(old.Models, new.Models) || otherFile(old, new, value)) {
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

// compareBlocks compares two texts. Between what both have in common, old and new pieces of
// one kind that share half of their words are one that was rewritten.
func compareBlocks(old, new []Block) []BlockChange {
	changes := []BlockChange{}
	a, b := keys(old), keys(new)
	swapped := slices.Compare(a, b) > 0
	fromA, fromB := 0, 0
	for _, p := range append(match(a, b), pair{len(a), len(b)}) {
		rewritten := map[int]int{} // old places by new ones
		used := map[int]bool{}
		for _, r := range rewrittenIn(old[fromA:p.old], new[fromB:p.new], swapped) {
			rewritten[fromB+r.new], used[fromA+r.old] = fromA+r.old, true
		}
		var come []BlockChange
		until := func(was int) { // what is gone stands before what is new
			for ; fromA < was; fromA++ {
				if x := old[fromA]; !used[fromA] {
					changes = append(changes, BlockChange{Removed, x.Kind, x.In, x.Text, "", fromA, fromB})
				}
			}
			changes, come = append(changes, come...), nil
		}
		for ; fromB < p.new; fromB++ {
			x := new[fromB]
			was, ok := rewritten[fromB]
			if !ok {
				come = append(come, BlockChange{Added, x.Kind, x.In, "", x.Text, fromA, fromB})
				continue
			}
			until(was)
			changes = append(changes, BlockChange{Changed, x.Kind, x.In, old[was].Text, x.Text, was, fromB})
			fromA = was + 1
		}
		until(p.old)
		fromA, fromB = p.old+1, p.new+1
	}
	return changes
}

// mostRewritten bounds the pieces between two that are the same, of which all are held
// against all.
const mostRewritten = 100

// rewrittenIn pairs pieces that were rewritten, in order.
func rewrittenIn(old, new []Block, swapped bool) []pair {
	if len(old) > mostRewritten || len(new) > mostRewritten {
		return nil
	}
	if swapped {
		pairs := rewrittenIn(new, old, false)
		for i, p := range pairs {
			pairs[i] = pair{p.new, p.old}
		}
		return pairs
	}
	// The best sum of likenesses over pairs in order, by dynamic programming.
	best := make([][]float64, len(old)+1)
	for i := range best {
		best[i] = make([]float64, len(new)+1)
	}
	alike := func(i, j int) float64 {
		if old[i].Kind != new[j].Kind {
			return 0
		}
		if s := share(strings.Fields(old[i].Text), strings.Fields(new[j].Text)); s >= 0.5 {
			return s
		}
		return 0
	}
	for i := len(old) - 1; i >= 0; i-- {
		for j := len(new) - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if s := alike(i, j); s > 0 {
				best[i][j] = max(best[i][j], s+best[i+1][j+1])
			}
		}
	}
	var pairs []pair
	for i, j := 0, 0; i < len(old) && j < len(new); {
		switch s := alike(i, j); {
		case s > 0 && best[i][j] == s+best[i+1][j+1]:
			pairs = append(pairs, pair{i, j})
			i, j = i+1, j+1
		case best[i][j] == best[i+1][j]:
			i++
		default:
			j++
		}
	}
	return pairs
}

// words are those of the newer edition's source language, else what there is.
func words(w handbook.Words, b *Book) string { return w.In(b.Lang) }
