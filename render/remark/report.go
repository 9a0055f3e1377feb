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
	Allowed  []Entry `json:"allowed" jsonschema_description:"remarks that the handbook lets stand, in no count"`
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
	Reason   string `json:"reason,omitempty" jsonschema_description:"why it is allowed"`
}

// Report returns the list, and what is allowed, in the form for programs.
func (l List) Report(allowed List) Report {
	return Report{
		Audit: Version, Errors: l.Count(Error), Warnings: l.Count(Warning), Advice: l.Count(Advice),
		Remarks: l.entries(), Allowed: allowed.entries(),
	}
}

func (l List) entries() []Entry {
	list := []Entry{}
	for _, r := range l {
		e := Entry{
			ID: r.ID, Severity: r.Severity.String(), File: r.Place.File, Line: r.Place.Line, Column: r.Place.Column,
			Message: r.Message, Mend: r.Mend, Source: r.Source, Reason: r.Allowed,
		}
		if e.Column > 0 {
			e.End = r.End()
		}
		list = append(list, e)
	}
	return list
}

// WriteJSON writes the list, and what is allowed, as a Report.
func (l List) WriteJSON(w io.Writer, allowed List) error { return writeJSON(w, l.Report(allowed)) }

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
