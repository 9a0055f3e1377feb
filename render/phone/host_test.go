package phone

import (
	"bytes"
	"compress/gzip"
	"io"
	"maps"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// host serves a folder as plain hosts do, with the faults of some.
type host struct {
	testing.TB
	address string // of the edition's folder, with a slash
	folder  string // the same as a path
	server  *http.Server

	mu      sync.Mutex
	dir     string // the edition
	zips    bool   // sends texts compressed, and says of packs that they are
	clean   bool   // leads from an address with .html to one without
	delay   time.Duration
	corrupt string                      // the path of a file that arrives with another first byte
	gone    string                      // one that is not there
	lacks   func(w http.ResponseWriter) // how it answers for what is not there, if not with 404
	cut     string                      // one in whose midst the line breaks
	fund    int                         // bytes that it sends on all lines before they break; 0 for any number
	silent  string                      // one that is asked for in vain, on a line that stays
	stalls  string                      // one in whose midst the host falls silent, on a line that stays; the next time it comes
	trickle string                      // one that comes in ten pieces, at a distance
	dead    bool                        // as it is from then on
	seen    map[string]int              // how often each path was asked for
	sent    int                         // bytes of bodies
	whole   map[string]bool             // what was sent whole, ever
}

// serve begins to serve an edition in a folder of the host, "" for its root.
func serve(t testing.TB, dir, folder string) *host {
	t.Helper()
	h := &host{TB: t, dir: dir, folder: "/" + folder, seen: map[string]int{}, whole: map[string]bool{}}
	h.start("127.0.0.1:0")
	t.Cleanup(h.stop)
	return h
}

func (h *host) start(address string) {
	h.Helper()
	listener, err := net.Listen("tcp", address)
	if err != nil {
		h.Fatal(err)
	}
	h.address = (&url.URL{Scheme: "http", Host: listener.Addr().String(), Path: h.folder}).String()
	h.server = &http.Server{Handler: h}
	go func() { _ = h.server.Serve(listener) }()
}

// stop takes the host away: nothing listens any more.
func (h *host) stop() { _ = h.server.Close() }

// again puts it back where it was.
func (h *host) again() {
	h.Helper()
	h.start(strings.Split(h.address, "/")[2])
}

// set changes how the host behaves.
func (h *host) set(change func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	change()
}

// asked returns what was asked for since the last call, and how many bytes went out.
func (h *host) asked() (paths map[string]int, bytes int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	paths, bytes = h.seen, h.sent
	h.seen, h.sent = map[string]int{}, 0
	return paths, bytes
}

// came returns what was sent whole.
func (h *host) came() map[string]bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return maps.Clone(h.whole)
}

func (h *host) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name, ok := strings.CutPrefix(r.URL.Path, h.folder)
	if !ok {
		http.NotFound(w, r)
		return
	}
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	h.mu.Lock()
	h.seen[name]++
	dir, zips, clean, delay, corrupt, gone, cut, silent, stalls, trickle, fund, lacks, dead := h.dir, h.zips, h.clean, h.delay, name == h.corrupt, name == h.gone, name == h.cut, name == h.silent, name == h.stalls, name == h.trickle, h.fund, h.lacks, h.dead
	h.dead = dead || cut
	if stalls {
		h.stalls = ""
	}
	h.mu.Unlock()
	if dead {
		panic(http.ErrAbortHandler)
	}
	if silent {
		<-r.Context().Done()
		return
	}
	time.Sleep(delay)
	if name == probe {
		w.Header().Set("Content-Type", "text/html")
		_, _ = io.WriteString(w, `<!DOCTYPE html><title>probe</title><link rel="icon" href="data:,">`)
		return
	}
	if short, ok := strings.CutSuffix(name, ".html"); ok && clean && !strings.HasSuffix(r.URL.Path, "/") {
		http.Redirect(w, r, h.folder+short, http.StatusPermanentRedirect)
		return
	}
	if clean && filepath.Ext(name) == "" {
		name += ".html"
	}
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil && lacks != nil && !gone {
		lacks(w)
		return
	}
	if err != nil || gone {
		http.NotFound(w, r)
		return
	}
	if corrupt {
		data[0]++
	}
	kind, text := kindOf(name)
	w.Header().Set("Content-Type", kind)
	if zips && text {
		w.Header().Set("Content-Encoding", "gzip")
		data = zip(data)
	}
	if zips && kind == "application/gzip" {
		w.Header().Set("Content-Encoding", "gzip")
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	if cut {
		// Half of it, then the line is dead.
		_, _ = w.Write(data[:len(data)/2])
		_ = http.NewResponseController(w).Flush()
		panic(http.ErrAbortHandler)
	}
	if stalls {
		_, _ = w.Write(data[:len(data)/2])
		_ = http.NewResponseController(w).Flush()
		<-r.Context().Done()
		return
	}
	if trickle {
		for piece := range slices.Chunk(data, len(data)/10+1) {
			time.Sleep(400 * time.Millisecond)
			_, _ = w.Write(piece)
			_ = http.NewResponseController(w).Flush()
		}
		h.set(func() { h.sent += len(data); h.whole[name] = true })
		return
	}
	if fund > 0 {
		h.share(w, data)
	} else if _, err := w.Write(data); err != nil {
		return
	}
	h.set(func() { h.sent += len(data); h.whole[name] = true })
}

// share sends a file in pieces, so that all that are under way come on at the same time, until the fund is spent: then every line
// breaks in the midst of what it sends.
func (h *host) share(w http.ResponseWriter, data []byte) {
	for piece := range slices.Chunk(data, 4096) {
		var spent bool
		h.set(func() {
			spent = h.dead
			h.fund = max(1, h.fund-len(piece))
			h.dead = h.fund == 1
		})
		if spent {
			panic(http.ErrAbortHandler)
		}
		_, _ = w.Write(piece)
		_ = http.NewResponseController(w).Flush()
		time.Sleep(2 * time.Millisecond)
	}
}

func zip(data []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, _ = z.Write(data)
	_ = z.Close()
	return b.Bytes()
}

// kindOf tells the type of a file, and whether a host would compress it.
func kindOf(name string) (kind string, text bool) {
	kind = map[string]string{".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".json": "application/json", ".webmanifest": "application/manifest+json", ".png": "image/png", ".gz": "application/gzip"}[filepath.Ext(name)]
	return kind, slices.Contains([]string{".html", ".js", ".css", ".svg", ".json"}, filepath.Ext(name))
}
