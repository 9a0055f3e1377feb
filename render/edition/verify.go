package edition

import (
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// maxList is the most bytes of a manifest, or of a part of one, that are read. With
// a million files neither has a fifth of it.
const maxList = 1 << 20

// Fault is a file that is not as its edition says.
type Fault struct{ Name, What string }

func (f Fault) String() string { return f.Name + ": " + f.What }

// Folder is an edition on a disk, which anybody may have changed.
type Folder struct {
	root      *os.Root
	Manifest  *Manifest // nil where its text is none
	Text      []byte    // of the manifest, nil where it is missing
	Signature []byte    // nil where there is none
}

// Open opens the folder of an edition.
func Open(dir string) (*Folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	f := &Folder{root: root}
	for name, text := range map[string]*[]byte{ManifestName: &f.Text, SignatureName: &f.Signature} {
		*text, err = f.read(name)
		if err == errNoFile {
			*text = []byte{} // it is there, and nothing is in it
		} else if err != nil && err != errMissing {
			return nil, errors.Join(err, root.Close())
		}
	}
	f.Manifest = parseManifest(f.Text)
	return f, nil
}

// Close closes the folder.
func (f *Folder) Close() error { return f.root.Close() }

// What is wrong with a file, as Verify tells it.
var (
	errMissing = errors.New("missing")
	errChanged = errors.New("changed")
	errNoFile  = errors.New("changed: it is no plain file")
	errExtra   = errors.New("not of this edition")
)

// isFault tells whether the edition is wrong, not the disk.
func isFault(err error) bool {
	return slices.Contains([]error{errMissing, errChanged, errNoFile, errExtra}, err)
}

// plain opens a file, and nothing else: no link leads out of the edition, and no
// device is read without end. A name that cannot be is one that is missing.
func (f *Folder) plain(name string) (*os.File, error) {
	local := filepath.FromSlash(name)
	switch info, err := f.root.Lstat(local); {
	case errors.Is(err, fs.ErrPermission):
		return nil, err
	case err != nil:
		return nil, errMissing
	case !info.Mode().IsRegular():
		return nil, errNoFile
	}
	return f.root.Open(local)
}

// mostOf is how large a list of files may be. That of facts is one for all pages.
func mostOf(name string) int64 {
	if name == FactsPart {
		return maxFacts
	}
	return maxList
}

// read reads a file that is held in memory, as far as one may be large.
func (f *Folder) read(name string) ([]byte, error) {
	file, err := f.plain(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, mostOf(name)+1))
}

// part reads a part of the manifest.
func (f *Folder) part(name, digest string) (files map[string]string, err error) {
	text, err := f.read(name)
	if err != nil {
		return nil, err
	}
	files, ok := readPart(text)
	if Digest(text) != digest || !ok {
		return nil, errChanged
	}
	return files, nil
}

// compare reads a file through and compares its digest.
func (f *Folder) compare(name, digest string) error {
	file, err := f.plain(name)
	if err != nil {
		return err
	}
	defer file.Close()
	got, err := digestAll(file)
	if err == nil && got != digest {
		err = errChanged
	}
	return err
}

// Verify holds every file of the folder against the manifest and tells what is
// changed, missing or none of it. files is how many it looked at. An error comes
// from the disk alone.
func (f *Folder) Verify(tell func(Fault)) (files int, err error) {
	// told tells a fault; what is none comes back.
	told := func(name string, err error) error {
		if !isFault(err) {
			return err
		}
		tell(Fault{name, err.Error()})
		return nil
	}
	if f.Text == nil {
		return 0, told(ManifestName, errMissing)
	} else if f.Manifest == nil {
		return 0, told(ManifestName, errChanged)
	}
	parts := map[string]string{ShellPart: f.Manifest.Shell.Part}
	for i, digest := range f.Manifest.Parts {
		parts[PartName(i)] = digest
	}
	if f.Manifest.Facts != "" {
		parts[FactsPart] = f.Manifest.Facts
	}
	rest := map[string]string{ShellPack: f.Manifest.Shell.Pack}
	for i, digest := range f.Manifest.Packs {
		rest[PackName(i)] = digest
	}
	all := true
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		named, err := f.part(name, parts[name])
		all = all && err == nil
		if err := told(name, err); err != nil {
			return 0, err
		}
		maps.Copy(rest, named)
	}
	for _, name := range slices.Sorted(maps.Keys(rest)) {
		if err := told(name, f.compare(name, rest[name])); err != nil {
			return 0, err
		}
	}
	files = 1 + len(parts) + len(rest)
	if !all {
		return files, nil // what a lost part names would seem to be too much
	}
	maps.Copy(rest, parts)
	rest[ManifestName] = Digest(f.Text)
	return files, fs.WalkDir(f.root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || name == SignatureName || rest[name] != "" {
			return err
		}
		return told(name, f.published(name, rest))
	})
}

// published judges a file that a published folder has besides those of the edition: what
// stands by its digest, and what is compressed.
func (f *Folder) published(name string, files map[string]string) error {
	plain, coding := uncoded(name)
	digest, ok := strings.CutPrefix(plain, DigestFolder)
	if !ok {
		digest = files[plain]
	}
	if digest == "" || !ok && coding == nil {
		return errExtra
	}
	file, err := f.plain(name)
	if err != nil {
		return err
	}
	defer file.Close()
	var text io.Reader = file
	sum := sha256.New()
	if coding != nil {
		if text, err = coding.read(file); err != nil {
			return errChanged
		}
	}
	if _, err := io.Copy(sum, text); err != nil && coding == nil {
		return err
	}
	if digestOf(sum.Sum(nil)) != digest {
		return errChanged
	}
	return nil
}
