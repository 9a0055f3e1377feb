package whole

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
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
