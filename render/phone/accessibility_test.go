package phone

import (
	"os"
	"testing"
)

// TestAccessibility has axe-core look at a page of each kind, in light and
// dark. Tags: WCAG 2.0 to 2.2, levels A and AA, and good practice.
func TestAccessibility(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	axe := axeScript(t)
	b := open(t, "")
	look := func(what string) {
		t.Helper()
		for _, scheme := range []string{"light", "dark"} {
			b.prefer("prefers-color-scheme", scheme)
			b.axe(what + ", " + scheme)
		}
	}
	for _, p := range d.cover(t) {
		b.goTo(d.address(p))
		b.wait(loaded)
		eval[bool](b, axe)
		look(p)
		if b.all() {
			// Cards that are not in sight are not laid out yet, and axe would measure them where they do not lie.
			eval[bool](b, `[...document.querySelectorAll("main > :is(.step, .end)")].every((e) => (e.style.contentVisibility = "visible"))`)
			look(p + ", all steps")
		}
	}
}

// axeScript brings axe-core into a page, by evaluation, since the policy keeps
// strangers' scripts out.
func axeScript(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(npm(t, "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text) + "\n;true"
}

// axe reports what axe-core finds in the page as it stands. In the dark that is about what is another there, colours and
// drawings: each page is looked at in the light, too.
func (b *tab) axe(what string) {
	b.Helper()
	for _, fault := range eval[[]string](b, `axe.run(document, {
		preload: false, resultTypes: ["violations"],
		runOnly: matchMedia("(prefers-color-scheme: dark)").matches
			? {type: "rule", values: ["color-contrast", "link-in-text-block", "image-alt", "role-img-alt", "svg-img-alt"]}
			: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"],
	}).then((r) => r.violations.map((v) => v.id + ": " + v.help + " " + v.nodes.map((n) => n.target + " (" + n.failureSummary + ")").slice(0, 3).join("; ")))`) {
		b.Errorf("%s: %s", what, fault)
	}
}
