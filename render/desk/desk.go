package desk

import (
	"bytes"
	"context"
	"errors"
	"html"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"benchleaf/theme"
)

// Desk shows a handbook.
type Desk struct {
	Dir     string // the folder that is watched
	Builder Builder
	Theme   *theme.Theme // that of the desk
	// Tell is told of each build: what was built, the files that had changed, nil at
	// first, and how long it took. A build that failed gives an error instead.
	Tell func(b *Built, changed []string, took time.Duration, err error)

	mu    sync.Mutex
	shown *shown
	heard map[chan struct{}]bool // those who are told of another one

	phone *phone // nil where none may come in
}

// shown is what is shown now. It is not changed any more.
type shown struct {
	*Built
	sources map[string]string // source path of each page
	gone    map[string]string // pages that there were, and where each went, "" for nowhere
}

// next is what is shown after a build.
func (s *shown) next(b *Built) *shown {
	n := &shown{b, map[string]string{}, map[string]string{}}
	for source, pages := range b.Pages {
		for _, p := range pages {
			n.sources[p] = source
		}
	}
	if s == nil {
		return n
	}
	for page, to := range s.gone {
		n.gone[page] = to
	}
	var come []string
	for page := range n.sources {
		if _, was := s.Files[page]; !was {
			come = append(come, page)
		}
	}
	slices.Sort(come)
	for page := range s.sources {
		if _, is := b.Files[page]; !is {
			n.gone[page] = renamed(s.Files[page], come, b.Files)
		}
	}
	for page := range n.gone {
		if _, is := b.Files[page]; is {
			delete(n.gone, page)
		}
	}
	return n
}

// renamed returns which of the pages that came is the one that went: the one with its
// title; "" for none.
func renamed(was []byte, come []string, files map[string][]byte) string {
	for _, page := range come {
		if title := heading(was); title != "" && title == heading(files[page]) {
			return page
		}
	}
	return ""
}

// heading is the text of a page's title, as it stands in the page.
func heading(page []byte) string {
	_, rest, _ := bytes.Cut(page, []byte("<h1"))
	_, rest, _ = bytes.Cut(rest, []byte(">"))
	text, _, _ := bytes.Cut(rest, []byte("</h1>"))
	return html.UnescapeString(string(text))
}

// hear returns a channel that is told when something else is to be shown, and what
// ends that.
func (d *Desk) hear() (changed <-chan struct{}, done func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := make(chan struct{}, 1)
	if d.heard == nil {
		d.heard = map[chan struct{}]bool{}
	}
	d.heard[c] = true
	return c, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		delete(d.heard, c)
	}
}

func (d *Desk) current() *shown {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.shown
}

// show shows another build, or the same once more where it is nil.
func (d *Desk) show(b *Built) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if b != nil {
		d.shown = d.shown.next(b)
	}
	for c := range d.heard {
		select {
		case c <- struct{}{}:
		default: // it has not yet looked at the last one
		}
	}
}

// build builds and shows.
func (d *Desk) build(ctx context.Context, changed []string) error {
	begin := time.Now()
	b, err := d.Builder.Build(ctx, changed)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err == nil {
		d.show(b)
	}
	d.Tell(b, changed, time.Since(begin), err)
	return err
}

// Serve builds, serves and watches until the context ends. Ready is called when the first
// build is shown.
func (d *Desk) Serve(ctx context.Context, on Listeners, ready func()) error {
	w, err := watch(d.Dir)
	if err != nil {
		return err
	}
	defer w.close()
	if on.Phone != nil {
		d.phone = newPhone(on.Phone.Addr())
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if err := d.build(ctx, nil); err != nil {
		return err
	}
	var all errgroup.Group
	serve := func(l net.Listener, handler http.Handler) {
		s := &http.Server{
			Handler: handler, ErrorLog: log.New(io.Discard, "", 0), ReadHeaderTimeout: 5 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 16 << 10,
			BaseContext: func(net.Listener) context.Context { return ctx }, // what streams ends with it
		}
		all.Go(func() error {
			defer stop()
			if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
				return err
			}
			return nil
		})
		all.Go(func() error {
			<-ctx.Done()
			return s.Close()
		})
	}
	for _, l := range on.Own {
		serve(l, d.guard(loopbackHosts(l.Addr()), d.handler(true)))
	}
	if on.Phone != nil {
		serve(on.Phone, d.guard([]string{on.Phone.Addr().String()}, d.phone.door(d, d.handler(false))))
	}
	ready()
	w.run(ctx, func(files []string) { _ = d.build(ctx, files) })
	return all.Wait()
}

// loopbackHosts are the names by which this machine calls itself, with the port.
func loopbackHosts(addr net.Addr) []string {
	port := netip.MustParseAddrPort(addr.String()).Port()
	var hosts []string
	for _, name := range []string{"localhost", "127.0.0.1", "::1"} {
		hosts = append(hosts, net.JoinHostPort(name, strconv.Itoa(int(port))))
	}
	return hosts
}

func isHTML(name string) bool { return strings.HasSuffix(name, ".html") }
