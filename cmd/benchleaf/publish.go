package main

import (
	"fmt"

	"benchleaf/render/edition"
	"benchleaf/render/remark"
)

// runPublish lays an edition out for a web host.
func runPublish(c *call) int {
	rest, status, ok := c.parse(2)
	if !ok {
		return status
	}
	if len(rest) == 0 {
		fmt.Fprintln(c.stderr, "benchleaf publish: into which folder?")
		c.help(c.stderr)
		return statusUsage
	}
	from, to := editionFolder(rest[:len(rest)-1]), rest[len(rest)-1]
	f, status := c.whole(from, "benchleaf publish: %s is not as it was compiled; nothing is published\n")
	if f == nil {
		return status
	}
	defer f.Close()
	p, err := edition.Publish(from, to)
	if err != nil {
		return c.trouble(err)
	}
	fmt.Fprintf(c.stdout, "Edition %s is in %s: %s, %d compressed beside them", remark.Printable(f.Manifest.Edition), remark.Printable(to), plural(p.Files, "file"), p.Compressed)
	if p.Kept > 0 {
		fmt.Fprintf(c.stdout, ", and %s of the edition before by their digests", plural(p.Kept, "file"))
	}
	fmt.Fprintln(c.stdout, ".")
	return statusDone
}
