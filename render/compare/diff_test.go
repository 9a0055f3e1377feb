package compare

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// TestMatch holds matches that are found by hand.
func TestMatch(t *testing.T) {
	for _, c := range []struct{ old, new, common string }{
		{"", "", ""},
		{"a b c", "a b c", "a b c"},
		{"a b c", "", ""},
		{"a b c d", "a c d", "a c d"},
		{"a b c", "x b y", "b"},
		{"a b c d e", "a x c y e", "a c e"},
		{"x a x b x", "x a x c x", "x a x x"}, // what stands several times is held by its ends
	} {
		a, b := strings.Fields(c.old), strings.Fields(c.new)
		var common []string
		for _, p := range match(a, b) {
			common = append(common, a[p.old])
		}
		got := strings.Join(common, " ")
		if got != c.common {
			t.Errorf("%q and %q have %q in common, want %q", c.old, c.new, got, c.common)
		}
	}
}

// TestMatchRandom asks of random lists that a match is one: it rises in both, its elements are the
// same, it is the same the other way, and a list matches itself whole.
func TestMatchRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 5000 {
		list := func() []string {
			l := make([]string, r.IntN(12))
			for i := range l {
				l[i] = string(rune('a' + r.IntN(6)))
			}
			return l
		}
		a, b := list(), list()
		there, back := match(a, b), match(b, a)
		last := pair{-1, -1}
		for i, p := range there {
			if p.old <= last.old || p.new <= last.new || a[p.old] != b[p.new] || i >= len(back) || back[i] != (pair{p.new, p.old}) {
				t.Fatalf("%v and %v: %v, and back %v", a, b, there, back)
			}
			last = p
		}
		if len(back) != len(there) {
			t.Fatalf("%v and %v: %v, and back %v", a, b, there, back)
		}
		if same := match(a, slices.Clone(a)); len(same) != len(a) {
			t.Fatalf("%v matches itself in %v", a, same)
		}
	}
}
