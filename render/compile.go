// Package render conducts the stages from a folder of Markdown to an edition:
// read, resolve, audit, render, package. Each stage takes the whole result of
// the one before it; none writes where an earlier one reads.
//
// In: a source folder and an output folder. Out: remarks, and the edition if
// none of them is an error. Only this package knows all the stages.
package render

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/audit"
	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/remark"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// Result tells what a compilation did.
type Result struct {
	Remarks remark.List // sorted
	Allowed remark.List // remarks that the handbook lets stand, with their reasons
	Pages   int         // HTML pages, the finders among them
	// Coverage is what the procedures look at; of Audit only.
	Coverage audit.Coverage
	First    string // path in the edition of the page to open first
}

// Failed tells whether an error among the remarks stopped the output.
func (r Result) Failed() bool { return r.Remarks.Count(remark.Error) > 0 }

// ErrApart says that an output folder and its source lie one in the other.
var ErrApart = errors.New("the edition's folder and its source lie one in the other")

// ErrNoSource says that the source folder does not exist.
var ErrNoSource = errors.New("there is no such folder")

// Options say how a handbook is compiled.
type Options struct {
	Progress Progress // or nil
}

// Progress is told what is being done, and how much of how much of it is. It is called
// often, and by one goroutine at a time.
type Progress func(what string, done, total int)

// begin tells of something that cannot be counted.
func (p Progress) begin(what string) {
	if p != nil {
		p(what, 0, 0)
	}
}

// counted returns a function that tells of one more of a total, for workers side by
// side.
func (p Progress) counted(what string, total int) func() {
	if p == nil {
		return func() {}
	}
	var mu sync.Mutex
	done := 0
	p(what, 0, total)
	return func() {
		mu.Lock()
		defer mu.Unlock()
		done++
		p(what, done, total)
	}
}

// The words for what is being done.
const (
	Reading   = "reading"
	Judging   = "judging"
	Drawing   = "drawing"
	Searching = "searching"
	Packing   = "packing"
)

// Compile makes the edition in out from the handbook in dir. Author's mistakes
// are remarks; the error tells of the machine: a folder that cannot be read, a
// full disk, or that the context has ended. In each case what out held before is
// untouched.
func Compile(ctx context.Context, dir, out string, o Options) (Result, error) {
	if err := apart(dir, out); err != nil {
		return Result{}, err
	}
	o.Progress.begin(Reading)
	tree, book, result, err := model(dir)
	if err != nil {
		return Result{}, err
	}
	defer tree.Close()
	if result.Failed() {
		return result, nil
	}
	if err := ctx.Err(); err != nil {
		return result, err
	}
	look, err := theme.Load()
	if err != nil {
		return result, err
	}
	renderer, err := page.New(book, look, tree.ReadAsset)
	if err != nil {
		return result, err
	}
	w, err := edition.Begin(out, edition.Manifest{
		Title: book.Title.In(book.Languages[0]), Edition: book.Edition, Date: book.Date,
	})
	if err != nil {
		return result, err
	}
	defer w.Close()
	result.First = page.FinderPath(book, book.Languages[0])
	if result.Pages, err = write(ctx, w, tree, book, renderer, o.Progress); err != nil {
		return result, err
	}
	o.Progress.begin(Packing)
	if err := ctx.Err(); err != nil {
		return result, err
	}
	return result, w.Commit()
}

// apart refuses an output folder that is the source, lies in it or around it:
// an edition replaces its whole folder.
func apart(dir, out string) error {
	source, err := realPath(dir)
	if err != nil {
		return err
	}
	target, err := realPath(out)
	if err != nil {
		return err
	}
	for _, pair := range [][2]string{{source, target}, {target, source}} {
		if rel, err := filepath.Rel(pair[0], pair[1]); err == nil && filepath.IsLocal(rel) {
			return fmt.Errorf("%w: %s and %s", ErrApart, out, dir)
		}
	}
	return nil
}

// realPath resolves symbolic links in as much of a path as exists.
func realPath(name string) (string, error) {
	name, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(name); err == nil {
		return real, nil
	}
	parent := filepath.Dir(name)
	if parent == name {
		return name, nil
	}
	real, err := realPath(parent)
	return filepath.Join(real, filepath.Base(name)), err
}

// Audit reads and judges the handbook in dir and writes nothing.
func Audit(dir string) (Result, error) {
	tree, book, result, err := model(dir)
	if err != nil {
		return Result{}, err
	}
	result.Coverage = audit.Cover(book)
	return result, tree.Close()
}

// model runs the stages up to the audit.
func model(dir string) (*source.Tree, *handbook.Handbook, Result, error) {
	tree, remarks, err := source.Read(dir)
	if errors.Is(err, fs.ErrNotExist) {
		err = fmt.Errorf("%s: %w", dir, ErrNoSource)
	}
	if err != nil {
		return nil, nil, Result{}, err
	}
	book, result := judge(tree, remarks)
	return tree, book, result, nil
}

// judge resolves and audits a tree, whose reading has brought remarks. The result has
// remarks only.
func judge(tree *source.Tree, remarks remark.List) (*handbook.Handbook, Result) {
	book, more := handbook.Resolve(tree)
	remarks = append(remarks, more...)
	remarks = append(remarks, audit.Audit(book)...)
	var result Result
	result.Remarks, result.Allowed = remarks.Settle(book.Rules, book.Allowances())
	for _, list := range []*remark.List{&result.Remarks, &result.Allowed} {
		list.Sort()
		tree.Quote(*list)
	}
	return book, result
}

// sink takes the files of an edition as edition.Writer does.
type sink interface {
	Write(name string, data []byte) error
	WriteShell(name string, data []byte) error
}

// write renders everything into the edition, pages with a worker a core.
func write(ctx context.Context, w sink, tree *source.Tree, book *handbook.Handbook, renderer *page.Renderer, progress Progress) (pages int, err error) {
	shared, err := renderer.Shared()
	if err != nil {
		return 0, err
	}
	for _, f := range shared {
		if err := w.WriteShell(f.Path, f.Data); err != nil {
			return 0, err
		}
	}
	if err := writeAssets(w, tree, book.Assets); err != nil {
		return 0, err
	}
	found := newFinding(book)
	for _, lang := range book.Languages {
		finder, err := renderer.Finder(lang)
		if err != nil {
			return 0, err
		}
		if err := w.WriteShell(page.FinderPath(book, lang), finder.HTML); err != nil {
			return 0, err
		}
		if err := writeCode(w, finder); err != nil {
			return 0, err
		}
		found.finder(lang, finder.HTML)
		jobs, err := renderer.Jobs(lang)
		if err != nil {
			return 0, err
		}
		if err := w.WriteShell(page.JobsPath(book, lang), jobs.HTML); err != nil {
			return 0, err
		}
		if name := page.ModelsPath(book, lang); name != "" {
			models, err := renderer.Models(lang)
			if err != nil {
				return 0, err
			}
			if err := w.WriteShell(name, models.HTML); err != nil {
				return 0, err
			}
			if err := writeCode(w, models); err != nil {
				return 0, err
			}
			pages++
		}
		pages += 3
		if name := page.LabelsPath(book, lang); name != "" {
			labels, err := renderer.Labels(lang)
			if err != nil {
				return 0, err
			}
			if err := w.Write(name, labels.HTML); err != nil {
				return 0, err
			}
			pages++
		}
	}
	var list []*handbook.Page
	for _, p := range book.Pages {
		if !p.Index {
			list = append(list, p)
		}
	}
	workers, drawing := errgroup.WithContext(ctx)
	workers.SetLimit(runtime.GOMAXPROCS(0))
	tell := progress.counted(Drawing, len(list))
	for _, p := range list {
		workers.Go(func() error {
			if err := drawing.Err(); err != nil {
				return err
			}
			defer tell()
			out, err := renderer.Page(p)
			if err != nil {
				return err
			}
			found.page(p, out.HTML)
			return writePage(w, p.Path, out)
		})
		if p.PracticePath() != "" {
			pages++
			workers.Go(func() error { return writePractice(w, renderer, p) })
		}
		if p.FlowPath() == "" {
			continue
		}
		pages++
		workers.Go(func() error {
			out, err := renderer.Flow(p)
			if err != nil {
				return err
			}
			return writePage(w, p.FlowPath(), out)
		})
	}
	if err := workers.Wait(); err != nil {
		return 0, err
	}
	progress.begin(Searching)
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	return pages + len(list), found.write(w, renderer)
}

// writePage writes a page, and the picture of its address.
func writePage(w sink, name string, out page.Output) error {
	if err := w.Write(name, out.HTML); err != nil {
		return err
	}
	return writeCode(w, out)
}

func writeCode(w sink, out page.Output) error {
	if out.Code.Path == "" {
		return nil
	}
	return w.Write(out.Code.Path, out.Code.Data)
}

// writePractice writes the page on which a planted fault is chosen, and the
// circuit as data.
func writePractice(w sink, renderer *page.Renderer, p *handbook.Page) error {
	out, err := renderer.Practice(p)
	if err != nil {
		return err
	}
	if err := writePage(w, p.PracticePath(), out); err != nil {
		return err
	}
	data, err := renderer.PracticeData(p)
	if err != nil {
		return err
	}
	return w.Write(p.PracticeDataPath(), data)
}
