package render

import (
	"context"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/picture"
	"benchleaf/render/search"
	"benchleaf/render/source"
)

// drawing makes the files of a handbook.
type drawing struct {
	*builder
	tree     *source.Tree
	book     *handbook.Handbook
	files    map[string]*handbook.Asset // that pages show or lead to
	renderer func() (*page.Renderer, error)
	progress Progress
	put      func(edition.File) error // may be called side by side

	// keys say what comes out of a page, of what lists pages and of what pages share; "" for
	// what is made each time.
	pageKey           func(*handbook.Page) string
	frontKey, someKey string

	known facts    // of the edition, where they are asked for
	found sync.Map // the bundle in which the places of a page are, by the page's path
}

// all makes everything, pages with a worker a core.
func (d *drawing) all(ctx context.Context) error {
	if err := d.shared(); err != nil {
		return err
	}
	if err := d.assets(ctx); err != nil {
		return err
	}
	if err := d.facts(); err != nil {
		return err
	}
	var list []*handbook.Page
	for _, p := range d.book.Pages {
		if !p.Index {
			list = append(list, p)
		}
	}
	workers, drawing := errgroup.WithContext(ctx)
	workers.SetLimit(runtime.GOMAXPROCS(0))
	tell := d.progress.counted(Drawing, len(list)+len(d.book.Languages))
	for _, lang := range d.book.Languages {
		workers.Go(func() error {
			defer tell()
			return d.front(lang)
		})
	}
	for _, p := range list {
		workers.Go(func() error {
			if err := drawing.Err(); err != nil {
				return err
			}
			defer tell()
			return d.page(p)
		})
	}
	if err := workers.Wait(); err != nil {
		return err
	}
	if err := d.changed(); err != nil {
		return err
	}
	tell = d.progress.counted(Searching, len(d.book.Languages))
	for _, lang := range d.book.Languages {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := d.search(lang); err != nil {
			return err
		}
		tell()
	}
	return nil
}

// add makes a bundle and puts its files.
func (d *drawing) add(key string, make func(m *made, r *page.Renderer) error) (*bundle, error) {
	x, err := d.bundle(key, func(m *made) error {
		r, err := d.renderer()
		if err != nil {
			return err
		}
		return make(m, r)
	})
	if err != nil {
		return nil, err
	}
	return x, x.each(d.put)
}

func keyed(key string, of ...any) string {
	if key == "" {
		return ""
	}
	return digest(key, of)
}

// shared makes what all pages share.
func (d *drawing) shared() error {
	_, err := d.add(keyed(d.someKey, "shared"), func(m *made, r *page.Renderer) error {
		files, err := r.Shared()
		for _, f := range files {
			m.addShell(f.Path, f.Data)
		}
		return err
	})
	return err
}

// facts makes what two editions' data are compared by. That hangs on all specifications and parts,
// and is sooner made than asked for.
func (d *drawing) facts() error {
	x, err := d.bundle("", func(m *made) error { return m.addFacts(compare.BookFile, compare.OfBook(d.book)) })
	if err != nil {
		return err
	}
	return x.each(d.put)
}

// assets makes the files that pages show or lead to, with a worker a core: as they are, and of
// a picture what an edition has of it.
func (d *drawing) assets(ctx context.Context) error {
	workers, ctx := errgroup.WithContext(ctx)
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, name := range d.book.Assets {
		workers.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			data, err := d.tree.ReadAsset(name)
			if err != nil {
				return err
			}
			x, err := d.bundle(keyed("asset", name, edition.Digest(data)), func(m *made) error {
				if !picture.IsPicture(name) {
					m.add(name, data)
					return nil
				}
				files, _, err := picture.Variants(name, data)
				for _, f := range files {
					m.add(f.Path, f.Data)
				}
				return err
			})
			if err != nil {
				return err
			}
			return x.each(d.put)
		})
	}
	return workers.Wait()
}

// page makes what comes of a page: the sheet, the picture of its order, the page on which its
// faults are practised, and the codes of their addresses.
func (d *drawing) page(p *handbook.Page) error {
	x, err := d.add(d.pageKey(p), func(m *made, r *page.Renderer) error {
		out, err := r.Page(p)
		if err != nil {
			return err
		}
		m.add(p.Path, out.HTML)
		m.add(out.Code.Path, out.Code.Data)
		if err := m.addPlaces(search.Read(d.book, p, out.HTML)); err != nil {
			return err
		}
		if err := m.addFacts(compare.PageFile(p.Path), compare.Of(p, d.files)); err != nil {
			return err
		}
		if name := p.FlowPath(); name != "" {
			out, err := r.Flow(p)
			if err != nil {
				return err
			}
			m.add(name, out.HTML)
			m.add(out.Code.Path, out.Code.Data)
		}
		if name := p.PracticePath(); name != "" {
			out, err := r.Practice(p)
			if err != nil {
				return err
			}
			m.add(name, out.HTML)
			m.add(out.Code.Path, out.Code.Data)
			data, err := r.PracticeData(p)
			if err != nil {
				return err
			}
			m.add(p.PracticeDataPath(), data)
		}
		return nil
	})
	d.found.Store(p.Path, x)
	return err
}

// front makes the pages of a language that list others.
func (d *drawing) front(lang string) error {
	x, err := d.add(keyed(d.frontKey, "front", lang), func(m *made, r *page.Renderer) error {
		finder, err := r.Finder(lang)
		if err != nil {
			return err
		}
		m.addShell(page.FinderPath(d.book, lang), finder.HTML)
		m.add(finder.Code.Path, finder.Code.Data)
		for _, p := range d.book.Pages {
			if p.Index && p.Lang == lang {
				if err := m.addFacts(compare.PageFile(p.Path), compare.Of(p, d.files)); err != nil {
					return err
				}
			}
		}
		if err := m.addPlaces(search.ReadFinder(page.FinderPath(d.book, lang), d.book.Title.In(lang), finder.HTML)); err != nil {
			return err
		}
		jobs, err := r.Jobs(lang)
		if err != nil {
			return err
		}
		m.addShell(page.JobsPath(d.book, lang), jobs.HTML)
		if name := page.ModelsPath(d.book, lang); name != "" {
			models, err := r.Models(lang)
			if err != nil {
				return err
			}
			m.addShell(name, models.HTML)
			m.add(models.Code.Path, models.Code.Data)
		}
		if name := page.LabelsPath(d.book, lang); name != "" {
			labels, err := r.Labels(lang)
			if err != nil {
				return err
			}
			m.add(name, labels.HTML)
		}
		return nil
	})
	d.found.Store(page.FinderPath(d.book, lang), x)
	return err
}

// search makes the index of a language and the page that uses it. Of a segment that has not
// changed not even the pages are read.
func (d *drawing) search(lang string) error {
	var models []string
	for _, m := range d.book.Models {
		models = append(models, m.ID)
	}
	paths := []string{page.FinderPath(d.book, lang)}
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
		if err := x.each(d.put); err != nil {
			return err
		}
	}
	_, err := d.add(keyed(d.frontKey, "search", lang, plan.Segments()), func(m *made, r *page.Renderer) error {
		words := page.SearchWords{Tag: plan.Tag(), Units: plan.Units(), Empty: plan.Empty(), Not: plan.Not()}
		out, err := r.Search(lang, words, plan.Paths())
		if err != nil {
			return err
		}
		m.addShell(page.SearchPath(d.book, lang), out.HTML)
		return nil
	})
	return err
}

// places is the bundle of a page in which its places are.
func (d *drawing) places(name string) *bundle {
	x, _ := d.found.Load(name)
	return x.(*bundle)
}

func (d *drawing) readPlaces(lang string, names []string) (map[string]*search.Taken, error) {
	pages := map[string]*search.Taken{}
	for _, name := range names {
		m, err := d.places(name).load()
		if err != nil {
			return nil, err
		}
		pages[name] = d.reader(lang).Take(m.Places)
	}
	return pages, nil
}

// draw makes the files of a judged handbook.
func (b *builder) draw(ctx context.Context, j *judged, progress Progress, put func(edition.File) error) error {
	d := &drawing{builder: b, tree: j.tree, book: j.book, files: j.draft.Assets(), progress: progress}
	d.put = func(f edition.File) error {
		if f.Facts && b.since != nil {
			d.known.note(f)
		}
		return put(f)
	}
	d.renderer = sync.OnceValues(func() (*page.Renderer, error) {
		look, err := b.look()
		if err != nil {
			return nil, err
		}
		r, err := page.New(j.book, look, j.tree.ReadAsset)
		if err == nil && b.since != nil {
			r.Since(compare.NewSince(b.since, j.book, d.files))
		}
		return r, err
	})
	entries := map[*handbook.Page]*entry{}
	whole := true
	var faces, index []string
	for _, x := range j.pages {
		entries[x.Page] = x.entry
		faces = append(faces, x.Source.Path, x.face)
		if x.Index {
			whole = whole && x.entry != nil
			if x.entry != nil {
				index = append(index, x.entry.key())
			}
		}
	}
	d.someKey = digest("some", j.frame, j.draft.Front(), j.book.Labels != nil)
	if whole {
		d.frontKey = digest("pages", j.frame, j.book.Labels != nil, faces, index)
	}
	d.pageKey = func(p *handbook.Page) string {
		if e := entries[p]; e != nil {
			return e.Bundle
		}
		return ""
	}
	if err := d.all(ctx); err != nil {
		return err
	}
	for _, x := range j.pages {
		if x.entry != nil && x.entry.Bundle != "" {
			b.next.Pages[x.Source.Path] = x.entry
		}
	}
	b.next.Assets = d.files
	return nil
}
