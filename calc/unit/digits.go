package unit

import "strings"

// Digits tells how many significant digits a typed number carries, by a rule
// that is short in every language:
//
//  1. Take the first run of digits, points, commas and spaces, where a space
//     belongs to it only before a digit that does not begin "1/", and a point or
//     comma before the first digit belongs to it. The sign, the unit and a power
//     of ten count for nothing.
//  2. Count its digits from the first that is not 0, those at the end included:
//     "2.40 A" has 3, "0.05" has 1, "1,820" has 4, "12000" has 5.
//  3. At least 3 if it is a whole number, one with no digit behind a point or
//     comma: "2", "100" and the size "16 AWG" are counted or nominal, not rounded.
//  4. At least 1 otherwise, as in "0.0"; 0 only where there is no digit.
//
// Whether a mark groups thousands or is the decimal sign does not matter: a
// grouped number has four digits at least.
func Digits(text string) int {
	text = typed.Replace(text)
	start := strings.IndexFunc(text, func(r rune) bool { return '0' <= r && r <= '9' })
	if start < 0 {
		return 0
	}
	number := text[start : start+numberLength(text[start:])]
	fraction := start > 0 && (text[start-1] == '.' || text[start-1] == ',')
	if mark := strings.IndexAny(number, ".,"); mark >= 0 && mark < len(number)-1 {
		fraction = true
	}
	count := 0
	for _, c := range number {
		if '1' <= c && c <= '9' || c == '0' && count > 0 {
			count++
		}
	}
	if fraction {
		return max(1, count)
	}
	return max(3, count)
}

// ResultDigits tells with how many significant digits to print a result: as
// many as the least of its inputs carries by Digits, an input without any left
// out, but never fewer than 3, and never more than most, the digits that the
// calculator itself can answer for. With no inputs it is most.
//
// So 3 is the floor because a result is read against limits, and two digits of
// 1.8 V cannot tell 1.75 from 1.84.
func ResultDigits(inputs []int, most int) int {
	least := most
	for _, digits := range inputs {
		if digits > 0 {
			least = min(least, digits)
		}
	}
	return min(most, max(3, least))
}
