// Package field adds up the records of jobs: which causes were found, how long
// steps took, what was read, and what that says about a handbook's frequencies.
//
// In: files of records, and a Book of what the handbook says. Out: a Sum, its
// Report as text, CSV or HTML, and Changes to the handbook's source.
// It may import record, source, handbook, remark, draw, whole.
//
// What it holds of a record is its id, time and place in the files, and
// counters; the records themselves are read once and let go.
package field

import "benchleaf/render/record"

// maxRows bounds each kind of counter: names in records are whatever their
// writers put there. What finds no room is counted in Sum.Crowded.
const maxRows = 20_000

// Sum is what the records add up to.
type Sum struct {
	book *Book

	Records  int           // that count: the latest of each id
	Crowded  int           // counts that found no room
	days     map[int64]int // on which jobs were begun
	editions map[string]int
	jobs     map[jobsKey]*jobs
	steps    map[stepKey]*step
	readings map[readingKey]*readings
	parts    map[partKey]*parts
	unknown  map[unknown]int
}

// NewSum returns an empty sum. A nil book knows nothing, and every name in a
// record counts.
func NewSum(book *Book) *Sum {
	return &Sum{
		book: book, days: map[int64]int{}, editions: map[string]int{}, jobs: map[jobsKey]*jobs{}, steps: map[stepKey]*step{},
		readings: map[readingKey]*readings{}, parts: map[partKey]*parts{}, unknown: map[unknown]int{},
	}
}

// row returns the counter of a key, a new one if there is room.
func row[K comparable, V any](s *Sum, rows map[K]*V, key K, sign int) *V {
	r := rows[key]
	if r == nil && len(rows) < maxRows {
		r = new(V)
		rows[key] = r
	}
	if r == nil {
		s.Crowded += sign
	}
	return r
}

// bump counts a key, if there is room.
func bump[K comparable](s *Sum, counts map[K]int, key K, sign int) {
	if _, ok := counts[key]; !ok && len(counts) >= maxRows {
		s.Crowded += sign
		return
	}
	counts[key] += sign
}

// Add counts a record.
func (s *Sum) Add(r *record.Record) { s.count(r, 1) }

// Remove takes a record out that was added: all that is kept are sums.
func (s *Sum) Remove(r *record.Record) { s.count(r, -1) }

func (s *Sum) count(r *record.Record, sign int) {
	s.Records += sign
	bump(s, s.days, dayOf(r.Begun), sign)
	bump(s, s.editions, r.Handbook.Edition, sign)
	model := r.Machine.Model
	if model != "" && !s.book.knowsModel(model) {
		s.stranger("model", "", model, sign)
	}
	for page := range pagesOf(r) {
		if !s.book.knowsPage(page) {
			s.stranger("procedure", "", page, sign)
			continue
		}
		if j := row(s, s.jobs, jobsKey{page, model}, sign); j != nil {
			s.ends(j, r, page, sign)
		}
	}
	for i := range r.Entries {
		e := &r.Entries[i]
		switch {
		case !s.book.knowsPage(e.Page): // told above
		case !s.book.knowsStep(e.Page, e.Step):
			s.stranger("step", e.Page, e.Step, sign)
		default:
			s.step(e, sign)
		}
		if e.Reading != nil {
			s.reading(r, e, sign)
		}
	}
	for i := range r.Findings {
		if f := &r.Findings[i]; f.End == record.EndCause && f.Remedy != nil && f.Remedy.Replaced && s.book.knowsCause(f.Page, f.Cause) {
			s.part(r, f, sign)
		}
	}
}
