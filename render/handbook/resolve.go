package handbook

import (
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Resolve makes the model of a tree. The handbook is never nil; with an error
// among the remarks it is incomplete and fit only for further checks.
func Resolve(tree *source.Tree) (*Handbook, remark.List) {
	r := &resolver{tree: tree, book: &Handbook{}, complete: map[string]bool{}}
	r.data()
	r.pages()
	r.eachPage((*pageResolver).resolve)
	r.practices()
	r.synonyms()
	r.labels()
	r.ownNames()
	r.assets()
	r.names()
	r.pictures()
	return r.book, r.remarks
}

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
	used         sync.Map // assets that pages lead to, by path
	drawn        sync.Map // numbers that pictures say they have, by path
	lists        synonymsYAML
	labelled     labelsYAML
	datePlace    remark.Place
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
// nothing that follows from the slip is a second mistake.
func findIn[T named](remarks *remark.List, complete bool, kind string, list []T, name source.Text) T {
	ids := make([]string, len(list))
	for i, x := range list {
		if ids[i] = x.id(); ids[i] == name.Value {
			return x
		}
	}
	near := remark.Nearest(name.Value, ids)
	if complete && (near == "" || source.IsID(near)) { // a wrong id has a remark where it stands
		unknown(remarks, kind, ids, name)
	}
	if near != "" {
		return list[slices.Index(ids, near)]
	}
	return nil
}

// unknown remarks on a name, and returns the one that was probably meant, or "".
func unknown(remarks *remark.List, kind string, ids []string, name source.Text) (near string) {
	why := remark.ReferenceUnknown.At(name.Place, kind, name.Value)
	if near = remark.Nearest(name.Value, ids); near != "" {
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

// pages makes the pages and all that links between them need: paths, heading
// ids, causes.
func (r *resolver) pages() {
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
		r.pageAt[p.Path] = &pageResolver{whole: r, page: page}
	}
	for _, name := range r.tree.UnreadPages() {
		_, lang, _, _ := r.locate(name)
		has[lang] = true
	}
	for _, lang := range r.book.Languages {
		if !has[lang] && len(r.book.Pages) > 0 {
			r.remarks.Add(remark.LanguageEmpty, remark.Place{File: handbookFile}, lang)
		}
	}
	r.eachPage((*pageResolver).outline)
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

// eachPage runs f for every page, a worker a core. Pages write to themselves
// only; their remarks are put in order afterwards.
func (r *resolver) eachPage(f func(*pageResolver)) {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, p := range r.book.Pages {
		workers.Go(func() error {
			f(r.pageAt[p.Source.Path])
			return nil
		})
	}
	_ = workers.Wait()
	for _, p := range r.book.Pages {
		pr := r.pageAt[p.Source.Path]
		r.remarks = append(r.remarks, pr.remarks...)
		pr.remarks = nil
	}
}

// assets lists the files that pages lead to.
func (r *resolver) assets() {
	found := map[string]bool{}
	r.used.Range(func(name, _ any) bool { found[name.(string)] = true; return true })
	r.book.Assets = slices.Sorted(maps.Keys(found))
}

// fileNames lists all pages and assets.
func (r *resolver) fileNames() []string {
	names := slices.Collect(maps.Keys(r.assetNames))
	return sorted(slices.AppendSeq(names, maps.Keys(r.pageAt)))
}

func sorted(list []string) []string {
	slices.Sort(list)
	return list
}

func contains(list []string, s string) bool { return slices.Contains(list, s) }
