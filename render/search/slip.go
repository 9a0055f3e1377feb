package search

import (
	"slices"
	"strings"
	"unicode/utf8"

	"benchleaf/calc/typo"
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
		d := typo.Within(letters, []rune(term), fewest, unfinished)
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
