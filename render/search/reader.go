package search

import (
	"encoding/binary"
	"slices"
	"strconv"
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
	page *Page // nil of one that is slim
	// path and head are what is left of the page then: see Slim.
	path, head string
	// terms holds for each place how many bytes follow, the lengths of its text and of its title, and of each term
	// its number and its fields: twice the number, and one more with a byte behind it where that is not once in the text.
	// Numbers are varints.
	terms []byte
}

// Take reads a page.
func (r *Reader) Take(p *Page) *Taken {
	if p.taken != nil && p.taken.by == r {
		return p.taken
	}
	t := &Taken{by: r, page: p}
	work := r.begin()
	for i := range p.Places {
		work.read(&p.Places[i])
	}
	t.terms = slices.Clone(work.code)
	r.end(work)
	p.taken = t
	return t
}

// Slim lets go of the texts of a page that has been taken, where nobody asks for them again. In one piece of memory,
// with a zero behind each, are left its key, sheet, title and successor, the number of its models and these, and
// kind, id, mark and title of each place.
func (t *Taken) Slim() *Taken {
	p := t.page
	head := append([]string{p.Key, p.Sheet, p.Title, p.Gone, strconv.Itoa(len(p.Models))}, p.Models...)
	for i := range p.Places {
		q := &p.Places[i]
		if q.Kind == Value || q.Ranges != nil {
			return t
		}
		head = append(head, string(q.Kind), q.ID, q.Mark, q.Title)
	}
	if slices.ContainsFunc(head, func(s string) bool { return strings.Contains(s, "\x00") }) {
		return t
	}
	return &Taken{path: p.Path, head: strings.Join(append(head, ""), "\x00"), terms: t.terms}
}

// whole is the page, with what is left of it.
func (t *Taken) whole() *Page {
	if t.page != nil {
		return t.page
	}
	head := t.head
	next := func() (s string) {
		s, head, _ = strings.Cut(head, "\x00")
		return s
	}
	p := &Page{Path: t.path, Key: next(), Sheet: next(), Title: next(), Gone: next()}
	for n, _ := strconv.Atoi(next()); len(p.Models) < n; {
		p.Models = append(p.Models, next())
	}
	p.Places = make([]Place, strings.Count(head, "\x00")/4)
	for i := range p.Places {
		p.Places[i] = Place{Kind: Kind(next()[0]), ID: next(), Mark: next(), Title: next()}
	}
	return p
}

// Head is the page's.
func (t *Taken) Head() Head { return t.whole().Head() }

// own are the numbers of as many places as Page.own has them. A page that is slim has no rows of values.
func (t *Taken) own(values []string, places int) []int {
	if t.page != nil {
		return t.page.own(values)
	}
	own := make([]int, places)
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
	place   []byte   // what is written of it
	code    []byte   // and of the page
}

// figure is a number with its unit.
type figure struct {
	value float64
	unit  *measured
}

// figureTerm is the number of a figure's term.
type figureTerm struct {
	id      uint32
	written uint32 // that of the figure of a quantity as it is written; 0 of one digit
	digit   bool   // it is one digit, without a unit
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
	code := append(w.place[:0], byte(min(text/lengthStep, digitsCount-1)), byte(min(title, digitsCount-1)))
	for _, id := range w.found {
		if f := w.fields[id]; f == inText {
			code = binary.AppendUvarint(code, uint64(id)<<1)
		} else {
			code = append(binary.AppendUvarint(code, uint64(id)<<1|1), byte(f))
		}
		w.fields[id] = 0
	}
	w.code = append(binary.AppendUvarint(w.code, uint64(len(code))), code...)
	w.place = code
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

// number notes what a number may be, but for a digit without a unit, which says nothing. A quantity can be
// found by its figure alone, too.
func (w *reading) number(n *numeral, in fields) {
	for k, v := range n.figures {
		f := figure{v, n.unit}
		of, known := w.figures[f]
		if !known {
			term := numberTerm(v, n.unit)
			of = figureTerm{id: w.by.number(term), digit: len(term) == 1}
			if bare := numberTerm(v, nil); n.unit != nil && len(bare) > 1 {
				of.written = w.by.number(writtenTerm(bare))
			}
			if len(w.figures) < mostKnown {
				w.figures[f] = of
			}
		}
		if k == 0 && of.digit {
			return
		}
		w.note(of.id, in)
		if of.written != 0 {
			w.note(of.written, in)
		}
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

// records appends what Take wrote of each place.
func (t *Taken) records(list [][]byte) [][]byte {
	for code := t.terms; len(code) > 0; {
		n, size := binary.Uvarint(code)
		code = code[size:]
		list, code = append(list, code[:n]), code[n:]
	}
	return list
}

// readRecord reads what Take wrote of a place: the lengths of its text and of its title, and its terms.
func readRecord(code []byte, each func(id uint32, f fields)) (text, title int) {
	text, title, code = int(code[0]), int(code[1]), code[2:]
	for len(code) > 0 {
		n, size := binary.Uvarint(code)
		f := inText
		if n&1 != 0 {
			f, size = fields(code[size]), size+1
		}
		each(uint32(n>>1), f)
		code = code[size:]
	}
	return text, title
}
