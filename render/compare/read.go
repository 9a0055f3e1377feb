package compare

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"benchleaf/render/edition"
)

// errForm says of a file that it has another form than this version reads.
var errForm = fmt.Errorf("%w: its facts are of another form than this version reads", edition.ErrForeign)

// Open reads the facts of an edition: name is its folder or its manifest.
func Open(name string) (*Edition, error) {
	if filepath.Base(name) == edition.ManifestName {
		name = filepath.Dir(name)
	}
	f, err := edition.Open(name)
	if err != nil {
		return nil, err
	}
	e, err := read(f)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	return e, nil
}

func read(f *edition.Folder) (*Edition, error) {
	files, err := f.Facts()
	if err != nil {
		return nil, err
	}
	e := &Edition{
		ID: digest(string(f.Text)), Name: Name{f.Manifest.Title, f.Manifest.Edition, f.Manifest.Date},
		Book: &Book{}, Pages: map[string]*Page{}, files: files,
	}
	if files[BookFile] == "" {
		return nil, fmt.Errorf("%w: there is no %s", edition.ErrForeign, BookFile)
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		text, err := f.Fact(name, files[name])
		if err != nil {
			return nil, err
		}
		if name == BookFile {
			if json.Unmarshal(text, e.Book) != nil || e.Book.Format != Format {
				return nil, fmt.Errorf("%s: %w", name, errForm)
			}
			continue
		}
		p := &Page{}
		if json.Unmarshal(text, p) != nil || p.Format != Format || PageFile(p.Path) != name || !strings.HasPrefix(name, folder) {
			return nil, fmt.Errorf("%s: %w", name, errForm)
		}
		e.Pages[p.Path] = p
	}
	return e, nil
}
