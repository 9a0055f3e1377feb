package edition

import (
	"errors"
	"fmt"
	"io"
)

// ErrNoFacts says that an edition has nothing by which it could be compared.
var ErrNoFacts = errors.New("this edition keeps no facts to compare: compile it with this version")

// maxFacts is the most bytes of a file of facts that are read: a page has at most two
// million, and its facts not much more.
const maxFacts = 8 << 20

// Facts lists the files of facts with their digests.
func (f *Folder) Facts() (map[string]string, error) {
	switch {
	case f.Text == nil:
		return nil, fmt.Errorf("%s: %w: there is no %s", f.root.Name(), ErrForeign, ManifestName)
	case f.Manifest == nil:
		return nil, fmt.Errorf("%s: %w", f.root.Name(), ErrForeign)
	case f.Manifest.Facts == "":
		return nil, fmt.Errorf("%s: %w", f.root.Name(), ErrNoFacts)
	}
	files, err := f.part(FactsPart, f.Manifest.Facts)
	if err != nil {
		return nil, f.unfit(FactsPart, err)
	}
	return files, nil
}

// Fact reads a file of facts that has a digest.
func (f *Folder) Fact(name, digest string) ([]byte, error) {
	file, err := f.plain(name)
	if err != nil {
		return nil, f.unfit(name, err)
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, maxFacts+1))
	if err == nil && Digest(text) != digest {
		err = errChanged
	}
	if err != nil {
		return nil, f.unfit(name, err)
	}
	return text, nil
}

// unfit says which file of an edition cannot be compared: an edition that somebody changed is
// none, and what the disk refuses is the machine's trouble.
func (f *Folder) unfit(name string, err error) error {
	if isFault(err) {
		return fmt.Errorf("%s: %w: %s is %w", f.root.Name(), ErrForeign, name, err)
	}
	return fmt.Errorf("%s: %s: %w", f.root.Name(), name, err)
}
