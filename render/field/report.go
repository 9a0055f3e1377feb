package field

import (
	"strconv"
	"strings"
)

// Report is what a Sum says, as tables that every form is made of.
type Report struct {
	Records int
	Notes   []string // what to know before the figures
	Tables  []Table
	Changes []Change
	sum     *Sum
}

// Refused adds a table of what was not taken.
func (r *Report) Refused(list []Refusal) {
	t := Table{Name: "refused", Title: "Files that were refused", Columns: columns("file=File", "reason=Reason")}
	for _, f := range list {
		t.Rows = append(t.Rows, []string{f.Name, f.Reason})
	}
	r.Tables = append(r.Tables, t)
}

// Table is one kind of figures.
type Table struct {
	Name, Title, About string
	Legend             string // of the pictures
	Columns            []Column
	// Group is how many of the first columns say what the rows of a section share.
	Group int
	Rows  [][]string
	// Pictures has a picture for each row, or is nil.
	Pictures []Picture
	// Figures is true for a table that pictures say more of than its rows: only CSV
	// has the rows.
	Figures bool
}

// Column is a column with its name in CSV and its head elsewhere.
type Column struct {
	Name, Head string
	Number     bool
}

// all is the model of rows that add up all models; none of those whose records
// do not say one.
const (
	all  = "all"
	none = "not given"
)

// columns makes columns from "name=Head"; "#" before a name is for numbers.
func columns(list ...string) []Column {
	var c []Column
	for _, entry := range list {
		name, head, _ := strings.Cut(entry, "=")
		number, isNumber := strings.CutPrefix(name, "#")
		c = append(c, Column{number, head, isNumber})
	}
	return c
}

// Report says what the sum is, with the author's frequencies worth as many
// records as weight.
func (s *Sum) Report(weight float64) *Report {
	r := &Report{Records: s.Records, sum: s}
	r.Tables = append(r.Tables, s.endsTable(), s.causesTable(weight))
	if s.book != nil {
		r.Changes = s.changes(weight)
		r.Tables = append(r.Tables, changesTable(r.Changes))
	} else {
		r.Notes = append(r.Notes, "Shares and new frequencies need the handbook: its causes, and what its author expects.")
	}
	r.Tables = append(r.Tables, s.stepsTable(), s.undecidedTable(), s.readingsTable(), s.binsTable(), s.partsTable(), s.editionsTable(), s.unknownTable())
	if n := s.strange(); n > 0 {
		r.Notes = append(r.Notes, strconv.Itoa(n)+" findings are of causes that the handbook does not have, which are named below. They are in no share.")
	}
	if s.Crowded > 0 {
		r.Notes = append(r.Notes, strconv.Itoa(s.Crowded)+" counts were left out: the records hold more names than there can be.")
	}
	return r
}
