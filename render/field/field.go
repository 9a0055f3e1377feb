// Package field adds up the records of jobs: which causes were found, how long
// steps took, what was read, and what that says about a handbook's frequencies.
//
// In: files of records, and a Book of what the handbook says. Out: a Sum, its
// Report as text, CSV or HTML, and Changes to the handbook's source.
// It may import record, source, handbook, remark, draw.
//
// What it holds of a record is its id, time and place in the files, and
// counters; the records themselves are read once and let go.
package field

import (
	"strings"

	"benchleaf/render/record"
)

// maxRows bounds each kind of counter: names in records are whatever their
// writers put there. What finds no room is counted in Sum.Crowded.
const maxRows = 20_000

// Sum is what the records add up to.
type Sum struct {
	book *Book

	Records  int // that count: the latest of each id
	Crowded  int // counts that found no room
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
		book: book, editions: map[string]int{}, jobs: map[jobsKey]*jobs{}, steps: map[stepKey]*step{},
		readings: map[readingKey]*readings{}, parts: map[partKey]*parts{}, unknown: map[unknown]int{},
	}
}

// jobsKey is a procedure and a model; "" for a record without a model.
type jobsKey struct{ page, model string }

// jobs is what became of the jobs in which a procedure was used.
type jobs struct {
	seen          int
	proved        map[string]int // causes found, by id
	unproved      map[string]int // found, no check after the repair passed
	refuted       int            // found, not proved, and another found after it
	handOver      int
	notReproduced int
	elsewhere     int // no end here, but on another page
	open          int // no end at all
}

// unknown is a name in records that the handbook does not have.
type unknown struct{ kind, page, name string }

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
		if f := &r.Findings[i]; f.End == record.EndCause && f.Remedy != nil && f.Remedy.Replaced {
			s.part(r, f, sign)
		}
	}
}

// pagesOf returns the procedures that were used in a job.
func pagesOf(r *record.Record) map[string]bool {
	pages := map[string]bool{}
	for i := range r.Entries {
		pages[r.Entries[i].Page] = true
	}
	for i := range r.Findings {
		pages[r.Findings[i].Page] = true
	}
	return pages
}

func (s *Sum) stranger(kind, page, name string, sign int) {
	bump(s, s.unknown, unknown{kind, page, name}, sign)
}

// ends counts what became of a job on one page. A cause that was found twice
// counts once. One that was not proved, and followed by another on the same
// page, was none.
func (s *Sum) ends(j *jobs, r *record.Record, page string, sign int) {
	if j.proved == nil {
		j.proved, j.unproved = map[string]int{}, map[string]int{}
	}
	j.seen += sign
	var last *record.Finding
	proved := map[string]bool{}
	others := 0
	for i := range r.Findings {
		f := &r.Findings[i]
		switch {
		case f.Page != page:
			others++
		case f.End == record.EndCause && !f.Repaired.IsZero():
			proved[f.Cause] = true
			last = f
		default:
			last = f
		}
	}
	for cause := range proved {
		s.cause(j.proved, page, cause, sign)
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Page == page && f.End == record.EndCause && !proved[f.Cause] && last.Cause != f.Cause {
			j.refuted += sign
		}
	}
	switch {
	case last == nil && others > 0:
		j.elsewhere += sign
	case last == nil:
		j.open += sign
	case last.End == record.EndCause && !proved[last.Cause]:
		s.cause(j.unproved, page, last.Cause, sign)
	case len(proved) > 0:
	case last.End == record.EndHandOver:
		j.handOver += sign
	default:
		j.notReproduced += sign
	}
}

func (s *Sum) cause(counts map[string]int, page, cause string, sign int) {
	if !s.book.knowsCause(page, cause) {
		s.stranger("cause", page, cause, sign)
	}
	bump(s, counts, cause, sign)
}

// partKey is a part that was replaced at the end of a procedure.
type partKey struct{ part, page string }

// parts counts replacements of a part by what the readings said of it.
type parts struct {
	outside, close, within, unread int
}

// part counts a part that was replaced. The reading that condemns it says
// whether it was out of limits; where none does, the reading that led to the
// cause, if one did.
func (s *Sum) part(r *record.Record, f *record.Finding, sign int) {
	p := row(s, s.parts, partKey{f.Part, f.Page}, sign)
	if p == nil {
		return
	}
	switch verdictOn(r, f) {
	case "low", "high", "none":
		p.outside += sign
	case "close":
		p.close += sign
	case "within":
		p.within += sign
	default:
		p.unread += sign
	}
}

func verdictOn(r *record.Record, f *record.Finding) string {
	by := -1
	if f.CondemnedBy != nil {
		by = *f.CondemnedBy
	} else {
		for i, e := range r.Entries {
			if e.Page == f.Page && strings.HasSuffix(e.To, "#cause-"+f.Cause) && !e.At.After(f.At) {
				by = i
			}
		}
	}
	if by < 0 || r.Entries[by].Reading == nil {
		return ""
	}
	return r.Entries[by].Reading.Verdict
}
