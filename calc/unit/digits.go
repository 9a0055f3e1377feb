package unit

import (
	"math"
	"strconv"
	"strings"
)

// LastPlace is the worth of the last digit of the number that text begins with,
// in a language (a BCP 47 tag): 0.01 for "2.40 A". It is 0 for a whole number,
// which is counted or nominal, not rounded ("16 AWG", "1,820", "100"), and where
// there is no number.
func LastPlace(text, lang string) float64 {
	text = strings.TrimLeft(typed.Replace(text), " +-−")
	end := numberLength(text)
	plain, reason := ungroup(text[:end], DecimalSign(lang))
	_, fraction, _ := strings.Cut(plain, ".")
	if reason != 0 || fraction == "" {
		return 0
	}
	power, _ := strconv.Atoi(strings.TrimLeft(text[end:end+exponentLength(text[end:])], "eE"))
	place, _ := strconv.ParseFloat("1e"+strconv.Itoa(power-len(fraction)), 64)
	return place
}

// ResultDigits tells with how many significant digits to print a result: down to
// the place that its inputs leave certain, but never fewer than 2 nor more than
// most, the digits that the calculator itself can answer for. spread is how far
// the result moves when the inputs move by half their last places, their parts
// combined as the root of the sum of squares, in the unit of v; 0 for inputs
// that are all whole numbers.
//
// The place is that of the first digit of twice the spread: an input of 12.6 V
// alone gives 12.6 V again.
func ResultDigits(v, spread float64, most int) int {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) || !(spread > 0) {
		return most
	}
	// What binary fractions cost must not cost a digit.
	place := decimalExponent(2 * spread * (1 + 1e-9))
	return min(most, max(2, decimalExponent(v)-place+1))
}

// decimalExponent is the exponent of the first digit of v: the shortest text in
// scientific notation has it, in every language alike. That of an infinity is
// above all others.
func decimalExponent(v float64) int {
	_, exponent, ok := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	if !ok {
		return 400
	}
	n, _ := strconv.Atoi(exponent)
	return n
}
