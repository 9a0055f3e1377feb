// Package edition writes an edition to the disk: aside first, then in place of
// the last one in one step, so that a reader and a killed build find the old
// edition or the new one, whole.
//
// In: files by path. Out: a folder, or an error that leaves the folder as it was.
// It imports nothing of the project.
package edition

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
)

// ManifestName is the file that makes a folder an edition.
const ManifestName = "manifest.json"

// Manifest says what an edition consists of.
type Manifest struct {
	Format  int               `json:"format"` // 1
	Title   string            `json:"title"`
	Edition string            `json:"edition"`
	Date    string            `json:"date,omitempty"`
	Files   map[string]string `json:"files"` // path -> first 128 bits of SHA-256, hexadecimal
}

// ErrForeign says that the output folder holds something that is no edition,
// which is never overwritten.
var ErrForeign = errors.New("the folder holds files that are no edition")

// Writer takes the files of a new edition. Write may be called by several
// goroutines at once.
type Writer struct {
	out, aside string
	last       *Manifest // of the edition in place, or nil
	held       *os.File  // keeps other builds from clearing aside away; may be nil

	mu       sync.Mutex // guards what follows
	manifest Manifest
	made     map[string]bool // folders
}

// Begin prepares a new edition of the folder out. It recovers what a killed
// swap left behind, and refuses a folder that holds anything but an edition.
func Begin(out string, m Manifest) (*Writer, error) {
	out = filepath.Clean(out)
	if err := recoverSwap(out); err != nil {
		return nil, err
	}
	w := &Writer{out: out, manifest: m, made: map[string]bool{}}
	w.manifest.Format, w.manifest.Files = 1, map[string]string{}
	switch last, err := readManifest(out); {
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

func readManifest(dir string) (*Manifest, error) {
	text, err := os.ReadFile(filepath.Join(dir, ManifestName))
	if err != nil {
		return nil, err
	}
	var m Manifest
	if json.Unmarshal(text, &m) != nil || m.Format < 1 || m.Files == nil {
		return nil, fmt.Errorf("%s: %w", dir, ErrForeign)
	}
	return &m, nil
}

// Write adds a file. A file that the last edition has with the same bytes is
// linked, not written again.
func (w *Writer) Write(name string, data []byte) error {
	sum := sha256.Sum256(data)
	digest := hex.EncodeToString(sum[:16])
	target := filepath.Join(w.aside, filepath.FromSlash(name))
	if err := w.enter(name, digest, filepath.Dir(target)); err != nil {
		return err
	}
	if w.last != nil && w.last.Files[name] == digest {
		old := filepath.Join(w.out, filepath.FromSlash(name))
		if same(old, data) && os.Link(old, target) == nil {
			return nil
		}
	}
	return os.WriteFile(target, data, 0o644)
}

// enter puts a file into the manifest and makes its folder.
func (w *Writer) enter(name, digest, dir string) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !filepath.IsLocal(filepath.FromSlash(name)) || name == ManifestName || w.manifest.Files[name] != "" {
		return fmt.Errorf("edition: %q cannot be a file of it", name)
	}
	w.manifest.Files[name] = digest
	if w.made[dir] {
		return nil
	}
	w.made[dir] = true
	return os.MkdirAll(dir, 0o755)
}

// onlyEdition refuses a folder that holds a file that its manifest does not
// name: somebody put it there, and a new edition would take it away.
func onlyEdition(dir string, m *Manifest) error {
	return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if rel = filepath.ToSlash(rel); rel != ManifestName && m.Files[rel] == "" {
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

// Commit puts the new edition in place of the last one.
func (w *Writer) Commit() error {
	text, err := json.MarshalIndent(w.manifest, "", " ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(w.aside, ManifestName), append(text, '\n'), 0o644); err != nil {
		return err
	}
	return swap(w.aside, w.out)
}

// Close removes what was written aside and not committed.
func (w *Writer) Close() error {
	err := os.RemoveAll(w.aside)
	if w.held != nil {
		err = errors.Join(err, w.held.Close())
	}
	return err
}

// lastOf is where the last edition lies while a swap without exchange is under way.
func lastOf(out string) string {
	return filepath.Join(filepath.Dir(out), "."+filepath.Base(out)+".last")
}

// swap puts aside in place of out. Where the system can, the two are exchanged
// in one step; elsewhere the last edition is moved away first, and a build that
// finds no edition but that one puts it back (recoverSwap).
func swap(aside, out string) error {
	if _, err := os.Lstat(out); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(aside, out)
	}
	if err := exchange(aside, out); err == nil {
		return nil // Close removes the last edition, which lies aside now
	}
	last := lastOf(out)
	if err := os.RemoveAll(last); err != nil {
		return err
	}
	if err := os.Rename(out, last); err != nil {
		return err
	}
	if err := os.Rename(aside, out); err != nil {
		return errors.Join(err, os.Rename(last, out))
	}
	return os.RemoveAll(last)
}

// recoverSwap finishes what a build that was killed in a swap began.
func recoverSwap(out string) error {
	last := lastOf(out)
	if _, err := os.Lstat(last); err != nil {
		return nil
	}
	if _, err := os.Lstat(out); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(last, out)
	}
	return os.RemoveAll(last)
}

// clearAway removes what builds that were killed wrote aside. A folder that a
// build is still writing is held by it and left alone.
func clearAway(out string) {
	left, _ := filepath.Glob(filepath.Join(filepath.Dir(out), asidePrefix(out)+"*"))
	for _, dir := range left {
		if held, err := hold(dir); err == nil {
			os.RemoveAll(dir)
			held.Close()
		}
	}
}

func asidePrefix(out string) string { return "." + filepath.Base(out) + ".new-" }
