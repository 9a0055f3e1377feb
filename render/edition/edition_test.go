package edition

import (
	"crypto/rand"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func begin(t *testing.T, out string) *Writer {
	t.Helper()
	w, err := Begin(out, Manifest{Title: "T", Edition: "1"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { w.Close() })
	return w
}

func write(t *testing.T, w *Writer, files map[string]string) {
	t.Helper()
	for name, text := range files {
		if err := w.Write(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
}

func commit(t *testing.T, out string, files map[string]string) {
	t.Helper()
	w := begin(t, out)
	write(t, w, files)
	if err := errors.Join(w.Commit(), w.Close()); err != nil {
		t.Fatal(err)
	}
}

// holds fails unless the parent folder holds the edition alone, with these files.
func holds(t *testing.T, out string, files map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(out))
	if err != nil || len(entries) != 1 || entries[0].Name() != filepath.Base(out) {
		t.Errorf("beside the edition: %v %v", entries, err)
	}
	l, err := list(out)
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for name := range l.files {
		if !reserved(name) {
			named++
		}
	}
	if named != len(files) {
		t.Errorf("the manifest names %d files, want %d", named, len(files))
	}
	for name, text := range files {
		got, err := os.ReadFile(filepath.Join(out, name))
		if err != nil || string(got) != text {
			t.Errorf("%s: %q %v, want %q", name, got, err, text)
		}
		if l.files[name] != Digest(got) {
			t.Errorf("%s: digest %q, want %q", name, l.files[name], Digest(got))
		}
	}
	if err := onlyEdition(out, l); err != nil {
		t.Error(err)
	}
	for name, digest := range l.files {
		if data, err := os.ReadFile(filepath.Join(out, name)); err != nil || Digest(data) != digest {
			t.Errorf("%s is not what the manifest says (%v)", name, err)
		}
	}
}

func TestCommit(t *testing.T) {
	out := filepath.Join(t.TempDir(), "new", "edition")
	first := map[string]string{"index.html": "a", "en/b.html": "b"}
	commit(t, out, first)
	holds(t, out, first)
	before, err := os.Stat(filepath.Join(out, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	second := map[string]string{"index.html": "a", "en/c.html": "c"}
	commit(t, out, second)
	holds(t, out, second)
	after, err := os.Stat(filepath.Join(out, "index.html"))
	if err != nil || !os.SameFile(before, after) {
		t.Errorf("an unchanged file was written anew (%v)", err)
	}
}

func TestCloseWithoutCommit(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"index.html": "a"}
	commit(t, out, files)
	w := begin(t, out)
	write(t, w, map[string]string{"index.html": "half"})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	holds(t, out, files)
}

// TestKilled: what a killed build left is cleared away by the next one, what a
// running build holds is not.
func TestKilled(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	left := filepath.Join(filepath.Dir(out), asidePrefix(out)+"1")
	if err := os.MkdirAll(left, 0o755); err != nil {
		t.Fatal(err)
	}
	other := begin(t, out)
	if other.held == nil {
		t.Log("folders cannot be held here: none is cleared away")
		return
	}
	write(t, other, map[string]string{"index.html": "other"})
	if _, err := os.Stat(left); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a killed build's folder is still there: %v", err)
	}
	files := map[string]string{"index.html": "mine"}
	commit(t, out, files)
	if err := errors.Join(other.Commit(), other.Close()); err != nil {
		t.Fatalf("the build beside it: %v", err)
	}
	holds(t, out, map[string]string{"index.html": "other"})
}

// TestKilledInSigning: what a killed process left of a signature is no file of somebody's, and goes with the edition.
func TestKilledInSigning(t *testing.T) {
	out, host := filepath.Join(t.TempDir(), "edition"), filepath.Join(t.TempDir(), "host")
	commit(t, out, map[string]string{"index.html": "a"})
	if _, err := Publish(out, host); err != nil {
		t.Fatal(err)
	}
	left := ".benchleaf-" + rand.Text()
	for _, dir := range []string{out, host} {
		if err := os.WriteFile(filepath.Join(dir, left), []byte("half"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	files := map[string]string{"index.html": "b"}
	commit(t, out, files)
	holds(t, out, files)
	if _, err := Publish(out, host); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Lstat(filepath.Join(host, left)); err == nil {
		t.Error("the host has it still")
	}
}

// TestKilledInSwap: where folders cannot be exchanged, a build killed between
// the two renames leaves the last edition aside; the next build puts it back.
func TestKilledInSwap(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"index.html": "a"}
	commit(t, out, files)
	if err := os.Rename(out, lastOf(out)); err != nil {
		t.Fatal(err)
	}
	if err := begin(t, out).Close(); err != nil {
		t.Fatal(err)
	}
	holds(t, out, files)
}

func TestForeign(t *testing.T) {
	for name, text := range map[string]string{"mine.txt": "x", ManifestName: `{"title": "of something else"}`} {
		out := filepath.Join(t.TempDir(), "edition")
		if err := os.MkdirAll(out, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(out, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Begin(out, Manifest{}); !errors.Is(err, ErrForeign) {
			t.Errorf("%s: %v, want ErrForeign", name, err)
		}
	}
	file := filepath.Join(t.TempDir(), "edition")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Begin(file, Manifest{}); !errors.Is(err, ErrFile) {
		t.Error("a file in the folder's place is not refused")
	}
}

// TestHere: the folder that one is in is not exchanged.
func TestHere(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for _, out := range []string{".", dir, filepath.Join("..", filepath.Base(dir))} {
		if _, err := Begin(out, Manifest{}); !errors.Is(err, ErrHere) {
			t.Errorf("%s: %v, want ErrHere", out, err)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("%v %v", left, err)
	}
}

// TestForeignAmongOwn: a file that somebody put into an edition is not taken
// away with it.
func TestForeignAmongOwn(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	commit(t, out, map[string]string{"en/a.html": "a"})
	if err := os.WriteFile(filepath.Join(out, "en", "mine.txt"), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Begin(out, Manifest{}); !errors.Is(err, ErrForeign) {
		t.Errorf("%v, want ErrForeign", err)
	}
}

// TestChangedFile: a file of the last edition that somebody changed, at the same
// length, is written anew.
func TestChangedFile(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"a.html": "open"}
	commit(t, out, files)
	if err := os.WriteFile(filepath.Join(out, "a.html"), []byte("shut"), 0o644); err != nil {
		t.Fatal(err)
	}
	commit(t, out, files)
	holds(t, out, files)
}

func TestWriteRefuses(t *testing.T) {
	w := begin(t, filepath.Join(t.TempDir(), "edition"))
	write(t, w, map[string]string{"a.html": "a"})
	for _, name := range []string{"../a", "/a", "a/../../b", ManifestName, SignatureName, ShellPart, PackName(0), "manifest/x", "a.html", ""} {
		if w.Write(name, nil) == nil {
			t.Errorf("%q is not refused", name)
		}
	}
}
