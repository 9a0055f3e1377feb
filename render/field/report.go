package field

import (
	"strings"

	"benchleaf/render/remark"
)

// Report is what a Sum says, as tables that every form is made of.
type Report struct {
	Handbook string   // title and edition; "" without one
	Notes    []string // what to know before the figures
	Tables   []Table
	Changes  []Change
	sum      *Sum
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
	// Fold is true for a table that may be long and that few read to its end.
	Fold bool
}

// unfolded is how many rows of a table are seen before it is folded.
const unfolded = 10

// shown is the table for readers: without keys, its numbers with their thousands apart.
func (t Table) shown() Table {
	keys := make([]bool, len(t.Columns))
	var heads []Column
	group := t.Group
	for i, c := range t.Columns {
		if keys[i] = c.Key; !c.Key {
			heads = append(heads, c)
		} else if i < t.Group {
			group--
		}
	}
	rows := make([][]string, len(t.Rows))
	for i, row := range t.Rows {
		for j, cell := range row {
			switch {
			case t.Columns[j].Key:
			case t.Columns[j].Number:
				rows[i] = append(rows[i], separated(cell))
			default:
				rows[i] = append(rows[i], remark.Printable(cell))
			}
		}
	}
	t.Columns, t.Rows, t.Group = heads, rows, group
	return t
}

// Column is a column with its name in CSV and its head elsewhere.
type Column struct {
	Name, Head string
	Number     bool
	Key        bool // for programs: only CSV has it, readers have the title in the next column
}

// all is the model of rows that add up all models; none of those whose records
// do not say one.
const (
	all  = "all"
	none = "not given"
)

// columns makes columns from "name=Head"; "#" before a name is for numbers, "!"
// for keys.
func columns(list ...string) []Column {
	var c []Column
	for _, entry := range list {
		name, head, _ := strings.Cut(entry, "=")
		name, isNumber := strings.CutPrefix(name, "#")
		name, isKey := strings.CutPrefix(name, "!")
		c = append(c, Column{name, head, isNumber, isKey})
	}
	return c
}

// Report says what the sum is, with the author's frequencies worth as many
// records as weight.
func (s *Sum) Report(weight float64) *Report {
	r := &Report{sum: s}
	if first, last := s.period(); first != "" {
		r.Notes = append(r.Notes, "The jobs were begun from "+first+" to "+last+".")
	}
	r.Tables = append(r.Tables, s.endsTable(), s.causesTable(weight))
	if s.book != nil {
		r.Handbook = s.book.title
		r.Changes = s.changes(weight)
		r.Tables = append(r.Tables, changesTable(r.Changes))
	} else {
		r.Notes = append(r.Notes, "Shares and new frequencies need the handbook: its causes, and what its author expects.")
	}
	r.Tables = append(r.Tables, s.stepsTable(), s.undecidedTable(), s.readingsTable(), s.binsTable(), s.partsTable(), s.editionsTable(), s.unknownTable())
	if n := s.strange(); n > 0 {
		r.Notes = append(r.Notes, "In no share: "+some(n, "finding")+" of causes that the handbook does not have; they are named below.")
	}
	if s.Crowded > 0 {
		r.Notes = append(r.Notes, grouped(s.Crowded)+" counts were left out: the records hold more names than there can be.")
	}
	return r
}
