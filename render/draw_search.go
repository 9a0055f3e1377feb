package render

import (
	"benchleaf/render/page"
	"benchleaf/render/search"
)

// sought is a page as the search has it: the bundle in which its places are, and these as they were
// taken. One of both may be nil.
type sought struct {
	bundle *bundle
	taken  *search.Taken
}

// head is the page's.
func (s sought) head() search.Head {
	if s.bundle == nil {
		return s.taken.Head()
	}
	return s.bundle.Head
}

// seek keeps of a bundle what the search asks of it. Where files are written as they are made,
// the rest is let go of.
func (d *drawing) seek(name, lang string, x *bundle) {
	s := sought{bundle: x}
	if m := x.fresh; m != nil && d.lean {
		s.taken = d.reader(lang).Take(m.Places).Slim()
		if x.fresh = nil; !d.keeps() {
			s.bundle = nil
		}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.found == nil {
		d.found = map[string]sought{}
	}
	d.found[name] = s
}

// search makes the index of a language and the page that uses it. Of a segment that has not
// changed not even the pages are read.
func (d *drawing) search(lang string) error {
	var models []string
	for _, m := range d.book.Models {
		models = append(models, m.ID)
	}
	paths := []string{page.FinderPath(d.book, lang)}
	if name := page.ModelsPath(d.book, lang); name != "" {
		paths = append(paths, name)
	}
	for _, p := range d.book.Pages {
		if p.Lang == lang && !p.Index {
			paths = append(paths, p.Path)
		}
	}
	var heads []search.Head
	for _, name := range paths {
		heads = append(heads, d.found[name].head())
	}
	plan := search.NewPlan(d.reader(lang), lang, heads, models)
	tallies := make([]search.Tally, plan.Segments())
	for i := range tallies {
		x, err := d.bundle(d.segmentKey(plan, i, "tally"), func(m *made) error {
			pages, err := d.readPlaces(lang, plan.Pages(i))
			if err == nil {
				m.Tally = plan.Tally(i, pages)
			}
			return err
		})
		if err != nil {
			return err
		}
		tallies[i] = x.Tally
	}
	settled := plan.Settle(tallies)
	settledKey := settled.Key()
	for i := range tallies {
		x, err := d.bundle(d.segmentKey(plan, i, "segment", settledKey), func(m *made) error {
			pages, err := d.readPlaces(lang, plan.Pages(i))
			if err != nil {
				return err
			}
			files, err := plan.Files(i, pages, settled)
			for _, f := range files {
				m.add(f.Path, f.Data)
			}
			return err
		})
		if err != nil {
			return err
		}
		if err := d.write(x); err != nil {
			return err
		}
	}
	_, err := d.add(keyed(d.frontKey, "search", lang, plan.Segments()), func(m *made, r *page.Renderer) error {
		words := page.SearchWords{Tag: plan.Tag(), Units: plan.Units(), Empty: plan.Empty(), Not: plan.Not()}
		out, err := r.Search(lang, words, plan.Paths())
		if err != nil {
			return err
		}
		m.addPage(page.SearchPath(d.book, lang), out, true)
		return nil
	})
	return err
}

// segmentKey is the key of something that is made of a segment.
func (d *drawing) segmentKey(plan *search.Plan, i int, of ...string) string {
	if !d.keeps() {
		return ""
	}
	return digest(of, plan.Key(i))
}

func (d *drawing) readPlaces(lang string, names []string) (map[string]*search.Taken, error) {
	pages := map[string]*search.Taken{}
	for _, name := range names {
		x := d.found[name]
		if x.taken != nil {
			pages[name] = x.taken
			continue
		}
		m, err := x.bundle.load()
		if err != nil {
			return nil, err
		}
		pages[name] = d.reader(lang).Take(m.Places)
	}
	return pages, nil
}
