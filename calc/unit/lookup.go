package unit

import (
	"maps"
	"strings"
	"unicode/utf8"

	"benchleaf/calc/typo"
)

// typed mends what keyboards and fonts put in place of the right character:
// the ohm sign and the ordinal or ring in place of the degree sign, the dot
// operator, the Greek letter in place of the micro sign, spaces that do not
// break.
var typed = strings.NewReplacer("\u2126", "Ω", "\u00ba", "°", "\u02da", "°", "\u22c5", "·", "\u2206", "Δ", "\u03bc", "µ", "\u00a0", " ", "\u202f", " ", "\u2009", " ")

// Lookup finds a unit by its symbol or by an accepted spelling ("ohm",
// "degC", "mm2", "Nm"), as an SI prefix and a unit ("nF"), or as a product or
// quotient of units ("W/(m·K)", "lbf/in", "kg·m^2"). "K" is a temperature; a
// difference is "ΔK" or "dK", and any degree within a product is one. The empty
// text is the plain number.
func Lookup(symbol string) (Unit, bool) {
	symbol = strings.TrimSpace(typed.Replace(symbol))
	if u, ok := single(symbol); ok {
		return u, true
	}
	return compound(symbol)
}

// Spellings returns the units of the table by their symbols and the spellings
// that are accepted for them.
func Spellings() map[string]Unit { return maps.Clone(bySpelling()) }

// single finds a unit of the table or a prefixed one.
func single(symbol string) (Unit, bool) {
	if u, ok := bySpelling()[symbol]; ok {
		return u, true
	}
	return prefixed(symbol)
}

// Nearest returns the symbol of the unit whose symbol or spelling is nearest
// to what was written, "" when none is near: more than one slip in three
// letters, or two in all. None is near to a known unit with a prefix before it,
// as kpsi, nor to psia or psig: the nearest would be of another size, or have
// another zero.
func Nearest(symbol string) string {
	written := strings.ToLower(strings.TrimSpace(typed.Replace(symbol)))
	length := utf8.RuneCountInString(written)
	if length == 0 || length > 20 {
		return ""
	}
	if above, below, ok := strings.Cut(strings.TrimSpace(symbol), "/"); ok {
		if u, ok := Lookup(above + "/(" + below + ")"); ok {
			return u.Symbol // W/m·K, which may be read in two ways
		}
	}
	nearest, least, another := "", min(2, (length+2)/3)+1, false
	for _, r := range table {
		for _, known := range append([]string{r.Symbol}, r.spellings...) {
			if known == "" {
				continue
			}
			known = strings.ToLower(known)
			another = another || ofAnotherSize(written, known, r.Kind)
			if d := typo.Distance([]rune(written), []rune(known)); d < least && d < length {
				nearest, least = r.Symbol, d
			}
		}
	}
	if another && least > 0 {
		return ""
	}
	return nearest
}

// ofAnotherSize reports whether what was written is a known unit with a prefix
// before it, or a pressure with the letter behind it that tells a gauge pressure
// from an absolute one.
func ofAnotherSize(written, known string, kind Kind) bool {
	if before, ok := strings.CutSuffix(written, known); ok && utf8.RuneCountInString(before) == 1 {
		return strings.Contains("pnµumcdhkg", before)
	}
	behind, ok := strings.CutPrefix(written, known)
	return ok && kind == Pressure && (behind == "a" || behind == "g")
}
