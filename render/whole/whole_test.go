package whole

import (
	"crypto/rand"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
)

// holds says what a folder holds.
func holds(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if wanted, ok := want[e.Name()]; err != nil || !ok || string(text) != wanted {
			t.Errorf("%s holds %q (%v), want %q", e.Name(), text, err, wanted)
		}
	}
	if len(entries) != len(want) {
		t.Errorf("%d files, want %d", len(entries), len(want))
	}
}

// What has the old file under another name keeps it: its bytes are never written over.
func TestReplace(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a")
	if err := Replace(name, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Chmod(name, 0o660), os.Link(name, filepath.Join(dir, "b"))); err != nil {
		t.Fatal(err)
	}
	if err := Replace(name, []byte("new")); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string]string{"a": "new", "b": "old"})
	if info, err := os.Stat(name); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o660 {
		t.Errorf("%v, %v: the mode was lost", info.Mode(), err)
	}
	if err := Replace(filepath.Join(dir, "none", "a"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("without a folder: %v", err)
	}
	sub := filepath.Join(t.TempDir(), "sub")
	if err := os.MkdirAll(filepath.Join(sub, "a", "b"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Replace(filepath.Join(sub, "a"), []byte("x")); err == nil {
		t.Error("a folder was replaced")
	}
	if left, _ := filepath.Glob(filepath.Join(sub, ".*")); len(left) > 0 {
		t.Errorf("%q is left", left)
	}
}

func TestNew(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a")
	if err := New(name, []byte("one"), 0o600); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(name); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v: others can read it", info.Mode(), err)
	}
	if err := New(name, []byte("two"), 0o600); !errors.Is(err, fs.ErrExist) {
		t.Errorf("where one is: %v", err)
	}
	holds(t, dir, map[string]string{"a": "one"})
	if err := New(filepath.Join(dir, "none", "a"), nil, 0o600); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("without a folder: %v", err)
	}
	if runtime.GOOS == "windows" {
		return
	}
	// A link that leads nowhere is something, too.
	if err := errors.Join(os.Remove(name), os.Symlink("nowhere", name)); err != nil {
		t.Fatal(err)
	}
	if err := New(name, []byte("two"), 0o600); !errors.Is(err, fs.ErrExist) {
		t.Errorf("where a link is: %v", err)
	}
}

// What a killed process left is cleared away by the next one that writes there; what a process holds is not, nor what somebody
// named in another way.
func TestClearLeft(t *testing.T) {
	dir := t.TempDir()
	made := func() string { return filepath.Join(dir, leftPrefix+rand.Text()) }
	create := func() (string, error) {
		name := made()
		return name, os.WriteFile(name, []byte("half"), 0o600)
	}
	busy, held, err := Aside(create)
	if err != nil {
		t.Fatal(err)
	}
	if held == nil {
		t.Log("files cannot be held here: none is cleared away")
		return
	}
	left, err := create()
	if err := errors.Join(err, os.WriteFile(filepath.Join(dir, leftPrefix+"notes"), []byte("mine"), 0o600), os.Mkdir(made(), 0o700)); err != nil {
		t.Fatal(err)
	}
	for _, write := range []func() error{
		func() error { return Replace(filepath.Join(dir, "a"), []byte("text")) },
		func() error { return New(filepath.Join(dir, "b"), []byte("text"), 0o600) },
	} {
		if err := write(); err != nil {
			t.Fatal(err)
		}
		if _, err := os.Lstat(left); !errors.Is(err, fs.ErrNotExist) {
			t.Error("what was left is there still")
		}
		if left, err = create(); err != nil {
			t.Fatal(err)
		}
	}
	held.Close()
	Clear(dir, Left)
	if _, err := os.Lstat(busy); !errors.Is(err, fs.ErrNotExist) {
		t.Error("what nobody holds any more is there still")
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 4 {
		t.Errorf("%v, %v: want a, b, the notes and the folder", entries, err)
	}
}

// What is made aside is there once it is held, whoever clears away meanwhile.
func TestAside(t *testing.T) {
	dir := t.TempDir()
	var writers sync.WaitGroup
	for range 4 {
		writers.Go(func() {
			for i := range 200 {
				name, held, err := Aside(func() (string, error) { return os.MkdirTemp(dir, "new-") })
				if err != nil {
					t.Error(err)
					return
				}
				Clear(dir, func(fs.DirEntry) bool { return true })
				if _, err := os.Lstat(name); err != nil {
					t.Errorf("%d: %v", i, err)
				}
				os.Remove(name)
				held.Close()
			}
		})
	}
	writers.Wait()
}

// A file is not put in the place of a folder; a link stays, and leads to the new text.
func TestReplaceElse(t *testing.T) {
	dir := t.TempDir()
	name, link := filepath.Join(dir, "sub", "a"), filepath.Join(dir, "link")
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Replace(filepath.Join(dir, "sub"), nil); !errors.Is(err, errIrregular) {
		t.Errorf("a folder: %v", err)
	}
	if err := os.WriteFile(name, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join("sub", "a"), link); err != nil {
		t.Skip("no links here")
	}
	if err := Replace(link, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if to, err := os.Readlink(link); err != nil || to != filepath.Join("sub", "a") {
		t.Errorf("the link: %q, %v", to, err)
	}
	holds(t, filepath.Join(dir, "sub"), map[string]string{"a": "new"})
}
