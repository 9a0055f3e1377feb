package record

import (
	"fmt"
	"regexp"
	"slices"
	"time"
)

// Error says why a record is refused, and where in it.
type Error struct {
	Place  string // such as entries[3].reading.value; "" for the whole
	Reason string
}

func (e *Error) Error() string {
	if e.Place == "" {
		return e.Reason
	}
	return e.Place + ": " + e.Reason
}

func wrong(place, reason string, args ...any) *Error {
	return &Error{place, fmt.Sprintf(reason, args...)}
}

var idForm = regexp.MustCompile(`^[0-9a-f]{32}$`)

// check returns what no type can say about a record: words out of a list, the
// order of times, indexes, limits.
func (r *Record) check() error {
	c := checker{entries: len(r.Entries)}
	c.that(r.Record == Version, "record", "this is version %d of the form, %d is known", r.Record, Version)
	c.that(idForm.MatchString(r.ID), "id", "an id is 32 lower-case hexadecimal digits")
	c.order(moment{"begun", r.Begun}, moment{"closed", r.Closed}, moment{"changed", r.Changed})
	for i := range r.Entries {
		c.entry(fmt.Sprintf("entries[%d].", i), &r.Entries[i], r.Changed)
	}
	for i, out := range r.RuledOut {
		at := fmt.Sprintf("ruledOut[%d].", i)
		c.said(at+"page", out.Page)
		c.said(at+"cause", out.Cause)
		c.index(at+"entry", out.Entry)
	}
	for i := range r.Findings {
		c.finding(fmt.Sprintf("findings[%d].", i), &r.Findings[i], r.Changed)
	}
	for i := range r.Open {
		c.open(fmt.Sprintf("open[%d].", i), &r.Open[i], r.Changed)
	}
	if c.first != nil {
		return c.first
	}
	return nil
}

// checker keeps the first thing that is wrong.
type checker struct {
	first   *Error
	entries int
}

func (c *checker) that(ok bool, place, reason string, args ...any) {
	if !ok && c.first == nil {
		c.first = wrong(place, reason, args...)
	}
}

func (c *checker) said(place, text string) { c.that(text != "", place, "this is empty") }

func (c *checker) index(place string, i int) {
	c.that(i >= 0 && i < c.entries, place, "there is no entry %d, only %d of them, counted from 0", i, c.entries)
}

func (c *checker) oneOf(place, word string, words []string) {
	c.that(slices.Contains(words, word), place, "%q is none of %q", word, words)
}

// moment is a time with its name.
type moment struct {
	place string
	time  time.Time
}

// order holds that no time is before the one in front of it; those that were
// left out are skipped.
func (c *checker) order(moments ...moment) {
	var before moment
	for _, m := range moments {
		if m.time.IsZero() {
			continue
		}
		if m.time.Before(before.time) {
			c.that(false, m.place, "%s is before %s of %s",
				m.time.Format(time.RFC3339Nano), before.time.Format(time.RFC3339Nano), before.place)
		}
		before = m
	}
}

func (c *checker) entry(at string, e *Entry, changed time.Time) {
	c.step(at, e.Page, e.Step, e.Number)
	c.said(at+"to", e.To)
	c.order(moment{at + "shown", e.Shown}, moment{at + "at", e.At}, moment{"changed", changed})
	if e.Outcome != "" {
		c.oneOf(at+"outcome", e.Outcome, outcomes)
	}
	if e.Reading != nil {
		c.reading(at+"reading.", e.Reading)
	}
	if e.Timing != nil {
		marks := make([]moment, len(e.Timing.Marks))
		for i, m := range e.Timing.Marks {
			marks[i] = moment{fmt.Sprintf("%stiming.marks[%d].at", at, i), m.At}
		}
		c.order(marks...)
		t := e.Timing.Tolerance
		c.that(t == nil || *t > 0 && *t < 1 && e.Timing.Expected != nil, at+"timing.tolerance", "a tolerance is a share of what is expected, between 0 and 1")
	}
}

func (c *checker) step(at, page, step string, number int) {
	c.said(at+"page", page)
	c.said(at+"step", step)
	c.that(number >= 1, at+"number", "steps count from 1, this is %d", number)
}

func (c *checker) reading(at string, r *Reading) {
	c.said(at+"spec", r.Spec)
	c.oneOf(at+"verdict", r.Verdict, verdicts)
	c.that(r.Min == nil || r.Max == nil || *r.Min <= *r.Max, at+"max", "the limits are in the wrong order")
}

func (c *checker) open(at string, o *Open, changed time.Time) {
	c.step(at, o.Page, o.Step, o.Number)
	c.order(moment{at + "at", o.At}, moment{"changed", changed})
	c.reading(at+"reading.", &o.Reading)
}

func (c *checker) finding(at string, f *Finding, changed time.Time) {
	c.oneOf(at+"end", f.End, ends)
	c.said(at+"page", f.Page)
	if f.End == EndCause {
		c.said(at+"cause", f.Cause)
	}
	if f.CondemnedBy != nil {
		c.index(at+"condemnedBy", *f.CondemnedBy)
	}
	moments := []moment{{at + "at", f.At}}
	if f.Remedy != nil {
		moments = append(moments, moment{at + "remedy.at", f.Remedy.At})
	}
	c.order(append(moments, moment{at + "repaired", f.Repaired}, moment{"changed", changed})...)
}
