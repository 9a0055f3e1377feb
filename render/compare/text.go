package compare

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"benchleaf/render/remark"
)

// WriteJSON writes the comparison as docs/compare.md tells.
func (c *Comparison) WriteJSON(to io.Writer) error {
	e := json.NewEncoder(to)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(c)
}

// Of returns what concerns one model: pages that apply to it, and its values. Of a page that
// applies to it all is told, since what is common to models is its too.
func (c *Comparison) Of(model string) *Comparison {
	one := *c
	concerns := func(p PageName) bool { return slices.Contains(p.Models, model) }
	one.Added, one.Removed, one.Renamed, one.Changed, one.Specs = []PageName{}, []PageName{}, []Renaming{}, []PageChange{}, []SpecChange{}
	keep := func(to *[]PageName, list []PageName) {
		for _, p := range list {
			if concerns(p) {
				*to = append(*to, p)
			}
		}
	}
	keep(&one.Added, c.Added)
	keep(&one.Removed, c.Removed)
	for _, r := range c.Renamed {
		if concerns(r.Old) || concerns(r.New) {
			one.Renamed = append(one.Renamed, r)
		}
	}
	one.Data = slices.DeleteFunc(slices.Clone(c.Data), func(d DataChange) bool { return d.Kind == DataModel && d.ID != model })
	of := map[string]bool{}
	for _, s := range c.Specs {
		values := []ValueChange{}
		for _, v := range s.Values {
			if v.Model == model {
				values = append(values, v)
			}
		}
		if of[value(dataSpec, s.ID)] = s.shown.meet([]string{model}) || s.over.meet([]string{model}); s.concerns.meet([]string{model}) {
			s.Values = values
			one.Specs = append(one.Specs, s)
		}
	}
	for _, p := range c.Changed {
		if !concerns(p.PageName) {
			continue
		}
		p.Values = append([]string{}, p.Values...)
		p.Values = slices.DeleteFunc(p.Values, func(v string) bool { return strings.HasPrefix(v, value(dataSpec, "")) && !of[v] })
		if !p.empty() {
			one.Changed = append(one.Changed, p)
		}
	}
	return &one
}

// Models lists the models of the newer edition.
func (c *Comparison) Models() []Item { return c.book.Models }

// WriteText writes the comparison for people.
func (c *Comparison) WriteText(to io.Writer) error {
	w := &writer{}
	w.line(0, "%s", remark.Printable(c.New.Title))
	w.line(0, "From %s to %s.", c.Old, c.New)
	if c.Empty() {
		w.line(0, "Nothing changed.")
	}
	w.values(c)
	w.pages("Pages added", c.Added)
	w.pages("Pages removed", c.Removed)
	w.heading("Pages renamed", len(c.Renamed))
	for _, r := range c.Renamed {
		w.line(1, "%s -> %s  %s", r.Old.Path, r.New.Path, r.New.Title)
	}
	w.heading("Pages changed", len(c.Changed))
	for _, p := range c.Changed {
		w.page(p)
	}
	_, err := io.WriteString(to, w.String())
	return err
}

// String is an edition's number with its day.
func (n Name) String() string {
	text := "edition " + n.Edition
	if n.Date != "" {
		text += " (" + n.Date + ")"
	}
	return text
}

// writer writes lines.
type writer struct{ strings.Builder }

// line writes a line, indented; what a terminal would act on is replaced.
func (w *writer) line(depth int, format string, arguments ...any) {
	w.WriteString(strings.Repeat("  ", depth))
	w.WriteString(remark.Printable(fmt.Sprintf(format, arguments...)))
	w.WriteByte('\n')
}

func (w *writer) heading(text string, n int) {
	if n > 0 {
		w.line(0, "")
		w.line(0, "%s: %d", text, n)
	}
}

func (w *writer) pages(heading string, list []PageName) {
	w.heading(heading, len(list))
	for _, p := range list {
		w.line(1, "%s  %s", p.Path, p.Title)
	}
}

func (w *writer) values(c *Comparison) {
	w.heading("Specifications", len(c.Specs))
	for _, s := range c.Specs {
		w.line(1, "%s  %s  %s", s.Change, s.ID, s.Title)
		for _, v := range s.Values {
			name := ""
			if v.Model != "" {
				name = v.Title + ": "
			}
			w.line(2, "%s%s -> %s", name, v.Old, v.New)
		}
		if s.Change == Changed {
			w.fields(2, s.Fields)
		}
	}
	w.heading("Parts", len(c.Parts))
	w.things("", c.Parts)
	w.heading("Other data", len(c.Data))
	for _, d := range c.Data {
		w.things(d.Kind+" ", []ThingChange{d.ThingChange})
	}
}

func (w *writer) page(p PageChange) {
	path := p.Path
	if p.OldPath != p.Path {
		path = p.OldPath + " -> " + p.Path
	}
	w.line(1, "%s  %s", path, p.Title)
	w.fields(2, p.Fields)
	w.things("step ", p.Steps)
	w.things("cause ", p.Causes)
	w.things("end ", p.Ends)
	w.things("calculator ", p.Forms)
	for _, b := range p.Blocks {
		where := ""
		if b.In != "" {
			where = " in " + b.In
		}
		w.line(2, "%s %s%s", b.Kind, b.Change, where)
		w.texts(3, b.Old, b.New)
	}
	if len(p.Values) > 0 {
		w.line(2, "changed elsewhere: %s", strings.Join(p.Values, ", "))
	}
}

func (w *writer) things(kind string, list []ThingChange) {
	for _, t := range list {
		title := ""
		if t.Title != "" {
			title = "  " + t.Title
		}
		w.line(2, "%s%s %s%s", kind, t.ID, t.Change, title)
		if t.Change == Changed {
			w.fields(3, t.Fields)
		}
	}
}

func (w *writer) fields(depth int, list []FieldChange) {
	for _, f := range list {
		if f.Name == fieldCode {
			w.line(depth, "it reckons otherwise")
			continue
		}
		w.line(depth, "%s:", f.Name)
		for _, line := range without(f.Old, f.New) {
			w.line(depth+1, "- %s", line)
		}
		for _, line := range without(f.New, f.Old) {
			w.line(depth+1, "+ %s", line)
		}
		if share(f.Old, f.New) == 1 {
			w.line(depth+1, "in another order")
		}
	}
}

func (w *writer) texts(depth int, old, new string) {
	if old != "" {
		w.line(depth, "- %s", old)
	}
	if new != "" {
		w.line(depth, "+ %s", new)
	}
}

// without returns the lines that the other list does not have as often.
func without(list, other []string) (rest []string) {
	left := map[string]int{}
	for _, line := range other {
		left[line]++
	}
	for _, line := range list {
		if left[line]--; left[line] < 0 {
			rest = append(rest, line)
		}
	}
	return rest
}
