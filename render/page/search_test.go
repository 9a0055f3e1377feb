package page

import (
	"strings"
	"testing"
)

// TestSearchOfSource: the search of a translation leads to that of its source; where pages are missing, also
// when something is found.
func TestSearchOfSource(t *testing.T) {
	files := map[string]string{
		"handbook.yaml": `{title: Pump, publisher: Example Engines, edition: 1, languages: [en, es, ar]}`,
		"en/a.md":       "# Seal\n",
		"es/a.md":       "# Sello\n",
		"ar/index.md":   "# مضخة\n",
	}
	h, r := open(t, files)
	for lang, want := range map[string]string{
		"en": "",
		"es": `<p class="source" hidden><a class="lone" href="../search.html?q=" hreflang="en">Buscar en las páginas originales (English)</a></p>`,
		"ar": `<p class="source lacks" hidden><a class="lone" href="../search.html?q=" hreflang="en">ابحث في الصفحات الأصلية (` + "\u2068English\u2069" + `)</a></p>`,
	} {
		out, err := r.Search(lang, SearchWords{}, nil)
		if err != nil {
			t.Fatal(err)
		}
		_, got, _ := strings.Cut(string(out.HTML), `<p class="source`)
		if got, _, _ = strings.Cut(got, "</p>"); got != "" {
			got = `<p class="source` + got + "</p>"
		}
		if got != want {
			t.Errorf("%s leads on with %s, want %s", SearchPath(h, lang), got, want)
		}
	}
}
