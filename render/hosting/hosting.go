// Package hosting plays what a phone asks a host for, so that it can be told what many of
// them cost. The worker's rules are those of theme/worker; a test holds the two together
// in a browser.
//
// In: a published edition's folder. Out: requests, with what the host sends. It imports
// the edition; only tests import it.
package hosting

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"benchleaf/render/edition"
)

// Request is one that a phone makes, with the bytes of the answer's body.
type Request struct {
	Path  string
	Bytes int
}

// Phone is what a phone has.
type Phone struct {
	held string          // the digest of the manifest of the edition that is kept; "" for none
	has  map[string]bool // digests of the files that are kept
	sent []Request
	root *edition.Manifest
	dir  string
}

// Visit plays a visit that finds the edition of a published folder on the host: all that the worker
// asks for. What the first page itself asks for before there is a worker is not in it.
func (p *Phone) Visit(dir string) ([]Request, error) {
	if p.has == nil {
		p.has = map[string]bool{}
	}
	p.dir, p.sent = dir, nil
	if p.held == "" {
		// While it installs, the worker takes the shell.
		if err := p.ask(); err != nil {
			return nil, err
		}
		if err := p.take(true); err != nil {
			return nil, err
		}
	}
	if err := p.ask(); err != nil {
		return nil, err
	}
	id, err := p.id()
	if err != nil {
		return nil, err
	}
	if id != p.held {
		err = p.take(false)
		p.held = id
	}
	return p.sent, err
}

func (p *Phone) read(name string) ([]byte, error) {
	return os.ReadFile(filepath.Join(p.dir, filepath.FromSlash(name)))
}

func (p *Phone) id() (string, error) {
	text, err := p.read(edition.ManifestName)
	return edition.Digest(text), err
}

// ask asks whether there is something new. A manifest that is the one of last time comes
// without its body.
func (p *Phone) ask() (err error) {
	id, err := p.id()
	if err != nil {
		return err
	}
	if p.root, err = edition.ReadManifest(p.dir); err != nil {
		return err
	}
	if p.has[id] {
		p.sent = append(p.sent, Request{edition.ManifestName, 0})
	} else if err := p.get(edition.ManifestName); err != nil {
		return err
	}
	p.has[id] = true
	if err := p.get(edition.SignatureName); errors.Is(err, fs.ErrNotExist) {
		p.sent = append(p.sent, Request{edition.SignatureName, 0})
	} else {
		return err
	}
	return nil
}

// get asks for a file; the host sends the smallest form that it has.
func (p *Phone) get(name string) error {
	for _, ending := range []string{".br", ""} {
		info, err := os.Stat(filepath.Join(p.dir, filepath.FromSlash(name+ending)))
		if err == nil {
			p.sent = append(p.sent, Request{name, int(info.Size())})
			return nil
		} else if ending == "" {
			return err
		}
	}
	return nil
}

func (p *Phone) getDigest(digest string) error {
	p.has[digest] = true
	return p.get(edition.DigestFolder + digest)
}

// group is a pack with its parts, by their names.
type group struct {
	digest string
	parts  map[string]string
}

func (p *Phone) groups() []group {
	m := p.root
	all := []group{{m.Shell.Pack, map[string]string{edition.ShellPart: m.Shell.Part}}}
	run := len(m.Parts) / len(m.Packs)
	for i, digest := range m.Packs {
		g := group{digest, map[string]string{}}
		for j := i * run; j < (i+1)*run; j++ {
			g.parts[edition.PartName(j)] = m.Parts[j]
		}
		all = append(all, g)
	}
	return all
}

// take takes the edition, or what comes first of it.
func (p *Phone) take(shellOnly bool) error {
	if shellOnly || p.held != "" {
		// Whether the host has files by their digests, it says once for each edition.
		id, err := p.id()
		if err != nil {
			return err
		}
		p.sent = append(p.sent, Request{edition.DigestFolder + id, 0})
	}
	groups := p.groups()
	if shellOnly {
		groups = groups[:1]
	}
	var missing []string
	for _, g := range groups {
		digests, err := p.takeGroup(g)
		if err != nil {
			return err
		}
		missing = append(missing, digests...)
	}
	for _, digest := range missing {
		if p.has[digest] {
			continue // of another path, too
		}
		if err := p.getDigest(digest); err != nil {
			return err
		}
	}
	return nil
}

// takeGroup takes the parts of a pack, or the pack, and returns the digests of files that are still missing.
func (p *Phone) takeGroup(g group) ([]string, error) {
	files, err := p.files(g)
	if err != nil {
		return nil, err
	}
	unknown := 0
	for _, digest := range g.parts {
		if !p.has[digest] {
			unknown++
		}
	}
	packed := p.held == "" && unknown*2 > len(g.parts)
	if packed {
		if err := p.takePack(g, files); err != nil {
			return nil, err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(g.parts)) {
		if digest := g.parts[name]; !p.has[digest] {
			if err := p.getDigest(digest); err != nil {
				return nil, err
			}
		}
	}
	absent := p.absent(files)
	if !packed && len(absent) > 8 && len(absent)*2 > len(files) {
		err = p.takePack(g, files)
		absent = p.absent(files)
	}
	return absent, err
}

func (p *Phone) absent(files map[string]string) (digests []string) {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if !p.has[files[name]] {
			digests = append(digests, files[name])
		}
	}
	return digests
}

// takePack takes a pack, which has what is not too large of the files.
func (p *Phone) takePack(g group, files map[string]string) error {
	for _, digest := range g.parts {
		p.has[digest] = true
	}
	for name, digest := range files {
		info, err := os.Stat(filepath.Join(p.dir, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		if edition.Packed(name, int(info.Size())) {
			p.has[digest] = true
		}
	}
	return p.getDigest(g.digest)
}

// files reads which files the parts of a group name.
func (p *Phone) files(g group) (map[string]string, error) {
	files := map[string]string{}
	for name := range g.parts {
		text, err := p.read(name)
		if err != nil {
			return nil, err
		}
		var folders map[string]map[string]string
		if err := json.Unmarshal(text, &folders); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		for folder, names := range folders {
			for file, digest := range names {
				files[folder+file] = digest
			}
		}
	}
	return files, nil
}
