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
	order []uint32          // numbers of the terms that there were when it was asked for, sorted by these
	idle  []*reading
}

// NewReader returns the reader of a language.
func NewReader(lang string) *Reader {
	return &Reader{language: languageOf(lang), ids: map[string]uint32{}, terms: []string{""}}
}

// ordered are the numbers of all terms that there are, sorted by these.
func (r *Reader) ordered() []uint32 {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.order) < len(r.terms) {
		r.order = make([]uint32, len(r.terms))
		for id := range r.order {
			r.order[id] = uint32(id)
		}
		slices.SortFunc(r.order, func(a, b uint32) int { return strings.Compare(r.terms[a], r.terms[b]) })
	}
	return r.order
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

// own are the numbers of its places as Page.own has them. One that is slim has no rows of values.
func (t *Taken) own(values []string) []int {
	if t.heads == "" {
		return t.page.own(values)
	}
	own := make([]int, len(t.starts))
	for i := range own {
		own[i] = i
	}
	return own
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
	language
	by      *Reader
	known   *vocabulary
	figures map[figure]figureTerm // that are remembered
	tokens  []token
	fields  []fields // of each term, by number, in the place at hand
	found   []uint32 // the terms in it
	code    []byte   // of the page
}

// figure is a number with its unit.
type figure struct {
	value float64
	unit  *measured
}

// figureTerm is the number of a figure's term.
type figureTerm struct {
	id    uint32
	digit bool // it is one digit
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
	return &reading{language: r.language, by: r, known: newVocabulary(), figures: map[figure]figureTerm{}}
}

func (r *Reader) end(work *reading) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.idle = append(r.idle, work)
}

// number is the number of a term.
func (r *Reader) number(term string) uint32 {
	r.mu.Lock()
	defer r.mu.Unlock()
	id := r.ids[term]
	if id == 0 {
		term = strings.Clone(term) // it may be a piece of a text
		id = uint32(len(r.terms))
		r.ids[term], r.terms = id, append(r.terms, term)
	}
	return id
}

// read reads the texts of a place.
func (w *reading) read(q *Place) {
	w.found = w.found[:0]
	text := w.field(q.Text, inText)
	title := w.field(q.Title, inTitle)
	w.field(q.Lead, inLead)
	w.field(q.Names, inNames)
	w.field(q.Hazards, inHazards)
	w.code = append(w.code, byte(min(text/lengthStep, digitsCount-1)), byte(min(title, digitsCount-1)))
	w.code = binary.AppendUvarint(w.code, uint64(len(w.found)))
	for _, id := range w.found {
		w.code = append(binary.AppendUvarint(w.code, uint64(id)), byte(w.fields[id]))
		w.fields[id] = 0
	}
}

// field reads a text of the place, and notes for each term that it stands there.
func (w *reading) field(text string, in fields) (length int) {
	text = unit.Western(text, w.decimal)
	w.tokens = w.scan(w.tokens[:0], text, false)
	for i := range w.tokens {
		switch t := &w.tokens[i]; {
		case t.numeral != nil:
			length++
			w.number(t.numeral, in)
		default:
			id := w.word(text, t)
			if id == 0 {
				continue
			}
			if !t.joined {
				length++
			}
			w.note(id, in)
		}
	}
	return length
}

// word is the number of a word's term, 0 of a word that names nothing.
func (w *reading) word(text string, t *token) uint32 {
	id, known := w.known.find(text, t.start, t.end)
	if !known {
		raw := text[t.start:t.end]
		if x := w.wordOf(raw, t.joined); !x.empty {
			id = w.by.number(x.term)
		}
		w.known.add(raw, id)
	}
	return id
}

// number notes what a number may be, but for a digit without a unit, which says nothing.
func (w *reading) number(n *numeral, in fields) {
	for k, v := range n.figures {
		f := figure{v, n.unit}
		of, known := w.figures[f]
		if !known {
			term := numberTerm(v, n.unit)
			of = figureTerm{w.by.number(term), len(term) == 1}
			if len(w.figures) < mostKnown {
				w.figures[f] = of
			}
		}
		if k == 0 && of.digit {
			return
		}
		w.note(of.id, in)
	}
}

// note notes that a term stands in a field.
func (w *reading) note(id uint32, in fields) {
	for int(id) >= len(w.fields) {
		w.fields = append(w.fields, make([]fields, len(w.fields)+1024)...)
	}
	at := &w.fields[id]
	if *at == 0 {
		w.found = append(w.found, id)
	}
	*at = at.with(in)
}

// place reads what Take wrote of a place: the lengths of its text and of its title, and its
// terms.
func (t *Taken) place(i int, each func(id uint32, f fields)) (text, title int) {
	code := t.terms[t.starts[i]:]
	text, title, code = int(code[0]), int(code[1]), code[2:]
	number := func() uint32 {
		n, size := binary.Uvarint(code)
		code = code[size:]
		return uint32(n)
	}
	for range number() {
		id := number()
		each(id, fields(code[0]))
		code = code[1:]
	}
	return text, title
}
