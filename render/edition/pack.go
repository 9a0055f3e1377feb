package edition

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"sync"

	"github.com/klauspost/compress/gzip"
	"golang.org/x/sync/errgroup"
)

// A pack is the way of many files at once to a phone that has none of them: one
// request, and compressed where the host does not compress. A phone trusts what
// comes out of one as little as what comes by itself: each file is held against
// its part. So a pack that a host loses or spoils costs time and nothing else.

// packSize is how many bytes a pack weighs, at most or thereabouts; a connection
// that breaks costs a pack. A file that weighs more goes by itself.
const packSize = 256 << 10

// weigh guesses what a file weighs compressed: what is text shrinks to a quarter.
func weigh(name string, size int) int {
	if isText(path.Ext(name)) {
		return size / 4
	}
	return size
}

// Packed tells whether a file of a size is in a pack.
func Packed(name string, size int) bool { return weigh(name, size) <= packSize }

// packForm stands as a comment at the head of a pack (RFC 1952, 2.3) and says how it was made: by another order or another level
// come other bytes from the same parts. It counts up with each change of these.
var packForm = "3"

// packers are gzip.Writers, each of which takes a megabyte. The level above takes a quarter longer and packs no better.
var packers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, 8) // the level is one
	return z
}}

// packAll writes the pack of the shell and those of the parts: as many as keep
// to the size, a power of two, so that each takes a run of parts.
func (w *Writer) packAll(parts []*part, shell *part) error {
	all := 0
	for name, e := range w.files {
		if !e.shell && !e.facts && Packed(name, e.size) {
			all += weigh(name, e.size)
		}
	}
	count := 1
	for count < len(parts) && all/count > packSize {
		count *= 2
	}
	m := &w.manifest
	m.Packs = make([]string, count)
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	workers.Go(func() (err error) {
		m.Shell.Pack, err = w.pack(ShellPack, []*part{shell}, w.last != nil)
		return err
	})
	alike := w.last != nil && w.last.parts == len(parts) && w.last.packs == count
	run := len(parts) / count
	for i := range m.Packs {
		workers.Go(func() (err error) {
			m.Packs[i], err = w.pack(PackName(i), parts[i*run:(i+1)*run], alike)
			return err
		})
	}
	return workers.Wait()
}

// pack writes a pack and returns its digest. alike says that the last edition has
// a pack of this name from the same parts; if they have not changed, it is taken.
func (w *Writer) pack(name string, parts []*part, alike bool) (digest string, err error) {
	most := 1 << 10 // that it can weigh: gzip adds a few bytes to what it cannot compress
	for _, p := range parts {
		alike = alike && w.last.files[p.name] == p.digest
		most += 2 * len(p.text) // its own, and the names of its files
		for _, f := range p.files {
			most += w.files[f].size + 32
		}
	}
	if alike && w.formed(name) {
		digest = w.last.files[name]
		target := filepath.Join(w.aside, filepath.FromSlash(name))
		if err := w.makeFolder(filepath.Dir(target)); err != nil {
			return "", err
		}
		if w.link(name, digest, int64(most), target) {
			return digest, nil
		}
	}
	b, read := bytes.NewBuffer(make([]byte, 0, packSize)), new(bytes.Buffer)
	z := packers.Get().(*gzip.Writer)
	defer packers.Put(z)
	z.Reset(b)
	z.Comment = packForm
	files, heads, err := w.packed(parts, read)
	if err != nil {
		return "", err
	}
	for _, head := range heads[1:] {
		if _, err := fmt.Fprintf(z, "%d\n%s", len(head), head); err != nil {
			return "", err
		}
	}
	for _, p := range parts {
		if err := packFile(z, p.name, p.text, 0); err != nil {
			return "", err
		}
	}
	for _, f := range files {
		if err := w.readInto(read, f.name); err != nil {
			return "", err
		}
		if err := packFile(z, f.name, read.Bytes()[len(heads[f.head]):], f.head); err != nil {
			return "", err
		}
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	digest = Digest(b.Bytes())
	return digest, w.put(name, digest, int64(b.Len()), loaded(b.Bytes()))
}

// formed tells whether a pack of the last edition was made as packs are made now.
func (w *Writer) formed(name string) bool {
	file := filepath.Join(w.out, filepath.FromSlash(name))
	if info, err := os.Lstat(file); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(file)
	if err != nil {
		return false
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	return err == nil && z.Comment == packForm
}

// packed is a file that is in a pack.
type packed struct {
	name string
	head int // with which it begins; 0 of what has none
}

// packed lists the files of some parts that are in a pack, in an order in which deflate finds in its window (RFC 1951, 2)
// what it can take from there: the files of a family together, and families whose pages begin alike; then files without
// a family. A segment of the search has nothing in common with pages, and fills the window. heads are what pages begin with,
// each once: deflate would find it again in the page before only where that is small enough for its window.
func (w *Writer) packed(parts []*part, read *bytes.Buffer) (files []packed, heads []string, err error) {
	var families [][]packed
	var alone []packed
	heads, known := []string{""}, map[string]int{}
	for _, p := range parts {
		for i := 0; i < len(p.files); {
			var kin []packed
			for first := p.files[i]; i < len(p.files) && family(p.files[i]) == family(first); i++ {
				f := packed{name: p.files[i]}
				if !Packed(f.name, w.files[f.name].size) {
					continue
				}
				if path.Ext(f.name) == ".html" {
					if err := w.readInto(read, f.name); err != nil {
						return nil, nil, err
					}
					if head := headOf(read.Bytes()); len(head) > 0 {
						if f.head = known[string(head)]; f.head == 0 {
							f.head = len(heads)
							heads = append(heads, string(head))
							known[string(head)] = f.head
						}
					}
				}
				kin = append(kin, f)
			}
			if len(kin) < 2 {
				alone = append(alone, kin...)
			} else {
				families = append(families, kin)
			}
		}
	}
	head := func(kin []packed) int {
		return kin[max(0, slices.IndexFunc(kin, func(f packed) bool { return f.head > 0 }))].head
	}
	slices.SortStableFunc(families, func(a, b []packed) int { return head(a) - head(b) })
	return append(slices.Concat(families...), alone...), heads, nil
}

// headEnd ends what all pages of a sort begin with, policy and style: what comes after it is a page's own.
var headEnd = []byte("</style>\n")

// headOf is what a page begins with; nothing where that has no style.
func headOf(page []byte) []byte {
	before, _, found := bytes.Cut(page, headEnd)
	if !found {
		return nil
	}
	return page[:len(before)+len(headEnd)]
}

// readInto reads a file that was written, in place of what was read before.
func (w *Writer) readInto(b *bytes.Buffer, name string) error {
	f, err := os.Open(filepath.Join(w.aside, filepath.FromSlash(name)))
	if err != nil {
		return err
	}
	defer f.Close()
	b.Reset()
	b.Grow(w.files[name].size + bytes.MinRead)
	_, err = b.ReadFrom(f)
	return err
}

// packFile puts a file into a pack: a line with its length and its path, then its bytes. Of one that begins with a head
// these are the bytes after it, and the head's number stands with their length.
func packFile(to io.Writer, name string, data []byte, head int) error {
	length := strconv.Itoa(len(data))
	if head > 0 {
		length += fmt.Sprint("+", head)
	}
	if _, err := fmt.Fprintf(to, "%s %s\n", length, name); err != nil {
		return err
	}
	_, err := to.Write(data)
	return err
}
