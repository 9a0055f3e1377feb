package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/remark"
)

// runCompare tells what changed between two editions.
func runCompare(c *call) int {
	format := c.flags.String("format", "text", "`form` of the report: text or json")
	model := c.flags.String("model", "", "id of the `model` for which to tell; all if left out")
	rest, status, ok := c.parse(2)
	switch {
	case !ok:
		return status
	case len(rest) < 2:
		fmt.Fprintln(c.stderr, "benchleaf compare: two editions are needed, the older first")
		c.help(c.stderr)
		return statusUsage
	case *format != "text" && *format != "json":
		fmt.Fprintf(c.stderr, "benchleaf compare: there is no format %q\n", *format)
		c.help(c.stderr)
		return statusUsage
	}
	var editions [2]*compare.Edition
	for i, name := range rest {
		e, err := compare.Open(name)
		if errors.Is(err, fs.ErrNotExist) {
			err = fmt.Errorf("%s: %w", name, edition.ErrNowhere)
		}
		if err != nil {
			return c.trouble(err)
		}
		editions[i] = e
	}
	changes := compare.Compare(editions[0], editions[1])
	if *model != "" {
		var ids []string
		for _, m := range changes.Models() {
			ids = append(ids, m.ID)
		}
		if !slices.Contains(ids, *model) {
			fmt.Fprintf(c.stderr, "benchleaf compare: there is no model %q", *model)
			if near := remark.Nearest(*model, ids); near != "" {
				fmt.Fprintf(c.stderr, "; did you mean %q?", near)
			}
			fmt.Fprintln(c.stderr)
			return statusUsage
		}
		changes = changes.Of(*model)
	}
	write := changes.WriteText
	if *format == "json" {
		write = changes.WriteJSON
	}
	if err := write(c.stdout); err != nil {
		return c.trouble(err)
	}
	return statusDone
}
