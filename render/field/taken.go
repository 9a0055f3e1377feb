package field

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Taken says in the report what was read, and what of it was refused.
func (r *Report) Taken(files Files, in *Intake) {
	figures := []struct {
		name, text string // text of more than one
		n          int
		always     bool
	}{
		{"files", some(len(files.Paths), "file"), len(files.Paths), true},
		{"records", some(in.Read, "record") + " read", in.Read, true},
		{"jobs", some(in.Sum.Records, "job") + " counted", in.Sum.Records, true},
		{"again", some(in.Same, "record") + " of a job again, or in an earlier state", in.Same, false},
		{"conflicts", some(in.Conflicts, "record") + " that differ from another of the same id and time", in.Conflicts, false},
		{"other_files", some(files.Other, "file") + " with another ending left alone", files.Other, false},
		{"refused", grouped(in.Refused) + " refused", in.Refused, true},
	}
	t := Table{Name: "read", Title: "What was read", Figures: true, Columns: columns("what=What", "number=Number")}
	var parts []string
	for _, f := range figures {
		t.Rows = append(t.Rows, []string{f.name, strconv.Itoa(f.n)})
		if f.always || f.n > 0 {
			parts = append(parts, f.text)
		}
	}
	if first, last := in.Sum.period(); first != "" {
		t.Rows = append(t.Rows, []string{"first_day", first}, []string{"last_day", last})
	}
	r.Notes = slices.Insert(r.Notes, 0, strings.Join(parts, ", ")+".")
	refused := Table{Name: "refused", Title: "Files that were refused", Fold: true, Columns: columns("file=File", "reason=Reason")}
	if more := in.Refused - len(in.Refusals); more > 0 {
		refused.About = "And " + grouped(more) + " more."
	}
	for _, f := range in.Refusals {
		refused.Rows = append(refused.Rows, []string{f.Name, f.Reason})
	}
	r.Tables = append(r.Tables, t, refused)
}

// period returns the first and the last day, in UTC, on which a job that counts was
// begun; empty texts if there is none.
func (s *Sum) period() (first, last string) {
	var days []int64
	for day, n := range s.days {
		if n > 0 {
			days = append(days, day)
		}
	}
	if days == nil {
		return "", ""
	}
	text := func(day int64) string { return time.Unix(day*secondsOfDay, 0).UTC().Format(time.DateOnly) }
	return text(slices.Min(days)), text(slices.Max(days))
}

const secondsOfDay = 24 * 60 * 60

// dayOf counts days from 1970 in UTC.
func dayOf(t time.Time) int64 {
	day := t.Unix() / secondsOfDay
	if t.Unix() < day*secondsOfDay {
		day-- // before 1970
	}
	return day
}

// some is a number of things.
func some(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%s %s", grouped(n), noun)
}
