package render

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"benchleaf/render/begin"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
	"benchleaf/render/whole"
)

// ErrThere says that something lies where something is to be begun.
var ErrThere = errors.New("it is there already, and nothing is written over")

// Beginning is something that is begun in a folder. Its values are the caller's
// to fill in.
type Beginning struct {
	begin.Draft
	dir    string
	before remark.List // what is wrong with the handbook as it is
}

// Begin opens the handbook in dir for something to be begun in it; a new
// handbook will be in dir. Remarks are errors in the handbook's data, of which
// not all is known then: they are to be mended first.
func Begin(dir string, kind *begin.Kind, name, day string) (*Beginning, remark.List, error) {
	if kind.Whole && !there(dir) {
		dir = filepath.Clean(dir) // which may be there: a/.. is, though a is not
	}
	b := &Beginning{begin.Draft{Kind: kind, Name: name, Day: day, Book: &handbook.Handbook{}, Values: map[string]string{}}, dir, nil}
	if kind.Whole {
		return b, nil, free(dir)
	}
	tree, book, result, err := model(dir)
	if err != nil {
		return nil, nil, err
	}
	b.Book, b.before = book, result.Remarks
	data := slices.DeleteFunc(slices.Clone(result.Remarks), func(r remark.Remark) bool {
		return r.Severity != remark.Error || strings.EqualFold(path.Ext(r.Place.File), ".md")
	})
	return b, data, tree.Close()
}

// free refuses a folder that holds something. What begins with a dot is the
// editor's and the system's.
func free(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			return fmt.Errorf("%s: %w", filepath.Join(dir, e.Name()), ErrThere)
		}
	}
	return nil
}

// Write writes all files, or none: not where one of them is there, nor where the
// handbook with them has a remark that it does not have without. It returns the
// names of what was written.
func (b *Beginning) Write() (written []string, remarks remark.List, err error) {
	if b.Kind.Whole && (!there(b.dir) || vacant(b.dir)) {
		if written, remarks, err = b.undone(b.aside); !errors.Is(err, errStays) {
			return written, remarks, err
		}
	}
	return b.undone(func(undo *undoing) ([]string, remark.List, error) { return b.write(b.dir, undo) })
}

// undone writes, and takes back what was written where that is not all.
func (b *Beginning) undone(write func(*undoing) ([]string, remark.List, error)) (written []string, remarks remark.List, err error) {
	var undo undoing
	if written, remarks, err = write(&undo); err != nil || len(remarks) > 0 {
		return nil, remarks, errors.Join(err, undo.all())
	}
	return written, nil, nil
}

// errStays says that no other folder can be put in the place of one.
var errStays = errors.New("the folder cannot be exchanged")

// aside writes the folder of a new handbook aside and puts it in place in one step.
func (b *Beginning) aside(undo *undoing) (written []string, remarks remark.List, err error) {
	dir := b.dir
	was, err := os.Stat(dir)
	empty := err == nil
	if empty {
		if dir, err = filepath.EvalSymlinks(dir); err != nil {
			return nil, nil, err
		}
	}
	parent, prefix := filepath.Dir(dir), "."+filepath.Base(dir)+".new-"
	if err := undo.folders(parent); err != nil {
		return nil, nil, err
	}
	whole.Clear(parent, func(d fs.DirEntry) bool { return d.IsDir() && strings.HasPrefix(d.Name(), prefix) })
	aside, held, err := whole.Aside(func() (string, error) {
		name := filepath.Join(parent, prefix+rand.Text())
		return name, os.Mkdir(name, 0o777)
	})
	if err != nil && empty { // what is in it may be written all the same
		return nil, nil, errStays
	} else if err != nil {
		return nil, nil, err
	}
	defer held.Close()
	*undo = append(*undo, aside)
	if written, remarks, err = b.write(aside, undo); err != nil || len(remarks) > 0 {
		return nil, remarks, err
	}
	if empty {
		if now, err := os.Stat(aside); err != nil || !whole.SameOwner(was, now) {
			return nil, nil, errors.Join(errStays, err)
		}
		if err := os.Chmod(aside, was.Mode()); err != nil {
			return nil, nil, err
		}
		if os.Remove(dir) != nil { // it is not empty any more, or a disk of its own
			return nil, nil, errStays
		}
	}
	if err = os.Rename(aside, dir); err != nil && empty {
		err = errors.Join(err, os.Mkdir(dir, 0o777), os.Chmod(dir, was.Mode()))
	}
	return written, nil, err
}

// vacant tells whether a folder may give way to another one: it holds nothing, may be written into, and is not the
// one that the program was started in.
func vacant(dir string) bool {
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) > 0 {
		return false
	}
	here, err := os.Stat(".")
	info, failed := os.Stat(dir)
	return err == nil && failed == nil && info.Mode()&0o200 != 0 && !os.SameFile(here, info)
}

// write writes the files into dir, which is the handbook's folder or what becomes it.
func (b *Beginning) write(dir string, undo *undoing) (written []string, remarks remark.List, err error) {
	files, err := b.Files()
	if err != nil {
		return nil, nil, err
	}
	if remarks, err = b.prove(dir, files); err != nil || len(remarks) > 0 {
		return nil, remarks, err
	}
	for _, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.Path))
		if err := undo.folders(filepath.Dir(name)); err != nil {
			return nil, nil, err
		}
		if err := undo.file(name, f.Text); err != nil {
			return nil, nil, err
		}
		written = append(written, filepath.Join(b.dir, filepath.FromSlash(f.Path)))
	}
	return written, nil, nil
}

// prove holds the handbook with the files against what it is without them. A
// translation has what is wrong with its page, those that are still missing were missing before, and a page may be
// begun in any language.
// While the handbook has an error, nothing is advised about it as a whole: where the files mend that, advice about
// others is none of their doing.
func (b *Beginning) prove(dir string, files []begin.File) (remark.List, error) {
	tree, remarks, err := source.Read(dir)
	if err != nil {
		return nil, err
	}
	defer tree.Close()
	for _, f := range files {
		if name := filepath.Join(dir, filepath.FromSlash(f.Path)); there(name) {
			return nil, fmt.Errorf("%s: %w", name, ErrThere)
		}
		remarks = append(remarks, tree.Add(f.Path, f.Text)...)
	}
	_, result := judge(tree, remarks)
	mended := b.before.Count(remark.Error) > 0
	return slices.DeleteFunc(result.Remarks, func(r remark.Remark) bool {
		own := slices.ContainsFunc(files, func(f begin.File) bool { return f.Path == r.Place.File })
		return mended && !own && r.Severity != remark.Error || slices.Contains([]string{remark.PageUntranslated.ID, remark.TranslationPage.ID, remark.TranslationUnrecorded.ID}, r.ID) || slices.ContainsFunc(b.before, func(was remark.Remark) bool {
			return was.ID == r.ID && (was.Place == r.Place && was.Message == r.Message || was.Place.File == b.Source())
		})
	}), nil
}

func there(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// undoing are the files and folders that were made, the last one last.
type undoing []string

// all removes them.
func (u undoing) all() (err error) {
	for _, name := range slices.Backward(u) {
		err = errors.Join(err, os.Remove(name))
	}
	return err
}

// folders makes a folder, with those that it lies in.
func (u *undoing) folders(dir string) error {
	if there(dir) {
		return nil
	}
	if err := u.folders(filepath.Dir(dir)); err != nil {
		return err
	}
	if err := os.Mkdir(dir, 0o777); err != nil {
		return err
	}
	*u = append(*u, dir)
	return nil
}

// file writes a file that is not there.
func (u *undoing) file(name string, text []byte) error {
	err := whole.New(name, text, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s: %w", name, ErrThere)
	}
	if err == nil {
		*u = append(*u, name)
	}
	return err
}
