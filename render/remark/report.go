package remark

import (
	"encoding/json"
	"io"
)

// Version is the version of the form in which a Report is written as JSON.
const Version = 1

// Report is an audit for programs; docs/audit.md is the form in words.
type Report struct {
	Audit    int     `json:"audit" jsonschema:"enum=1"`
	Errors   int     `json:"errors" jsonschema:"minimum=0"`
	Warnings int     `json:"warnings" jsonschema:"minimum=0"`
	Advice   int     `json:"advice" jsonschema:"minimum=0"`
	Remarks  []Entry `json:"remarks" jsonschema_description:"by file, line, column and id"`
}

// Entry is a remark of a Report.
type Entry struct {
	ID       string `json:"id" jsonschema:"pattern=^[a-z]+(-[a-z]+)+$"`
	Severity string `json:"severity" jsonschema:"enum=error,enum=warning,enum=advice"`
	File     string `json:"file" jsonschema_description:"from the handbook's folder, with slashes"`
	Line     int    `json:"line,omitempty" jsonschema:"minimum=1" jsonschema_description:"left out where the remark concerns the whole file"`
	Column   int    `json:"column,omitempty" jsonschema:"minimum=1" jsonschema_description:"in Unicode code points"`
	End      int    `json:"end,omitempty" jsonschema:"minimum=1" jsonschema_description:"the column after the marked word"`
	Message  string `json:"message"`
	Mend     string `json:"mend"`
	Source   string `json:"source,omitempty" jsonschema_description:"the line"`
}

// Report returns the list in the form for programs.
func (l List) Report() Report {
	report := Report{
		Audit: Version, Errors: l.Count(Error), Warnings: l.Count(Warning), Advice: l.Count(Advice), Remarks: []Entry{},
	}
	for _, r := range l {
		e := Entry{
			ID: r.ID, Severity: r.Severity.String(), File: r.Place.File, Line: r.Place.Line, Column: r.Place.Column,
			Message: r.Message, Mend: r.Mend, Source: r.Source,
		}
		if e.Column > 0 {
			e.End = r.End()
		}
		report.Remarks = append(report.Remarks, e)
	}
	return report
}

// WriteJSON writes the list as a Report.
func (l List) WriteJSON(w io.Writer) error { return writeJSON(w, l.Report()) }

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
