// Package compare tells what changed between two editions of a handbook, by facts that
// each edition keeps beside its pages.
//
// In: a handbook of which facts are taken, or two editions that have them. Out: the
// facts as files of an edition, or a Comparison, as text, as JSON and as marks on the
// nodes of a page. It may import calc, calc/unit, edition, even, handbook, jsontext, remark and source.
package compare

import (
	"encoding/base64"
	"iter"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
)

// Format is the form of the facts that are written, and of the comparison.
const Format = 2

// folder is where facts lie in an edition; it is kept free of an author's files.
const folder = handbook.FactsFolder + "/"

// ending is that of the files: JSON in gzip, a fifth of it.
const ending = ".json.gz"

// BookFile is where the facts of the handbook's data lie.
const BookFile = folder + "handbook" + ending

// PageFile is where the facts of a page lie.
func PageFile(page string) string { return folder + page + ending }

// Page are the facts of a page.
type Page struct {
	Format int      `json:"format"`
	Path   string   `json:"path"`
	Lang   string   `json:"lang"`
	Sheet  string   `json:"sheet"`
	Models []string `json:"models,omitempty"` // ids of those that it applies to
	Page   Thing    `json:"page"`             // what it says of itself
	Steps  []Thing  `json:"steps,omitempty"`
	Causes []Thing  `json:"causes,omitempty"`
	Ends   []Thing  `json:"ends,omitempty"`
	Forms  []Thing  `json:"calculators,omitempty"`
	Blocks []Block  `json:"blocks,omitempty"` // its text, in order
	// Files are digests of the pictures and other files that it shows or leads to, by what
	// blocks call them.
	Files map[string]string `json:"files,omitempty"`
}

// Thing is something with an id of which something can be said: a step, a cause, an end, a
// calculator, or the page itself.
type Thing struct {
	ID     string  `json:"id"`
	Title  string  `json:"title,omitempty"`
	Fields []Field `json:"fields,omitempty"` // those that are empty are left out
	// Shows is what stands in it that is written elsewhere, as of a block.
	Shows []string `json:"shows,omitempty"`
}

// Field is one of the things that are said, line by line.
type Field struct {
	Name  string   `json:"name"`
	Lines []string `json:"lines"`
}

// say adds a field, but for empty lines.
func (t *Thing) say(name string, lines ...string) {
	lines = slices.DeleteFunc(lines, func(line string) bool { return line == "" })
	if len(lines) > 0 {
		t.Fields = append(t.Fields, Field{name, lines})
	}
}

// lines are those of a field, by its name.
func (t *Thing) lines(name string) []string {
	for _, f := range t.Fields {
		if f.Name == name {
			return f.Lines
		}
	}
	return nil
}

// Files tell what is known of a file of the handbook; nil for what is none.
type Files func(name string) *handbook.Asset

// Of takes the facts of a page that is resolved; files are what is known of the handbook's.
func Of(p *handbook.Page, files Files) *Page {
	f := &Page{Format: Format, Path: p.Path, Lang: p.Lang, Sheet: p.Sheet, Page: Thing{ID: p.Path, Title: p.Title}}
	for _, m := range p.Applicability {
		f.Models = append(f.Models, m.ID)
	}
	f.Page.say("title", p.Title)
	f.Page.say("purpose", folded(p.Purpose))
	f.Page.say("revised", p.Revised)
	f.Page.say("check-by", p.CheckBy)
	f.Page.say("models", f.Models...)
	f.Page.say("supersedes", supersedeLines(p.Supersedes)...)
	f.Page.say("superseded", noticeLines(p.Notices)...)
	f.Page.say("translation", translationLines(p)...)
	f.Page.say("practice", practiceLines(p.Circuit)...)
	if p.Procedure != nil {
		f.procedure(p)
	}
	for _, c := range p.Calculators {
		f.Forms = append(f.Forms, formOf(c))
	}
	f.Blocks = blocksOf(p)
	for value := range f.shows() {
		name, ok := strings.CutPrefix(value, fileValue)
		if !ok || files == nil {
			continue
		}
		if a := files(name); a != nil {
			if f.Files == nil {
				f.Files = map[string]string{}
			}
			f.Files[value] = base64.RawURLEncoding.EncodeToString(a.Digest[:9])
		}
	}
	return f
}

// shows are all things on the page that are written elsewhere, some of them more than once.
func (p *Page) shows() iter.Seq[string] {
	return func(yield func(string) bool) {
		lists := [][]string{p.Page.Shows}
		for _, t := range slices.Concat(p.Causes, p.Ends) {
			lists = append(lists, t.Shows)
		}
		for _, b := range p.Blocks {
			lists = append(lists, b.Shows)
		}
		for _, list := range lists {
			for _, value := range list {
				if !yield(value) {
					return
				}
			}
		}
	}
}

func supersedeLines(list []handbook.Supersession) (lines []string) {
	for _, s := range list {
		line := "procedure " + s.Procedure.Value
		if s.Spec.Given() {
			line = value(dataSpec, s.Spec.Value)
		}
		lines = append(lines, heldFor(line+" from "+s.From, s.Models, s.Serials))
	}
	return lines
}

func noticeLines(list []handbook.Notice) (lines []string) {
	for _, n := range list {
		line := "the page"
		if n.Spec != nil {
			line = value(dataSpec, n.Spec.ID)
		}
		models := idsOf(n.Models, func(m *handbook.Model) string { return m.ID })
		lines = append(lines, heldFor(line+" by "+n.Bulletin.Key+" from "+n.From, models, n.Serials))
	}
	return lines
}

func heldFor(line string, models []string, serials *handbook.Serials) string {
	if len(models) > 0 {
		line += " for " + strings.Join(models, ", ")
	}
	if serials != nil {
		line += ", " + serialLines(*serials)[0]
	}
	return line
}

// translationLines say where a translation is not as its source.
func translationLines(p *handbook.Page) (lines []string) {
	t := p.Translation
	if t == nil {
		return nil
	}
	if t.Unrecorded {
		lines = append(lines, "not recorded")
	}
	if t.Head {
		lines = append(lines, "head stale")
	}
	for _, id := range slices.Sorted(maps.Keys(t.Causes)) {
		lines = append(lines, value("cause", id)+" stale")
	}
	if len(t.Before) > 0 {
		lines = append(lines, "missing before the first block: "+strconv.Itoa(len(t.Before)))
	}
	section, number := "", 0 // of the block in its section
	for n := p.Source.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		if h, ok := n.(*ast.Heading); ok && p.IDs[h] != "" {
			section, number = p.IDs[h], 0
		} else if n.Kind() != ast.KindHTMLBlock {
			number++
		}
		mark := t.Marks[n]
		if mark == nil {
			continue
		}
		block := strings.TrimSpace(section + " block " + strconv.Itoa(number))
		switch {
		case mark.Stale:
			lines = append(lines, block+" stale")
		case mark.Source == nil:
			lines = append(lines, block+" extra")
		}
		if len(mark.After) > 0 {
			lines = append(lines, block+", missing behind it: "+strconv.Itoa(len(mark.After)))
		}
	}
	return lines
}
