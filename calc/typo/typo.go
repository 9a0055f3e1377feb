// Package typo says how far one spelling is from another, for "did you mean" and for the search.
//
// In: two texts as letters. Out: a number of slips. It imports nothing of the project.
package typo

import "slices"

// Distance counts the letters to insert, remove or replace, and the neighbours to swap, that turn one
// text into the other; each letter is moved once at most (optimal string alignment, after F. Damerau, 1964).
func Distance(from, to []rune) int { return Within(from, to, len(from)+len(to), false) }

// Within is Distance up to most+1. Unfinished: from the one text to the nearest beginning of the other.
func Within(from, to []rune, most int, unfinished bool) int {
	before, last, row := make([]int, len(to)+1), make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(from); i++ {
		row[0] = i
		least := i
		for j := 1; j <= len(to); j++ {
			cost := 1
			if from[i-1] == to[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, last[j]+1, last[j-1]+cost)
			if i > 1 && j > 1 && from[i-1] == to[j-2] && from[i-2] == to[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
			least = min(least, row[j])
		}
		if least > most+1 { // a swap may save one
			return most + 1
		}
		before, last, row = last, row, before
	}
	if unfinished {
		return slices.Min(last)
	}
	return last[len(to)]
}
