package handbook

import (
	"fmt"
	"strings"
	"testing"
)

// TestAlign: a block is a word, its kind and after a colon its digest; those of a translation have the digest
// that was recorded, if any. "2-3" is the second block here, made from the third there.
func TestAlign(t *testing.T) {
	for _, c := range []struct{ mine, theirs, want string }{
		{"", "", ""},
		{"p:a p:b", "p:a p:b", "1-1 2-2"},
		{"p:a p:b", "p:a p:x", "1-1 2-2"},                    // changed: one of the same kind
		{"p:a p:b", "p:a p:n p:b", "1-1 0-2 2-3"},            // new in the source
		{"p:a p:b p:c", "p:a p:c", "1-1 2-0 3-2"},            // taken out there
		{"p:a list:b", "p:x list:y", "1-1 2-2"},              // all changed
		{"p:a list:b p:c", "p:x p:z", "1-1 2-0 3-2"},         // a list is made from no paragraph
		{"p: p: list:", "p:x list:y p:z", "1-1 2-0 3-2 0-3"}, // nothing recorded: by kind and order alone, two at most
		{"p:a p:b", "p:b p:a", "1-0 2-1 0-2"},                // order counts: one moved is one gone and one new
		{"p:a", "list:x", "1-0 0-1"},
		{"p:a -: p:b", "p:a p:b", "1-1 2-0 3-2"}, // one that the record has as its own
	} {
		blocks := func(s string) (list []piece) {
			for _, word := range strings.Fields(s) {
				kind, digest, _ := strings.Cut(word, ":")
				list = append(list, piece{kind: kind, digest: digest})
			}
			return list
		}
		var got []string
		for _, p := range align(blocks(c.mine), blocks(c.theirs)) {
			got = append(got, fmt.Sprintf("%d-%d", p.mine+1, p.theirs+1))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s, made from %s: %v, want %s", c.mine, c.theirs, got, c.want)
		}
	}
}

// TestAlignSteps: a step is made from the step with its id, wherever blocks of its kind stand.
func TestAlignSteps(t *testing.T) {
	step := func(id string) piece { return piece{kind: "Heading2", step: id} }
	got := align([]piece{step("b"), step("c")}, []piece{step("a"), step("b"), step("c")})
	if fmt.Sprint(got) != "[{-1 0} {0 1} {1 2}]" {
		t.Error(got)
	}
}

// TestAlignLarge: a page that has nothing in common with its source costs no more than a bound.
func TestAlignLarge(t *testing.T) {
	mine, theirs := make([]piece, 3000), make([]piece, 3000)
	for i := range mine {
		mine[i], theirs[i] = piece{kind: "p", digest: fmt.Sprint("m", i)}, piece{kind: "q", digest: fmt.Sprint("t", i)}
	}
	if got := align(mine, theirs); len(got) != 6000 {
		t.Error(len(got))
	}
}
