package phone

import (
	"fmt"
	"os"
	"testing"
)

// TestAccessibility has axe-core look at a page of each kind, in light and
// dark. Tags: WCAG 2.0 to 2.2, levels A and AA, and good practice.
func TestAccessibility(t *testing.T) {
	d := compiled(t)
	axe, err := os.ReadFile(npm(t, "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	pages, kinds := []string{"index.html"}, map[string]bool{}
	for _, p := range d.book.Pages {
		// A calculator on a procedure is looked at too.
		if kind := fmt.Sprint(p.Sheet, len(p.Calculators) > 0); !p.Index && !kinds[kind] {
			kinds[kind] = true
			pages = append(pages, p.Path)
		}
	}
	for _, scheme := range []string{"light", "dark"} {
		t.Run(scheme, func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.prefer("prefers-color-scheme", scheme)
			for _, p := range pages {
				b.goLive(d.address(p))
				// By evaluation, since the policy keeps strangers' scripts out.
				eval[bool](b, string(axe)+"\n;true")
				look := func(what string) {
					for _, fault := range eval[[]string](b, `axe.run(document, {
						preload: false, runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"],
					}).then((r) => r.violations.map((v) => v.id + ": " + v.help + " " + v.nodes.map((n) => n.target + " (" + n.failureSummary + ")").slice(0, 3).join("; ")))`) {
						t.Errorf("%s, %s: %s", what, scheme, fault)
					}
				}
				look(p)
				if eval[bool](b, `document.querySelector("[data-do=all]") !== null`) {
					b.tap(`document.querySelector("[data-do=all]")`)
					look(p + ", all steps")
				}
			}
		})
	}
}
