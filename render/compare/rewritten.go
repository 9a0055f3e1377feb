package compare

import (
	"slices"
	"strings"
)

// compareBlocks compares two texts. Between what both have in common, old and new pieces of
// one kind that share half of their words are one that was rewritten.
func compareBlocks(old, new []Block) []BlockChange {
	changes := []BlockChange{}
	at := sections{sectionsOf(old), sectionsOf(new)}
	a, b := at.keys(old, new), at.keys(new, old)
	swapped := slices.Compare(a, b) > 0
	fromA, fromB := 0, 0
	for _, p := range append(match(a, b), pair{len(a), len(b)}) {
		rewritten := map[int]int{} // old places by new ones
		used := map[int]bool{}
		for _, r := range at.rewritten(old[fromA:p.old], new[fromB:p.new], swapped) {
			rewritten[fromB+r.new], used[fromA+r.old] = fromA+r.old, true
		}
		var come []BlockChange
		until := func(was int) { // what is gone stands before what is new
			for ; fromA < was; fromA++ {
				if x := old[fromA]; !used[fromA] {
					changes = append(changes, BlockChange{Removed, x.Kind, x.In, x.Text, "", fromA, fromB})
				}
			}
			changes, come = append(changes, come...), nil
		}
		for ; fromB < p.new; fromB++ {
			x := new[fromB]
			was, ok := rewritten[fromB]
			if !ok {
				come = append(come, BlockChange{Added, x.Kind, x.In, "", x.Text, fromA, fromB})
				continue
			}
			until(was)
			changes = append(changes, BlockChange{Changed, x.Kind, x.In, old[was].Text, x.Text, was, fromB})
			fromA = was + 1
		}
		until(p.old)
		fromA, fromB = p.old+1, p.new+1
	}
	return changes
}

// mostRewritten bounds the pieces between two that are the same, of which all are held
// against all.
const mostRewritten = 100

// sections are the ids under which pieces stand, in each of two texts.
type sections [2]map[string]bool

func sectionsOf(list []Block) map[string]bool {
	found := map[string]bool{}
	for _, b := range list {
		found[b.In] = true
	}
	return found
}

// stays tells whether both texts have a section.
func (s sections) stays(id string) bool { return s[0][id] && s[1][id] }

// keys are the keys of pieces. What stands several times, as a safety message may at each step, is in its
// section another piece than elsewhere.
func (s sections) keys(list, other []Block) []string {
	count := map[string]int{}
	of, there := keys(list), map[string]int{}
	for _, key := range of {
		count[key]++
	}
	for _, key := range keys(other) {
		there[key]++
	}
	for i, key := range of {
		if max(count[key], there[key]) > 1 && s.stays(list[i].In) {
			of[i] = list[i].In + " " + key
		}
	}
	return of
}

// rewritten pairs pieces that were rewritten, in order: none with one of another section, if both texts have both.
func (s sections) rewritten(old, new []Block, swapped bool) []pair {
	if len(old) > mostRewritten || len(new) > mostRewritten {
		return nil
	}
	if swapped {
		pairs := s.rewritten(new, old, false)
		for i, p := range pairs {
			pairs[i] = pair{p.new, p.old}
		}
		return pairs
	}
	// The best sum of likenesses over pairs in order, by dynamic programming.
	best := make([][]float64, len(old)+1)
	for i := range best {
		best[i] = make([]float64, len(new)+1)
	}
	alike := func(i, j int) float64 {
		if old[i].Kind != new[j].Kind || old[i].In != new[j].In && s.stays(old[i].In) && s.stays(new[j].In) {
			return 0
		}
		if s := share(strings.Fields(old[i].Text), strings.Fields(new[j].Text)); s >= 0.5 {
			return s
		}
		return 0
	}
	for i := len(old) - 1; i >= 0; i-- {
		for j := len(new) - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if s := alike(i, j); s > 0 {
				best[i][j] = max(best[i][j], s+best[i+1][j+1])
			}
		}
	}
	var pairs []pair
	for i, j := 0, 0; i < len(old) && j < len(new); {
		switch s := alike(i, j); {
		case s > 0 && best[i][j] == s+best[i+1][j+1]:
			pairs = append(pairs, pair{i, j})
			i, j = i+1, j+1
		case best[i][j] == best[i+1][j]:
			i++
		default:
			j++
		}
	}
	return pairs
}
