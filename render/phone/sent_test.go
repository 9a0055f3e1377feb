package phone

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	pages "github.com/chromedp/cdproto/page"

	"benchleaf/render/handbook"
)

const (
	sentBudget   = 14000 // all that a host sends for the finder
	scriptBudget = 30000 // all scripts that it sends for a page
)

// late are the scripts that come when a page can be used already.
var late = []string{"edition", "plot", "check", "picture", "due", "job", "bar", "held"}

// TestSent counts what a host sends for a page, whatever asks for it: what scripts load,
// the styles for paper, and what tells the phone of an app. Files that an installed handbook
// brings are not counted, so the page believes that it cannot keep one; nor is the index of
// the search, which grows with the handbook. The largest thing that the first screen of a phone
// shows stands in the page itself: a file beside it is one answer later.
func TestSent(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "")
	b := open(t, h.address)
	call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{
		Source: `Object.defineProperty(window, "isSecureContext", {value: false});` + largestScript,
	})
	t.Logf("%-40s %7s %7s %7s, of the last %v", "gzip -9, bytes", "all", "script", "late", late)
	drawings := 0
	for _, p := range d.looked(t) {
		call(b, network.ClearBrowserCache, cdp.Empty{})
		call(b, pages.Navigate, pages.NavigateParams{URL: "about:blank"}) // the page before asks for pictures late
		h.asked()
		b.goLive(h.address + p)
		// The script of what is kept comes after all that the page loads.
		b.wait(`document.querySelector(".held p") && [...document.scripts].every((s) => !s.src || performance.getEntriesByName(s.src).length)`)
		seen, _ := h.asked()
		all, script, of := 0, 0, map[string]int{}
		if path.Base(p) == handbook.JobsFile { // its script stands in it
			script = gzipped([]byte(strings.Join(ownScripts(parse(t, d.read(t, p))), "")))
		}
		for _, name := range slices.Sorted(maps.Keys(seen)) {
			if name == probe {
				continue
			}
			size := gzipped(d.read(t, name))
			all += size
			if path.Ext(name) != ".js" || strings.HasPrefix(name, "assets/search/") {
				continue
			}
			script += size
			stem, _, _ := strings.Cut(strings.TrimSuffix(path.Base(name), ".js"), "-")
			if slices.Contains(late, stem) {
				of[stem] = size
			}
		}
		sum, list := 0, ""
		for _, stem := range late {
			sum += of[stem]
			list += fmt.Sprintf(" %5d", of[stem])
		}
		t.Logf("%-40s %7d %7d %7d %s", p, all, script, sum, list)
		if strings.HasSuffix("/"+p, "/index.html") && all > sentBudget {
			t.Errorf("for %s a host sends %d bytes, at most %d", p, all, sentBudget)
		}
		if script > scriptBudget {
			t.Errorf("%s loads %d bytes of script, at most %d", p, script, scriptBudget)
		}
		switch largest := b.largest(); {
		case strings.HasPrefix(largest, "data:image/svg+xml,"):
			drawings++
		case largest != "":
			t.Errorf("%s waits for %s", p, largest)
		}
	}
	if drawings == 0 {
		t.Error("no page begins with a drawing")
	}
}
