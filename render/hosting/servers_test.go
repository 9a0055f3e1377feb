package hosting

import (
	"bytes"
	"compress/gzip"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/brotli"

	"benchleaf/render/edition"
)

// document is where the configurations stand that are tried here, word for word but for
// the folder and the address.
func document(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "hosting.md"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// configuration is the listing of a kind in the document.
func configuration(t *testing.T, kind string) string {
	t.Helper()
	found := regexp.MustCompile("(?s)```"+kind+"\n(.*?)```").FindAllStringSubmatch(document(t), -1)
	if len(found) != 1 {
		t.Fatalf("docs/hosting.md has %d listings of %s", len(found), kind)
	}
	return found[0][1]
}

// replaced puts the test's own values in the places of the document's, each of which must be there.
func replaced(t *testing.T, text string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("the configuration in docs/hosting.md has no %q", pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	return text
}

// server is a server as it is begun: with the configuration of the document, for a folder,
// at an address, keeping what it writes in a folder of its own.
type server struct {
	name, program string
	command       func(t *testing.T, program, folder, address, own string) *exec.Cmd
}

var servers = []server{
	{"nginx", "/usr/sbin/nginx", func(t *testing.T, program, folder, address, own string) *exec.Cmd {
		const brotli = "/usr/lib/nginx/modules/ngx_http_brotli_static_module.so"
		if _, err := os.Stat(brotli); err != nil {
			absent(t, "the module of Debian's libnginx-mod-http-brotli-static: "+err.Error())
		}
		config := write(t, own, "nginx.conf", fmt.Sprintf("load_module %s;\npid %s/pid;\nerror_log stderr;\ndaemon off;\nmaster_process off;\nevents {}\nhttp {\naccess_log off;\n%s\n%s}\n", brotli, own,
			temporary(own), replaced(t, configuration(t, "nginx"), "listen 80;", "listen "+address+";", "/srv/handbook", folder)))
		return exec.Command(program, "-c", config, "-p", own)
	}},
	{"apache", "/usr/sbin/apache2", func(t *testing.T, program, folder, address, own string) *exec.Cmd {
		var modules strings.Builder
		for _, name := range []string{"mpm_event", "authz_core", "mime", "dir", "rewrite", "headers"} {
			fmt.Fprintf(&modules, "LoadModule %s_module /usr/lib/apache2/modules/mod_%s.so\n", name, name)
		}
		config := write(t, own, "apache.conf", fmt.Sprintf("ServerRoot %s\nServerName localhost\nListen %s\nPidFile %s/pid\nErrorLog /dev/stderr\n%sTypesConfig /etc/mime.types\n%s",
			own, address, own, modules.String(), replaced(t, configuration(t, "apache"), "*:80", address, "/srv/handbook", folder)))
		return exec.Command(program, "-X", "-f", config)
	}},
	{"caddy", "/usr/bin/caddy", func(t *testing.T, program, folder, address, own string) *exec.Cmd {
		config := write(t, own, "Caddyfile", "{\nadmin off\nauto_https off\n}\n"+replaced(t, configuration(t, "caddy"), "handbook.example", "http://"+address, "/srv/handbook", folder))
		c := exec.Command(program, "run", "--config", config, "--adapter", "caddyfile")
		c.Env = append(os.Environ(), "HOME="+own, "XDG_DATA_HOME="+own, "XDG_CONFIG_HOME="+own)
		return c
	}},
}

// temporary says where nginx keeps what it holds for a while.
func temporary(own string) (text string) {
	for _, what := range []string{"client_body", "proxy", "fastcgi", "uwsgi", "scgi"} {
		text += fmt.Sprintf("%s_temp_path %s/%s;\n", what, own, what)
	}
	return text
}

func write(t *testing.T, folder, name, text string) (path string) {
	t.Helper()
	path = filepath.Join(folder, name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// absent skips the test where a program is missing, unless all of them must be there.
func absent(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("BENCHLEAF_SERVERS") == "required" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// begin begins to serve a folder and returns the address.
func (s server) begin(t *testing.T, folder string) string {
	t.Helper()
	if _, err := os.Stat(s.program); err != nil {
		absent(t, err.Error())
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := listener.Addr().String()
	listener.Close()
	c := s.command(t, s.program, folder, address, t.TempDir())
	var said bytes.Buffer
	c.Stdout, c.Stderr = &said, &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	t.Cleanup(func() {
		_ = c.Process.Kill()
		<-ended
	})
	for {
		connection, err := net.Dial("tcp", address)
		if err == nil {
			connection.Close()
			return "http://" + address
		}
		select {
		case err := <-ended:
			ended <- err
			t.Fatalf("%s did not begin: %v\n%s", s.name, err, said.String())
		case <-time.After(10 * time.Millisecond):
		}
	}
}

// small is a published edition with a file of each kind, which may be read by other users.
func small(t *testing.T) (folder string, files map[string][]byte) {
	t.Helper()
	dir := t.TempDir()
	long := func(text string) []byte { return bytes.Repeat([]byte(text+" é\n"), 500) }
	noise := make([]byte, 5000)
	if _, err := rand.Read(noise); err != nil {
		t.Fatal(err)
	}
	files = map[string][]byte{"index.html": long("<p>finder"), "en/index.html": long("<p>other finder"), "en/a b.html": long("<p>page"), "en/short.html": []byte("<p>short"), "assets/page.js": long("// script"),
		"assets/page.css": long("/* style */"), "pictures/a.svg": long("<!-- drawing -->"), "pictures/a.webp": noise, "icons/192.png": noise[1:], "app.webmanifest": long(" "), "data/a.csv": long("a;b"), "worker.js": long("// worker")}
	w, err := edition.Begin(filepath.Join(dir, "edition"), edition.Manifest{Title: "T", Edition: "1"})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	for name, data := range files {
		load := func() ([]byte, error) { return data, nil }
		if err := w.Add(edition.File{Name: name, Digest: edition.Digest(data), Size: len(data), Load: load}); err != nil {
			t.Fatal(err)
		}
	}
	folder = filepath.Join(dir, "host")
	if err := w.Commit(); err != nil {
		t.Fatal(err)
	}
	if _, err := edition.Publish(filepath.Join(dir, "edition"), folder); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{edition.ManifestName, edition.PackName(0), edition.PartName(0)} {
		if files[name], err = os.ReadFile(filepath.Join(folder, filepath.FromSlash(name))); err != nil {
			t.Fatal(err)
		}
	}
	// Apache's ETag of a file that is younger than a second is a weak one, and another one later.
	past := time.Now().Add(-time.Hour)
	if err := filepath.WalkDir(folder, func(name string, _ fs.DirEntry, err error) error {
		return errors.Join(err, os.Chtimes(name, past, past))
	}); err != nil {
		t.Fatal(err)
	}
	// Servers read as a user of their own.
	for dir := folder; strings.HasPrefix(dir, os.TempDir()) && dir != os.TempDir(); dir = filepath.Dir(dir) {
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return folder, files
}

// kinds are the types that hosts must say; of packs some say that they are compressed.
var kinds = map[string]string{".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml", ".webp": "image/webp",
	".png": "image/png", ".webmanifest": "application/manifest+json", ".csv": "text/csv; charset=utf-8", ".json": "application/json", ".gz": "application/gzip"}

// TestServers tries each server with the configuration of docs/hosting.md: what it sends of
// each file, to browsers that take each coding, and what caches are told.
func TestServers(t *testing.T) {
	folder, files := small(t)
	for _, s := range servers {
		t.Run(s.name, func(t *testing.T) {
			address := s.begin(t, folder)
			for name, data := range files {
				for _, path := range []string{name, edition.DigestFolder + edition.Digest(data)} {
					_, err := os.Stat(filepath.Join(folder, filepath.FromSlash(path)+".br"))
					asked{t, address + "/" + strings.ReplaceAll(path, " ", "%20"), path, data, err == nil}.try()
				}
			}
			for _, path := range []string{"", "en/"} {
				asked{t, address + "/" + path, path + "index.html", files[path+"index.html"], true}.try()
			}
			for _, path := range []string{"none.html", edition.DigestFolder + "AAAAAAAAAAAAAAAAAAAAAA", "by/", "assets/"} {
				r, _ := get(t, address+"/"+path, "br")
				if caching := r.Header.Get("Cache-Control"); r.StatusCode != http.StatusNotFound && r.StatusCode != http.StatusForbidden || strings.Contains(caching, "immutable") {
					t.Errorf("/%s: %s, Cache-Control %q", path, r.Status, caching)
				}
			}
		})
	}
}

// asked is a file that browsers ask for.
type asked struct {
	*testing.T
	address, path string
	data          []byte
	compressed    bool
}

func (a asked) try() {
	a.Helper()
	caching, kind := "no-cache", kinds[filepath.Ext(a.path)]
	if strings.HasPrefix(a.path, edition.DigestFolder) {
		caching, kind = "public, max-age=31536000, immutable", ""
	}
	etags := map[string]bool{}
	for accepts, coding := range map[string]string{"": "", "gzip": "gzip", "br": "br", "gzip, deflate, br, zstd": "br", "deflate": ""} {
		if !a.compressed {
			coding = ""
		}
		r, body := get(a.T, a.address, accepts)
		head := r.Header
		what := fmt.Sprintf("%s for %q", a.address, accepts)
		if got := head.Get("Content-Encoding"); r.StatusCode != http.StatusOK || got != coding {
			a.Errorf("%s: %s, Content-Encoding %q, want %q", what, r.Status, got, coding)
			continue
		}
		if text, err := decoded(coding, body); err != nil || !bytes.Equal(text, a.data) {
			a.Errorf("%s: another file came (%v)", what, err)
		}
		if coding != "" && len(body) >= len(a.data) {
			a.Errorf("%s: %d bytes came of a file of %d", what, len(body), len(a.data))
		}
		if got := head.Get("Content-Type"); kind != "" && got != kind {
			a.Errorf("%s: Content-Type %q, want %q", what, got, kind)
		}
		if got := head.Values("Cache-Control"); !slices.Equal(got, []string{caching}) {
			a.Errorf("%s: Cache-Control %q, want %q", what, got, caching)
		}
		if a.compressed && !strings.Contains(strings.Join(head.Values("Vary"), ","), "Accept-Encoding") {
			a.Errorf("%s: Vary %q", what, head.Values("Vary"))
		}
		etag := head.Get("ETag")
		if etag == "" {
			a.Errorf("%s: no ETag", what)
		}
		etags[etag] = true
		if r, body := get(a.T, a.address, accepts, "If-None-Match", etag); r.StatusCode != http.StatusNotModified || len(body) > 0 {
			a.Errorf("%s, once more: %s with %d bytes", what, r.Status, len(body))
		}
		if r, _ := get(a.T, a.address, accepts, "If-None-Match", `"other"`); r.StatusCode != http.StatusOK {
			a.Errorf("%s, after another: %s", what, r.Status)
		}
	}
	if want := map[bool]int{false: 1, true: 3}[a.compressed]; len(etags) != want {
		a.Errorf("%s: %d ETags, want %d: one for each form", a.address, len(etags), want)
	}
}

// transport sends what it is told to, and decodes nothing.
var transport = &http.Transport{DisableCompression: true}

func get(t *testing.T, address, accepts string, headers ...string) (*http.Response, []byte) {
	t.Helper()
	request, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Accept-Encoding", accepts)
	for i := 0; i < len(headers); i += 2 {
		request.Header.Set(headers[i], headers[i+1])
	}
	r, err := transport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(r.Body)
	if err = errors.Join(err, r.Body.Close()); err != nil {
		t.Fatal(err)
	}
	return r, body
}

func decoded(coding string, body []byte) ([]byte, error) {
	switch coding {
	case "br":
		return io.ReadAll(brotli.NewReader(bytes.NewReader(body)))
	case "gzip":
		r, err := gzip.NewReader(bytes.NewReader(body))
		if err != nil {
			return nil, err
		}
		return io.ReadAll(r)
	}
	return body, nil
}
