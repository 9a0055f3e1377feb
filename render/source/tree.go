// Package source reads the folder of a handbook: Markdown pages with their front
// matter, YAML files with the place of every value, and the names of all other
// files.
//
// In: a folder. Out: a *Tree and remarks; nothing is resolved yet.
// It may import remark.
//
// Nothing outside the folder is ever read: it is opened as a root, and symbolic
// links are not followed.
package source

import (
	"cmp"
	"fmt"
	"io/fs"
	"os"
	"path"
	"runtime"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/remark"
)

// Limits of what is read, in bytes; limit.go has more. A page of 2 MB is some 400 printed sheets.
const (
	maxText  = 2 << 20
	maxAsset = 32 << 20
)

// Tree is a folder as it was read.
type Tree struct {
	Pages  []*Page          // by path
	Data   map[string]*YAML // YAML files by path; a broken one has Broken set
	Assets []Asset          // every other file, by path
	root   *os.Root
	unread map[string]bool // files and folders that could not be taken
	added  map[string][]byte
}

// Asset is a file that is passed on as it is.
type Asset struct {
	Path string
	Size int64
}

// ReadAsset returns the bytes of an asset.
func (t *Tree) ReadAsset(name string) ([]byte, error) { return t.root.ReadFile(name) }

// Unread tells whether something lies at a path that could not be taken and has
// a remark for it: what leads there is no second mistake.
func (t *Tree) Unread(name string) bool {
	for ; name != "."; name = path.Dir(name) {
		if t.unread[name] {
			return true
		}
	}
	return false
}

// UnreadPages returns the paths of the pages among what could not be taken.
func (t *Tree) UnreadPages() []string {
	var names []string
	for name := range t.unread {
		if isPage(name) {
			names = append(names, name)
		}
	}
	return names
}

// refuse keeps in mind that a file could not be taken.
func (t *Tree) refuse(name string) {
	t.unread[name] = true
	if isYAML(name) {
		t.Data[name] = &YAML{Path: name, Broken: true}
	}
}

// Close lets go of the folder.
func (t *Tree) Close() error { return t.root.Close() }

// Read reads the folder. The error says that the folder itself cannot be read;
// everything else is a remark.
func Read(dir string) (*Tree, remark.List, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, err
	}
	t := &Tree{Data: map[string]*YAML{}, root: root, unread: map[string]bool{}, added: map[string][]byte{}}
	var remarks remark.List
	texts, err := t.walk(&remarks)
	if err != nil {
		root.Close()
		return nil, nil, err
	}
	t.readTexts(texts, &remarks)
	return t, remarks, nil
}

// walk lists the folder: pages and YAML files are returned, other files kept
// as assets. Names that begin with a dot are the editor's and the system's.
func (t *Tree) walk(remarks *remark.List) (texts []string, err error) {
	err = fs.WalkDir(t.root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil && name == "." {
			return err
		}
		if name != "." && strings.HasPrefix(path.Base(name), ".") {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		var info fs.FileInfo
		if err == nil {
			info, err = d.Info()
		}
		place := remark.Place{File: name}
		text := isPage(name) || isYAML(name)
		limit := int64(maxAsset)
		if text {
			limit = maxText
		}
		switch {
		case err != nil:
			remarks.Add(remark.FileUnreadable, place, reason(err))
		case d.IsDir():
			return nil
		case d.Type()&fs.ModeSymlink != 0:
			remarks.Add(remark.FileLink, place)
		case !d.Type().IsRegular():
			remarks.Add(remark.FileUnreadable, place, "it is no regular file")
		case info.Size() > limit:
			remarks.Add(remark.FileSize, place, size(info.Size()), size(limit))
		case text:
			texts = append(texts, name)
			return nil
		default:
			t.Assets = append(t.Assets, Asset{name, info.Size()})
			return nil
		}
		t.refuse(name)
		return nil
	})
	return texts, err
}

// readTexts reads and parses with a worker a core; results are put in order
// afterwards, so that the tree does not depend on who was first.
func (t *Tree) readTexts(names []string, remarks *remark.List) {
	results := make([]parsed, len(names))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		workers.Go(func() error {
			bytes, err := t.root.ReadFile(name)
			if err != nil {
				results[i].remarks.Add(remark.FileUnreadable, remark.Place{File: name}, reason(err))
				return nil
			}
			results[i] = parseFile(name, bytes)
			return nil
		})
	}
	_ = workers.Wait()
	for i, r := range results {
		*remarks = append(*remarks, r.remarks...)
		t.take(names[i], r)
	}
}

// parsed is a page or a data file; neither where it cannot be taken.
type parsed struct {
	page    *Page
	data    *YAML
	remarks remark.List
}

func parseFile(name string, bytes []byte) (r parsed) {
	l := newLines(name, bytes)
	switch bad := validText(bytes); {
	case bad >= 0:
		r.remarks.Add(remark.FileEncoding, l.place(bad))
	case !withinLimits(l, &r.remarks):
	case isPage(name):
		r.page = parsePage(l, &r.remarks)
	default:
		r.data = parseYAML(l, &r.remarks)
	}
	return r
}

func (t *Tree) take(name string, r parsed) {
	switch {
	case r.page != nil:
		t.Pages = append(t.Pages, r.page)
	case r.data != nil:
		t.Data[name] = r.data
	default:
		t.refuse(name)
	}
}

// Add puts a page or a data file into the tree that does not lie in the folder,
// or not yet.
func (t *Tree) Add(name string, bytes []byte) remark.List {
	t.added[name] = bytes
	r := parseFile(name, bytes)
	t.take(name, r)
	slices.SortFunc(t.Pages, func(a, b *Page) int { return cmp.Compare(a.Path, b.Path) })
	return r.remarks
}

func isPage(name string) bool { return strings.EqualFold(path.Ext(name), ".md") }

func isYAML(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// validText returns the offset of the first byte that is not UTF-8, or -1.
func validText(text []byte) int {
	if utf8.Valid(text) {
		return -1
	}
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// reason is the system's word without the operation and the path, which the
// remark's place says already.
func reason(err error) string {
	for {
		inner, ok := err.(interface{ Unwrap() error })
		if !ok || inner.Unwrap() == nil {
			return err.Error()
		}
		err = inner.Unwrap()
	}
}

func size(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%.1f MB", float64(n)/(1<<20))
	}
	return fmt.Sprintf("%d bytes", n)
}
