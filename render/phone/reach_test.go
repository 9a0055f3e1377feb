package phone

import (
	"regexp"
	"strings"
	"testing"
)

// TestLargeText opens a page of each kind with letters twice as large, on a small phone: nothing sticks out, each
// target keeps its size, and at least half of the screen is left to the sheet (WCAG 2.2, 1.4.4 and 1.4.10).
func TestLargeText(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.size(320, 640)
	pages := append(d.kinds(), "models.html", "labels.html")
	for _, p := range d.procedures() {
		pages = append(pages, p.Path)
	}
	for _, p := range pages {
		b.goLive(d.address(p))
		eval[bool](b, `(document.documentElement.style.fontSize = "200%", true)`)
		for _, fault := range eval[[]string](b, layoutScript) {
			t.Errorf("%s: %s", p, fault)
		}
		if share := eval[float64](b, `(document.querySelector(".bar")?.offsetHeight ?? 0) / innerHeight`); share > 0.5 {
			t.Errorf("%s: the bar takes %.0f %% of the screen", p, 100*share)
		}
		if eval[bool](b, `document.querySelector('[data-do="all"]') !== null`) {
			eval[bool](b, `(document.querySelector('[data-do="all"]').click(), true)`)
			for _, fault := range eval[[]string](b, layoutScript) {
				t.Errorf("%s, all steps: %s", p, fault)
			}
		}
	}
}

// TestNothingLeaves reads every page: what it loads is its own, and the only addresses of other hosts stand in
// links that are marked as such, or are the handbook's own address for paper.
func TestNothingLeaves(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, p := range d.pages {
		for n := range parse(t, d.read(t, p)).Descendants() {
			for _, a := range n.Attr {
				if !outward(a.Val) || a.Key == "xmlns" { // the name of SVG is no place

					continue
				}
				if n.Data != "a" || a.Key != "href" || attribute(n, "class") != "outside" {
					t.Errorf("%s: <%s %s=%q>", p, n.Data, a.Key, a.Val)
				}
			}
			if n.Data == "meta" && attribute(n, "http-equiv") != "" && attribute(n, "http-equiv") != "Content-Security-Policy" {
				t.Errorf("%s: <meta http-equiv=%q>", p, attribute(n, "http-equiv"))
			}
		}
	}
	b := open(t, "")
	for _, p := range d.kinds() {
		b.goLive(d.address(p))
		if cookies := eval[string](b, "document.cookie"); cookies != "" {
			t.Errorf("%s sets %q", p, cookies)
		}
	}
}

var outwardAddress = regexp.MustCompile(`^\s*(?:[a-z][a-z0-9+.-]*:)?//`)

// outward reports whether an attribute is the address of another host.
func outward(value string) bool { return outwardAddress.MatchString(strings.ToLower(value)) }
