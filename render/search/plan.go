package search

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// Head is what the whole index needs to know of a page. With it an index can be made of
// which most segments are kept from before.
type Head struct {
	Path, Key, Sheet string
	Digest           string   // of the page with its places, where it was asked for
	Places           int      // without rows of specified values
	Values           []string // titles of those
}

// Head returns a page's head, without its digest.
func (p *Page) Head() Head {
	h := Head{Path: p.Path, Key: p.Key, Sheet: p.Sheet}
	for _, q := range p.Places {
		if q.Kind == Value {
			h.Values = append(h.Values, q.Title)
		} else {
			h.Places++
		}
	}
	return h
}

// spellings are what digests are made of, kept for the next ones.
var spellings = sync.Pool{New: func() any { return new([]byte) }}

// Digest is one of all that the page says.
func (p *Page) Digest() string {
	kept := spellings.Get().(*[]byte)
	defer spellings.Put(kept)
	b := fmt.Appendf((*kept)[:0], "%q %q %q %q %q %q", p.Path, p.Key, p.Sheet, p.Title, p.Models, p.Gone)
	for i := range p.Places {
		q := &p.Places[i]
		for _, s := range [...]string{string(q.Kind), q.ID, q.Mark, q.Title, q.Lead, q.Names, q.Hazards, q.Text} {
			b = append(binary.AppendUvarint(b, uint64(len(s))), s...)
		}
		b = binary.AppendUvarint(b, uint64(len(q.Ranges)))
		for _, r := range q.Ranges {
			b = fmt.Appendf(b, "%q %v %v", r.Measure, r.Min, r.Max)
		}
	}
	*kept = b
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:16])
}

// segmentPages is how many pages a segment has at most on average: enough that
// its words are worth their list, and few enough that a changed page costs little.
const segmentPages = 32

// Plan divides the pages of a language among the segments of its index.
type Plan struct {
	lang     string
	reader   *Reader
	language language
	models   []string
	pages    [][]planned // of each segment, by path
	places   int
}

// planned is a page in its segment.
type planned struct {
	Head
	values []string // titles of the rows with specified values that are its own, sorted
}

// NewPlan makes the plan of pages that a reader takes. Models are the ids of the handbook's models.
func NewPlan(reader *Reader, lang string, heads []Head, models []string) *Plan {
	heads = slices.Clone(heads)
	slices.SortFunc(heads, func(a, b Head) int { return cmp.Compare(a.Path, b.Path) })
	count := 1
	for count*segmentPages < len(heads) {
		count *= 2
	}
	l := &Plan{lang: lang, reader: reader, language: reader.language, models: models, pages: make([][]planned, count)}
	own := once(heads)
	for _, head := range heads {
		h := fnv.New32a()
		_, _ = h.Write([]byte(head.Key))
		i := int(h.Sum32()) % count
		l.pages[i] = append(l.pages[i], planned{head, own[head.Path]})
		l.places += head.Places + len(own[head.Path])
	}
	return l
}

// once leaves of all rows with the same specification one: of the first page of
// reference that has it, else of the first page. It returns the titles of each page's
// own, by its path.
func once(heads []Head) map[string][]string {
	taken, own := map[string]bool{}, map[string][]string{}
	for _, reference := range []bool{true, false} {
		for _, h := range heads {
			for _, title := range h.Values {
				if !taken[title] && (h.Sheet == "reference") == reference {
					taken[title] = true
					own[h.Path] = append(own[h.Path], title)
				}
			}
		}
	}
	for _, titles := range own {
		slices.Sort(titles)
	}
	return own
}

// Segments is how many segments there are.
func (l *Plan) Segments() int { return len(l.pages) }

// Pages are the paths of a segment's pages.
func (l *Plan) Pages(i int) (paths []string) {
	for _, p := range l.pages[i] {
		paths = append(paths, p.Path)
	}
	return paths
}

// Key is a digest of all that a segment is made of by itself.
func (l *Plan) Key(i int) string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q %d\n", l.lang, l.models, i)
	for _, p := range l.pages[i] {
		fmt.Fprintf(h, "%q %q\n", p.Digest, p.values)
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

// Tally says in how many places of a segment each term stands. A line has a term,
// the number, and in how many of those nothing but a warning has it; they are sorted.
type Tally struct {
	Terms string
	Often []string // terms that stand in more of its places than commonShare allows
}

// Tally makes a segment's.
func (l *Plan) Tally(i int, pages map[string]*Taken) Tally {
	in := scratches.Get().(*scratch)
	defer scratches.Put(in)
	in.room(l.reader)
	places := 0
	for _, planned := range l.pages[i] {
		taken := pages[planned.Path]
		in.records = taken.records(in.records[:0])
		for _, k := range taken.own(planned.values, len(in.records)) {
			places++
			readRecord(in.records[k], func(id uint32, f fields) {
				in.count[id]++
				if f == inHazards {
					in.warned[id]++
				}
			})
		}
	}
	var t Tally
	b := in.text[:0]
	for _, id := range l.reader.ordered() {
		n := in.count[id]
		if n == 0 {
			continue
		}
		term := l.reader.terms[id]
		b = append(append(b, term...), '\t')
		b = append(strconv.AppendUint(b, uint64(n), 10), '\t')
		b = append(strconv.AppendUint(b, uint64(in.warned[id]), 10), '\n')
		if int(n)*commonShare > places {
			t.Often = append(t.Often, term)
		}
		in.count[id], in.warned[id] = 0, 0
	}
	in.text, t.Terms = b, string(b)
	return t
}

// of returns the numbers of a term.
func (t Tally) of(term string) (all, warned int) {
	// lineAt is the line in which an offset lies.
	lineAt := func(i int) string {
		from := strings.LastIndexByte(t.Terms[:i], '\n') + 1
		return t.Terms[from : i+strings.IndexByte(t.Terms[i:], '\n')]
	}
	i := sort.Search(len(t.Terms), func(i int) bool { return lineAt(i) >= term+"\t" })
	if i < len(t.Terms) {
		if rest, ok := strings.CutPrefix(lineAt(i), term+"\t"); ok {
			_, _ = fmt.Sscan(rest, &all, &warned)
		}
	}
	return all, warned
}

// Settled are the terms that stand in so many places of the handbook that their lists are
// cut.
type Settled struct {
	unwarned map[string]bool // places that only warn with it are left out
	cut      map[string]bool
}

// Settle finds them. A term that is common in the handbook is so in a segment.
func (l *Plan) Settle(tallies []Tally) Settled {
	common := max(leastCommon, max(1, l.places)/commonShare)
	s := Settled{map[string]bool{}, map[string]bool{}}
	seen := map[string]bool{}
	for _, t := range tallies {
		for _, term := range t.Often {
			if seen[term] {
				continue
			}
			seen[term] = true
			all, warned := 0, 0
			for _, other := range tallies {
				a, w := other.of(term)
				all, warned = all+a, warned+w
			}
			if warned > common && warned < all {
				// Most steps warn of it: that hides none of those that tell of it.
				s.unwarned[term] = true
				all, warned = all-warned, 0
			}
			if max(warned, all-warned) > common {
				s.cut[term] = true
			}
		}
	}
	return s
}

// Key is a digest of them.
func (s Settled) Key() string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %q", slices.Sorted(maps.Keys(s.unwarned)), slices.Sorted(maps.Keys(s.cut))))
	return fmt.Sprintf("%x", sum)
}

// Files makes the file of a segment, and those of the texts of its pages that have rows of
// values: which of these are theirs is known by now.
func (l *Plan) Files(i int, pages map[string]*Taken, settled Settled) ([]File, error) {
	in := scratches.Get().(*scratch)
	defer scratches.Put(in)
	s := l.segmentIn(in, i, pages)
	s.settle(settled)
	file, err := s.file(l, i)
	if err != nil {
		return nil, err
	}
	files := []File{file}
	for k, planned := range l.pages[i] {
		if page := pages[planned.Path].page; page != nil && page.hasValues() {
			files = append(files, s.pages[k].file())
		}
	}
	return files, nil
}
