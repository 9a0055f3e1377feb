package render

import (
	"context"
	"maps"
	"runtime"
	"slices"
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
	files    compare.Files // that pages show or lead to
	renderer func() (*page.Renderer, error)
	progress Progress
	put      func(edition.File) error // may be called side by side

	// keys say what comes out of what lists pages and of what pages share; "" for what is made
	// each time.
	frontKey, someKey string

	known facts  // of the edition, where they are asked for
	tell  func() // that one more page is drawn

	mu     sync.Mutex        // while pages are drawn, guards what follows
	err    error             // the first in drawing slight pages
	loaded map[string]bool   // the files of scripts that pages load
	found  map[string]sought // pages as the search has them, by their path
}

// slight draws a slight page. The first mistake is kept for later: an author's comes before it.
func (d *drawing) slight(x *judgedPage, p *handbook.Page) {
	d.mu.Lock()
	err := d.err
	d.mu.Unlock()
	if err == nil {
		err = d.page(p, x.entry)
		d.tell()
	}
	if x.drawn = err == nil; !x.drawn {
		d.mu.Lock()
		d.err = err
		d.mu.Unlock()
	}
}

// all makes everything that is not drawn yet, pages with a worker a core.
func (d *drawing) all(ctx context.Context, pages []*judgedPage) error {
	if err := d.assets(ctx); err != nil {
		return err
	}
	if err := d.facts(); err != nil {
		return err
	}
	workers, drawing := errgroup.WithContext(ctx)
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, lang := range d.book.Languages {
		workers.Go(func() error {
			defer d.tell()
			return d.front(lang)
		})
	}
	for _, x := range pages {
		if x.Index || x.drawn {
			continue
		}
		workers.Go(func() error {
			if err := drawing.Err(); err != nil {
				return err
			}
			defer d.tell()
			return d.page(x.Page, x.entry)
		})
	}
	if err := workers.Wait(); err != nil {
		return err
	}
	if err := d.changed(); err != nil {
		return err
	}
	tell := d.progress.counted(Searching, len(d.book.Languages))
	for _, lang := range d.book.Languages {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := d.search(lang); err != nil {
			return err
		}
		tell()
	}
	return d.shared()
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
	d.noteScripts(x.Scripts)
	return x, x.each(d.put)
}

// noteScripts notes scripts that a page loads.
func (d *drawing) noteScripts(scripts []string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.loaded == nil {
		d.loaded = map[string]bool{}
	}
	for _, name := range scripts {
		d.loaded[name] = true
	}
}

// write puts the files of a bundle, and lets go of them where nobody asks for them again.
func (d *drawing) write(x *bundle) error {
	err := x.each(d.put)
	if d.lean {
		x.fresh = nil
	}
	return err
}

func keyed(key string, of ...any) string {
	if key == "" {
		return ""
	}
	return digest(key, of)
}

// shared makes what all pages share, once it is known which scripts they load.
func (d *drawing) shared() error {
	_, err := d.add(keyed(d.someKey, "shared", slices.Sorted(maps.Keys(d.loaded))), func(m *made, r *page.Renderer) error {
		files, err := r.Shared(d.loaded)
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
	return d.write(x)
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
			return d.write(x)
		})
	}
	return workers.Wait()
}

// page makes what comes of a page: the sheet, the picture of its order, the page on which its
// faults are practised, and the codes of their addresses.
func (d *drawing) page(p *handbook.Page, e *entry) error {
	key := ""
	if e != nil {
		key = e.Bundle
	}
	x, err := d.add(key, func(m *made, r *page.Renderer) error {
		out, err := r.Page(p)
		if err != nil {
			return err
		}
		m.addPage(p.Path, out, false)
		m.addPlaces(search.Read(d.book, p, out.HTML))
		if err := m.addFacts(compare.PageFile(p.Path), compare.Of(p, d.files)); err != nil {
			return err
		}
		if name := p.FlowPath(); name != "" {
			out, err := r.Flow(p)
			if err != nil {
				return err
			}
			m.addPage(name, out, false)
		}
		if name := p.PracticePath(); name != "" {
			out, err := r.Practice(p)
			if err != nil {
				return err
			}
			m.addPage(name, out, false)
			data, err := r.PracticeData(p)
			if err != nil {
				return err
			}
			m.add(p.PracticeDataPath(), data)
		}
		return nil
	})
	if err != nil {
		return err
	}
	d.seek(p.Path, p.Lang, x)
	return nil
}

// front makes the pages of a language that list others.
func (d *drawing) front(lang string) error {
	x, err := d.add(keyed(d.frontKey, "front", lang), func(m *made, r *page.Renderer) error {
		finder, err := r.Finder(lang)
		if err != nil {
			return err
		}
		m.addPage(page.FinderPath(d.book, lang), finder, true)
		for _, p := range d.book.Pages {
			if p.Index && p.Lang == lang {
				if err := m.addFacts(compare.PageFile(p.Path), compare.Of(p, d.files)); err != nil {
					return err
				}
			}
		}
		m.addPlaces(search.ReadFinder(page.FinderPath(d.book, lang), d.book.Title.In(lang), finder.HTML))
		jobs, err := r.Jobs(lang)
		if err != nil {
			return err
		}
		m.addPage(page.JobsPath(d.book, lang), jobs, true)
		if name := page.LabelsPath(d.book, lang); name != "" {
			labels, err := r.Labels(lang)
			if err != nil {
				return err
			}
			m.addPage(name, labels, false)
		}
		return nil
	})
	if err != nil {
		return err
	}
	d.seek(page.FinderPath(d.book, lang), lang, x)
	return d.models(lang)
}

// models makes the page of a language's models, where there is one.
func (d *drawing) models(lang string) error {
	name := page.ModelsPath(d.book, lang)
	if name == "" {
		return nil
	}
	x, err := d.add(keyed(d.frontKey, "models", lang), func(m *made, r *page.Renderer) error {
		models, err := r.Models(lang)
		if err != nil {
			return err
		}
		m.addPage(name, models, true)
		m.addPlaces(search.ReadModels(d.book, lang, name, r.ModelsTitle(lang), models.HTML))
		return nil
	})
	if err != nil {
		return err
	}
	d.seek(name, lang, x)
	return nil
}

// drawing begins to draw a handbook, whose pages are outlined at least.
func (b *builder) drawing(j *judged, progress Progress, put func(edition.File) error) *drawing {
	d := &drawing{builder: b, tree: j.tree, book: j.book, files: j.draft.Asset, progress: progress}
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
	d.count()
	return d
}

// count begins to tell of pages.
func (d *drawing) count() {
	total := len(d.book.Languages)
	for _, p := range d.book.Pages {
		if !p.Index {
			total++
		}
	}
	d.tell = d.progress.counted(Drawing, total)
}

// finish draws what of a judged handbook is not drawn yet.
func (d *drawing) finish(ctx context.Context, j *judged) error {
	if d.err != nil {
		return d.err
	}
	if d.keeps() {
		d.keys(j)
	}
	if err := d.all(ctx, j.pages); err != nil {
		return err
	}
	for _, x := range j.pages {
		if x.entry != nil && x.entry.Bundle != "" {
			d.next.Pages[x.Source.Path] = x.entry
		}
	}
	d.next.Assets = j.draft.Assets()
	return nil
}

// keys makes those of what lists pages and of what they share.
func (d *drawing) keys(j *judged) {
	whole := true
	var faces, index []string
	for _, x := range j.pages {
		faces = append(faces, x.Source.Path, j.face(x))
		if x.Index {
			whole = whole && x.entry != nil
			if x.entry != nil {
				index = append(index, x.entry.key(x.Source.Path))
			}
		}
	}
	d.someKey = digest("some", j.frame, j.draft.Front(), j.book.Labels != nil)
	if whole {
		d.frontKey = digest("pages", j.frame, j.draft.Labels(), j.book.Labels != nil, faces, index, page.LimitsNow(j.book))
	}
}

// draw makes the files of a judged handbook.
func (b *builder) draw(ctx context.Context, j *judged, progress Progress, put func(edition.File) error) error {
	return b.drawing(j, progress, put).finish(ctx, j)
}
