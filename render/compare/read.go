package compare

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"benchleaf/render/edition"
)

// What cannot be compared.
var (
	ErrFile = errors.New("this is no edition: that is a folder, or its " + edition.ManifestName + "; a handbook in one file keeps nothing to compare by")
	ErrForm = errors.New("its facts are of another form than this version reads")
)

// Open reads the facts of an edition: name is its folder or its manifest.
func Open(name string) (*Edition, error) {
	if filepath.Base(name) == edition.ManifestName {
		name = filepath.Dir(name)
	}
	if info, err := os.Stat(name); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("%s: %w", name, ErrFile)
	}
	f, err := edition.Open(name)
	if err != nil {
		return nil, err
	}
	e, err := read(f, name)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	return e, nil
}

func read(f *edition.Folder, dir string) (*Edition, error) {
	files, err := f.Facts()
	if err != nil {
		return nil, err
	}
	e := &Edition{
		ID: digest(string(f.Text)), Name: Name{f.Manifest.Title, f.Manifest.Edition, f.Manifest.Date},
		Book: &Book{}, Pages: map[string]*Page{}, files: files,
	}
	if files[BookFile] == "" {
		return nil, fmt.Errorf("%s: %w: there is no %s", dir, edition.ErrForeign, BookFile)
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		text, err := f.Fact(name, files[name])
		if err != nil {
			return nil, err
		}
		if name == BookFile {
			if e.Book.Unpack(text) != nil || e.Book.Format != Format {
				return nil, fmt.Errorf("%s: %s: %w", dir, name, ErrForm)
			}
			continue
		}
		p := &Page{}
		if p.Unpack(text) != nil || p.Format != Format || PageFile(p.Path) != name || !strings.HasPrefix(name, folder) {
			return nil, fmt.Errorf("%s: %s: %w", dir, name, ErrForm)
		}
		e.Pages[p.Path] = p
	}
	return e, nil
}
