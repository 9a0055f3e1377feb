package page

import (
	"regexp"
	"slices"
	"testing"
)

// TestFormulaLanguages: a line of a formula with words has those of the page's language, a figure its decimal sign; in a
// language from right to left each formula among words is an isolate. Without words of the theme the line is English, and says so.
func TestFormulaLanguages(t *testing.T) {
	const page = "# A\n\n```calculator voltage-drop\n```\n"
	pages := renderAll(t, map[string]string{
		"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en, de, ar, nl]\n",
		"en/a.md":       page, "de/a.md": page, "ar/a.md": page, "nl/a.md": page,
	})
	lines := regexp.MustCompile(`<p[^>]*>[^<]*ρ[^<]*</p>`)
	for lang, want := range map[string][]string{
		"en": {"<p>ρ = ρ₂₀ · (1 &#43; α · (T − 20 °C))</p>", "<p>R = n · ρ · L / A · k, k = 1 solid, 1.02 stranded</p>"},
		"de": {"<p>ρ = ρ₂₀ · (1 &#43; α · (T − 20 °C))</p>", "<p>R = n · ρ · L / A · k, k = 1 massiv, 1,02 Litze</p>"},
		"ar": {"<p>ρ = ρ₂₀ · (1 + α · (T − \u206620\u00a0°C\u2069))</p>", "<p dir=\"rtl\">\u2066R = n · ρ · L / A · k\u2069، \u2066k = 1\u2069 مصمت، \u20661.02\u2069 مجدول</p>"},
		"nl": {"<p>ρ = ρ₂₀ · (1 &#43; α · (T − 20 °C))</p>", `<p lang="en" dir="ltr">R = n · ρ · L / A · k, k = 1 solid, 1,02 stranded</p>`},
	} {
		if got := lines.FindAllString(string(pages[lang+"/a.html"].HTML), -1); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", lang, got, want)
		}
	}
}
