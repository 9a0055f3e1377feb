package main

import (
	"fmt"

	"benchleaf/render"
)

func runBind(c *call) int {
	b := render.Binding{Dir: "content"}
	c.flags.StringVar(&b.Out, "out", "handbook.html", "`file` for the handbook")
	c.flags.StringVar(&b.Language, "language", "", "its `language`; the handbook's first if left out")
	c.flags.StringVar(&b.Model, "model", "", "id of its `model`; all if left out")
	rest, status, ok := c.parse(len(c.arguments))
	if !ok {
		return status
	}
	if len(rest) > 0 {
		b.Dir, b.Pages = rest[0], rest[1:]
	}
	ctx, done := stoppable()
	defer done()
	bar := c.progress()
	b.Progress = bar.tell
	bound, err := render.Bind(ctx, b)
	bar.end()
	c.report(bound.Remarks)
	switch {
	case err != nil:
		return c.trouble(err)
	case bound.Failed():
		fmt.Fprintf(c.stderr, "%s; nothing was written\n", counts(bound.Remarks))
		return statusRemarks
	}
	if len(bound.Remarks) > 0 {
		fmt.Fprintln(c.stderr, counts(bound.Remarks))
	}
	fmt.Fprintf(c.stdout, "%s, %s, %s (%s packed). Open %s\n", bound.Title, plural(bound.Pages, "page"), bytesText(bound.Size), bytesText(bound.Packed), b.Out)
	return statusDone
}

// bytesText is a size as people say it, in thousands.
func bytesText(n int) string {
	if n > 999e3 {
		return fmt.Sprintf("%.1f MB", float64(n)/1e6)
	}
	return fmt.Sprintf("%d KB", (n+999)/1000)
}
