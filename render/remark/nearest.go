package remark

import "strings"

// Nearest returns the candidate that name is probably a slip of, or "". A slip
// is at most a third of the name's letters wrong, missing or added; in a short
// name one may be, as long as another letter is right.
func Nearest(name string, candidates []string) string {
	letters := len([]rune(name))
	best, bestDistance := "", min(max(1, letters/3), letters-1)+1
	for _, c := range candidates {
		if d := distance(strings.ToLower(name), strings.ToLower(c), bestDistance); d < bestDistance {
			best, bestDistance = c, d
		}
	}
	return best
}

// distance counts insertions, deletions, substitutions and swaps of neighbours
// (optimal string alignment), giving up at limit.
func distance(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if len(s)-len(t) >= limit || len(t)-len(s) >= limit {
		return limit
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, last[j]+1, last[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
