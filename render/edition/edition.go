// Package edition writes an edition to the disk: aside first, then in place of
// the last one in one step, so that a reader and a killed build find the old
// edition or the new one, whole.
//
// In: files by path. Out: a folder, or an error that leaves the folder as it was.
// It may import whole. The form of what it adds, the manifest and
// the packs, is told in docs/edition.md.
package edition

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"benchleaf/render/whole"
)

// ErrForeign says that the output folder holds something that is no edition,
// which is never overwritten.
var ErrForeign = errors.New("the folder holds files that are no edition")

// ErrFile is returned for an edition where a file is.
var ErrFile = errors.New("that is a file and no folder")

// ErrHere says that the output folder is the one that the command was called in: whoever is in it
// would stand in the old one once the two are exchanged.
var ErrHere = errors.New("it is the folder that you are in; name another one")

// ErrNowhere says that the folder of an edition does not exist.
var ErrNowhere = errors.New("there is no such edition; make it first: benchleaf compile")

// Writer takes the files of a new edition. Add may be called by several goroutines at once.
type Writer struct {
	out, aside string
	last       *listing // of the edition in place, or nil
	held       *os.File // keeps other builds from clearing aside away; may be nil

	manifest Manifest

	mu    sync.Mutex // guards what follows
	files map[string]entry
	made  map[string]bool // folders
	// stamps are how the files lie on the disk, nil where nobody asks; known, how they did in the last edition.
	stamps, known Stamps
}

// Stamps tell by path how files lay on the disk when they were written or linked: one that
// lies there as it did has the same bytes, and need not be read again.
type Stamps map[string]Stamp

// Stamp is how a file lies on the disk.
type Stamp struct{ Size, Time int64 }

func stampOf(info fs.FileInfo) Stamp { return Stamp{info.Size(), info.ModTime().UnixNano()} }

// Text is how they are kept.
func (s Stamps) Text() []byte {
	text, _ := json.Marshal(s) // of texts and numbers
	return text
}

// ReadStamps reads them; what is none gives none.
func ReadStamps(text []byte) (s Stamps) {
	_ = json.Unmarshal(text, &s)
	return s
}

// Pages is how many HTML files there are.
func (w *Writer) Pages() int { return w.manifest.Pages }

// Stamp says how the files of the last edition lay on the disk, and asks for how those of the new one do.
func (w *Writer) Stamp(known Stamps) { w.known, w.stamps = known, Stamps{} }

// Stamps returns how those of the new one lie, where that was asked for.
func (w *Writer) Stamps() Stamps { return w.stamps }

// File is a file of an edition.
type File struct {
	Name, Digest string
	Size         int
	Shell        bool                   // a phone takes it before all others
	Facts        bool                   // no phone takes it: what editions are compared by
	Load         func() ([]byte, error) // its bytes, which are not asked for where the last edition has them
}

// entry is a file of the edition that is being written.
type entry struct {
	sum   sum
	size  int
	shell bool
	facts bool
}

// Begin prepares a new edition of the folder out. It recovers what a killed
// swap left behind, and refuses a folder that holds anything but an edition.
func Begin(out string, m Manifest) (*Writer, error) {
	out = placeOf(out)
	if info, err := os.Stat(out); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("%s: %w; choose another one", out, ErrFile)
	}
	if err := recoverSwap(out); err != nil {
		return nil, err
	}
	w := &Writer{out: out, manifest: m, files: map[string]entry{}, made: map[string]bool{}}
	switch last, err := list(out); {
	case err == nil:
		if err := onlyEdition(out, last); err != nil {
			return nil, err
		}
		w.last = last
	case !errors.Is(err, fs.ErrNotExist):
		return nil, err
	default:
		if err := onlyEmpty(out); err != nil {
			return nil, err
		}
	}
	var err error
	w.aside, w.held, err = makeAside(out)
	w.made[filepath.Clean(w.aside)] = true
	return w, err
}

// placeOf is where a folder lies: where it is a link, that stays, and what it leads to is
// exchanged.
func placeOf(out string) string {
	if real, err := filepath.EvalSymlinks(out); err == nil {
		return real
	}
	return filepath.Clean(out)
}

// onlyEmpty refuses a folder that is there and holds anything.
func onlyEmpty(dir string) error {
	entries, err := os.ReadDir(dir)
	if err == nil && len(entries) > 0 {
		return fmt.Errorf("%s: %w; choose another one", dir, ErrForeign)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// makeAside makes the folder in which what comes in the place of out is written, and holds it:
// where folders cannot be held, none is cleared away.
func makeAside(out string) (aside string, held *os.File, err error) {
	if Same(out, ".") {
		return "", nil, fmt.Errorf("%s: %w", out, ErrHere)
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return "", nil, err
	}
	clearAway(out)
	aside, held, err = whole.Aside(func() (string, error) { return os.MkdirTemp(filepath.Dir(out), asidePrefix(out)) })
	if err != nil {
		return "", nil, err
	}
	return aside, held, os.Chmod(aside, 0o755)
}

// Same tells whether two names are of one folder, which is there.
func Same(a, b string) bool {
	first, err := os.Stat(a)
	if err != nil {
		return false
	}
	second, err := os.Stat(b)
	return err == nil && os.SameFile(first, second)
}

// Within tells whether a name is of a folder or of something in it, which need not be there yet. It asks the disk, which
// may know one folder by several names.
func Within(name, folder string) bool {
	name, err := filepath.Abs(name)
	if err != nil {
		return false
	}
	for {
		if real, err := filepath.EvalSymlinks(name); err == nil {
			name = real
		}
		if Same(name, folder) {
			return true
		}
		up := filepath.Dir(name)
		if up == name {
			return false
		}
		name = up
	}
}

func loaded(data []byte) func() ([]byte, error) { return func() ([]byte, error) { return data, nil } }

// Add adds a file whose digest is known.
func (w *Writer) Add(f File) error {
	sum, ok := sumOf(f.Digest)
	if !ok {
		return fmt.Errorf("edition: %q is no digest", f.Digest)
	}
	if err := w.enter(f.Name, entry{sum, f.Size, f.Shell, f.Facts}); err != nil {
		return err
	}
	return w.put(f.Name, f.Digest, int64(f.Size), f.Load)
}

// enter puts a file into the list.
func (w *Writer) enter(name string, e entry) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if _, known := w.files[name]; known || reserved(name) || !filepath.IsLocal(filepath.FromSlash(name)) {
		return fmt.Errorf("edition: %q cannot be a file of it", name)
	}
	w.files[name] = e
	return nil
}

// reserved tells whether a name is for what the edition says of itself.
func reserved(name string) bool {
	return name == ManifestName || name == SignatureName || strings.HasPrefix(name, partFolder) || strings.HasPrefix(name, packFolder)
}

// put writes a file aside. One that the last edition has with the same bytes is
// linked, not written again.
func (w *Writer) put(name, digest string, size int64, load func() ([]byte, error)) error {
	target := filepath.Join(w.aside, filepath.FromSlash(name))
	if err := w.makeFolder(filepath.Dir(target)); err != nil {
		return err
	}
	if w.link(name, digest, size, target) {
		return nil
	}
	data, err := load()
	if err != nil {
		return err
	}
	if err := os.WriteFile(target, data, 0o644); err != nil {
		return err
	}
	if w.stamps == nil {
		return nil
	}
	if info, err := os.Lstat(target); err == nil {
		w.stamp(name, info)
	}
	return nil
}

// link links a file of the last edition that has a digest, and still has the bytes that
// its manifest says: one that somebody changed is not linked. One of more than most bytes is not read.
func (w *Writer) link(name, digest string, most int64, target string) bool {
	if w.last == nil || w.last.files[name] != digest {
		return false
	}
	old := filepath.Join(w.out, filepath.FromSlash(name))
	info, err := os.Lstat(old)
	if err != nil || !info.Mode().IsRegular() || info.Size() > most {
		return false
	}
	if w.known[name] != stampOf(info) && !still(old, digest) {
		return false
	}
	if os.Link(old, target) != nil {
		return false
	}
	if w.stamps != nil {
		w.stamp(name, info)
	}
	return true
}

// still tells whether a file has the bytes of a digest.
func still(name, digest string) bool {
	file, err := os.Open(name)
	if err != nil {
		return false
	}
	defer file.Close()
	got, err := digestAll(file)
	return err == nil && got == digest
}

func (w *Writer) stamp(name string, info fs.FileInfo) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.stamps[name] = stampOf(info)
}

func (w *Writer) makeFolder(dir string) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.makeFolders(dir)
}

// makeFolders makes a folder and those in which it lies, up to aside.
func (w *Writer) makeFolders(dir string) error {
	if w.made[dir] {
		return nil
	}
	if err := w.makeFolders(filepath.Dir(dir)); err != nil {
		return err
	}
	w.made[dir] = true
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) { // where A is a, it may be there
		return err
	}
	return nil
}

// onlyEdition refuses a folder that holds a file that its manifest does not
// name: somebody put it there, and a new edition would take it away. A signature
// stands beside the manifest and is for these very bytes; it goes with them.
func onlyEdition(dir string, l *listing) error {
	return onlyFiles(dir, func(name string) bool { return name == ManifestName || name == SignatureName || l.files[name] != "" })
}

// onlyFiles refuses a folder that holds a file which does not belong there. What a killed process left of a signature
// goes with the edition.
func onlyFiles(dir string, belongs func(name string) bool) error {
	return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || whole.Left(d) {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if rel = filepath.ToSlash(rel); !belongs(rel) {
			return fmt.Errorf("%s: %w: %s; choose another one", dir, ErrForeign, rel)
		}
		return nil
	})
}

// Commit completes the new edition, with its manifest and its packs, and puts it
// in place of the last one.
func (w *Writer) Commit() error {
	text, err := w.complete()
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(w.aside, ManifestName), text, 0o644); err != nil {
		return err
	}
	return swap(w.aside, w.out)
}

// complete writes parts and packs, and returns the bytes of the manifest.
func (w *Writer) complete() ([]byte, error) {
	parts, shell, facts := w.parts()
	m := &w.manifest
	m.Format, m.Pages, m.Parts = Format, w.pages(), nil
	for _, p := range parts {
		if err := w.putPart(p); err != nil {
			return nil, err
		}
		m.Parts = append(m.Parts, p.digest)
	}
	if err := w.putPart(shell); err != nil {
		return nil, err
	}
	m.Shell.Part = shell.digest
	if len(facts.files) > 0 {
		if err := w.putPart(facts); err != nil {
			return nil, err
		}
		m.Facts = facts.digest
	}
	if err := w.packAll(parts, shell); err != nil {
		return nil, err
	}
	text, err := json.MarshalIndent(m, "", " ")
	return append(text, '\n'), err
}

// Close removes what was written aside and not committed.
func (w *Writer) Close() error {
	err := os.RemoveAll(w.aside)
	if w.held != nil {
		err = errors.Join(err, w.held.Close())
	}
	return err
}
