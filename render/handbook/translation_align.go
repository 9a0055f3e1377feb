package handbook

import "slices"

// pair is a block of a translation and the block of the source that it was made from, by their
// numbers; -1 for none.
type pair struct{ mine, theirs int }

// align finds which block was made from which. Recorded digests and steps say so first; between
// them blocks of one kind belong together in their order.
func align(mine, theirs []piece) (all []pair) {
	m, s := 0, 0
	alone := func(toMine, toTheirs int) {
		for ; m < toMine; m++ {
			all = append(all, pair{m, -1})
		}
		for ; s < toTheirs; s++ {
			all = append(all, pair{-1, s})
		}
	}
	sure := longest(mine, theirs, func(a, b piece) bool {
		return a.digest != "" && a.digest == b.digest || a.step != "" && a.step == b.step
	})
	for _, p := range append(sure, pair{len(mine), len(theirs)}) {
		fromMine, fromTheirs := m, s
		for _, q := range longest(mine[m:p.mine], theirs[s:p.theirs], func(a, b piece) bool { return a.kind == b.kind && a.step == b.step }) {
			alone(fromMine+q.mine, fromTheirs+q.theirs)
			all = append(all, pair{m, s})
			m, s = m+1, s+1
		}
		alone(p.mine, p.theirs)
		if p.mine < len(mine) {
			all = append(all, p)
			m, s = m+1, s+1
		}
	}
	return all
}

// mostCompared bounds the work on a page that has nothing in common with its source.
const mostCompared = 1 << 20

// longest is the longest list of pairs that are the same, in the order of both.
func longest(a, b []piece, same func(a, b piece) bool) (pairs []pair) {
	n := 0
	for n < len(a) && n < len(b) && same(a[n], b[n]) {
		pairs = append(pairs, pair{n, n})
		n++
	}
	a, b = a[n:], b[n:]
	var end []pair
	for k := 1; len(a) > 0 && len(b) > 0 && same(a[len(a)-1], b[len(b)-1]); k++ {
		end = append(end, pair{n + len(a) - 1, n + len(b) - 1})
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	slices.Reverse(end)
	if len(a)*len(b) > mostCompared {
		return append(pairs, end...)
	}
	// most[i][j] is how many pairs a[i:] and b[j:] have.
	most := make([][]int, len(a)+1)
	for i := range most {
		most[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if same(a[i], b[j]) {
				most[i][j] = most[i+1][j+1] + 1
			} else {
				most[i][j] = max(most[i+1][j], most[i][j+1])
			}
		}
	}
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case same(a[i], b[j]):
			pairs = append(pairs, pair{n + i, n + j})
			i, j = i+1, j+1
		case most[i+1][j] >= most[i][j+1]:
			i++
		default:
			j++
		}
	}
	return append(pairs, end...)
}
