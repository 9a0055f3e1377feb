package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"

	"benchleaf/render"
	"benchleaf/render/field"
	"benchleaf/render/remark"
	"benchleaf/render/whole"
)

// runField adds up records and writes a report, and the new frequencies into the
// handbook where it is asked to.
func runField(c *call) int {
	in := c.flags.String("in", "", "`folder` of the handbook that the records are of")
	format := c.flags.String("format", "text", "`form` of the report: text, csv or html")
	out := c.flags.String("out", "", "`file` for the report, of csv a folder; the terminal if left out")
	weight := c.flags.Float64("weight", 20, "how many `findings` the author's frequencies are worth")
	write := c.flags.Bool("write", false, "write the new frequencies into the handbook")
	names, status, ok := c.parse(len(c.arguments))
	if !ok {
		return status
	}
	wrong := ""
	switch {
	case len(names) == 0:
		wrong = "which files? Name records, or folders of them"
	case !slices.Contains([]string{"text", "csv", "html"}, *format):
		wrong = fmt.Sprintf("there is no format %q", *format)
	case *format == "csv" && *out == "":
		wrong = "csv is a file for each table: name a folder with -out"
	case !(*weight > 0 && *weight <= 1e6):
		wrong = "a weight is above 0, and at most 1000000"
	case *write && *in == "":
		wrong = "name the handbook to write into with -in"
	}
	if wrong != "" {
		fmt.Fprintf(c.stderr, "benchleaf field: %s\n", wrong)
		c.help(c.stderr)
		return statusUsage
	}
	book, failed, err := c.book(*in)
	if err != nil {
		return c.trouble(err)
	}
	files, intake, status, err := c.addUp(names, book)
	if err != nil {
		return c.trouble(err)
	}
	if *format != "csv" && !replaceable(*out, files.Paths) {
		fmt.Fprintf(c.stderr, "benchleaf field: %s: it is one of the records, or no file; name another one with -out\n", *out)
		return statusUsage
	}
	report := intake.Sum.Report(*weight)
	report.Taken(files, intake)
	if err := c.deliver(report, *format, *out); err != nil {
		return c.trouble(err)
	}
	if failed {
		status = max(status, statusRemarks)
	}
	if *write {
		return max(status, c.writeChanges(report, failed))
	}
	return status
}

// replaceable tells whether a report may take the place of what has its name: a record may not be lost
// for it, as by a -out before the first of a list of files.
func replaceable(out string, records []string) bool {
	info, err := os.Stat(out)
	return err != nil || info.Mode().IsRegular() && !slices.ContainsFunc(records, func(name string) bool {
		other, err := os.Stat(name)
		return err == nil && os.SameFile(info, other)
	})
}

// book opens the handbook, if one is named. failed tells whether the audit finds
// errors in it.
func (c *call) book(dir string) (book *field.Book, failed bool, err error) {
	if dir == "" {
		return nil, false, nil
	}
	result, err := render.Audit(dir)
	if err != nil {
		return nil, false, err
	}
	if result.Failed() {
		fmt.Fprintf(c.stderr, "The handbook has %s, which `benchleaf audit` tells; what they touch may be missing here.\n",
			plural(result.Remarks.Count(remark.Error), "error"))
	}
	book, err = field.Open(dir)
	return book, result.Failed(), err
}

// addUp reads all files. Every refusal is told at once.
func (c *call) addUp(names []string, book *field.Book) (field.Files, *field.Intake, int, error) {
	files, err := field.Find(names)
	if err != nil {
		return files, nil, statusMachine, err
	}
	bar := c.progress()
	defer bar.end()
	status := statusDone
	intake := &field.Intake{Sum: field.NewSum(book), Progress: bar.bytes("reading", files.Bytes)}
	intake.Refuse = func(r field.Refusal) {
		bar.hide()
		fmt.Fprintln(c.stderr, remark.Printable(r.String()))
		status = max(status, statusRemarks)
		if r.Machine {
			status = statusMachine
		}
	}
	for _, path := range files.Paths {
		if err := intake.File(path); err != nil {
			return files, nil, statusMachine, err
		}
	}
	return files, intake, status, nil
}

// deliver writes the report where it is wanted; what was read is said in any case.
func (c *call) deliver(report *field.Report, format, out string) error {
	var b bytes.Buffer
	write := report.WriteText
	switch format {
	case "csv":
		write = func(io.Writer) error { return report.WriteCSV(out) }
	case "html":
		write = func(w io.Writer) error { return report.WriteHTML(w, "Records from the field") }
	}
	if err := write(&b); err != nil {
		return err
	}
	if out == "" {
		_, err := c.stdout.Write(b.Bytes())
		return err
	}
	if format != "csv" {
		if err := whole.Replace(out, b.Bytes()); err != nil {
			return err
		}
	}
	for _, note := range report.Notes {
		fmt.Fprintln(c.stdout, note)
	}
	fmt.Fprintf(c.stdout, "The report is in %s\n", out)
	return nil
}

// writeChanges puts the new frequencies into the handbook's files, and tells
// which were left alone.
func (c *call) writeChanges(report *field.Report, failed bool) int {
	if failed {
		fmt.Fprintln(c.stderr, "No frequency was written: mend the handbook's errors first.")
		return statusRemarks
	}
	status := statusDone
	for _, change := range report.Changes {
		switch {
		case change.Refused != "":
			fmt.Fprintf(c.stderr, "%s is left alone: %s\n", remark.Printable(change.File), remark.Printable(change.Refused))
			status = max(status, statusRemarks)
		case change.Patch() == "":
		default:
			if err := change.Write(); err != nil {
				fmt.Fprintf(c.stderr, "benchleaf field: %v\n", err)
				status = statusMachine
				continue
			}
			left := ""
			if change.Strange > 0 {
				left = fmt.Sprintf(", without %s of causes that it does not have", plural(change.Strange, "finding"))
			}
			fmt.Fprintf(c.stderr, "%s has new frequencies%s.\n", remark.Printable(change.File), left)
		}
	}
	return status
}
