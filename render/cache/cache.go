// Package cache keeps what a build made, to be used by the next one.
//
// In: bytes by a key that says all that they were made from. Out: the same bytes, or
// nothing. It imports nothing of the project.
//
// Whatever is kept may be gone the next time, and what is damaged counts as gone: a
// cache saves time and decides nothing.
package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// Cache keeps bytes by key. Its methods may be called by several goroutines at once.
type Cache interface {
	Get(key string) (data []byte, ok bool)
	Put(key string, data []byte)
}

// None keeps nothing.
type None struct{}

// Get implements Cache.
func (None) Get(string) ([]byte, bool) { return nil, false }

// Put implements Cache.
func (None) Put(string, []byte) {}

// Folder keeps them in files. Several builds may use one at once: a file is written aside
// and put in its place in one step, so that it is there whole or not at all.
type Folder struct {
	dir string

	mu      sync.Mutex
	touched map[string]bool // folders in which something was put
}

// MostBytes is how much a folder holds, thereabouts: some five handbooks of 2,000 pages.
const MostBytes = 512 << 20

// folders is how many folders there are within, one for each value of a digit. Each is
// pruned by itself, when something was put there.
const folders = 16

// asideName is how the names of files begin that are being written.
const asideName = "new-"

// Open opens a cache in a folder, which need not be there.
func Open(dir string) *Folder { return &Folder{dir: dir, touched: map[string]bool{}} }

// file is where something is kept.
func (f *Folder) file(key string) string {
	sum := sha256.Sum256([]byte(key))
	name := hex.EncodeToString(sum[:16])
	return filepath.Join(f.dir, name[:1], name[1:])
}

// seal is what stands before the bytes of a key, so that what is damaged is found.
func seal(key string, data []byte) []byte {
	h := sha256.New()
	h.Write([]byte(key))
	h.Write([]byte{0})
	h.Write(data)
	return h.Sum(nil)
}

// Get implements Cache.
func (f *Folder) Get(key string) ([]byte, bool) {
	name := f.file(key)
	data, err := os.ReadFile(name)
	if err != nil || len(data) < sha256.Size {
		return nil, false
	}
	data, own := data[sha256.Size:], data[:sha256.Size]
	if !bytes.Equal(own, seal(key, data)) {
		return nil, false
	}
	now := time.Now()
	_ = os.Chtimes(name, now, now) // what is used is pruned last
	return data, true
}

// Put implements Cache. What cannot be kept is not.
func (f *Folder) Put(key string, data []byte) {
	name := f.file(key)
	dir := filepath.Dir(name)
	if !f.touch(dir) {
		return
	}
	aside, err := os.CreateTemp(dir, asideName)
	if err != nil {
		return
	}
	_, err = aside.Write(seal(key, data))
	if err == nil {
		_, err = aside.Write(data)
	}
	if closed := aside.Close(); err != nil || closed != nil || os.Rename(aside.Name(), name) != nil {
		_ = os.Remove(aside.Name())
	}
}

// touch makes a folder where it is not there, and notes it for Prune.
func (f *Folder) touch(dir string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.touched[dir] {
		f.touched[dir] = os.MkdirAll(dir, 0o700) == nil
	}
	return f.touched[dir]
}

// Prune takes away what was not used for longest where there is too much, and what a build
// that was killed left half written.
func (f *Folder) Prune() { f.prune(MostBytes) }

func (f *Folder) prune(most int64) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for dir := range f.touched {
		pruneFolder(dir, most/folders)
	}
	clear(f.touched)
}

// stale is how old a file is that nobody is writing any more.
const stale = time.Hour

func pruneFolder(dir string, most int64) {
	entries, _ := os.ReadDir(dir)
	var files []fs.FileInfo
	sum := int64(0)
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			continue
		}
		if strings.HasPrefix(e.Name(), asideName) {
			if time.Since(info.ModTime()) > stale {
				_ = os.Remove(filepath.Join(dir, e.Name()))
			}
			continue
		}
		files, sum = append(files, info), sum+info.Size()
	}
	slices.SortFunc(files, func(a, b fs.FileInfo) int { return a.ModTime().Compare(b.ModTime()) })
	for _, info := range files {
		if sum <= most {
			return
		}
		if os.Remove(filepath.Join(dir, info.Name())) == nil {
			sum -= info.Size()
		}
	}
}
