package bind

import (
	"fmt"
	"net/url"
	"path"
	"strings"
)

// address is the id, and so the fragment, of a place on a page; of the page
// itself where id is "". A colon parts the two and stands in neither.
func address(page, id string) string {
	segments := strings.Split(page, "/")
	for i, s := range segments {
		segments[i] = escape(s)
	}
	page = strings.Join(segments, "/")
	if id == "" {
		return page
	}
	return page + ":" + escape(id)
}

// inSVG is the id of a part of a picture, which is named by the picture alone. It
// is a name of XML, as long as address.
func inSVG(page, id string) string {
	return strings.NewReplacer("/", "·", ":", "·").Replace(address(page, id))
}

// escape writes a name as a browser's encodeURIComponent does.
func escape(name string) string {
	var b strings.Builder
	for _, c := range []byte(name) {
		if 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-_.!~*'()", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}

// place is what a link on a page leads to.
type place struct{ path, query, id string }

// follow resolves a link of a page. ok is false for one that leads out of the
// handbook.
func follow(page, href string) (to place, ok bool) {
	u, err := url.Parse(href)
	if err != nil || u.IsAbs() || u.Host != "" || strings.HasPrefix(u.Path, "/") {
		return place{}, false
	}
	to = place{page, u.RawQuery, u.Fragment}
	if u.Path != "" {
		to.path = path.Join(path.Dir(page), u.Path)
	}
	return to, true
}
