// Package edition writes an edition to the disk: aside first, then in place of
// the last one in one step, so that a reader and a killed build find the old
// edition or the new one, whole.
//
// In: files by path. Out: a folder, or an error that leaves the folder as it was.
// It imports nothing of the project. The form of what it adds, the manifest and
// the packs, is told in docs/edition.md.
package edition

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// ErrForeign says that the output folder holds something that is no edition,
// which is never overwritten.
var ErrForeign = errors.New("the folder holds files that are no edition")

// Writer takes the files of a new edition. Write and WriteShell may be called by
// several goroutines at once.
type Writer struct {
	out, aside string
	last       *listing // of the edition in place, or nil
	held       *os.File // keeps other builds from clearing aside away; may be nil

	manifest Manifest

	mu    sync.Mutex // guards what follows
	files map[string]entry
	made  map[string]bool // folders
}

// entry is a file of the edition that is being written.
type entry struct {
	digest string
	size   int
	shell  bool
}

// Begin prepares a new edition of the folder out. It recovers what a killed
// swap left behind, and refuses a folder that holds anything but an edition.
func Begin(out string, m Manifest) (*Writer, error) {
	out = filepath.Clean(out)
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
		if entries, err := os.ReadDir(out); err == nil && len(entries) > 0 {
			return nil, fmt.Errorf("%s: %w", out, ErrForeign)
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return nil, err
	}
	clearAway(out)
	aside, err := os.MkdirTemp(filepath.Dir(out), asidePrefix(out))
	if err != nil {
		return nil, err
	}
	w.aside = aside
	w.held, _ = hold(aside) // where folders cannot be held, none is cleared away
	return w, os.Chmod(aside, 0o755)
}

// Write adds a file.
func (w *Writer) Write(name string, data []byte) error { return w.add(name, data, false) }

// WriteShell adds a file that a phone takes before all others: what every page
// needs, and the pages from which all others are found.
func (w *Writer) WriteShell(name string, data []byte) error { return w.add(name, data, true) }

func (w *Writer) add(name string, data []byte, shell bool) error {
	digest := Digest(data)
	if err := w.enter(name, entry{digest, len(data), shell}); err != nil {
		return err
	}
	return w.put(name, digest, data)
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
func (w *Writer) put(name, digest string, data []byte) error {
	target := filepath.Join(w.aside, filepath.FromSlash(name))
	if err := w.makeFolder(filepath.Dir(target)); err != nil {
		return err
	}
	if w.last != nil && w.last.files[name] == digest {
		old := filepath.Join(w.out, filepath.FromSlash(name))
		if same(old, data) && os.Link(old, target) == nil {
			return nil
		}
	}
	return os.WriteFile(target, data, 0o644)
}

func (w *Writer) makeFolder(dir string) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.made[dir] {
		return nil
	}
	w.made[dir] = true
	return os.MkdirAll(dir, 0o755)
}

// onlyEdition refuses a folder that holds a file that its manifest does not
// name: somebody put it there, and a new edition would take it away. A signature
// stands beside the manifest and is for these very bytes; it goes with them.
func onlyEdition(dir string, l *listing) error {
	return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if rel = filepath.ToSlash(rel); rel != ManifestName && rel != SignatureName && l.files[rel] == "" {
			return fmt.Errorf("%s: %w: %s", dir, ErrForeign, rel)
		}
		return nil
	})
}

// same tells whether a file of the last edition still has the bytes that its
// manifest says: one that somebody changed is not linked.
func same(name string, data []byte) bool {
	info, err := os.Lstat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() != int64(len(data)) {
		return false
	}
	old, err := os.ReadFile(name)
	return err == nil && bytes.Equal(old, data)
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
	parts, shell := w.parts()
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
