package main

import (
	"context"
	"fmt"
	"net/netip"
	"path/filepath"
	"time"

	"benchleaf/render"
	"benchleaf/render/desk"
	"benchleaf/render/remark"
)

// runDesk shows a handbook in the browser while it is written.
func runDesk(c *call) int {
	port := c.flags.Int("port", 0, fmt.Sprintf("`port` of this machine; the first free one from %d on if left out", desk.FirstPort))
	phone := c.flags.Bool("phone", false, "let phones in the local network in, with a code")
	address := c.flags.String("address", "", "with -phone: this machine's `address` in the local network, where it has several")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	_, err := netip.ParseAddr(*address)
	switch {
	case *port < 0 || *port > 65535:
		fmt.Fprintf(c.stderr, "benchleaf desk: %d is no port: 1 to 65535\n", *port)
		return statusUsage
	case *address != "" && !*phone:
		fmt.Fprintln(c.stderr, "benchleaf desk: -address goes with -phone only")
		return statusUsage
	case *address != "" && err != nil:
		fmt.Fprintf(c.stderr, "benchleaf desk: %q is no address such as 192.168.1.20\n", *address)
		return statusUsage
	}
	ctx, stop := stoppable()
	defer stop()
	if err := c.desk(ctx, folder(rest), *port, *phone, *address); err != nil && ctx.Err() == nil {
		return c.trouble(err)
	}
	fmt.Fprintln(c.stdout, "The desk is closed.")
	return statusDone
}

func (c *call) desk(ctx context.Context, dir string, port int, phone bool, address string) error {
	live, err := render.Open(dir)
	if err != nil {
		return err
	}
	on, err := desk.Listen(port)
	if err != nil {
		return err
	}
	defer on.Close()
	if phone {
		if err := on.AddPhone(address); err != nil {
			return err
		}
	}
	t := teller{call: c}
	d := &desk.Desk{Dir: dir, Builder: live, Theme: live.Theme(), Tell: t.tell}
	return d.Serve(ctx, on, func() {
		fmt.Fprintf(c.stdout, "The handbook is at %s\n", on.Address())
		if on.Phone != nil {
			fmt.Fprintf(c.stdout, "Phones in the local network come to http://%s/ with the code that the page shows.\n", on.Phone.Addr())
		}
		fmt.Fprintf(c.stdout, "What is saved in %s is shown at once. Ctrl-C ends it.\n", filepath.Clean(dir))
	})
}

// teller says on the terminal what is wrong with a handbook, each remark once.
type teller struct {
	*call
	told map[mistake]int // how many there were of each
}

// mistake is a remark wherever its line moved.
type mistake struct{ id, file, message, source string }

func mistakeOf(r remark.Remark) mistake { return mistake{r.ID, r.Place.File, r.Message, r.Source} }

// tell tells the remarks that came, and how many are left where some came or went.
func (t *teller) tell(b *desk.Built, _ []string, _ time.Duration, err error) {
	if err != nil {
		fmt.Fprintf(t.stderr, "benchleaf desk: %v; what was shown before still is\n", err)
		return
	}
	first := t.told == nil
	now := map[mistake]int{}
	var fresh remark.List
	for _, r := range b.Remarks {
		m := mistakeOf(r)
		if now[m]++; now[m] > t.told[m] {
			fresh = append(fresh, r)
		}
	}
	mended := 0
	for m, n := range t.told {
		mended += max(0, n-now[m])
	}
	t.told = now
	t.report(fresh)
	switch {
	case mended > 0:
		fmt.Fprintf(t.stderr, "%d mended; now: %s\n", mended, counts(b.Remarks))
	case first || len(fresh) > 0:
		fmt.Fprintln(t.stderr, counts(b.Remarks))
	}
}
