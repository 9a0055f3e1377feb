package cache

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// files are the files of a folder and of those within.
func files(t *testing.T, dir string) (names []string, size int64) {
	t.Helper()
	if err := filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			names, size = append(names, name), size+info.Size()
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return names, size
}

// TestDamage: what was cut, turned or put under another key is not there.
func TestDamage(t *testing.T) {
	dir := t.TempDir()
	f := Open(dir)
	data := []byte("what a build made")
	f.Put("key", data)
	if got, ok := f.Get("key"); !ok || !bytes.Equal(got, data) {
		t.Fatalf("%q, %v", got, ok)
	}
	if _, ok := f.Get("other"); ok {
		t.Error("nothing was put under that key")
	}
	names, _ := files(t, dir)
	if len(names) != 1 {
		t.Fatal(names)
	}
	whole, err := os.ReadFile(names[0])
	if err != nil {
		t.Fatal(err)
	}
	spoil := func(text []byte, what string) {
		t.Helper()
		if err := os.WriteFile(names[0], text, 0o600); err != nil {
			t.Fatal(err)
		}
		if got, ok := f.Get("key"); ok {
			t.Errorf("%s: %q", what, got)
		}
	}
	for i := range whole {
		spoil(whole[:i], fmt.Sprint("cut at ", i))
		turned := bytes.Clone(whole)
		turned[i] ^= 1
		spoil(turned, fmt.Sprint("turned at ", i))
	}
	f.Put("other", data)
	for _, name := range must(files(t, dir)) {
		if name != names[0] {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			spoil(text, "that of another key")
		}
	}
	f.Put("key", data)
	if got, ok := f.Get("key"); !ok || !bytes.Equal(got, data) {
		t.Errorf("put again: %q, %v", got, ok)
	}
}

func must(names []string, _ int64) []string { return names }

// TestPrune: the oldest go first, and what a killed build left goes once it is old.
func TestPrune(t *testing.T) {
	dir := t.TempDir()
	f := Open(dir)
	now := time.Now()
	for i := range 200 {
		key := fmt.Sprint(i)
		f.Put(key, make([]byte, 1000))
		used := now.Add(time.Duration(i-400) * time.Minute)
		if err := os.Chtimes(f.file(key), used, used); err != nil {
			t.Fatal(err)
		}
	}
	half, old := filepath.Join(filepath.Dir(f.file("0")), asideName+"1"), filepath.Join(filepath.Dir(f.file("0")), asideName+"2")
	for _, name := range []string{half, old} {
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chtimes(old, now.Add(-2*stale), now.Add(-2*stale)); err != nil {
		t.Fatal(err)
	}
	const most = 100_000
	f.prune(most)
	names, size := files(t, dir)
	if size > most || size < most/2 {
		t.Errorf("%d bytes in %d files, want %d at most and not much less", size, len(names), most)
	}
	for i := range 200 { // in its folder each that is there is younger than each that is not
		if _, ok := f.Get(fmt.Sprint(i)); ok {
			for k := i + 1; k < 200; k++ {
				if _, err := os.Stat(f.file(fmt.Sprint(k))); err != nil && filepath.Dir(f.file(fmt.Sprint(i))) == filepath.Dir(f.file(fmt.Sprint(k))) {
					t.Errorf("%d is there and %d, which was used later, is not", i, k)
				}
			}
		}
	}
	if _, err := os.Stat(half); err != nil {
		t.Error("somebody may be writing it:", err)
	}
	if _, err := os.Stat(old); err == nil {
		t.Error("nobody writes it any more")
	}
}

// TestNoFolder: a cache that cannot be written keeps nothing and harms nothing.
func TestNoFolder(t *testing.T) {
	name := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(name, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	f := Open(filepath.Join(name, "cache"))
	f.Put("key", []byte("x"))
	if _, ok := f.Get("key"); ok {
		t.Error("it lies in a file")
	}
	f.Prune()
}
