package field

import (
	"maps"
	"slices"

	"benchleaf/render/record"
)

// jobsKey is a procedure and a model; "" for a record without a model.
type jobsKey struct{ page, model string }

// jobs is what became of the jobs in which a procedure was used.
type jobs struct {
	seen          int
	proved        map[string]int // causes found, by id
	unproved      map[string]int // found, and no check after the repair proves it
	strange       int            // findings of causes that the handbook does not have
	refuted       int            // one found, not proved, and another found after it
	handOver      int
	notReproduced int
	elsewhere     int // no end here, but on another page
	open          int // no end at all
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

// ends counts what became of a job on one page. A cause that was found twice
// counts once. One that was not proved, and not the last end on the page, was
// none.
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
		case f.End == record.EndCause && r.Proved(f):
			proved[f.Cause] = true
			last = f
		default:
			last = f
		}
	}
	for cause := range proved {
		s.cause(j, j.proved, page, cause, sign)
	}
	if refuted(r, page, proved) {
		j.refuted += sign
	}
	switch {
	case last == nil && others > 0:
		j.elsewhere += sign
	case last == nil:
		j.open += sign
	case last.End == record.EndCause && !proved[last.Cause]:
		s.cause(j, j.unproved, page, last.Cause, sign)
	case len(proved) > 0:
	case last.End == record.EndHandOver:
		j.handOver += sign
	default:
		j.notReproduced += sign
	}
}

// refuted tells whether a cause was found on a page that was not proved, and
// another after it.
func refuted(r *record.Record, page string, proved map[string]bool) bool {
	before := map[string]bool{}
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Page != page || f.End != record.EndCause {
			continue
		}
		for cause := range before {
			if cause != f.Cause && !proved[cause] {
				return true
			}
		}
		before[f.Cause] = true
	}
	return false
}

// cause counts a finding. One of a cause that the handbook does not have is told
// and goes into no share.
func (s *Sum) cause(j *jobs, counts map[string]int, page, cause string, sign int) {
	if !s.book.knowsCause(page, cause) {
		j.strange += sign
		s.stranger("cause", page, cause, sign)
		return
	}
	bump(s, counts, cause, sign)
}

// pages lists the procedures, and models the models of one, both in order.
func (s *Sum) pages() []string {
	pages := map[string]bool{}
	for k := range s.jobs {
		pages[k.page] = true
	}
	return slices.Sorted(maps.Keys(pages))
}

// byModel returns the counts of a procedure, first all models together.
func (s *Sum) byModel(page string) (models []string, counts []*jobs) {
	whole := &jobs{proved: map[string]int{}, unproved: map[string]int{}}
	for k, j := range s.jobs {
		if k.page != page || j.seen == 0 {
			continue
		}
		models = append(models, k.model)
		whole.add(j)
	}
	slices.Sort(models)
	counts = append(counts, whole)
	for i, m := range models {
		counts = append(counts, s.jobs[jobsKey{page, m}])
		if m == "" {
			models[i] = none
		}
	}
	return append([]string{all}, models...), counts
}

func (j *jobs) add(other *jobs) {
	j.seen += other.seen
	for cause, n := range other.proved {
		j.proved[cause] += n
	}
	for cause, n := range other.unproved {
		j.unproved[cause] += n
	}
	j.strange += other.strange
	j.refuted += other.refuted
	j.handOver += other.handOver
	j.notReproduced += other.notReproduced
	j.elsewhere += other.elsewhere
	j.open += other.open
}

func (j *jobs) found(cause string) int { return j.proved[cause] + j.unproved[cause] }

// findings are those of causes that the handbook has.
func (j *jobs) findings() int { return sum(j.proved) + sum(j.unproved) }

func (s *Sum) endsTable() Table {
	t := Table{
		Name: "ends", Title: "What became of the jobs", Group: 3,
		About: "Found and proved: the check after the repair was passed, each of its readings within limits beyond doubt. Refuted: jobs in which a cause was found, not proved, and another found after it; they count under their last end too. Elsewhere: the end is on another page.",
		Columns: columns("!procedure=Procedure", "procedure_title=Procedure", "symptom=Symptom", "!model=Model", "model_title=Model", "#jobs=Jobs", "#proved=Found and proved", "#unproved=Found, not proved",
			"#unknown=Cause not known", "#refuted=Refuted", "#handed_over=Handed over", "#not_reproduced=Not reproduced", "#elsewhere=Elsewhere", "#open=No end"),
	}
	for _, page := range s.pages() {
		models, counts := s.byModel(page)
		for i, j := range counts {
			t.Rows = append(t.Rows, append([]string{page, s.book.pageTitle(page), s.book.symptom(page), models[i], s.book.modelTitle(models[i])},
				figures(j.seen, sum(j.proved), sum(j.unproved), j.strange, j.refuted, j.handOver, j.notReproduced, j.elsewhere, j.open)...))
		}
	}
	return t
}

func sum(counts map[string]int) (n int) {
	for _, c := range counts {
		n += c
	}
	return n
}

func (b *Book) symptom(page string) string {
	if b == nil || b.procedures[page] == nil {
		return ""
	}
	return b.procedures[page].Symptom
}
