package compare

import (
	"slices"
	"testing"

	"benchleaf/render/handbook"
)

// Where one of two texts is for all languages, there is a line for each language of the other, and no more.
func TestInLanguages(t *testing.T) {
	plain, wire := handbook.Words{"": "Post B"}, handbook.Words{"en": "red", "es": "rojo"}
	for _, c := range []struct {
		words []handbook.Words
		want  []string
	}{
		{[]handbook.Words{plain, wire}, []string{"Post B, red", "es: Post B, rojo"}},
		{[]handbook.Words{plain, nil}, []string{"Post B"}},
		{[]handbook.Words{wire, wire}, []string{"red, red", "es: rojo, rojo"}},
	} {
		got := inLanguages("en", func(lang string) []string { return []string{c.words[0].In(lang), c.words[1].In(lang)} }, c.words...)
		if !slices.Equal(got, c.want) {
			t.Errorf("%v: %q, want %q", c.words, got, c.want)
		}
	}
}
