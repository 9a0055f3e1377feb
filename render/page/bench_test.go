package page

import (
	"strings"
	"testing"
)

// BenchmarkPlainPage renders a page of text, a table and two listings: what most
// pages of a large handbook are.
func BenchmarkPlainPage(b *testing.B) {
	h, r := open(b, map[string]string{
		"handbook.yaml": "{title: Book, publisher: Example Engines, edition: 1, languages: [en]}",
		"en/p.md": "# Page\n\n" + strings.Repeat("A paragraph of *running* text with `code`, a [link](https://example.com/) and **more**.\n\n", 40) +
			strings.Repeat("## Part\n\n| a | b |\n|---|--:|\n| one | 2 |\n\n```go\nfunc main() { println(\"a\", 1) } // end\n```\n\n```none\ntext\n```\n\n", 4),
	})
	p := h.Pages[0]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Page(p); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkProcedure renders a procedure with its reading and its ends.
func BenchmarkProcedure(b *testing.B) {
	h, r := open(b, sourceOf(b, "testdata/procedure.txtar"))
	b.ReportAllocs()
	for b.Loop() {
		for _, p := range h.Pages {
			if p.Procedure == nil {
				continue
			}
			if _, err := r.Page(p); err != nil {
				b.Fatal(err)
			}
		}
	}
}
