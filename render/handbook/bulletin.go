package handbook

import (
	"maps"
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

const kindBulletin = "bulletin"

// Supersession is what a bulletin says does not hold any more.
type Supersession struct {
	Spec      source.Text // the id of a specification
	Procedure source.Text // or the key of a procedure's page
	From      string      // the day
	FromPlace remark.Place
	Models    []string // ids; nil: all
	Serials   *Serials // nil: every machine
}

// of is what pages ask for by it.
func (s Supersession) of() string {
	if s.Spec.Given() {
		return kindSpec + " " + s.Spec.Value
	}
	return procedureOf(s.Procedure.Value)
}

// Notice says that a bulletin has changed something on a page.
type Notice struct {
	Bulletin *Page
	Spec     *Spec // a value that the page shows; nil: the page itself, which is a procedure
	From     string
	Models   []*Model // of the page's, those that it is about
	Serials  *Serials // or nil
}

// NoticesFor are notices as far as they are about a model.
func NoticesFor(list []Notice, m *Model) (notices []Notice) {
	for _, n := range list {
		if slices.Contains(n.Models, m) {
			n.Models = []*Model{m}
			notices = append(notices, n)
		}
	}
	return notices
}

type supersessionYAML struct {
	Place     remark.Place
	Spec      source.Text   `yaml:"spec,needed unless procedure"`
	Procedure source.Text   `yaml:"procedure"`
	From      source.Text   `yaml:"from,needed"`
	Models    []source.Text `yaml:"models"`
	Serial    serialYAML    `yaml:"serial" noun:"a range of serial numbers"`
}

// supersedes reads what a bulletin supersedes. Whether there is such a thing, and whether it
// has changed, is told once all pages are known.
func (r *pageResolver) supersedes() {
	list := r.front.Supersedes
	if len(list) == 0 {
		return
	}
	if r.page.Sheet != "bulletin" {
		if r.page.Sheet != "" {
			r.remarks = append(r.remarks, remark.KeyUnknown.At(list[0].Place, "supersedes", "a page that is no bulletin", "").
				Instead("Write it on a page with `sheet: bulletin`."))
		}
		return
	}
	for _, y := range list {
		s := Supersession{Spec: y.Spec, Procedure: y.Procedure, FromPlace: y.From.Place}
		if y.From.Given() {
			s.From = checkDay(&r.remarks, y.From)
		}
		for _, name := range distinct(&r.remarks, y.Models) {
			if m := findIn(&r.remarks, r.whole.complete[kindModel], kindModel, r.whole.book.Models, name); m != nil {
				s.Models = append(s.Models, m.ID)
			}
		}
		if y.Serial.From.Given() {
			if n, ok := serialRange(&r.remarks, y.Serial); ok {
				s.Serials = &n
			}
		}
		if s.From == "" {
			continue
		}
		if s.Spec.Given() {
			value := s
			value.Procedure = source.Text{}
			r.said = append(r.said, value)
		}
		if s.Spec = (source.Text{}); s.Procedure.Given() {
			r.said = append(r.said, s)
		}
	}
}

// findBulletins finds the bulletins by what they supersede, in the order of their paths, and the
// procedures that are superseded. A translation that says nothing of it supersedes what its source does.
func (r *resolver) findBulletins() {
	r.superseding = map[string][]*Page{}
	for _, p := range r.book.Pages {
		p.Supersedes = r.pageAt[p.Source.Path].said
		if s := r.inSource(p.Key); p.Supersedes == nil && p.Sheet == "bulletin" && s != nil && s.page.Sheet == "bulletin" {
			p.Supersedes = s.said
		}
		for _, s := range p.Supersedes {
			if list := r.superseding[s.of()]; !slices.Contains(list, p) {
				r.superseding[s.of()] = append(list, p)
			}
		}
	}
	for _, p := range r.book.Pages {
		if p.Superseded = nil; p.Procedure != nil {
			p.Superseded = r.noticesOf(p, procedureOf(p.Key), nil)
		}
	}
}

// procedureOf is what pages ask for by a procedure's key.
func procedureOf(key string) string { return "procedure " + key }

// notices finds the bulletins that are about the page or a value on it.
func (r *pageResolver) notices() {
	p := r.page
	for _, said := range p.Supersedes { // a bulletin shows what it changes
		if said.Spec.Given() {
			r.read(ReadSpec, said.Spec.Value)
		}
		if said.Procedure.Given() {
			r.read(ReadSiblings, said.Procedure.Value)
			for _, path := range r.whole.siblings(said.Procedure.Value) {
				r.read(ReadPage, path)
			}
		}
	}
	for read := range maps.Clone(r.reads) {
		switch read.Kind {
		case ReadSpec:
			r.read(ReadBulletins, kindSpec+" "+read.ID)
		case ReadPage: // where a procedure is named, it is said that it is superseded
			if q := r.whole.pageAt[read.ID]; q != nil {
				r.read(ReadBulletins, procedureOf(q.page.Key))
			}
		}
	}
	if p.Procedure != nil {
		r.read(ReadBulletins, procedureOf(p.Key))
	}
	p.Notices = slices.Clone(p.Superseded)
	for _, s := range r.whole.book.Specs { // in their order
		if r.reads[Read{ReadSpec, s.ID}] {
			p.Notices = append(p.Notices, r.whole.noticesOf(p, kindSpec+" "+s.ID, s)...)
		}
	}
}

// noticesOf are the notices on a page of those bulletins that are about something.
func (r *resolver) noticesOf(p *Page, of string, s *Spec) (notices []Notice) {
	found := map[string]*Page{} // by key, in the page's language or the nearest to it
	var keys []string
	for _, b := range r.superseding[of] {
		if found[b.Key] == nil {
			keys = append(keys, b.Key)
		}
		if other := found[b.Key]; other == nil || r.book.Nearer(p.Lang, b.Lang, other.Lang) {
			found[b.Key] = b
		}
	}
	for _, key := range keys {
		b := found[key]
		if b.Key == p.Key {
			continue
		}
		for _, said := range b.Supersedes {
			if said.of() != of {
				continue
			}
			n := Notice{Bulletin: b, Spec: s, From: said.From, Serials: said.Serials}
			for _, m := range p.Applicability {
				if r.about(said, b.Key, s, m) {
					n.Models = append(n.Models, m)
				}
			}
			if n.Models != nil || len(p.Applicability) == 0 {
				notices = append(notices, n)
			}
		}
	}
	return notices
}

// Nearer tells whether the reader of a page in a language is led to one in a rather than to one in b:
// its own comes first, then the handbook's in their order.
func (h *Handbook) Nearer(own, a, b string) bool {
	if a == own || b == own {
		return a == own && b != own
	}
	return slices.Index(h.Languages, a) < slices.Index(h.Languages, b)
}

// about tells whether what a bulletin supersedes is so for a model: it names it, or names
// none and has changed the model's value.
func (r *resolver) about(said Supersession, bulletin string, s *Spec, m *Model) bool {
	switch {
	case said.Models != nil:
		return slices.Contains(said.Models, m.ID)
	case said.Serials != nil && !slices.ContainsFunc(m.Serials, func(n Serials) bool { _, ok := n.common(*said.Serials); return ok }):
		return false
	case s == nil:
		return true
	}
	return slices.ContainsFunc(s.History, func(e *Earlier) bool { return e.Bulletin == bulletin && e.For(m) != nil })
}

// bulletins holds what bulletins say against what the specifications have.
func (r *resolver) bulletins() {
	keys := r.keysOf(func(p *Page) bool { return p.Sheet == "bulletin" })
	procedures := r.keysOf(func(p *Page) bool { return p.Procedure != nil })
	unsaid := map[string]bool{} // keys of pages of which nobody knows whether they are bulletins, and what they supersede
	for _, name := range r.tree.UnreadPages() {
		_, _, key, _ := r.locate(name)
		unsaid[key] = true
	}
	for _, p := range r.book.Pages {
		unsaid[p.Key] = unsaid[p.Key] || p.SheetUnknown
	}
	for _, p := range r.book.Pages {
		if p.Sheet != "bulletin" {
			continue
		}
		pr := r.pageAt[p.Source.Path]
		known := !pr.frontBroken() && (p.Supersedes != nil || !pr.wrote("supersedes")) && len(pr.front.Supersedes) <= len(p.Supersedes)
		if s := r.inSource(p.Key); known && p.Supersedes == nil && (s == nil || s == pr) {
			r.remarks.Add(remark.BulletinIdle, p.Source.Top())
		}
		for _, said := range pr.said {
			if said.Procedure.Given() && !slices.Contains(procedures, said.Procedure.Value) && !unsaid[said.Procedure.Value] {
				unknown(&r.remarks, "procedure", procedures, said.Procedure)
			}
			if said.Spec.Given() {
				s := find(r, kindSpec, r.book.Specs, said.Spec)
				if known = known && s != nil && s.ID == said.Spec.Value; known && !s.Faulty {
					r.superseded(p.Key, said, s, keys)
				}
			}
		}
		unsaid[p.Key] = unsaid[p.Key] || !known
	}
	for _, s := range r.book.Specs {
		for _, e := range s.History {
			switch {
			case e.Bulletin == "", unsaid[e.Bulletin]:
			case !slices.Contains(keys, e.Bulletin):
				unknown(&r.remarks, kindBulletin, keys, source.Text{Value: e.Bulletin, Place: e.BulletinPlace})
			case !slices.ContainsFunc(r.superseding[kindSpec+" "+s.ID], func(p *Page) bool { return p.Key == e.Bulletin }):
				r.remarks.Add(remark.BulletinSilent, e.BulletinPlace, e.Bulletin, s.ID)
			}
		}
	}
}

// keysOf are the keys of some pages.
func (r *resolver) keysOf(some func(*Page) bool) (keys []string) {
	for _, p := range r.book.Pages {
		if some(p) && !slices.Contains(keys, p.Key) {
			keys = append(keys, p.Key)
		}
	}
	return sorted(keys)
}

// superseded remarks where a value that a bulletin supersedes is still the one that holds: pages
// would show it as such. bulletins are the keys of all of them.
func (r *resolver) superseded(bulletin string, said Supersession, s *Spec, bulletins []string) {
	var changed []*Earlier
	for _, e := range s.History {
		switch {
		case e.Bulletin == bulletin:
			changed = append(changed, e)
		case e.Bulletin != "" && !slices.Contains(bulletins, e.Bulletin): // a slip in its name, which may be this one's
			return
		}
	}
	models := r.book.Models
	if len(models) == 0 {
		models = []*Model{nil}
	}
	var still []string
	same := len(changed) == 0
	for _, m := range models {
		if m != nil && !r.about(said, bulletin, nil, m) || len(changed) == 0 {
			continue
		}
		now := s.For(m)
		i := slices.IndexFunc(changed, func(e *Earlier) bool { return e.For(m) != nil })
		missing := i < 0 && now != nil && said.Models != nil
		if missing || i >= 0 && (changed[i].Serials == nil || changed[i].Until == "") && changed[i].For(m).sameAs(now) {
			same = true
			if m != nil {
				still = append(still, m.ID)
			}
		}
	}
	if same {
		of := ""
		if still != nil {
			of = " of " + strings.Join(still, ", ")
		}
		r.remarks.Add(remark.SupersededCurrent, said.Spec.Place, s.ID, of)
	}
	for _, e := range changed {
		switch {
		case e.From != "" && said.From < e.From:
			r.remarks.Add(remark.BulletinEarly, said.FromPlace, said.From, e.From)
		case e.Until != "" && e.Until != said.From:
			r.remarks.Add(remark.BulletinDay, said.FromPlace, said.From, e.Until)
		}
	}
}
