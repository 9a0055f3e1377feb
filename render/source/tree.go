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
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
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
	unread map[string]bool   // files and folders that could not be taken
	texts  map[string][]byte // of pages and data files, by path

	dir     string
	stamps  map[string]stamp // how the texts' files lay on the disk
	was     *Tree            // the same folder before, while it is read
	mu      sync.Mutex       // guards digests
	digests map[string]sum   // of texts, once they were asked for
}

// sum is the digest of a text.
type sum [16]byte

// Asset is a file that is passed on as it is.
type Asset struct {
	Path string
	Size int64
}

// ReadAsset returns the bytes of an asset.
func (t *Tree) ReadAsset(name string) ([]byte, error) { return t.read(name, maxAsset) }

// What became of a file between the listing of its folder and its opening.
var (
	errIrregular = errors.New("it is no regular file")
	errGrown     = errors.New("it grew while it was read")
)

// read reads a file of at most so many bytes. A pipe that is put in its place, for which nobody has anything, is not
// waited for.
func (t *Tree) read(name string, most int) ([]byte, error) {
	f, err := t.root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errIrregular
	}
	text := make([]byte, 0, min(info.Size(), int64(most))+1)
	for {
		n, err := f.Read(text[len(text):cap(text)])
		text = text[:len(text)+n]
		switch {
		case len(text) > most:
			return nil, errGrown
		case err == io.EOF:
			return text, nil
		case err != nil:
			return nil, err
		case len(text) == cap(text):
			text = append(text, 0)[:len(text)]
		}
	}
}

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

// Text is the text of a page or of a data file, nil where there is none.
func (t *Tree) Text(name string) []byte { return t.texts[name] }

// Texts are the texts of all pages and data files, by path.
func (t *Tree) Texts() map[string][]byte { return maps.Clone(t.texts) }

// stamp is how a file lies on the disk.
type stamp struct{ size, time int64 }

// Digest is the digest of a page's or a data file's text.
func (t *Tree) Digest(name string) string {
	sum := t.sum(name)
	return hex.EncodeToString(sum[:])
}

func (t *Tree) sum(name string) sum {
	t.mu.Lock()
	defer t.mu.Unlock()
	known, ok := t.digests[name]
	if !ok {
		known = sumOf(t.texts[name])
		t.digests[name] = known
	}
	return known
}

func sumOf(text []byte) sum {
	all := sha256.Sum256(text)
	return sum(all[:len(sum{})])
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

// Read reads the folder and parses all of it. The error says that the folder itself
// cannot be read; everything else is a remark.
func Read(dir string) (*Tree, remark.List, error) {
	t, remarks, err := Scan(dir)
	if err != nil {
		return nil, nil, err
	}
	pages := t.Pages
	t.Parse(pages)
	for _, p := range pages {
		remarks = append(remarks, p.Remarks...)
	}
	return t, remarks, nil
}

// Scan reads the folder and parses its data files. Its pages are not parsed yet.
func Scan(dir string) (*Tree, remark.List, error) { return scan(dir, nil, nil, nil) }

// Again reads the folder of a tree again. A file of the same size and time as then, that is
// not among those that may have changed, is taken as it was.
func (t *Tree) Again(changed []string) (*Tree, remark.List, error) {
	return scan(t.dir, t, changed, nil)
}

// ScanOver reads the folder, again where it was read before, with pages and data files that
// an editor has not saved in the place of what lies there.
func ScanOver(dir string, was *Tree, unsaved map[string][]byte) (*Tree, remark.List, error) {
	return scan(dir, was, nil, unsaved)
}

func scan(dir string, was *Tree, changed []string, unsaved map[string][]byte) (*Tree, remark.List, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, err
	}
	t := &Tree{dir: dir, Data: map[string]*YAML{}, root: root, unread: map[string]bool{}, texts: map[string][]byte{}, stamps: map[string]stamp{}, digests: map[string]sum{}}
	if was != nil {
		t.was = was
		for name, s := range was.stamps {
			if !slices.Contains(changed, name) {
				t.stamps[name] = s
			}
		}
		defer func() { t.was = nil }()
	}
	var remarks remark.List
	texts, err := t.walk(&remarks)
	if err != nil {
		root.Close()
		return nil, nil, err
	}
	t.readTexts(t.over(texts, unsaved, &remarks), &remarks)
	return t, remarks, nil
}

// over lays unsaved texts over those of the folder, and returns the names of all.
func (t *Tree) over(names []string, unsaved map[string][]byte, remarks *remark.List) []string {
	for name, text := range unsaved {
		if !isPage(name) && !isYAML(name) {
			continue
		}
		delete(t.unread, name)
		delete(t.stamps, name)
		delete(t.digests, name)
		names = slices.DeleteFunc(names, func(known string) bool { return known == name })
		*remarks = slices.DeleteFunc(*remarks, func(r remark.Remark) bool { return r.Place.File == name })
		if len(text) > maxText {
			remarks.Add(remark.FileSize, remark.Place{File: name}, size(int64(len(text))), size(maxText))
			t.refuse(name)
			continue
		}
		t.texts[name] = text
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Parse parses pages, a worker a core. Those that cannot be taken leave the tree; each has
// its Remarks.
func (t *Tree) Parse(pages []*Page) {
	t.sift(pages, func(p *Page) bool {
		p.Parse()
		return p.Doc != nil
	})
}

// Sift takes pages that cannot be taken out of the tree, and parses none. Those have
// their Remarks.
func (t *Tree) Sift(pages []*Page) {
	t.sift(pages, func(p *Page) bool {
		_, _, ok := p.open()
		if ok {
			p.lines = nil
		}
		return ok
	})
}

// sift asks of each page, a worker a core, whether it can be taken.
func (t *Tree) sift(pages []*Page, can func(*Page) bool) {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	refused := make([]bool, len(pages))
	for i, p := range pages {
		workers.Go(func() error {
			refused[i] = !can(p)
			return nil
		})
	}
	_ = workers.Wait()
	if !slices.Contains(refused, true) {
		return
	}
	for i, p := range pages {
		if refused[i] {
			t.refuse(p.Path)
		}
	}
	t.Pages = slices.DeleteFunc(slices.Clone(t.Pages), func(p *Page) bool { return t.unread[p.Path] })
}

// ErrChanged says that a file is no longer what it was when the folder was read.
var ErrChanged = errors.New("files of the handbook change while it is read")

// RereadError says that a page that was let go of cannot be read again as it was: ErrChanged, or why it cannot be read.
// Who scans the folder again has a remark of it, or the page as it is now.
type RereadError struct {
	Page string
	Err  error
}

func (e *RereadError) Unwrap() error { return e.Err }

func (e *RereadError) Error() string {
	if e.Err == ErrChanged {
		return e.Page + ": " + e.Err.Error()
	}
	return e.Page + ": it could be read, and now it cannot: " + reason(e.Err)
}

// Bytes is how long the texts of all pages and data files are together.
func (t *Tree) Bytes() (n int) {
	for _, text := range t.texts {
		n += len(text)
	}
	return n
}

// Shelve lets go of the text of a page that lies in the folder. It is read again when the page is
// parsed, and must be the same then.
func (t *Tree) Shelve(p *Page) {
	t.sum(p.Path)
	delete(t.texts, p.Path)
	p.file, p.shelf = nil, t
}

// unshelve reads the text of a page again.
func (t *Tree) unshelve(p *Page) ([]byte, error) {
	text, err := t.read(p.Path, maxText)
	if err == nil && sumOf(text) != t.sum(p.Path) {
		err = ErrChanged
	}
	if err != nil {
		return nil, &RereadError{p.Path, err}
	}
	return text, nil
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
			remarks.Add(remark.FileUnreadable, place, errIrregular.Error())
		case info.Size() > limit:
			remarks.Add(remark.FileSize, place, size(info.Size()), size(limit))
		case text:
			texts = append(texts, name)
			if now := (stamp{info.Size(), info.ModTime().UnixNano()}); t.was == nil || t.stamps[name] != now {
				t.stamps[name] = now
			} else if text, ok := t.was.texts[name]; ok {
				t.texts[name] = text
				if digest, ok := t.was.digests[name]; ok {
					t.digests[name] = digest
				}
			}
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

// readTexts reads with a worker a core; results are put in order afterwards, so that
// the tree does not depend on who was first.
func (t *Tree) readTexts(names []string, remarks *remark.List) {
	texts, errs := make([][]byte, len(names)), make([]error, len(names))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		if text, known := t.texts[name]; known {
			texts[i] = text
			continue
		}
		workers.Go(func() error {
			texts[i], errs[i] = t.read(name, maxText)
			return nil
		})
	}
	_ = workers.Wait()
	for i, name := range names {
		if errs[i] != nil {
			remarks.Add(remark.FileUnreadable, remark.Place{File: name}, reason(errs[i]))
			t.refuse(name)
			continue
		}
		t.take(name, texts[i], remarks)
	}
}

// take puts a page or a data file into the tree.
func (t *Tree) take(name string, text []byte, remarks *remark.List) {
	if known := t.texts[name]; !bytes.Equal(known, text) {
		delete(t.digests, name)
	}
	t.texts[name] = text
	if t.was != nil && bytes.Equal(t.was.texts[name], text) {
		if known := t.was.Data[name]; known != nil && !known.told {
			t.Data[name] = known
			return
		}
	}
	if isPage(name) {
		t.Pages = append(t.Pages, &Page{Path: name, file: text})
	} else if l := newLines(name, text); fit(l, remarks) {
		before := len(*remarks)
		y := parseYAML(l, remarks)
		y.told = len(*remarks) > before
		t.Data[name] = y
	} else {
		t.refuse(name)
	}
}

// fit tells whether a text can be parsed, with a remark if it cannot.
func fit(l *lines, remarks *remark.List) bool {
	if bad := validText(l.text); bad >= 0 {
		remarks.Add(remark.FileEncoding, l.place(bad))
		return false
	}
	return withinLimits(l, remarks)
}

// Add puts a page or a data file into the tree that does not lie in the folder,
// or not yet.
func (t *Tree) Add(name string, text []byte) (remarks remark.List) {
	delete(t.unread, name)
	delete(t.stamps, name)
	t.take(name, text, &remarks)
	if isPage(name) {
		p := t.Pages[len(t.Pages)-1]
		slices.SortFunc(t.Pages, func(a, b *Page) int { return cmp.Compare(a.Path, b.Path) })
		t.Parse([]*Page{p})
		remarks = append(remarks, p.Remarks...)
	}
	return remarks
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
