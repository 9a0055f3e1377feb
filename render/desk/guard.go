package desk

import (
	"net/http"
	"net/url"
	"slices"
)

// guard keeps others in the browser out. A page elsewhere can have the browser ask this
// server: by a name of its own that leads here (then Host has that name), from its own
// place (then Origin or Sec-Fetch-Site say so), or in an element that loads a script or
// a picture (the same, and the policy of what is given forbids it). Whoever follows a
// link to a page may; he sees it, and the page that has the link does not.
func (d *Desk) guard(hosts []string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Content-Security-Policy", "frame-ancestors 'none'")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache")
		switch {
		case !slices.Contains(hosts, r.Host):
			http.Error(w, "The desk has another name.", http.StatusMisdirectedRequest)
		case !fromHere(r):
			http.Error(w, "The desk answers its own pages alone.", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// fromHere tells whether a request comes from a page of the desk, or from the reader
// himself.
func fromHere(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		from, err := url.Parse(origin)
		return err == nil && from.Scheme == "http" && from.Host == r.Host && r.Header.Get("Sec-Fetch-Site") != "cross-site"
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		return false // a browser says from where it sends
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	return r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
}
