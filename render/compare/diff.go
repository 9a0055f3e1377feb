package compare

import (
	"cmp"
	"slices"
)

// pair is an element of two lists that is the same in both: its places.
type pair struct{ old, new int }

// match finds what two lists have in common, in order, by patience diff: what begins and
// ends both alike, then the longest run of elements that stand once in each, then the same
// between those. It takes n log n, finds moved text only once, and is at its best where, as
// in prose, hardly anything stands twice.
func match(a, b []string) []pair {
	if slices.Compare(a, b) > 0 { // of several matches that are as long, the same one both ways
		pairs := match(b, a)
		for i, p := range pairs {
			pairs[i] = pair{p.new, p.old}
		}
		return pairs
	}
	return matchBetween(nil, a, b, 0, 0)
}

func matchBetween(found []pair, a, b []string, atA, atB int) []pair {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		found = append(found, pair{atA, atB})
		a, b, atA, atB = a[1:], b[1:], atA+1, atB+1
	}
	var tail []pair
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
		tail = append(tail, pair{atA + len(a), atB + len(b)})
	}
	fromA, fromB := 0, 0
	if anchors := longest(once(a, b)); len(anchors) > 0 {
		for _, p := range append(anchors, pair{len(a), len(b)}) {
			found = matchBetween(found, a[fromA:p.old], b[fromB:p.new], atA+fromA, atB+fromB)
			if p.old < len(a) {
				found = append(found, pair{atA + p.old, atB + p.new})
			}
			fromA, fromB = p.old+1, p.new+1
		}
	}
	slices.Reverse(tail)
	return append(found, tail...)
}

// once lists what stands once in each of two lists, in the order of the first.
func once(a, b []string) (pairs []pair) {
	type places struct{ a, b, at int }
	seen := map[string]places{}
	for _, s := range a {
		p := seen[s]
		p.a++
		seen[s] = p
	}
	for i, s := range b {
		p := seen[s]
		p.b, p.at = p.b+1, i
		seen[s] = p
	}
	for i, s := range a {
		if p := seen[s]; p.a == 1 && p.b == 1 {
			pairs = append(pairs, pair{i, p.at})
		}
	}
	return pairs
}

// longest is the longest run of pairs that rises in both lists (patience sorting); they
// rise in the first.
func longest(pairs []pair) []pair {
	var piles []int // the last pair of each pile
	before := make([]int, len(pairs))
	for i, p := range pairs {
		at, _ := slices.BinarySearchFunc(piles, p.new, func(top, at int) int { return cmp.Compare(pairs[top].new, at) })
		before[i] = -1
		if at > 0 {
			before[i] = piles[at-1]
		}
		if at == len(piles) {
			piles = append(piles, i)
		} else {
			piles[at] = i
		}
	}
	if piles == nil {
		return nil
	}
	var run []pair
	for i := piles[len(piles)-1]; i >= 0; i = before[i] {
		run = append(run, pairs[i])
	}
	slices.Reverse(run)
	return run
}
