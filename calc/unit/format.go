package unit

import (
	"math"
	"strconv"
	"strings"
)

// Format prints v with a number of significant digits, 1 to 17, trailing zeros
// kept: 0.12 with three digits is "0.120". It is the text that a browser gives
// for the same value, by this algorithm, which is short in both languages:
//
//  1. A NaN is "–", an infinity "∞" or "-∞".
//  2. Otherwise take v.toPrecision(digits) of ECMAScript (ECMA-262,
//     Number.prototype.toPrecision): round the exact binary value to so many
//     digits, halves away from zero, zero without a sign; plain notation while
//     the decimal exponent e of the rounded value is -6 <= e < digits, else
//     "d.ddde+X" or "d.ddde-X".
//  3. If that text holds "e+" and |v| < 1e9, the value is whole and the digits
//     that it lacks are zeros: print it plainly, String(Number(text)).
//
// So 1e-6 <= |v| < 1e9 never shows an exponent. Digits outside 1 to 17 count
// as the nearer end.
func Format(v float64, digits int) string {
	if s, ok := notFinite(v); ok {
		return s
	}
	digits = max(1, min(17, digits))
	if v == 0 {
		return point("0"+strings.Repeat("0", digits-1), 0)
	}
	rounded, exponent := roundDigits(math.Abs(v), digits)
	sign := ""
	if v < 0 {
		sign = "-"
	}
	switch {
	case exponent < -6 || exponent >= digits && math.Abs(v) >= 1e9:
		mark := "e+"
		if exponent < 0 {
			mark = "e-"
		}
		return sign + point(rounded, 0) + mark + strconv.Itoa(max(exponent, -exponent))
	case exponent >= digits:
		return sign + rounded + strings.Repeat("0", exponent-digits+1)
	case exponent < 0:
		return sign + "0." + strings.Repeat("0", -exponent-1) + rounded
	}
	return sign + point(rounded, exponent)
}

// FormatIn is Format with the decimal sign of a language (a BCP 47 tag), and the minus sign that texts have.
// Thousands are not grouped: what is printed can be typed in again.
func FormatIn(v float64, digits int, lang string) string {
	text := strings.Replace(Format(v, digits), ".", string(DecimalSign(lang)), 1)
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		return "−" + rest
	}
	return text
}

// roundDigits returns the first digits of a > 0, rounded half up on its exact
// decimal expansion, and the decimal exponent of the first of them. strconv
// rounds halves to even and ECMAScript does not, so the rounding is done here
// on the exact digits: no float64 has more than 767 of them.
func roundDigits(a float64, digits int) (rounded string, exponent int) {
	mantissa, exp, _ := strings.Cut(strconv.FormatFloat(a, 'e', 766, 64), "e")
	exponent, _ = strconv.Atoi(exp)
	all := []byte(strings.Replace(mantissa, ".", "", 1))
	kept := all[:digits]
	if all[digits] < '5' {
		return string(kept), exponent
	}
	for i := digits - 1; i >= 0; i-- {
		if kept[i] != '9' {
			kept[i]++
			return string(kept), exponent
		}
		kept[i] = '0'
	}
	kept[0] = '1'
	return string(kept), exponent + 1
}

// point sets the decimal point after the digit at place, none after the last.
func point(digits string, place int) string {
	if place == len(digits)-1 {
		return digits
	}
	return digits[:place+1] + "." + digits[place+1:]
}

func notFinite(v float64) (string, bool) {
	switch {
	case math.IsNaN(v):
		return "–", true
	case math.IsInf(v, 1):
		return "∞", true
	case math.IsInf(v, -1):
		return "-∞", true
	}
	return "", false
}

// pointRegions are the Spanish-speaking regions whose decimal sign is the
// point, and the others that leave their language's comma. Source: Unicode
// CLDR, numbers/symbols/decimal.
var pointRegions = map[string]bool{
	"es-419": true, "es-DO": true, "es-GT": true, "es-HN": true, "es-MX": true, "es-NI": true, "es-PA": true,
	"es-PE": true, "es-PR": true, "es-SV": true, "es-US": true, "de-CH": true, "de-LI": true, "it-CH": true,
}

// commaLanguages are the languages whose decimal sign is the comma. Source:
// Unicode CLDR, numbers/symbols/decimal.
var commaLanguages = map[string]bool{
	"bg": true, "ca": true, "cs": true, "da": true, "de": true, "el": true, "es": true, "et": true, "eu": true,
	"fi": true, "fr": true, "gl": true, "hr": true, "hu": true, "id": true, "is": true, "it": true, "lt": true,
	"lv": true, "nb": true, "nl": true, "nn": true, "pl": true, "pt": true, "ro": true, "ru": true,
	"sk": true, "sl": true, "sr": true, "sv": true, "tr": true, "uk": true, "vi": true,
}

// DecimalSign returns the decimal sign of a language, ',' or '.'; the point
// for a language that it does not know.
func DecimalSign(lang string) byte {
	base, _, _ := strings.Cut(lang, "-")
	if commaLanguages[base] && !pointRegions[lang] {
		return ','
	}
	return '.'
}
