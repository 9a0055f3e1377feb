package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"benchleaf/render"
	"benchleaf/render/whole"
)

// runTranslated records that somebody has held a translation against its source, and says what was
// older until then.
func runTranslated(c *call) int {
	in := c.flags.String("in", "content", "`folder` of the handbook")
	section := c.flags.String("section", "", "the `name` of what was looked at: the id of a heading, or as it stands below translated in the page; the whole page if left out")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	if len(rest) == 0 {
		fmt.Fprintln(c.stderr, "benchleaf translated: which page?")
		c.help(c.stderr)
		return statusUsage
	}
	// A page may be named as it lies, handbook's folder and all.
	name := strings.TrimPrefix(filepath.ToSlash(rest[0]), filepath.ToSlash(filepath.Clean(*in))+"/")
	recording, err := render.Translated(*in, name, *section)
	if err != nil {
		return c.trouble(err)
	}
	if err := c.tell(c.stdout, recording.Remarks); err != nil {
		return c.trouble(err)
	}
	if recording.Text != nil {
		if err := whole.Replace(filepath.Join(*in, filepath.FromSlash(name)), recording.Text); err != nil {
			return c.trouble(err)
		}
	}
	switch {
	case !recording.Same && *section == "":
		fmt.Fprintln(c.stderr, "The page does not have block by block what its source has. Mend it, or record its sections one by one; nothing was written.")
		return statusRemarks
	case *section != "":
		fmt.Fprintf(c.stdout, "%s: the section %s is recorded as the translation of its source as that is now.\n", name, *section)
	default:
		fmt.Fprintf(c.stdout, "%s is recorded as the translation of its source as that is now. What stands above counts as looked at.\n", name)
	}
	return statusDone
}
