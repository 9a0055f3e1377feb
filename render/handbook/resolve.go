package handbook

import (
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// resolver holds what the resolving of a whole handbook needs to know.
type resolver struct {
	tree    *source.Tree
	book    *Handbook
	remarks remark.List

	// complete tells for each kind of name whether all of them are known: where
	// a file could not be read, a name missing from it is not the page's mistake.
	complete map[string]bool

	pageAt     map[string]*pageResolver // by source path
	assetNames map[string]bool
	// circuitFiles are the circuits that are whole, with what their faults name.
	circuitFiles []*circuitReader
	circuitSpecs []string // ids of the specifications that circuits have figures from
	drawn        sync.Map // numbers that pictures say they have, by path
	assets       assets
	lists        synonymsYAML
	labelled     labelsYAML
	datePlace    remark.Place
	languageAt   map[string]remark.Place
	editionLine  int // of handbook.yaml
	keyed        *Keyed
	// superseding are the bulletins, by what they supersede, in the order of their paths.
	superseding  map[string][]*Page
	addressWrong bool // the handbook's address has its remark
}

// Kinds of names, as remarks call them.
const (
	kindModel      = "model"
	kindPart       = "part"
	kindSpec       = "specification"
	kindState      = "engine state"
	kindSetting    = "setting"
	kindHazard     = "hazard"
	kindMeter      = "meter"
	kindCause      = "cause"
	kindCalculator = "calculator"
	kindEnd        = "end"
	kindLanguage   = "language"
	kindCircuit    = "circuit"
)

type named interface {
	*Model | *Part | *Spec | *State | *Setting | *Hazard | *Cause | *Circuit
	id() string
}

func (m *Model) id() string   { return m.ID }
func (p *Part) id() string    { return p.ID }
func (s *Spec) id() string    { return s.ID }
func (s *State) id() string   { return s.ID }
func (s *Setting) id() string { return s.ID }
func (h *Hazard) id() string  { return h.ID }
func (c *Cause) id() string   { return c.ID }
func (c *Circuit) id() string { return c.ID }

// find looks a name up, with a remark to the resolver's list where nothing has it.
func find[T named](r *resolver, kind string, list []T, name source.Text) T {
	return findIn(&r.remarks, r.complete[kind], kind, list, name)
}

// findIn returns what has the name. Where nothing has, and all names of the
// kind are known, it adds a remark and returns what was probably meant, so that
// nothing that follows from the slip is a second mistake. Where they are not, the
// name may stand in what could not be read, and is no other one.
func findIn[T named](remarks *remark.List, complete bool, kind string, list []T, name source.Text) (none T) {
	ids := make([]string, len(list))
	for i, x := range list {
		if ids[i] = x.id(); ids[i] == name.Value {
			return x
		}
	}
	if !complete {
		return none
	}
	near := nearest(*remarks, name.Value, ids)
	if near == "" || source.IsID(near) { // a wrong id has a remark where it stands
		unknown(remarks, kind, ids, name)
	}
	if near != "" {
		return list[slices.Index(ids, near)]
	}
	return none
}

// unknown remarks on a name, and returns the one that was probably meant, or "".
func unknown(remarks *remark.List, kind string, ids []string, name source.Text) (near string) {
	why := remark.ReferenceUnknown.At(name.Place, kind, name.Value)
	if near = nearest(*remarks, name.Value, ids); near != "" {
		why = why.Instead("Did you mean `%s`?", near)
	}
	*remarks = append(*remarks, why.About(nameless(kind, name.Value, name.Place.File)))
	return near
}

// nameless is the subject of remarks on a name that nothing has: in the whole handbook,
// or in one file for what has its names there.
func nameless(kind, name, file string) remark.Subject {
	if kind == kindCause || strings.Contains(kind, " of ") {
		kind = file + " " + kind
	}
	return remark.Subject{Name: kind + " " + name}
}

// kindStep is what remarks call a step of the page on which its name stands.
const kindStep = "step of this page"

// unknownHere is unknown for one of a few names, which it lists where none is
// near.
func unknownHere(remarks *remark.List, kind string, ids []string, name source.Text) {
	if unknown(remarks, kind, ids, name) == "" && len(ids) > 0 {
		last := &(*remarks)[len(*remarks)-1]
		*last = last.Instead("There is: %s.", strings.Join(ids, ", "))
	}
}

// locateAll makes the pages and tells where they stand.
func (r *resolver) locateAll() {
	r.pageAt = map[string]*pageResolver{}
	r.assetNames = map[string]bool{}
	for _, a := range r.tree.Assets {
		r.assetNames[a.Path] = true
	}
	has := map[string]bool{}
	for _, p := range r.tree.Pages {
		page := &Page{Source: p}
		page.Path, page.Lang, page.Key, page.Index = r.locate(p.Path)
		has[page.Lang] = true
		r.book.Pages = append(r.book.Pages, page)
		r.pageAt[p.Path] = &pageResolver{whole: r, page: page, resolving: &atRest}
	}
	r.keyed = ByKey(r.book.Pages)
	for _, name := range r.tree.UnreadPages() {
		_, lang, _, _ := r.locate(name)
		has[lang] = true
	}
	for _, lang := range r.book.Languages {
		if !has[lang] && len(r.book.Pages) > 0 {
			r.remarks.Add(remark.LanguageEmpty, remark.Place{File: handbookFile}, lang)
		}
	}
}

// locate tells where a page stands.
func (r *resolver) locate(file string) (out, lang, key string, index bool) {
	key = strings.TrimSuffix(file, path.Ext(file))
	lang = r.book.Languages[0]
	if top, rest, ok := strings.Cut(key, "/"); ok && slices.Contains(r.book.Languages, top) {
		lang, key = top, rest
	}
	index = key == "index"
	out = strings.TrimSuffix(file, path.Ext(file)) + ".html"
	if index {
		out = r.book.finder(lang)
	}
	return out, lang, key, index
}

// siblings are the source paths of the pages of a key.
func (r *resolver) siblings(key string) (names []string) {
	for p := range r.keyed.All(key) {
		names = append(names, p.Source.Path)
	}
	return names
}

// usedAssets lists the files that pages lead to.
func (r *resolver) usedAssets() {
	found := map[string]bool{}
	for _, p := range r.pageAt {
		maps.Copy(found, p.used)
		if p.used == nil && p.face != nil {
			for name := range p.face.Assets.All() {
				found[name] = true
			}
		}
	}
	r.book.Assets = slices.Sorted(maps.Keys(found))
}

// fileNames lists all pages and assets.
func (r *resolver) fileNames() []string {
	names := slices.Collect(maps.Keys(r.assetNames))
	return sorted(slices.AppendSeq(names, maps.Keys(r.pageAt)))
}

// nearest returns the known name that was probably meant, or "". Where there are many remarks already,
// some of them will not be told, and none needs it.
func nearest(remarks remark.List, name string, known []string) string {
	if len(remarks) > 2*remark.MostOfFile {
		return ""
	}
	return remark.Nearest(name, known)
}

func sorted(list []string) []string {
	slices.Sort(list)
	return list
}

func contains(list []string, s string) bool { return slices.Contains(list, s) }
