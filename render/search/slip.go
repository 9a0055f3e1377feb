package search

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// longestWord is beyond any word that somebody types.
const longestWord = 40

// slips is how many letters of a word may be wrong: none in a short word, where
// another word is as near, one from four letters on, two from eight.
func slips(letters int) int {
	switch {
	case letters < 4, letters > longestWord:
		return 0
	case letters < 8:
		return 1
	}
	return 2
}

// near lists the terms with the fewest slips from a word, and how many these are.
// Where the word may still be being typed, a term may go on after it.
func (ix *Index) near(word string, unfinished bool) (terms []string, fewest int) {
	letters := []rune(word)
	most := slips(len(letters))
	if most == 0 {
		return nil, 0
	}
	fewest = most
	try := func(term string) {
		n := utf8.RuneCountInString(term)
		if n < len(letters)-fewest || !unfinished && n > len(letters)+fewest || strings.ContainsAny(term, "0123456789") {
			return
		}
		d := distance(letters, []rune(term), fewest, unfinished)
		if d > fewest {
			return
		}
		if d < fewest {
			terms, fewest = nil, d
		}
		terms = append(terms, term)
	}
	for _, term := range ix.terms {
		try(term)
	}
	for _, term := range ix.said {
		if !ix.has(term) {
			try(term)
		}
	}
	slices.SortStableFunc(terms, func(a, b string) int { return utf8.RuneCountInString(a) - utf8.RuneCountInString(b) })
	return terms[:min(len(terms), mostWords)], fewest
}

// distance counts wrong, missing and added letters and swaps of neighbours
// (F. Damerau, 1964; each letter is moved once at most), up to most+1. Unfinished:
// from the word to the nearest beginning of the term.
func distance(word, term []rune, most int, unfinished bool) int {
	rows := [3][]int{}
	for i := range rows {
		rows[i] = make([]int, len(term)+1)
	}
	before, last, row := rows[0], rows[1], rows[2]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(word); i++ {
		row[0] = i
		least := i
		for j := 1; j <= len(term); j++ {
			cost := 1
			if word[i-1] == term[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, last[j]+1, last[j-1]+cost)
			if i > 1 && j > 1 && word[i-1] == term[j-2] && word[i-2] == term[j-1] {
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
	return last[len(term)]
}
