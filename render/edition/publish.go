package edition

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"
)

// DigestFolder is the folder of a published edition in which all its files lie by their
// digests. No address there ever has other bytes, so that caches may keep them for good.
const DigestFolder = "by/"

// ErrWithin says that an edition is to be published into itself.
var ErrWithin = errors.New("it is in the edition itself, which has what was compiled and no more; choose another folder")

// Published says what a published folder consists of.
type Published struct {
	Files      int // of the edition
	Compressed int // beside them, in all codings
	Kept       int // of the edition before, by their digests
}

// publishing is the laying out of an edition for hosts.
type publishing struct {
	from, to, aside string
	files           map[string]string // digests of the edition's, with its manifest
	before          map[string]string // of those of the edition that the folder has

	mu   sync.Mutex // guards what follows
	done Published
}

// Publish lays the edition of the folder from out for a web host, in the folder to:
// its files, compressed ones beside them, and in DigestFolder all of them by their
// digests. What to holds is exchanged in one step, and only if it is a published edition
// or nothing. It may not lie in from.
func Publish(from, to string) (Published, error) {
	if Within(to, from) {
		return Published{}, fmt.Errorf("%s: %w", to, ErrWithin)
	}
	p := &publishing{from: filepath.Clean(from), to: placeOf(to)}
	if err := recoverSwap(p.to); err != nil {
		return p.done, err
	}
	var err error
	if p.files, err = listAll(p.from); err != nil {
		return p.done, err
	}
	if err := p.look(); err != nil {
		return p.done, err
	}
	aside, held, err := makeAside(p.to)
	if err != nil {
		return p.done, err
	}
	p.aside = aside
	defer func() {
		os.RemoveAll(aside) // the edition before, if all went well
		if held != nil {
			held.Close()
		}
	}()
	if err := p.lay(); err != nil {
		return p.done, err
	}
	return p.done, swap(aside, p.to)
}

// listAll is the list of an edition with its manifest in it.
func listAll(dir string) (map[string]string, error) {
	l, err := list(dir)
	if err != nil {
		return nil, err
	}
	text, err := readList(dir, ManifestName)
	l.files[ManifestName] = Digest(text)
	return l.files, err
}

// look finds out what the folder has, and refuses what is no published edition.
func (p *publishing) look() (err error) {
	p.before, err = listAll(p.to)
	if errors.Is(err, fs.ErrNotExist) {
		return onlyEmpty(p.to)
	}
	if err != nil {
		return err
	}
	return onlyFiles(p.to, func(name string) bool {
		plain, _ := uncoded(name)
		return name == SignatureName || p.before[name] != "" || p.before[plain] != "" || strings.HasPrefix(name, DigestFolder)
	})
}

// lay writes the folder aside.
func (p *publishing) lay() error {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for name, digest := range p.files {
		workers.Go(func() error { return p.file(name, digest) })
	}
	if err := workers.Wait(); err != nil {
		return err
	}
	p.done.Files = len(p.files)
	signature, err := os.ReadFile(filepath.Join(p.from, SignatureName))
	switch {
	case err == nil:
		err = os.WriteFile(filepath.Join(p.aside, SignatureName), signature, 0o644)
	case errors.Is(err, fs.ErrNotExist):
		err = nil
	}
	return errors.Join(err, p.keep())
}

// file lays out a file, and what it is compressed.
func (p *publishing) file(name, digest string) error {
	data, err := os.ReadFile(filepath.Join(p.from, filepath.FromSlash(name)))
	if err == nil && Digest(data) != digest {
		err = fmt.Errorf("%s: %w: %s is not as its manifest says", p.from, ErrForeign, name)
	}
	if err != nil {
		return err
	}
	if err := p.place(name, digest, data); err != nil || !shrinks(name, len(data)) {
		return err
	}
	for _, c := range codings {
		if p.files[name+c.ending] != "" {
			return fmt.Errorf("%s: hosts take %s for %s compressed: give one of them another name", p.from, name+c.ending, name)
		}
		compressed, err := os.ReadFile(p.digested(p.to, digest+c.ending))
		if err != nil || !c.holds(compressed, data) {
			if compressed, err = c.compress(data); err != nil {
				return err
			}
		}
		if err := p.place(name+c.ending, digest+c.ending, compressed); err != nil {
			return err
		}
		p.mu.Lock()
		p.done.Compressed++
		p.mu.Unlock()
	}
	return nil
}

func (p *publishing) digested(dir, digest string) string {
	return filepath.Join(dir, filepath.FromSlash(DigestFolder), digest)
}

// place puts a file under its name and by its digest. One that the folder has already
// stays as it is, with its time, by which hosts tell browsers that it has not changed.
func (p *publishing) place(name, digest string, data []byte) error {
	target := filepath.Join(p.aside, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
		return err
	}
	old := p.digested(p.to, digest)
	if had, err := os.ReadFile(old); err != nil || !bytes.Equal(had, data) {
		old = target
		if err := os.WriteFile(target, data, 0o644); err != nil {
			return err
		}
	} else if err := linkOrWrite(old, target, data); err != nil {
		return err
	}
	byDigest := p.digested(p.aside, digest)
	if err := os.MkdirAll(filepath.Dir(byDigest), 0o755); err != nil {
		return err
	}
	return linkOrWrite(old, byDigest, data)
}

// linkOrWrite links a file, or writes it where the disk has no links. Files of two names with the
// same bytes have one digest.
func linkOrWrite(old, target string, data []byte) error {
	if err := os.Link(old, target); err == nil || errors.Is(err, fs.ErrExist) {
		return nil
	}
	return os.WriteFile(target, data, 0o644)
}

// keep keeps the files of the edition before by their digests: phones may be at it, or
// meet it once more. Who publishes one edition twice keeps all.
func (p *publishing) keep() error {
	has, needed := map[string]bool{}, map[string]bool{}
	for _, digest := range p.files {
		has[digest] = true
	}
	for _, digest := range p.before {
		needed[digest] = true
	}
	entries, err := os.ReadDir(filepath.Join(p.to, DigestFolder))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	again := p.before[ManifestName] == p.files[ManifestName]
	for _, e := range entries {
		digest, _ := uncoded(e.Name())
		if has[digest] || !again && !needed[digest] {
			continue
		}
		old := p.digested(p.to, e.Name())
		data, err := os.ReadFile(old)
		if err == nil {
			err = linkOrWrite(old, p.digested(p.aside, e.Name()), data)
		}
		if err != nil {
			return err
		}
		if digest == e.Name() {
			p.done.Kept++
		}
	}
	return nil
}
