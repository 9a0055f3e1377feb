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
	"os"
	"path/filepath"
	"sync"

	"benchleaf/render/audit"
	"benchleaf/render/cache"
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
var ErrApart = errors.New("the edition's folder and its source lie one in the other; choose another one with -out")

// ErrNoSource says that the source folder does not exist.
var ErrNoSource = errors.New("there is no such folder; name the handbook's, or begin one: benchleaf begin handbook")

// Options say how a handbook is compiled.
type Options struct {
	// Cache is the folder that keeps what one build makes for the next; "" for none.
	Cache    string
	Progress Progress // or nil
	// Pages is told how many pages there are, before they are parsed, and then how many of them are held; or nil.
	Pages func(n, held int)
	// Since is an older edition, by its folder or its manifest: pages are marked where they
	// changed since. "" for none.
	Since string
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
	b := &builder{cache: cache.None{}, look: sync.OnceValues(theme.Load)}
	if err := b.openSince(o.Since, out); err != nil {
		return Result{}, err
	}
	b.lean = b.since == nil // what changed is told of all pages at once
	b.pages = o.Pages
	var folder *cache.Folder
	if o.Cache != "" {
		program, err := thisProgram()
		if err != nil {
			return Result{}, err
		}
		folder = cache.Open(o.Cache)
		b.cache, b.program = folder, program
	}
	name, err := realPath(dir)
	if err != nil {
		return Result{}, err
	}
	b.read(name)
	compile := func() (Result, error) { return b.compile(ctx, dir, out, o.Progress) }
	result, err := again(compile)
	if errors.Is(err, errLost) {
		b.last = newState()
		result, err = compile()
	}
	if err == nil && !result.Failed() && folder != nil {
		b.save(name)
		folder.Prune()
	}
	return result, err
}

// compile makes an edition, once.
func (b *builder) compile(ctx context.Context, dir, out string, progress Progress) (Result, error) {
	b.next = newState()
	progress.begin(Reading)
	tree, remarks, err := source.Scan(dir)
	if err != nil {
		return Result{}, noSource(dir, err)
	}
	defer tree.Close()
	b.tell(len(tree.Pages), 0)
	var w *edition.Writer
	defer func() {
		if w != nil {
			w.Close()
		}
	}()
	var d *drawing
	begin := func(j *judged) drawPage {
		begun := sync.OnceValue(func() (err error) {
			w, err = edition.Begin(out, edition.Manifest{
				Title: j.book.Title.In(j.book.Languages[0]), Edition: j.book.Edition, Date: j.book.Date,
			})
			if err == nil && b.caches() {
				known, _ := b.cache.Get(stampsKey(out))
				w.Stamp(edition.ReadStamps(known))
			}
			return err
		})
		d = b.drawing(j, progress, func(f edition.File) error {
			if err := begun(); err != nil {
				return err
			}
			return w.Add(f)
		})
		return d.slight
	}
	early := begin
	if !b.lean {
		early = nil
	}
	j, err := b.judge(ctx, tree, remarks, progress, early)
	if err != nil {
		return Result{}, err
	}
	result, book := j.result, j.book
	if result.Failed() {
		return result, nil
	}
	if d == nil {
		begin(j)
	}
	result.First = page.FinderPath(book, book.Languages[0])
	if err := d.finish(ctx, j); err != nil {
		return result, err
	}
	progress.begin(Packing)
	if err := ctx.Err(); err != nil {
		return result, err
	}
	if err := w.Commit(); err != nil {
		return result, err
	}
	result.Pages = w.Pages()
	if b.caches() {
		b.cache.Put(stampsKey(out), w.Stamps().Text())
	}
	return result, nil
}

// stampsKey is under which the cache has how the files of an edition lie on the disk.
func stampsKey(out string) string {
	name, _ := realPath(out)
	return digest("stamps", name)
}

// noSource says of a folder that it is not there, or is none.
func noSource(dir string, err error) error {
	if info, there := os.Stat(dir); errors.Is(err, fs.ErrNotExist) || there == nil && !info.IsDir() {
		return fmt.Errorf("%s: %w", dir, ErrNoSource)
	}
	return err
}

// apart refuses an output folder that is the source, lies in it or around it:
// an edition replaces its whole folder.
func apart(dir, out string) error {
	if edition.Within(out, dir) || edition.Within(dir, out) {
		return fmt.Errorf("%w: %s and %s", ErrApart, out, dir)
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
func Audit(dir string) (Result, error) { return AuditSince(dir, Options{}) }

// AuditSince is Audit as Compile does it, page by page; of the options it takes Pages and Since.
func AuditSince(dir string, o Options) (result Result, err error) {
	b := &builder{cache: cache.None{}, lean: true, last: newState(), next: newState(), pages: o.Pages}
	if b.since, err = openSince(o.Since); err != nil {
		return Result{}, err
	}
	return again(func() (result Result, err error) {
		tree, remarks, err := source.Scan(dir)
		if err != nil {
			return Result{}, noSource(dir, err)
		}
		defer tree.Close()
		b.tell(len(tree.Pages), 0)
		j, err := b.judge(context.Background(), tree, remarks, nil, func(*judged) drawPage { return nil })
		if err != nil {
			return Result{}, err
		}
		j.result.Coverage = audit.Cover(j.book)
		return j.result, nil
	})
}

// again does something once more where a page could not be read a second time as it was.
func again(do func() (Result, error)) (Result, error) {
	result, err := do()
	var reread *source.RereadError
	if errors.As(err, &reread) {
		return do()
	}
	return result, err
}

// model runs the stages up to the audit.
func model(dir string) (*source.Tree, *handbook.Handbook, Result, error) {
	tree, remarks, err := source.Read(dir)
	if err != nil {
		return nil, nil, Result{}, noSource(dir, err)
	}
	book, result := judge(tree, remarks)
	return tree, book, result, nil
}

// judge resolves and audits a tree, whose reading has brought remarks. The result has remarks only.
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
