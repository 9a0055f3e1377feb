package remark

import (
	"strings"
	"unicode/utf8"

	"benchleaf/calc/typo"
)

// MostNames bounds the names among which a slip is looked for: there may be as many slips.
const MostNames = 2_000

// maxName bounds the names that a slip is looked for in: time grows with the
// square of their length.
const maxName = 60

// Nearest returns the candidate that name is probably a slip of, or "". A slip
// is at most a third of the name's letters wrong, missing or added; in a short
// name one may be, as long as another letter is right.
func Nearest(name string, candidates []string) string {
	letters := []rune(strings.ToLower(name))
	if len(letters) > maxName || len(candidates) > MostNames {
		return ""
	}
	best, bestDistance := "", min(max(1, len(letters)/3), len(letters)-1)+1
	for _, c := range candidates {
		if n := utf8.RuneCountInString(c) - len(letters); n >= bestDistance || -n >= bestDistance {
			continue // each letter more or less is a slip
		}
		if d := typo.Within(letters, []rune(strings.ToLower(c)), bestDistance-1, false); d < bestDistance {
			best, bestDistance = c, d
		}
	}
	return best
}
