// Package typo says how far one spelling is from another, for "did you mean".
//
// In: two texts as letters. Out: a number of slips. It imports nothing of the project.
package typo

// Distance counts the letters to insert, remove or replace, and the neighbours to swap, that turn one
// text into the other; each letter is moved once at most (optimal string alignment).
func Distance(from, to []rune) int {
	before, last, row := make([]int, len(to)+1), make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(from); i++ {
		row[0] = i
		for j := 1; j <= len(to); j++ {
			cost := 1
			if from[i-1] == to[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, last[j]+1, last[j-1]+cost)
			if i > 1 && j > 1 && from[i-1] == to[j-2] && from[i-2] == to[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(to)]
}
