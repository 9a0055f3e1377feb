package render

import (
	"benchleaf/render/page"
	"benchleaf/render/search"
)

// sought is a page as the search has it: the bundle in which its places are, and these as they were
// taken, or nil.
type sought struct {
	*bundle
	taken *search.Taken
}

// seek keeps of a bundle what the search asks of it. Where files are written as they are made,
// the rest is let go of.
func (d *drawing) seek(lang string, x *bundle) sought {
	s := sought{bundle: x}
	if m := x.fresh; m != nil && d.lean {
		s.taken = d.reader(lang).Take(m.Places).Slim()
		if x.fresh = nil; !d.keeps() {
			s.bundle = &bundle{Head: x.Head}
		}
	}
	return s
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
		heads = append(heads, d.places(name).Head)
	}
	plan := search.NewPlan(d.reader(lang), lang, heads, models)
	tallies := make([]search.Tally, plan.Segments())
	for i := range tallies {
		x, err := d.bundle(digest("tally", plan.Key(i)), func(m *made) error {
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
	for i := range tallies {
		x, err := d.bundle(digest("segment", plan.Key(i), settled.Key()), func(m *made) error {
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

// places is a page as the search has it.
func (d *drawing) places(name string) sought {
	x, _ := d.found.Load(name)
	return x.(sought)
}

func (d *drawing) readPlaces(lang string, names []string) (map[string]*search.Taken, error) {
	pages := map[string]*search.Taken{}
	for _, name := range names {
		x := d.places(name)
		if x.taken != nil {
			pages[name] = x.taken
			continue
		}
		m, err := x.load()
		if err != nil {
			return nil, err
		}
		pages[name] = d.reader(lang).Take(m.Places)
	}
	return pages, nil
}
