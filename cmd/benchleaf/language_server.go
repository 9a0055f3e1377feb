package main

import (
	"context"

	"benchleaf/render"
	"benchleaf/render/language"
)

// runLanguageServer helps an editor until it ends the session. An exit without a shutdown, and
// an editor that is gone, have the status that the protocol wants: 1.
func runLanguageServer(c *call) int {
	c.flags.Bool("stdio", false, "over stdin and stdout, as always: some editors say so")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	o := language.Options{Log: c.stderr, Open: func(dir string) (language.Judge, error) { return render.Edit(dir) }}
	if len(rest) > 0 {
		o.Dir = rest[0]
	}
	if err := language.Serve(context.Background(), c.stdin, c.stdout, o); err != nil {
		c.trouble(err)
		return statusRemarks
	}
	return statusDone
}
