package edition

import (
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math/bits"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// What an edition says of itself lies in these files.
const (
	ManifestName  = "manifest.json" // makes a folder an edition
	SignatureName = "manifest.sig"  // over the bytes of the manifest, where somebody signs
	ShellPart     = partFolder + "shell.json"
	ShellPack     = packFolder + "shell.gz"
	FactsPart     = partFolder + "facts.json"

	partFolder = "manifest/"
	packFolder = "packs/"
)

// Format is the form of the manifest that is written.
const Format = 2

// Manifest is the root of what an edition consists of: a file is named with its
// digest in a part, and the parts here. So an edition that changes a few files of
// many costs a phone this and a few parts.
type Manifest struct {
	Format  int    `json:"format"`
	Title   string `json:"title"`
	Edition string `json:"edition"`
	Date    string `json:"date,omitempty"`
	Pages   int    `json:"pages"` // HTML files
	// Shell is what a phone takes first.
	Shell Shell    `json:"shell"`
	Parts []string `json:"parts"` // digests of PartName(0), PartName(1) and so on
	Packs []string `json:"packs"` // digests of PackName(0), PackName(1) and so on
	// Facts is the digest of FactsPart, which names files that no phone takes; "" in
	// an edition of a time before them.
	Facts string `json:"facts,omitempty"`
}

// Shell holds the digests of ShellPart and ShellPack.
type Shell struct {
	Part string `json:"part"`
	Pack string `json:"pack"`
}

// Digest is the first 128 bits of SHA-256 in base64url (RFC 4648, 5), without
// padding.
func Digest(data []byte) string {
	sum := sha256.Sum256(data)
	return digestOf(sum[:])
}

// sum is what a digest says, of which a large edition has tens of thousands.
type sum [16]byte

// sumOf reads a digest.
func sumOf(digest string) (s sum, ok bool) {
	if base64.RawURLEncoding.DecodedLen(len(digest)) != len(s) {
		return s, false
	}
	_, err := base64.RawURLEncoding.Decode(s[:], []byte(digest))
	return s, err == nil
}

// digestAll is the digest of all that is read, of which little is held at a time.
func digestAll(r io.Reader) (string, error) {
	sum := sha256.New()
	_, err := io.Copy(sum, r)
	return digestOf(sum.Sum(nil)), err
}

func digestOf(sum []byte) string { return base64.RawURLEncoding.EncodeToString(sum[:16]) }

// PartName is the path of a part.
func PartName(i int) string { return fmt.Sprintf("%s%02x.json", partFolder, i) }

// PackName is the path of a pack.
func PackName(i int) string { return fmt.Sprintf("%s%02x.gz", packFolder, i) }

// PartOf is the number of the part that names a path, of as many as there are, a
// power of two: the first bits of SHA-256 of the path's family. So a file's part
// hangs on no other file.
func PartOf(name string, parts int) int {
	sum := sha256.Sum256([]byte(family(name)))
	return int(uint64(binary.BigEndian.Uint32(sum[:])) >> (33 - bits.Len(uint(parts))))
}

// family is what a page's file has in common with those that change with it, its
// picture and its texts for the search: the last two names of the path, up to the
// first full stop.
func family(name string) string {
	folder, file := path.Split(name)
	file, _, _ = strings.Cut(file, ".")
	return path.Join(path.Base(folder), file)
}

// partCount is the number of parts for as many files: a power of two, from twice
// to four times their root. A phone takes the root with a digest for each part, and
// a part for each changed family; this makes the sum small for half a dozen of them.
func partCount(files int) int {
	parts := 1
	for parts*parts < 4*files {
		parts *= 2
	}
	return parts
}

// part is a part of the manifest, with the files that it names, by path.
type part struct {
	name, digest string
	text         []byte
	files        []string
}

// parts makes the parts of the files that were written.
func (w *Writer) parts() (parts []*part, shell, facts *part) {
	rest := 0
	for _, e := range w.files {
		if !e.shell && !e.facts {
			rest++
		}
	}
	shell, facts, parts = &part{name: ShellPart}, &part{name: FactsPart}, make([]*part, partCount(rest))
	for i := range parts {
		parts[i] = &part{name: PartName(i)}
	}
	// A family stands together, since its files compress well together.
	for _, name := range slices.SortedFunc(maps.Keys(w.files), func(a, b string) int {
		return cmp.Or(cmp.Compare(family(a), family(b)), cmp.Compare(a, b))
	}) {
		p := shell
		switch e := w.files[name]; {
		case e.facts:
			p = facts
		case !e.shell:
			p = parts[PartOf(name, len(parts))]
		}
		p.files = append(p.files, name)
	}
	return parts, shell, facts
}

func (w *Writer) putPart(p *part) error {
	folders := map[string]map[string]string{}
	for _, f := range p.files {
		folder, name := path.Split(f)
		if folders[folder] == nil {
			folders[folder] = map[string]string{}
		}
		sum := w.files[f].sum
		folders[folder][name] = digestOf(sum[:])
	}
	text, err := json.Marshal(folders)
	if err != nil {
		return err
	}
	p.text = append(text, '\n')
	p.digest = Digest(p.text)
	return w.put(p.name, p.digest, int64(len(p.text)), loaded(p.text))
}

// readPart reads a part: digests by name, by folder.
func readPart(text []byte) (files map[string]string, ok bool) {
	var folders map[string]map[string]string
	ok = json.Unmarshal(text, &folders) == nil
	files = map[string]string{}
	for folder, names := range folders {
		for name, digest := range names {
			files[folder+name] = digest
		}
	}
	return files, ok
}

// pages counts the HTML files.
func (w *Writer) pages() (n int) {
	for name := range w.files {
		if path.Ext(name) == ".html" {
			n++
		}
	}
	return n
}

// readList reads a manifest or a part of one: a plain file, since a device or a pipe would be read without end.
func readList(dir, name string) ([]byte, error) {
	path := filepath.Join(dir, filepath.FromSlash(name))
	info, err := os.Lstat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > mostOf(name) {
		return nil, fmt.Errorf("%s: %w: %s is no list of files", dir, ErrForeign, name)
	}
	return os.ReadFile(path)
}

// ReadManifest reads the manifest of a folder. A folder without one gives
// fs.ErrNotExist.
func ReadManifest(dir string) (*Manifest, error) {
	text, err := readList(dir, ManifestName)
	if err != nil {
		return nil, err
	}
	m := parseManifest(text)
	if m == nil {
		return nil, fmt.Errorf("%s: %w", dir, ErrForeign)
	}
	return m, nil
}

// parseManifest gives nil where the text is no manifest.
func parseManifest(text []byte) *Manifest {
	var m Manifest
	if json.Unmarshal(text, &m) != nil || m.Format != Format || bits.OnesCount(uint(len(m.Parts))) != 1 || bits.OnesCount(uint(len(m.Packs))) != 1 || len(m.Packs) > len(m.Parts) {
		return nil
	}
	return &m
}

// listing is what an edition on the disk consists of.
type listing struct {
	files        map[string]string // digests of all but the manifest and its signature
	parts, packs int               // how many; none in the first format
}

// list reads the list of an edition, in the present format or the first, which
// named all files in one.
func list(dir string) (*listing, error) {
	text, err := readList(dir, ManifestName)
	if err != nil {
		return nil, err
	}
	var first struct {
		Format int
		Files  map[string]string
	}
	if json.Unmarshal(text, &first) == nil && first.Format == 1 && first.Files != nil {
		return &listing{files: first.Files}, nil
	}
	m, err := ReadManifest(dir)
	if err != nil {
		return nil, err
	}
	l := &listing{map[string]string{ShellPart: m.Shell.Part, ShellPack: m.Shell.Pack}, len(m.Parts), len(m.Packs)}
	for i, digest := range m.Packs {
		l.files[PackName(i)] = digest
	}
	parts := []string{ShellPart}
	for i, digest := range m.Parts {
		l.files[PartName(i)] = digest
		parts = append(parts, PartName(i))
	}
	if m.Facts != "" {
		l.files[FactsPart] = m.Facts
		parts = append(parts, FactsPart)
	}
	for _, name := range parts {
		text, err := readList(dir, name)
		files, ok := readPart(text)
		if err == nil && (Digest(text) != l.files[name] || !ok) || errors.Is(err, fs.ErrNotExist) {
			err = fmt.Errorf("%s: %w: %s is not the one of its %s", dir, ErrForeign, name, ManifestName)
		}
		if err != nil {
			return nil, err
		}
		maps.Copy(l.files, files)
	}
	return l, nil
}
