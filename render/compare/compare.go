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
	if name := strings.TrimSuffix(strings.TrimPrefix(file, folder), ending); file != BookFile && e.files[file] == digest {
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
	Data    []DataChange  `json:"data"` // what else is written once for all pages

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
	// Values are what the page shows and is written elsewhere, and is another one for a model that the
	// page applies to: specifications, parts and other data, and files that have other bytes.
	Values []string `json:"values"`

	all []BlockChange // Blocks, and those that Steps and Forms tell of already
}

// ThingChange is a step, cause, end or calculator that is new, gone or another one.
type ThingChange struct {
	Change string        `json:"change"`
	ID     string        `json:"id"`
	Title  string        `json:"title"`
	Fields []FieldChange `json:"fields"`

	Titles handbook.Words `json:"-"` // of what is written once for all pages
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
		Specs: compareSpecs(old.Book, new.Book), Parts: compareItems(old.Book.Parts, new.Book.Parts), Data: compareData(old.Book, new.Book),
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
	moved := c.moved()
	for p, before := range same {
		if change := comparePages(before.following(moved), p, values); change != nil {
			c.Changed = append(c.Changed, *change)
		}
	}
	slices.SortFunc(c.Changed, func(a, b PageChange) int { return cmp.Compare(a.Path, b.Path) })
	slices.SortFunc(c.Renamed, func(a, b Renaming) int { return cmp.Compare(a.New.Path, b.New.Path) })
	return c
}

// Empty tells whether nothing changed but the edition's name.
func (c *Comparison) Empty() bool {
	return len(c.Added)+len(c.Removed)+len(c.Renamed)+len(c.Changed)+len(c.Specs)+len(c.Parts)+len(c.Data) == 0
}

// moved puts the new paths of renamed pages in the place of the old ones where a text leads to them; nil
// where none was renamed.
func (c *Comparison) moved() *strings.Replacer {
	var paths []string
	for _, r := range c.Renamed {
		for _, before := range []string{"](", "-> "} {
			paths = append(paths, before+r.Old.Path, before+r.New.Path)
		}
	}
	if paths == nil {
		return nil
	}
	return strings.NewReplacer(paths...)
}

// following is a page whose links lead to where renamed pages are now: it has not changed by that.
func (p *Page) following(moved *strings.Replacer) *Page {
	if moved == nil {
		return p
	}
	things := func(list []Thing) (now []Thing) {
		for _, t := range list {
			t.Fields = slices.Clone(t.Fields)
			for i, f := range t.Fields {
				t.Fields[i].Lines = make([]string, len(f.Lines))
				for j, line := range f.Lines {
					t.Fields[i].Lines[j] = moved.Replace(line)
				}
			}
			now = append(now, t)
		}
		return now
	}
	now := *p
	now.Steps, now.Causes, now.Ends, now.Blocks = things(p.Steps), things(p.Causes), things(p.Ends), slices.Clone(p.Blocks)
	for i, b := range now.Blocks {
		now.Blocks[i].Text = moved.Replace(b.Text)
	}
	return &now
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
