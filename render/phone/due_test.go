package phone

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
)

// TestCheckBy sets the phone's clock: from the day after the one by which a page is looked at again, it says so
// at the foot of the page, and nowhere in a step. The handbook's day holds for pages without one.
func TestCheckBy(t *testing.T) {
	t.Parallel()
	d, err := compile(filepath.Join("testdata", "pump"), "pump-due")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	clock := ""
	for _, c := range []struct {
		page, now string
		says      bool
	}{
		{"en/procedures/no-water.html", "2027-03-01T23:59", false},
		{"en/procedures/no-water.html", "2027-03-02T00:00", true},
		{"index.html", "2027-06-01T23:59", false},
		{"index.html", "2027-06-02T00:00", true},
		{"en/procedures/no-water.html", "2027-03-01T23:59", false},
	} {
		if clock != "" {
			call(b, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: page.ScriptIdentifier(clock)})
		}
		added := call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: fmt.Sprintf("{ const now = new Date(%s).getTime(); Date.now = () => now; }", quoted(c.now)),
		})
		clock = string(added.Identifier)
		b.goLive(d.address(c.page))
		if says := eval[bool](b, `[...document.querySelectorAll(".foot p")].some((p) => p.textContent.includes("that day has passed"))`); says != c.says {
			t.Errorf("%s on %s: says it: %t, want %t", c.page, c.now, says, c.says)
		}
		if eval[bool](b, `document.querySelector("main").textContent.includes("that day has passed")`) {
			t.Errorf("%s: it stands in a step", c.page)
		}
	}
	// The last page lies open over the day, and is looked at again.
	if !eval[bool](b, `(Date.now = () => new Date("2027-03-02T07:00").getTime(), document.dispatchEvent(new Event("visibilitychange")),
		[...document.querySelectorAll(".foot p")].filter((p) => p.textContent.includes("that day has passed")).length === 1)`) {
		t.Error("a page that was open before does not say it")
	}
}
