package phone

import "testing"

// TestShortNames: a language whose name is short, and a search that is called by a short word, are targets for a finger all the same.
func TestShortNames(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	page := func(title string) string { return "---\nsheet: theory\ntitle: " + title + "\n---\n\n.\n" }
	writeTexts(t, dir, map[string]string{
		"handbook.yaml":     "title: {de: Motoren, ar: محركات}\npublisher: Werk\nedition: \"1\"\nlanguages: [de, ar]\ndate: 2026-11-20\n",
		"models.yaml":       "q15: {title: Q15}\nq20: {title: Q20}\n",
		"de/theory/wire.md": page("Der Draht"),
		"ar/theory/wire.md": page("السلك"),
	})
	d, err := compile(dir, "short")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	for _, width := range []int64{320, phoneWidth, 1280} {
		b.size(width, phoneHeight)
		for _, p := range d.pages {
			b.goLive(d.address(p))
			for _, fault := range eval[[]string](b, layoutScript) {
				t.Errorf("%s at %d: %s", p, width, fault)
			}
		}
	}
}
