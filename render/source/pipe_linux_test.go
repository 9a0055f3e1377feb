package source

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A pipe that takes the place of a file once the folder is listed is not waited for.
func TestPipe(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a.md", "a.png"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("# A\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tree, _, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	tree.Shelve(tree.Pages[0])
	for _, name := range []string{"a.md", "a.png"} {
		if err := errors.Join(os.Remove(filepath.Join(dir, name)), syscall.Mkfifo(filepath.Join(dir, name), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := tree.Pages[0].Parsed(); !errors.Is(err, errIrregular) {
		t.Errorf("a page: %v", err)
	}
	if _, err := tree.ReadAsset("a.png"); !errors.Is(err, errIrregular) {
		t.Errorf("a picture: %v", err)
	}
}

// No more of a file is read than may be, whatever it grew to since the folder was listed.
func TestGrown(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.md")
	if err := os.WriteFile(name, []byte("# A\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	tree, _, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	tree.Shelve(tree.Pages[0])
	if err := os.Truncate(name, 1<<40); err != nil {
		t.Skip(err)
	}
	if _, err := tree.Pages[0].Parsed(); !errors.Is(err, errGrown) {
		t.Errorf("%v, want %v", err, errGrown)
	}
	if err := os.Truncate(name, maxText); err != nil {
		t.Fatal(err)
	}
	if text, err := tree.read("a.md", maxText); err != nil || len(text) != maxText {
		t.Errorf("%d bytes, %v", len(text), err)
	}
}
