package search

import (
	"encoding/binary"
	"slices"
	"strings"
	"sync"

	"benchleaf/calc/unit"
)

// Reader reads the places of a language's pages into terms. It gives each term a number, so
// that what an index is made of is a few bytes a page. It may be used by several goroutines
// at once.
type Reader struct {
	language language

	mu    sync.Mutex
	ids   map[string]uint32 // numbers of terms, from 1 on
	terms []string          // by number
	rank  []uint32          // by number, where a term stands among all, sorted; of those that there were when it was asked for
	idle  []*reading
}

// NewReader returns the reader of a language.
func NewReader(lang string) *Reader {
	return &Reader{language: languageOf(lang), ids: map[string]uint32{}, terms: []string{""}}
}

// ranked tells by the number of a term where it stands among all that there are: segments, which are sorted by
// their terms, are so by numbers.
func (r *Reader) ranked() []uint32 {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.rank) < len(r.terms) {
		order := make([]uint32, len(r.terms))
		for id := range order {
			order[id] = uint32(id)
		}
		slices.SortFunc(order, func(a, b uint32) int { return strings.Compare(r.terms[a], r.terms[b]) })
		r.rank = make([]uint32, len(order))
		for at, id := range order {
			r.rank[id] = uint32(at)
		}
	}
	return r.rank
}

// Taken is of a page what an index is made of.
type Taken struct {
	by   *Reader
	page *Page
	// heads are kind, id, mark and title of its places, each with a zero behind it, where that is
	// all that is left of them.
	heads string
	// terms holds for each place the lengths of its text and of its title, how many terms it
	// has, and of each term its number and its fields: numbers as varints, fields as a byte.
	terms  []byte
	starts []uint32 // where in it each place begins
}

// Take reads a page.
func (r *Reader) Take(p *Page) *Taken {
	if p.taken != nil && p.taken.by == r {
		return p.taken
	}
	t := &Taken{by: r, page: p, starts: make([]uint32, 0, len(p.Places))}
	work := r.begin()
	for i := range p.Places {
		t.starts = append(t.starts, uint32(len(work.code)))
		work.read(&p.Places[i])
	}
	t.terms = slices.Clone(work.code)
	r.end(work)
	p.taken = t
	return t
}

// Slim lets go of the texts of a page that has been taken, where nobody asks for them again.
func (t *Taken) Slim() *Taken {
	var b strings.Builder
	for i := range t.page.Places {
		q := &t.page.Places[i]
		if q.Kind == Value || q.Ranges != nil || strings.Contains(q.Title, "\x00") {
			return t
		}
		for _, s := range []string{string(q.Kind), q.ID, q.Mark, q.Title} {
			b.WriteString(s)
			b.WriteByte(0)
		}
	}
	page := *t.page
	page.taken, page.Places = nil, nil
	return &Taken{by: t.by, page: &page, heads: strings.Clone(b.String()), terms: t.terms, starts: t.starts}
}

// whole is the page, with what is left of its places.
func (t *Taken) whole() *Page {
	if t.heads == "" {
		return t.page
	}
	page := *t.page
	page.Places = make([]Place, len(t.starts))
	heads := t.heads
	for i := range page.Places {
		var kind string
		q := &page.Places[i]
		for _, s := range []*string{&kind, &q.ID, &q.Mark, &q.Title} {
			*s, heads, _ = strings.Cut(heads, "\x00")
		}
		q.Kind = Kind(kind[0])
	}
	return &page
}

func (p *Page) hasValues() bool {
	for i := range p.Places {
		if p.Places[i].Kind == Value {
			return true
		}
	}
	return false
}

// reading is a reader's work on one page at a time.
type reading struct {
	language // remembers words
	by       *Reader
	ids      map[string]uint32 // those of by that were asked for
	slots    []int32           // by number of a term: where it is in found, from 1 on; 0 if it is not
	found    []found           // in the place at hand
	tokens   []token
	code     []byte // of the page
}

type found struct {
	id     uint32
	fields posting
}

func (r *Reader) begin() *reading {
	r.mu.Lock()
	defer r.mu.Unlock()
	if n := len(r.idle); n > 0 {
		work := r.idle[n-1]
		r.idle = r.idle[:n-1]
		work.code = work.code[:0]
		return work
	}
	work := &reading{language: r.language, by: r, ids: map[string]uint32{}}
	work.known = newVocabulary()
	return work
}

func (r *Reader) end(work *reading) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.idle = append(r.idle, work)
}

// id is the number of a term.
func (w *reading) id(term string) uint32 {
	id := w.ids[term]
	if id > 0 {
		return id
	}
	w.by.mu.Lock()
	defer w.by.mu.Unlock()
	if id = w.by.ids[term]; id == 0 {
		term = strings.Clone(term) // it may be a piece of a text
		id = uint32(len(w.by.terms))
		w.by.ids[term], w.by.terms = id, append(w.by.terms, term)
	}
	if len(w.ids) < mostKnown {
		w.ids[w.by.terms[id]] = id
	}
	return id
}

// read reads the texts of a place.
func (w *reading) read(q *Place) {
	w.found = w.found[:0]
	text := w.field(q.Text, func(f *posting) { f.text = min(f.text+1, maxText) })
	title := w.field(q.Title, func(f *posting) { f.title = true })
	w.field(q.Lead, func(f *posting) { f.lead = true })
	w.field(q.Names, func(f *posting) { f.names = true })
	w.field(q.Hazards, func(f *posting) { f.hazard = true })
	w.code = append(w.code, byte(min(text/lengthStep, digitsCount-1)), byte(min(title, digitsCount-1)))
	w.code = binary.AppendUvarint(w.code, uint64(len(w.found)))
	for _, f := range w.found {
		w.code = append(binary.AppendUvarint(w.code, uint64(f.id)), f.fields.fields())
		w.slots[f.id] = 0
	}
}

// field reads a text of the place, and sets for each term that it stands there.
func (w *reading) field(text string, set func(*posting)) (length int) {
	w.tokens = w.language.tokens(w.tokens[:0], unit.Western(text, w.language.decimal), false)
	for i := range w.tokens {
		t := &w.tokens[i]
		if t.empty {
			continue
		}
		if !t.joined {
			length++
		}
		if t.numeral != nil && t.unit == nil && len(t.term) == 1 {
			continue // one digit says nothing
		}
		w.note(w.number(t.word), set)
		if t.numeral != nil && t.other != nil {
			w.note(w.number(t.other), set)
		}
	}
	return length
}

// number is the number of a word's term.
func (w *reading) number(known *word) uint32 {
	if known.id == 0 {
		known.id = w.id(known.term)
	}
	return known.id
}

func (w *reading) note(id uint32, set func(*posting)) {
	for int(id) >= len(w.slots) {
		w.slots = append(w.slots, make([]int32, len(w.slots)+1024)...)
	}
	if w.slots[id] == 0 {
		w.found = append(w.found, found{id: id})
		w.slots[id] = int32(len(w.found))
	}
	set(&w.found[w.slots[id]-1].fields)
}

// place reads what Take wrote of a place: the lengths of its text and of its title, and its
// terms.
func (t *Taken) place(i int, each func(id uint32, f posting)) (text, title int) {
	code := t.terms[t.starts[i]:]
	text, title, code = int(code[0]), int(code[1]), code[2:]
	number := func() uint32 {
		n, size := binary.Uvarint(code)
		code = code[size:]
		return uint32(n)
	}
	for range number() {
		id := number()
		each(id, postingOf(code[0]))
		code = code[1:]
	}
	return text, title
}
