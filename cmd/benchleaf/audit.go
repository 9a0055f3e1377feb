package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"benchleaf/render"
)

// runAudit judges a handbook and writes what it found for people, or for programs.
func runAudit(c *call) int {
	coverage := c.flags.Bool("coverage", false, "say which parts, causes and engine states the procedures look at, and the minutes to a cause")
	format := c.flags.String("format", "text", "`form` of the remarks: text, json or sarif")
	since := c.flags.String("since", "", "an older `edition`, to see whether what changed says so")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	switch {
	case *format != "text" && *format != "json" && *format != "sarif":
		fmt.Fprintf(c.stderr, "benchleaf audit: %q is no format: text, json, sarif\n", *format)
		return statusUsage
	case *coverage && *format != "text":
		fmt.Fprintln(c.stderr, "benchleaf audit: -coverage goes with the format text only")
		return statusUsage
	}
	dir := folder(rest)
	result, err := render.AuditSince(dir, render.Options{Since: *since, Pages: render.Pace})
	if err != nil {
		return c.trouble(err)
	}
	if err := c.writeAudit(dir, result, *format, *coverage); err != nil {
		return c.trouble(err)
	}
	if result.Failed() {
		return statusRemarks
	}
	return statusDone
}

func (c *call) writeAudit(dir string, result render.Result, format string, coverage bool) error {
	switch format {
	case "json":
		return result.Remarks.WriteJSON(c.stdout, result.Allowed)
	case "sarif":
		root, err := sourceRoot(dir)
		if err != nil {
			return err
		}
		version, _ := release()
		return result.Remarks.WriteSARIF(c.stdout, result.Allowed, version, root)
	}
	if err := c.tell(c.stdout, result.Remarks); err != nil {
		return err
	}
	fmt.Fprintln(c.stdout, counts(result.Remarks))
	if coverage {
		return result.Coverage.WriteText(c.stdout)
	}
	return nil
}

// sourceRoot is a handbook's folder from where the program was started, which is the
// root of the sources where a service runs it; the whole path where it does not lie below.
func sourceRoot(dir string) (string, error) {
	here, err := filepath.Abs(".")
	if err != nil {
		return "", err
	}
	whole, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	if below, err := filepath.Rel(here, whole); err == nil && filepath.IsLocal(below) {
		return filepath.ToSlash(below), nil
	}
	return "/" + strings.TrimPrefix(filepath.ToSlash(whole), "/"), nil
}
