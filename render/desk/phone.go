package desk

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
)

// A phone comes in over the local network, which others may be in. It is let in by a
// code of six figures that the desk's own page shows: typed once, it is worth nothing
// any more, and the phone has a name of its own from then on, which nobody guesses.

const (
	figures = 6
	// tries is how many codes may be typed wrong, by all together, before a pause. At five
	// a minute a day's guessing finds one of a million codes in 1 of 140 cases, and
	// the desk shows on its page that the code changes.
	tries = 5
	pause = time.Minute
	// cookie names the phone. It ends with the browser's session, or the desk.
	cookie = "benchleaf-desk"
)

// phone is the door for phones.
type phone struct {
	address string // of the handbook, for them
	clock   func() time.Time

	mu    sync.Mutex
	code  string
	wrong int
	since time.Time                  // the first of the wrong ones
	let   map[[sha256.Size]byte]bool // digests of the names of those who are in
}

func newPhone(addr net.Addr) *phone {
	p := &phone{address: "http://" + addr.String() + "/", clock: time.Now, let: map[[sha256.Size]byte]bool{}}
	p.code = draw()
	return p
}

// draw draws a code.
func draw() string {
	n, err := rand.Int(rand.Reader, big.NewInt(1_000_000))
	if err != nil {
		panic(err) // the system has no randomness: nothing is safe
	}
	return fmt.Sprintf("%0*d", figures, n)
}

func (p *phone) bell() *doorbell {
	p.mu.Lock()
	defer p.mu.Unlock()
	return &doorbell{p.address, p.code}
}

// try takes a code. The name is that of the phone that is let in; "" for a wrong code,
// wait where it was not even looked at.
func (p *phone) try(typed string) (name string, wait bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if now := p.clock(); now.Sub(p.since) >= pause {
		p.wrong, p.since = 0, now
	}
	if p.wrong >= tries {
		return "", true
	}
	if subtle.ConstantTimeCompare([]byte(typed), []byte(p.code)) != 1 {
		if p.wrong++; p.wrong == tries {
			p.code = draw()
			p.since = p.clock()
		}
		return "", false
	}
	p.code = draw()
	secret := make([]byte, 32)
	_, _ = rand.Read(secret) // it never fails
	name = hex.EncodeToString(secret)
	p.let[sha256.Sum256([]byte(name))] = true
	return name, false
}

// in tells whether a request comes from a phone that was let in. Names are looked up by
// their digests, which a guess does not come near to.
func (p *phone) in(r *http.Request) bool {
	c, err := r.Cookie(cookie)
	if err != nil {
		return false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.let[sha256.Sum256([]byte(c.Value))]
}

// door lets phones in that were let in before, and asks others for the code.
func (p *phone) door(d *Desk, inside http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		switch {
		case name == own+"code" && r.Method == http.MethodPost:
			p.enter(d, w, r)
		case p.in(r):
			inside.ServeHTTP(w, r)
		case isHTML(pageOf(name)):
			p.ask(d, w, r, http.StatusUnauthorized, "", pageOf(name))
		default:
			http.Error(w, "The code is asked for on a page.", http.StatusUnauthorized)
		}
	})
}

// ask shows the page on which the code is typed.
func (p *phone) ask(d *Desk, w http.ResponseWriter, r *http.Request, status int, slip, to string) {
	words := d.words(r)
	page := deskPage{Words: words, Title: words.Word("desk.ask"), To: to}
	if slip != "" {
		page.Slip = words.Word(slip)
	}
	d.page(w, status, page)
}

func (p *phone) enter(d *Desk, w http.ResponseWriter, r *http.Request) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(5 * time.Second))
	r.Body = http.MaxBytesReader(w, r.Body, 4<<10)
	if err := r.ParseForm(); err != nil {
		http.Error(w, "That is no code.", http.StatusBadRequest)
		return
	}
	to := r.PostForm.Get("to")
	name, wait := p.try(strings.Join(strings.Fields(r.PostForm.Get("code")), ""))
	switch {
	case wait:
		p.ask(d, w, r, http.StatusTooManyRequests, "desk.wait", to)
		return
	case name == "":
		d.show(nil) // the code may have changed
		p.ask(d, w, r, http.StatusUnauthorized, "desk.wrong", to)
		return
	}
	d.show(nil)
	http.SetCookie(w, &http.Cookie{Name: cookie, Value: name, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	if _, ok := d.file(to); !ok {
		to = ""
	}
	http.Redirect(w, r, "/"+to, http.StatusSeeOther)
}
