package hosting

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"benchleaf/render/edition"
)

// A phone that finds no edition, or one of which something is missing, asks for what there is and keeps nothing of it as whole.
func TestVisitOfNothing(t *testing.T) {
	var p Phone
	if sent, err := p.Visit(t.TempDir()); !errors.Is(err, fs.ErrNotExist) || sent != nil {
		t.Errorf("an empty folder: %v, %v", sent, err)
	}
	folder, _ := small(t)
	for _, name := range []string{edition.ShellPart, edition.PartName(0)} {
		file := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.Rename(file, file+".away"); err != nil {
			t.Fatal(err)
		}
		if _, err := new(Phone).Visit(folder); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("without %s: %v", name, err)
		}
		if err := os.Rename(file+".away", file); err != nil {
			t.Fatal(err)
		}
	}
	if sent, err := p.Visit(folder); err != nil || len(sent) < 4 {
		t.Errorf("%d requests, %v", len(sent), err)
	}
	if err := os.WriteFile(filepath.Join(folder, edition.ManifestName), []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Visit(folder); !errors.Is(err, edition.ErrForeign) {
		t.Errorf("another manifest: %v", err)
	}
}
