package page

import (
	"strings"
	"testing"
)

// A figure that an author types in a page from right to left reads from left to right, with its tolerance, its range and its unit.
func TestFiguresInOrder(t *testing.T) {
	w := &writer{lang: "ar"}
	for text, want := range map[string]string{
		"9.4 ± 0.4 Ω":            "\u20669.4\u00a0±\u00a00.4\u00a0Ω\u2069",
		"9.4±0.4 Ω":              "\u20669.4±0.4\u00a0Ω\u2069",
		"بين 3 – 5 V هنا":        "بين \u20663\u00a0–\u00a05\u00a0V\u2069 هنا",
		"3–5 V":                  "\u20663–5\u00a0V\u2069",
		"الخطوة 3 – ثم":          "الخطوة 3 – ثم",
		"±0.4 Ω":                 "\u2066±0.4\u00a0Ω\u2069",
		"Medlar 200: 9 ± 0.4 mm": "Medlar 200: \u20669\u00a0±\u00a00.4\u00a0mm\u2069",
	} {
		if got := w.figures(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
	if got := (&writer{lang: "en"}).figures("9.4 ± 0.4 Ω"); got != "9.4 ± 0.4 Ω" {
		t.Errorf("in English it becomes %q", got)
	}
}

// A model's name that has no room in the bar of a page from right to left shows its beginning, if it is Latin: each name has its own direction.
func TestModelsInBarHaveTheirDirection(t *testing.T) {
	for lang, want := range map[string]string{"en": `<option value="q150">`, "ar": `<option value="q150" dir="auto">`} {
		page := renderAll(t, map[string]string{
			"handbook.yaml": "title: Pumps\npublisher: Example Engines\nedition: \"1\"\nlanguages: [" + lang + "]\n",
			"models.yaml":   "q150: {title: Quince 150}\n",
			"a.md":          "# A\n",
		})["a.html"]
		if !strings.Contains(string(page.HTML), want) {
			t.Errorf("%s: the page has no %s", lang, want)
		}
	}
}
