package render

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"sync"

	"benchleaf/render/audit"
	"benchleaf/render/cache"
	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/remark"
	"benchleaf/render/search"
	"benchleaf/theme"
)

// builder builds a handbook again, and takes from the last time what would come out the
// same: for a page its entry, for files their bundle.
type builder struct {
	cache   cache.Cache
	program string // the digest of what builds
	look    func() (*theme.Theme, error)
	last    *state
	since   *compare.Edition  // an older edition, or nil
	lean    bool              // files are written as they are made, and not held
	pages   func(n, held int) // told how many there are, or nil

	mu      sync.Mutex
	next    *state
	readers map[string]*search.Reader // by language
}

// tell tells how many pages there are, and how many of them are held.
func (b *builder) tell(pages, held int) {
	if b.pages != nil {
		b.pages(pages, held)
	}
}

// reader is what reads the places of a language's pages.
func (b *builder) reader(lang string) *search.Reader {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.readers == nil {
		b.readers = map[string]*search.Reader{}
	}
	if b.readers[lang] == nil {
		b.readers[lang] = search.NewReader(lang)
	}
	return b.readers[lang]
}

// state is what a build leaves to the next one.
type state struct {
	Pages   map[string]*entry // by the path of the source
	Bundles map[string]*bundle
	Assets  map[string]*handbook.Asset
}

func newState() *state { return &state{Pages: map[string]*entry{}, Bundles: map[string]*bundle{}} }

// entry is what is known of a page. It holds as long as its source, the frame of the
// handbook and all that was read are the same.
type entry struct {
	Source, Frame string // digests
	Reads         []reading
	Face          *handbook.Face
	FaceDigest    string
	Facts         *audit.Facts
	Remarks       remark.List // of all stages
	Bundle        string      // the key of its files
}

// reading is something that was read, with its digest as it was.
type reading struct {
	handbook.Read
	Digest string
}

// bundle are files that are made together, and what else the build must know of them.
type bundle struct {
	Files   []about
	Scripts []string     // that pages among them load
	Head    search.Head  // of a page
	Tally   search.Tally // of a segment of a search index

	fresh *made                 // what was made of it in this build, as long as it is held
	kept  func() (*made, error) // what the last one made of it, or the cache has
}

// load is what it consists of.
func (x *bundle) load() (*made, error) {
	if x.fresh != nil {
		return x.fresh, nil
	}
	return x.kept()
}

// about is a file without its bytes.
type about struct {
	Path, Digest string
	Size         int
	Shell, Facts bool
}

// made is what a bundle consists of.
type made struct {
	Files   []made1
	Scripts []string     // that pages among them load
	Places  *search.Page // of a page
	Tally   search.Tally
}

// made1 is a file.
type made1 struct {
	Path         string
	Data         []byte
	Shell, Facts bool
}

func (m *made) add(path string, data []byte) {
	if path != "" {
		m.Files = append(m.Files, made1{Path: path, Data: data})
	}
}

func (m *made) addShell(path string, data []byte) {
	m.Files = append(m.Files, made1{Path: path, Data: data, Shell: true})
}

// addPage adds a page and what belongs to it; a phone takes one of the shell before all others.
func (m *made) addPage(path string, out page.Output, shell bool) {
	m.Files = append(m.Files, made1{Path: path, Data: out.HTML, Shell: shell})
	m.add(out.Code.Path, out.Code.Data)
	m.Scripts = append(m.Scripts, out.Scripts...)
}

// addFacts adds what editions are compared by.
func (m *made) addFacts(path string, facts interface{ Pack() ([]byte, error) }) error {
	text, err := facts.Pack()
	m.Files = append(m.Files, made1{Path: path, Data: text, Facts: true})
	return err
}

// addPlaces adds what the search may lead to.
func (m *made) addPlaces(p *search.Page) {
	m.Places = p
	if texts, ok := p.Texts(); ok {
		m.add(texts.Path, texts.Data)
	}
}

// errLost says that the cache no longer has what a build wants of it.
var errLost = errors.New("the cache is not whole")

// bundle returns the files of a key: from the last time, else as they are made now. Without
// a key they are made each time.
func (b *builder) bundle(key string, make func(m *made) error) (*bundle, error) {
	if key != "" {
		b.mu.Lock()
		known := b.last.Bundles[key]
		if known == nil {
			known = b.next.Bundles[key]
		}
		if known != nil {
			b.next.Bundles[key] = known
			if known.kept == nil {
				known.kept = sync.OnceValues(func() (*made, error) { return b.load(key) })
			}
		}
		b.mu.Unlock()
		if known != nil {
			return known, nil
		}
	}
	m := &made{}
	if err := make(m); err != nil {
		return nil, err
	}
	x := &bundle{Scripts: m.Scripts, Tally: m.Tally, fresh: m, kept: func() (*made, error) { return b.load(key) }}
	for _, f := range m.Files {
		x.Files = append(x.Files, about{f.Path, edition.Digest(f.Data), len(f.Data), f.Shell, f.Facts})
	}
	if m.Places != nil {
		x.Head = m.Places.Head()
		if b.keeps() {
			x.Head.Digest = m.Places.Digest()
		}
	}
	if key != "" && b.keeps() {
		b.keep(b.program+key, m)
		b.mu.Lock()
		b.next.Bundles[key] = x
		b.mu.Unlock()
	}
	return x, nil
}

// keeps tells whether anybody asks again for what is made: the next build, or who looks at it. Else nothing needs a key.
func (b *builder) keeps() bool { return !b.lean || b.caches() }

// caches tells whether another process does.
func (b *builder) caches() bool { return b.cache != cache.Cache(cache.None{}) }

func (b *builder) keep(key string, m any) {
	if !b.caches() {
		return
	}
	var buf bytes.Buffer
	if gob.NewEncoder(&buf).Encode(m) == nil {
		b.cache.Put(key, buf.Bytes())
	}
}

func (b *builder) load(key string) (*made, error) {
	m := &made{}
	if data, ok := b.cache.Get(b.program + key); !ok || gob.NewDecoder(bytes.NewReader(data)).Decode(m) != nil {
		return nil, errLost
	}
	return m, nil
}

// each calls f for every file of a bundle.
func (x *bundle) each(f func(edition.File) error) error {
	for i, a := range x.Files {
		if err := f(edition.File{Name: a.Path, Digest: a.Digest, Size: a.Size, Shell: a.Shell, Facts: a.Facts, Load: func() ([]byte, error) {
			m, err := x.load()
			if err != nil {
				return nil, err
			}
			return m.Files[i].Data, nil
		}}); err != nil {
			return err
		}
	}
	return nil
}

// read takes the state that the last build of a handbook left; save leaves one.
func (b *builder) read(name string) {
	b.last = newState()
	if data, ok := b.cache.Get(digest(b.program, "state", name)); ok {
		s := newState()
		if gob.NewDecoder(bytes.NewReader(data)).Decode(s) == nil {
			b.last = s
		}
	}
}

func (b *builder) save(name string) { b.keep(digest(b.program, "state", name), b.next) }

// digest is a digest of values.
func digest(values ...any) string {
	text, err := json.Marshal(values)
	if err != nil {
		panic(err) // all of them are texts, numbers and lists of these
	}
	sum := sha256.Sum256(text)
	return fmt.Sprintf("%x", sum[:16])
}

// thisProgram is the digest of the program that runs: another one may make something else
// of the same source.
var thisProgram = sync.OnceValues(func() (string, error) {
	name, err := os.Executable()
	if err != nil {
		return "", err
	}
	data, err := os.ReadFile(name)
	sum := sha256.Sum256(data)
	return fmt.Sprintf("%x", sum), err
})
