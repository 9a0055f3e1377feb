package compare_test

import (
	"strings"
	"testing"

	"benchleaf/render/compare"
)

// BenchmarkFacts takes and packs the facts of a page of text, links, a table and two listings: what most pages of a large
// handbook are.
func BenchmarkFacts(b *testing.B) {
	h := book(b, "-- handbook.yaml --\n{title: Book, publisher: Example Engines, edition: 1, languages: [en]}\n-- p.md --\n# Page\n\n"+
		strings.Repeat("A paragraph of *running* text with `code`, a [link](#part) and **more**\non two lines.\n\n", 40)+
		strings.Repeat("## Part\n\n- one\n- two\n\n| a | b |\n|---|--:|\n| one | 2 |\n\n```go\nfunc main() { println(\"a\", 1) } // end\n```\n\n", 4))
	b.Run("of", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			compare.Of(h.Pages[0], nil)
		}
	})
	b.Run("pack", func(b *testing.B) {
		b.ReportAllocs()
		facts := compare.Of(h.Pages[0], nil)
		for b.Loop() {
			if _, err := facts.Pack(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
