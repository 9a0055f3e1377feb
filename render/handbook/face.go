package handbook

import (
	"maps"
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Face is what the rest of the handbook needs to know of a page.
type Face struct {
	Sheet, Title, Purpose, Revised, CheckBy string
	SheetUnknown, ModelsUnknown             bool

	Named       bool     // the models are, else it is every one
	Models      []string // their ids
	ModelPlaces []remark.Place
	Allowances  []remark.Allowance
	IDs         source.List // that a link to the page can name, sorted
	IDTwice     bool
	Procedure   *ProcedureFace // or nil

	Supersedes []Supersession // of a bulletin
	Unrecorded bool           // a translation that does not say of what it was made

	Owned  []source.Text // names of its own calculators
	Assets source.List   // that it shows or leads to
	Shown  []shownPicture
	Says   []int // the handbook's lists of synonyms of which it says a word
}

// ProcedureFace is what the handbook needs to know of a procedure.
type ProcedureFace struct {
	Symptom        string
	SymptomPlace   remark.Place
	States         []string // ids
	ConductUnknown bool
	Steps          []StepFace
}

// StepFace is what the handbook needs to know of a step.
type StepFace struct {
	ID    string
	Check bool // it is one after the repair
}

// Face returns the face of a resolved page.
func (d *Draft) Face(p *Page) *Face { return d.r.pageAt[p.Source.Path].outward() }

func (r *pageResolver) outward() *Face {
	p := r.page
	f := &Face{
		Sheet: p.Sheet, Title: p.Title, Purpose: p.Purpose, Revised: p.Revised, CheckBy: p.CheckBy,
		SheetUnknown: p.SheetUnknown, ModelsUnknown: p.ModelsUnknown,
		ModelPlaces: p.ModelPlaces, Allowances: p.Allowances,
		IDs: r.allIDs(), IDTwice: r.idTwice,
		Supersedes: r.said, Unrecorded: r.unrecorded,
		Owned: r.owned, Assets: source.Together(slices.Sorted(maps.Keys(r.used))), Shown: r.shown,
	}
	if len(r.front.Applicability) > 0 {
		f.Named = true
		for _, m := range p.Applicability {
			f.Models = append(f.Models, m.ID)
		}
	}
	for i, list := range r.whole.lists {
		if list.lang.Value == p.Lang && r.says(list.kept) {
			f.Says = append(f.Says, i)
		}
	}
	if pr := p.Procedure; pr != nil {
		f.Procedure = &ProcedureFace{Symptom: pr.Symptom, SymptomPlace: pr.SymptomPlace, ConductUnknown: pr.ConductUnknown}
		for _, s := range pr.States {
			f.Procedure.States = append(f.Procedure.States, s.ID)
		}
		for _, s := range pr.Steps {
			f.Procedure.Steps = append(f.Procedure.Steps, StepFace{s.ID, s.Verification()})
		}
	}
	return f
}

// others is the digest of what other pages can see of a page, but for its headings.
func (f *Face) others() string {
	return digest([]any{
		f.Sheet, f.Title, f.SheetUnknown, f.ModelsUnknown, f.Named, f.Models, f.ModelPlaces[:min(1, len(f.ModelPlaces))], f.Procedure != nil,
	})
}

// Restore gives a page the face that it had before. Nothing but what is in it is known of
// the page then.
func (d *Draft) Restore(p *Page, f *Face) {
	r := d.r.pageAt[p.Source.Path]
	r.face, r.seen = f, ""
	p.Sheet, p.Title, p.Purpose, p.Revised, p.CheckBy = f.Sheet, f.Title, f.Purpose, f.Revised, f.CheckBy
	p.SheetUnknown, p.ModelsUnknown = f.SheetUnknown, f.ModelsUnknown
	p.ModelPlaces, p.Allowances = f.ModelPlaces, f.Allowances
	r.said, r.unrecorded = f.Supersedes, f.Unrecorded
	p.Applicability = d.r.book.Models
	if f.Named {
		p.Applicability = nil
		for _, id := range f.Models {
			p.Applicability = append(p.Applicability, byID(d.r.book.Models, id))
		}
	}
	r.idTwice, r.ids, r.used, r.reads = f.IDTwice, nil, nil, nil
	r.owned, r.shown = f.Owned, f.Shown
	if f.Procedure == nil {
		return
	}
	pr := &Procedure{Symptom: f.Procedure.Symptom, SymptomPlace: f.Procedure.SymptomPlace, ConductUnknown: f.Procedure.ConductUnknown}
	for _, id := range f.Procedure.States {
		pr.States = append(pr.States, byID(d.r.book.States, id))
	}
	steps, conducts := make([]Step, len(f.Procedure.Steps)), make([]Conduct, len(f.Procedure.Steps))
	pr.Steps = make([]*Step, len(steps))
	for i, s := range f.Procedure.Steps {
		conducts[i].Verification = s.Check
		steps[i].ID, steps[i].Number, steps[i].Conduct = s.ID, i+1, &conducts[i]
		pr.Steps[i] = &steps[i]
	}
	p.Procedure = pr
}

// has tells whether a link can name an id of the page.
func (r *pageResolver) has(id string) bool {
	if r.ids == nil && r.face != nil {
		return r.face.IDs.Has(id)
	}
	return r.ids[id]
}

// allIDs are all that a link can name, sorted.
func (r *pageResolver) allIDs() source.List {
	if r.ids == nil && r.face != nil {
		return r.face.IDs
	}
	return source.Together(slices.Sorted(maps.Keys(r.ids)))
}

// byID returns what has an id: a face is restored under the frame that it was made in.
func byID[T named](list []T, id string) T {
	return list[slices.IndexFunc(list, func(x T) bool { return x.id() == id })]
}

// Frame is the digest of what any page may be made of, and is therefore none of its reads.
// The edition's name stands on no page.
func (d *Draft) Frame() string {
	r := d.r
	frame := []any{r.book.Languages}
	complete := maps.Clone(r.complete)
	delete(complete, kindSpec) // a page for which that matters is made anew each time
	delete(complete, kindCircuit)
	frame = append(frame, complete, len(r.untold()))
	for _, line := range d.frontLines() {
		if line.unpaged {
			line.text = "" // it is a line all the same: places are counted by them
		}
		frame = append(frame, line.text)
	}
	for _, name := range []string{modelsFile, partsFile} {
		frame = append(frame, string(r.tree.Text(name)))
	}
	return digest(frame)
}

// frontLine is a line of handbook.yaml.
type frontLine struct {
	text            string
	unpaged, labels bool // nothing of it stands on a page; it is one of `labels`
}

// frontLines tells which lines of handbook.yaml are made no page of: the edition's name, and the labels.
func (d *Draft) frontLines() (lines []frontLine) {
	for i, text := range strings.Split(d.Front(), "\n") {
		line := frontLine{text: text}
		switch {
		case i == d.r.editionLine-1:
			line.unpaged = strings.HasPrefix(text, "edition:")
		case strings.HasPrefix(text, "labels:"):
			line.labels = d.r.labelled.Place.Line > i
		case i > 0 && lines[i-1].labels:
			line.labels = strings.Trim(text[:min(1, len(text))], " \r") == ""
		}
		line.unpaged = line.unpaged || line.labels
		lines = append(lines, line)
	}
	return lines
}

// Labels is the text in which the handbook says which labels it has.
func (d *Draft) Labels() string {
	var text strings.Builder
	for _, line := range d.frontLines() {
		if line.labels {
			text.WriteString(line.text + "\n")
		}
	}
	return text.String()
}

// Front is the text in which the handbook says what it is.
func (d *Draft) Front() string { return string(d.r.tree.Text(handbookFile)) }

// Digest is the digest of something that was read, as it is now.
func (d *Draft) Digest(read Read) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.digest(read)
}

func (d *Draft) digest(read Read) string {
	switch read.Kind { // what is not as it was a moment ago, once a page is made anew
	case ReadPage:
		pr := d.r.pageAt[read.ID]
		switch {
		case pr == nil:
			return ""
		case pr.face == nil:
			pr.face = d.Face(pr.page)
		}
		if pr.seen == "" {
			pr.seen = pr.face.others()
		}
		return pr.seen
	case ReadHeading:
		file, id, _ := strings.Cut(read.ID, "#")
		pr := d.r.pageAt[file]
		if pr == nil || !pr.has(id) {
			return ""
		}
		var step *Step
		if pr.page.Procedure != nil {
			step = pr.page.Procedure.Heading(id)
		}
		return digest(step != nil && step.Verification())
	}
	if known, ok := d.digests[read]; ok {
		return known
	}
	value := digest(d.value(read))
	d.digests[read] = value
	return value
}

// value is what was read, as it is now.
func (d *Draft) value(read Read) any {
	r := d.r
	switch read.Kind {
	case ReadSpec:
		i := slices.IndexFunc(r.book.Specs, func(s *Spec) bool { return s.ID == read.ID })
		if i < 0 {
			return nil
		}
		s := *r.book.Specs[i]
		s.Place = remark.Place{}
		s.History = nil
		for _, e := range r.book.Specs[i].History {
			kept := *e
			kept.Place, kept.FromPlace, kept.UntilPlace, kept.BulletinPlace = s.Place, s.Place, s.Place, s.Place
			s.History = append(s.History, &kept)
		}
		return s
	case ReadAsset:
		if r.assetNames[read.ID] {
			return r.asset(read.ID).Digest
		}
	case ReadCircuits:
		return d.circuits()
	case ReadSiblings:
		return r.siblings(read.ID)
	case ReadSources:
		var texts []string
		for _, name := range r.siblings(read.ID) {
			texts = append(texts, r.tree.Digest(name))
		}
		return texts
	case ReadPlaces:
		var places []remark.Place
		for _, s := range r.book.Specs {
			places = append(places, s.Place)
		}
		return places
	case ReadRevised:
		if r.book.Date != "" && read.ID > r.book.Date {
			return []any{r.book.Date, r.datePlace}
		}
	case ReadBulletins:
		var said []any
		for _, p := range r.superseding[read.ID] {
			said = append(said, p.Path, p.Title)
			for _, s := range p.Supersedes {
				if s.of() == read.ID {
					said = append(said, s.From, s.Models, s.Serials)
				}
			}
		}
		return said
	case ReadCheckBy:
		if read.ID < r.book.Date {
			return r.book.Date
		}
	}
	return nil
}

// circuits are the texts of all circuits, and the specifications that have their
// figures.
func (d *Draft) circuits() (list []string) {
	for _, name := range slices.Sorted(maps.Keys(d.r.tree.Data)) {
		if isCircuit(name) {
			list = append(list, name, string(d.r.tree.Text(name)))
		}
	}
	for _, id := range d.r.circuitSpecs {
		list = append(list, id, d.digest(Read{ReadSpec, id}))
	}
	return list
}
