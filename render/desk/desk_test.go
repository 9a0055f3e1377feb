package desk

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"benchleaf/render/remark"
	"benchleaf/theme"
)

// built is a builder that is given what it builds.
type built struct {
	mu   sync.Mutex
	next *Built
}

func (b *built) Build(context.Context, []string) (*Built, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.next, nil
}

func page1(title string) []byte { return []byte("<html><h1>" + title + "</h1></html>") }

var small = &Built{
	Files: map[string][]byte{
		"index.html": page1("Finder"), "en/a.html": page1("A &amp; B"), "assets/x.js": []byte("x"), "worker.js": []byte("w"),
		"_desk/desk.css": []byte("the handbook's own"),
	},
	Pages: map[string][]string{"en/index.md": {"index.html"}, "en/a.md": {"en/a.html"}},
	Remarks: remark.List{
		{ID: "some-kind", Severity: remark.Error, Place: remark.Place{File: "en/a.md", Line: 7, Column: 3}, Message: "wrong", Mend: "mend it"},
		{ID: "some-kind", Severity: remark.Advice, Place: remark.Place{File: "handbook.yaml"}, Message: "odd", Mend: "mind it"},
	},
	Stale: map[string]bool{"en/a.html": true},
}

var look = sync.OnceValues(theme.LoadDesk)

// newDesk is a desk that shows a handbook.
func newDesk(t *testing.T, b *Built) *Desk {
	t.Helper()
	look, err := look()
	if err != nil {
		t.Fatal(err)
	}
	d := &Desk{Theme: look, Builder: &built{next: b}, Tell: func(*Built, []string, time.Duration, error) {}}
	d.show(b)
	return d
}

// ask asks a handler as the browser of this machine does; change changes the request.
func ask(h http.Handler, method, target string, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://127.0.0.1:4350"+target, nil)
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

var hosts = []string{"localhost:4350", "127.0.0.1:4350", "[::1]:4350"}

func (d *Desk) testHandler() http.Handler { return d.guard(hosts, d.handler(true)) }

func TestServesTheHandbook(t *testing.T) {
	h := newDesk(t, small).testHandler()
	for target, want := range map[string]string{
		"/": "Finder", "/index.html": "Finder", "/en/a.html": "A &amp; B", "/en/a.html?x=1": "A &amp; B", "/assets/x.js": "x",
	} {
		if w := ask(h, "GET", target, nil); w.Code != 200 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %d %q", target, w.Code, w.Body)
		}
	}
	for _, target := range []string{"/_desk/desk.css", "/_desk/en.js", "/_desk/es.js"} {
		if w := ask(h, "GET", target, nil); w.Code != 200 || strings.Contains(w.Body.String(), "the handbook's own") || w.Body.Len() < 500 {
			t.Errorf("%s: %d %q", target, w.Code, w.Body)
		}
	}
	kind := ask(h, "GET", "/en/a.html", nil).Header().Get("Content-Type")
	if kind != "text/html; charset=utf-8" {
		t.Errorf("a page is %q", kind)
	}
}

// Nothing but the files of the handbook is given, whatever a path says; and no worker,
// which would keep a page that changes.
func TestHostilePaths(t *testing.T) {
	d := newDesk(t, small)
	d.Dir = "."
	h := d.testHandler()
	for _, target := range []string{
		"/../desk.go", "/en/../../desk.go", "/%2e%2e/desk.go", "/..%2fdesk.go", "/en/..%5c..%5cdesk.go", "//desk.go", "/desk.go", "/./desk.go",
		"/en//a.html", "/en/a.html/", "/en/a.html%00.js", "/worker.js", "/_desk/../desk.go", "/_desk/", "/_desk/phone.png", "/_desk/xx.js", "/_desk/code",
	} {
		r := &http.Request{Method: "GET", Host: "127.0.0.1:4350", URL: &url.URL{}, Header: http.Header{}}
		if path, err := url.PathUnescape(target); err == nil {
			r.URL.Path = path
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", target, w.Code)
		}
	}
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS", "TRACE", "FOO"} {
		own := func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:4350") }
		if w := ask(h, method, "/", own); w.Code != http.StatusMethodNotAllowed {
			t.Errorf("%s: %d", method, w.Code)
		}
	}
	w := ask(h, "GET", "/none.html?<script>alert(1)</script>", nil)
	if w.Code != 404 || strings.Contains(w.Body.String(), "alert") || strings.Contains(w.Body.String(), "<script") {
		t.Errorf("a page that is not there: %d %s", w.Code, w.Body)
	}
}

// What a page elsewhere in the browser sends is refused: by another name, from another
// place, into a frame, a script or a picture.
func TestGuard(t *testing.T) {
	h := newDesk(t, small).testHandler()
	type headers map[string]string
	for _, c := range []struct {
		name    string
		method  string
		target  string
		host    string
		headers headers
		want    int
	}{
		{"typed", "GET", "/", "", headers{"Sec-Fetch-Site": "none"}, 200},
		{"by the name", "GET", "/", "localhost:4350", nil, 200},
		{"by the other address", "GET", "/", "[::1]:4350", nil, 200},
		{"a script of the page", "GET", "/assets/x.js", "", headers{"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Dest": "script"}, 200},
		{"a link from elsewhere", "GET", "/en/a.html", "", headers{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},
		{"rebound name", "GET", "/", "evil.example:4350", nil, 421},
		{"rebound name without port", "GET", "/", "evil.example", nil, 421},
		{"no name", "GET", "/", "-", nil, 421},
		{"another port", "GET", "/", "127.0.0.1:80", nil, 421},
		{"a name that ends like ours", "GET", "/", "x.localhost:4350", nil, 421},
		{"script elsewhere", "GET", "/assets/x.js", "", headers{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}, 403},
		{"another port's page", "GET", "/assets/x.js", "", headers{"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 403},
		{"frame elsewhere", "GET", "/", "", headers{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403},
		{"stream elsewhere", "GET", "/_desk/events?page=index.html", "", headers{"Origin": "http://evil.example", "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "cors"}, 403},
		{"stream, old browser elsewhere", "GET", "/_desk/events?page=index.html", "", headers{"Origin": "http://evil.example"}, 403},
		{"stream of a file", "GET", "/_desk/events?page=index.html", "", headers{"Origin": "null"}, 403},
		{"stream of another port", "GET", "/_desk/events?page=index.html", "", headers{"Origin": "http://127.0.0.1:4351"}, 403},
		{"stream over https", "GET", "/_desk/events?page=index.html", "", headers{"Origin": "https://127.0.0.1:4350"}, 403},
		{"form elsewhere", "POST", "/_desk/code", "", headers{"Origin": "http://evil.example"}, 403},
		{"form without a place", "POST", "/_desk/code", "", nil, 403},
	} {
		w := ask(h, c.method, c.target, func(r *http.Request) {
			switch c.host {
			case "":
			case "-":
				r.Host = ""
			default:
				r.Host = c.host
			}
			for name, value := range c.headers {
				r.Header.Set(name, value)
			}
		})
		if w.Code != c.want {
			t.Errorf("%s: %d, want %d", c.name, w.Code, c.want)
		}
		for name := range w.Header() {
			if strings.HasPrefix(name, "Access-Control-") {
				t.Errorf("%s: has %s", c.name, name)
			}
		}
		for name, value := range (headers{"Cross-Origin-Resource-Policy": "same-origin", "X-Frame-Options": "DENY", "X-Content-Type-Options": "nosniff"}) {
			if w.Header().Get(name) != value {
				t.Errorf("%s: %s is %q", c.name, name, w.Header().Get(name))
			}
		}
	}
}

// serve serves a desk and returns when it answers.
func serve(t *testing.T, d *Desk, phone bool) Listeners {
	t.Helper()
	on, err := listen(0)
	if err != nil {
		t.Fatal(err)
	}
	if phone {
		// Another address of the loopback network stands for that of a local one.
		if err := on.AddPhone("127.0.0.2"); err != nil {
			t.Skipf("no second address: %v", err)
		}
	}
	d.Dir = t.TempDir()
	ctx, stop := context.WithCancel(context.Background())
	ready, done := make(chan struct{}), make(chan error)
	go func() { done <- d.Serve(ctx, on, func() { close(ready) }) }()
	<-ready
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	return on
}

// Without -phone no address but the machine's own two is listened on.
func TestListensToThisMachineAlone(t *testing.T) {
	on := serve(t, newDesk(t, small), false)
	for _, l := range on.Own {
		if addr := netip.MustParseAddrPort(l.Addr().String()).Addr(); !addr.IsLoopback() {
			t.Errorf("listens on %s", addr)
		}
	}
	if on.Phone != nil {
		t.Error("listens to phones")
	}
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range addrs {
		ip, _, _ := net.ParseCIDR(a.String())
		if ip == nil || ip.IsLoopback() || ip.To4() == nil {
			continue
		}
		if c, err := net.DialTimeout("tcp", net.JoinHostPort(ip.String(), strconv.Itoa(portOf(on.Own[0]))), 2*time.Second); err == nil {
			c.Close()
			t.Errorf("answers on %s", ip)
		}
	}
}

func TestPortTaken(t *testing.T) {
	on, err := listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer on.Close()
	port := portOf(on.Own[0])
	if _, err := Listen(port); err == nil || !strings.Contains(err.Error(), strconv.Itoa(port)+": the port is taken; choose another one with -port") {
		t.Errorf("got %v", err)
	}
}

// follow opens the stream of a page.
func follow(t *testing.T, address, page string, change func(*http.Request)) func() told {
	t.Helper()
	r, err := http.NewRequest("GET", address+"_desk/events?page="+url.QueryEscape(page), nil)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(r)
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { resp.Body.Close() })
	if resp.StatusCode != 200 || resp.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("%d %s", resp.StatusCode, resp.Header)
	}
	lines := bufio.NewReader(resp.Body)
	return func() told {
		t.Helper()
		for {
			line, err := lines.ReadString('\n')
			if err != nil {
				t.Fatal(err)
			}
			if data, ok := strings.CutPrefix(line, "data: "); ok {
				var got told
				if err := json.Unmarshal([]byte(data), &got); err != nil {
					t.Fatal(err)
				}
				return got
			}
		}
	}
}

func TestStream(t *testing.T) {
	d := newDesk(t, small)
	on := serve(t, d, false)
	next := follow(t, on.Address(), "en/a.html", nil)
	got := next()
	if got.HTML == nil || *got.HTML != string(page1("A &amp; B")) || !got.Stale || got.Phone != nil {
		t.Errorf("at first %+v", got)
	}
	if want := []note{{"error", "en/a.md:7:3", 7, "wrong", "mend it", "some-kind", ""}}; !slices.Equal(got.Here, want) {
		t.Errorf("here %+v", got.Here)
	}
	if want := []note{{"advice", "handbook.yaml", 0, "odd", "mind it", "some-kind", ""}}; !slices.Equal(got.Others, want) || got.Elsewhere != 1 {
		t.Errorf("elsewhere %+v", got.Others)
	}
	d.show(&Built{Files: map[string][]byte{"en/b.html": page1("A &amp; B"), "en/c.html": page1("C")}, Pages: map[string][]string{"en/b.md": {"en/b.html"}, "en/c.md": {"en/c.html"}}})
	if got = next(); got.HTML != nil || got.To == nil || *got.To != (page{"en/b.html", "A & B"}) || len(got.Here)+len(got.Others) > 0 {
		t.Errorf("after a change of its name %+v", got)
	}
	d.show(small)
	if got = next(); got.HTML == nil {
		t.Errorf("after it came back %+v", got)
	}
	d.show(&Built{})
	if got = next(); got.HTML != nil || got.To != nil {
		t.Errorf("after it went %+v", got)
	}
}

// Of many remarks on other files a page is told some, and how many there are.
func TestManyRemarks(t *testing.T) {
	b := &Built{Files: map[string][]byte{"a.html": nil}}
	for range 3 * mostOthers {
		b.Remarks.Add(remark.FileLink, remark.Place{File: "x.yaml"})
	}
	var s *shown
	if got := s.next(b).tell("a.html"); len(got.Others) != mostOthers || got.Elsewhere != 3*mostOthers {
		t.Errorf("%d of %d", len(got.Others), got.Elsewhere)
	}
}

// A head that has no end is not read.
func TestHugeHeaders(t *testing.T) {
	on := serve(t, newDesk(t, small), false)
	r, _ := http.NewRequest("GET", on.Address(), nil)
	r.Header.Set("X-Filler", strings.Repeat("x", 1<<20))
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		return // the connection was closed on it
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("status %d", resp.StatusCode)
	}
}

var codeForm = regexp.MustCompile(`<form method="post" action="/_desk/code">`)

// A phone is let in by the code, once; others are not.
func TestPhone(t *testing.T) {
	d := newDesk(t, small)
	on := serve(t, d, true)
	address := "http://" + on.Phone.Addr().String() + "/"
	client := func() *http.Client {
		return &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	}
	get := func(target string, cookie *http.Cookie) (int, string) {
		t.Helper()
		r, _ := http.NewRequest("GET", address+target, nil)
		if cookie != nil {
			r.AddCookie(cookie)
		}
		resp, err := client().Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		body, _ := io.ReadAll(resp.Body)
		return resp.StatusCode, string(body)
	}
	enter := func(code, origin string) *http.Response {
		t.Helper()
		r, _ := http.NewRequest("POST", address+"_desk/code", strings.NewReader(url.Values{"code": {code}, "to": {"en/a.html"}}.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", origin)
		resp, err := client().Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp
	}
	origin := strings.TrimSuffix(address, "/")

	// Without the code there is the form, and nothing else.
	for target, want := range map[string]int{"": 401, "en/a.html": 401, "none.html": 401, "assets/x.js": 401, "_desk/en.js": 401, "_desk/events?page=index.html": 401, "_desk/phone.png?page=index.html": 401} {
		status, body := get(target, nil)
		if status != want || strings.Contains(body, "Finder") || strings.Contains(body, d.phone.code) {
			t.Errorf("%s without a code: %d %s", target, status, body)
		}
	}
	if _, body := get("en/a.html", nil); !codeForm.MatchString(body) || !strings.Contains(body, `name="to" value="en/a.html"`) {
		t.Errorf("the form is %s", body)
	}
	if status, _ := get("", &http.Cookie{Name: cookie, Value: strings.Repeat("0", 64)}); status != 401 {
		t.Errorf("with a name that nobody has: %d", status)
	}

	// The desk's own page shows the code; it lets one phone in.
	bell := follow(t, on.Address(), "index.html", nil)
	code := bell().Phone.Code
	if resp := enter(code, "http://evil.example"); resp.StatusCode != 403 {
		t.Errorf("the code from elsewhere: %d", resp.StatusCode)
	}
	if resp := enter("12345", origin); resp.StatusCode != 401 || len(resp.Cookies()) > 0 {
		t.Errorf("a wrong code: %d", resp.StatusCode)
	}
	resp := enter(" "+code[:3]+" "+code[3:], origin)
	if resp.StatusCode != 303 || resp.Header.Get("Location") != "/en/a.html" || len(resp.Cookies()) != 1 {
		t.Fatalf("the code: %d %v", resp.StatusCode, resp.Header)
	}
	name := resp.Cookies()[0]
	if !name.HttpOnly || name.SameSite != http.SameSiteStrictMode || name.Path != "/" || len(name.Value) != 64 {
		t.Errorf("cookie %+v", name)
	}
	if status, body := get("", name); status != 200 || !strings.Contains(body, "Finder") {
		t.Errorf("inside: %d %s", status, body)
	}
	if resp := enter(code, origin); resp.StatusCode != 401 {
		t.Errorf("the code once more: %d", resp.StatusCode)
	}
	if again := bell().Phone.Code; again == code {
		t.Error("the desk shows a code that has been used")
	}

	// The phone is told what changes, and no code.
	if told := follow(t, address, "en/a.html", func(r *http.Request) { r.AddCookie(name) })(); told.HTML == nil || told.Phone != nil {
		t.Errorf("the phone is told %+v", told)
	}
	if status, _ := get("_desk/phone.png?page=index.html", name); status != 404 {
		t.Errorf("the phone gets the picture of the card: %d", status)
	}
	// The machine's own address wants no code, and is no name for the other.
	r, _ := http.NewRequest("GET", address, nil)
	r.Host = "127.0.0.1:" + strconv.Itoa(portOf(on.Own[0]))
	if resp, err := client().Do(r); err != nil || resp.StatusCode != 421 {
		t.Errorf("by another name: %v %v", resp, err)
	}
}

// Guessing is stopped: after a few wrong codes none is looked at for a while, and the
// code is another one.
func TestCodeTries(t *testing.T) {
	p := newPhone(&net.TCPAddr{IP: net.IPv4(192, 168, 1, 2), Port: 4350})
	now := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	p.clock = func() time.Time { return now }
	first := p.bell().Code
	if !regexp.MustCompile(`^\d{6}$`).MatchString(first) {
		t.Fatalf("code %q", first)
	}
	for range tries {
		if name, wait := p.try("wrong!"); name != "" || wait {
			t.Fatal("a wrong code", name, wait)
		}
	}
	second := p.bell().Code
	if second == first {
		t.Error("the code stays after so many wrong ones")
	}
	if name, wait := p.try(second); name != "" || !wait {
		t.Error("no pause")
	}
	now = now.Add(pause - time.Second)
	if _, wait := p.try(second); !wait {
		t.Error("the pause is short")
	}
	now = now.Add(time.Second)
	if name, wait := p.try(second); name == "" || wait {
		t.Error("the pause has no end")
	}
	if p.bell().Address != "http://192.168.1.2:4350/" {
		t.Errorf("address %s", p.bell().Address)
	}
}

func TestFirstBuildFails(t *testing.T) {
	d := newDesk(t, small)
	d.Dir = t.TempDir()
	d.Builder = failing{}
	on, err := listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer on.Close()
	if err := d.Serve(context.Background(), on, func() { t.Error("ready") }); err != io.ErrUnexpectedEOF {
		t.Errorf("got %v", err)
	}
}

type failing struct{}

func (failing) Build(context.Context, []string) (*Built, error) { return nil, io.ErrUnexpectedEOF }
