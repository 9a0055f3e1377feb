// Package begin writes the first text of what a trainer begins: a handbook, a
// procedure, a page, a bulletin, a specification, the translation of a page.
//
// In: a name, what is known of it, and the model of the handbook that it goes
// into. Out: the text of files, which compile without a remark, and remarks on
// names and values that cannot be taken.
// It may import handbook, source, remark, and calc/unit.
//
// The texts are templates in the folder template; their comments tell the
// trainer what to fill in.
package begin

import (
	"embed"
	"encoding/json"
	"io/fs"
	"path"
	"slices"
	"strings"
	"text/template"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Kind is something that can be begun.
type Kind struct {
	Name   string // as the command line has it
	Naming string // what its name is
	Fields []*Field
	// Whole: it is a handbook, and goes into none.
	Whole bool

	checkName func(d *Draft) (remark.Remark, bool)
	files     func(d *Draft) ([]File, error)
}

// File is a text to be written.
type File struct {
	Path string // slash-separated, in the handbook's folder
	Text []byte
}

// Kinds are all that can be begun.
var Kinds = []*Kind{
	{Name: "handbook", Naming: "folder of the handbook", Whole: true,
		Fields: []*Field{ownLanguage, title, publisher}, files: handbookFiles},
	{Name: "procedure", Naming: "name of the procedure's file, such as no-charge",
		Fields: []*Field{pageLanguage, title, symptom, state, spec}, checkName: checkID, files: procedureFiles},
	{Name: "page", Naming: "name of the page's file, such as battery",
		Fields: []*Field{pageLanguage, title}, checkName: checkID, files: pageFiles},
	{Name: "bulletin", Naming: "name of the bulletin's file, such as coil",
		Fields: []*Field{pageLanguage, title, superseded}, checkName: checkID, files: bulletinFiles},
	{Name: "specification", Naming: "id of the specification, such as oil-volume",
		Fields: []*Field{title, unitOf, nominal, least, greatest, conditions}, checkName: checkSpec, files: specificationFiles},
	{Name: translationName, Naming: "page to translate, such as en/theory/battery.md",
		Fields: []*Field{otherLanguage}, checkName: checkPage, files: translationFiles},
}

const translationName = "translation"

// Draft is what is known of something that is being begun.
type Draft struct {
	Kind   *Kind
	Name   string
	Day    string             // today, as in ISO 8601
	Book   *handbook.Handbook // that it goes into; empty for a new one
	Values map[string]string  // by the keys of fields
}

// Late tells that today comes after the day of the edition, so that nothing in it
// can be revised today.
func (d *Draft) Late() bool { return d.Book.Date != "" && d.Book.Date < d.Day }

// CheckName tells what is wrong with the name.
func (d *Draft) CheckName() (remark.Remark, bool) {
	if d.Kind.checkName == nil {
		return remark.Remark{}, true
	}
	return d.Kind.checkName(d)
}

// Files returns what is to be written. Name and values have been checked.
func (d *Draft) Files() ([]File, error) { return d.Kind.files(d) }

// checkID wants a name that may be an id and a file's name.
func checkID(d *Draft) (remark.Remark, bool) {
	if source.IsID(d.Name) {
		return remark.Remark{}, true
	}
	return remark.ValueText.At(remark.Place{File: d.Name}, d.Name, "name", "heater-coil: lower-case letters, digits and hyphens, a letter first"), false
}

func checkSpec(d *Draft) (remark.Remark, bool) {
	if why, ok := checkID(d); !ok {
		return why, false
	}
	if s := specOf(d, d.Name); s != nil {
		return remark.IDDuplicate.At(remark.Place{File: d.Name}, d.Name, s.Place).Instead("Give this one another name, or change that one."), false
	}
	return remark.Remark{}, true
}

func specOf(d *Draft, id string) *handbook.Spec {
	i := slices.IndexFunc(d.Book.Specs, func(s *handbook.Spec) bool { return s.ID == id })
	if i < 0 {
		return nil
	}
	return d.Book.Specs[i]
}

//go:embed template
var embedded embed.FS

var templates = template.Must(template.New("").Funcs(template.FuncMap{"quote": quote, "ids": ids}).ParseFS(embedded, "template/*.*", "template/handbook/*.yaml", "template/handbook/*/*"))

// quote writes a text as YAML takes it, whatever is in it: a text of JSON is one
// of YAML.
func quote(text string) (string, error) {
	var b strings.Builder
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(text)
	return strings.TrimSpace(b.String()), err
}

// ids lists what can be named, for a comment or a list of YAML.
func ids(list any) string {
	var names []string
	switch list := list.(type) {
	case []*handbook.Model:
		for _, m := range list {
			names = append(names, m.ID)
		}
	case []*handbook.State:
		for _, s := range list {
			names = append(names, s.ID)
		}
	case []*handbook.Hazard:
		for _, h := range list {
			names = append(names, h.ID)
		}
	}
	return strings.Join(names, ", ")
}

// fill makes a file of one template.
func fill(name, from string, data any) (File, error) {
	var b strings.Builder
	err := templates.ExecuteTemplate(&b, path.Base(from), data)
	return File{name, []byte(b.String())}, err
}

// handbookFiles fills every file of the folder handbook. Its folders are those of
// a handbook, but for the language, which holds all but specifications.
func handbookFiles(d *Draft) ([]File, error) {
	var files []File
	err := fs.WalkDir(embedded, "template/handbook", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		to := strings.TrimPrefix(name, "template/handbook/")
		if path.Ext(to) == ".md" {
			to = path.Join(d.Values[ownLanguage.Key], to)
		}
		f, err := fill(to, name, d)
		files = append(files, f)
		return err
	})
	return files, err
}

func pageFiles(d *Draft) ([]File, error) {
	f, err := fill(path.Join(d.Values[pageLanguage.Key], "theory", d.Name+".md"), "page.md", d)
	return []File{f}, err
}

func bulletinFiles(d *Draft) ([]File, error) {
	f, err := fill(path.Join(d.Values[pageLanguage.Key], "bulletins", d.Name+".md"), "bulletin.md", d)
	return []File{f}, err
}

func specificationFiles(d *Draft) ([]File, error) {
	f, err := fill(path.Join("specs", d.Name+".yaml"), "specification.yaml", d)
	return []File{f}, err
}

// procedureDraft is a procedure with the specification that it measures.
type procedureDraft struct {
	*Draft
	Spec      *handbook.Spec    // or nil
	Models    []*handbook.Model // for which it has a limit
	Narrow    bool              // there are others
	Low, High bool              // it has a least, a greatest value for one of them
	Leads     bool              // it is read between two points
}

func procedureFiles(d *Draft) ([]File, error) {
	p := procedureDraft{Draft: d, Spec: specOf(d, d.Values[spec.Key])}
	p.limits()
	f, err := fill(path.Join(d.Values[pageLanguage.Key], "procedures", d.Name+".md"), "procedure.md", p)
	return []File{f}, err
}

// limits looks which models a reading of the specification can judge, and to
// which sides.
func (p *procedureDraft) limits() {
	if p.Spec == nil {
		return
	}
	of := func(m *handbook.Model) {
		if l := p.Spec.For(m); judges(l) {
			p.Low, p.High = p.Low || l.Min != nil, p.High || l.Max != nil
			if m != nil {
				p.Models = append(p.Models, m)
			}
		}
	}
	if len(p.Book.Models) == 0 {
		of(nil)
	}
	for _, m := range p.Book.Models {
		of(m)
	}
	p.Leads = p.Spec.Unit.Kind == unit.Voltage || p.Spec.Unit.Kind == unit.Resistance
	p.Narrow = len(p.Models) < len(p.Book.Models)
}

// judges tells whether something can be held against the limit.
func judges(l *handbook.Limit) bool { return l != nil && (l.Min != nil || l.Max != nil) }
