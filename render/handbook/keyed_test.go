package handbook

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// Pages are found by their key as in a map of lists.
func TestKeyed(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for n := range 40 {
		var pages []*Page
		lists := map[string][]*Page{}
		for range n {
			p := &Page{Key: fmt.Sprint(r.IntN(1 + n/2)), Lang: []string{"en", "es", "ru"}[r.IntN(3)]}
			pages, lists[p.Key] = append(pages, p), append(lists[p.Key], p)
		}
		k := ByKey(pages)
		for i := range n + 1 {
			key := fmt.Sprint(i)
			want := lists[key]
			if got := slices.Collect(k.All(key)); !slices.Equal(got, want) || k.Several(key) != (len(want) > 1) {
				t.Fatalf("of %d pages %d have the key %s, not %d; several: %v", n, len(got), key, len(want), k.Several(key))
			}
			spanish := slices.ContainsFunc(want, func(p *Page) bool { return p.Lang == "es" })
			if k.has(key, "es") != spanish {
				t.Fatalf("of %d pages with the key %s one is in Spanish: %v", len(want), key, spanish)
			}
			for p := range k.All(key) {
				if p != want[0] {
					t.Fatal("the first is not first")
				}
				break
			}
		}
	}
}
