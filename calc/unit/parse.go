package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Reason says why a text is no quantity, so that a caller can say it in the
// language of the reader.
type Reason int

const (
	NotANumber  Reason = iota + 1 // Text does not begin with a number
	Ambiguous                     // Text may be a thousand or a fraction: "1.500" where the comma is decimal
	TooLarge                      // the value overflows
	UnknownUnit                   // Text is no unit; Nearest may be meant
	WrongKind                     // Unit measures another kind than Want
	NoSize                        // Text is no size of the wire gauge
)

// Error is the only error of Parse.
type Error struct {
	Reason  Reason
	Text    string // the part at fault, as written
	Nearest string // UnknownUnit: symbol of the nearest unit, or ""
	Unit    Unit   // WrongKind: the unit written
	Want    Unit   // the unit of the field
}

func (e *Error) Error() string {
	switch e.Reason {
	case Ambiguous:
		return fmt.Sprintf("%q may be read in two ways: leave the thousands ungrouped", e.Text)
	case TooLarge:
		return fmt.Sprintf("%q is too large", e.Text)
	case UnknownUnit:
		if e.Nearest != "" {
			return fmt.Sprintf("unknown unit %q; did you mean %q?", e.Text, e.Nearest)
		}
		return fmt.Sprintf("unknown unit %q", e.Text)
	case WrongKind:
		article := "a"
		if strings.ContainsRune("aeiou", rune(e.Want.Kind[0])) {
			article = "an"
		}
		return fmt.Sprintf("%s is a unit of %s; %s %s is wanted, such as %s", e.Unit.Symbol, e.Unit.Kind, article, e.Want.Kind, e.Want.Symbol)
	case NoSize:
		return fmt.Sprintf("%q is no size of the wire gauge, 4/0 to 40", e.Text)
	}
	return fmt.Sprintf("%q is not a number", e.Text)
}

// Parse reads a quantity as a reader writes it, "2.4 A", "70 °F", "16 AWG", in
// the language of the page (a BCP 47 tag; it gives the decimal sign), in the
// figures of Arabic and of Persian too, as a phone's keypad gives them. Without
// a unit the number counts in def, the unit of the field, whose kind the
// quantity must have. In a field for a temperature difference K, °C and °F
// mean differences. It returns the value in SI and the unit that was used;
// every error is an *Error.
func Parse(text string, def Unit, lang string) (si float64, used Unit, err error) {
	decimal := DecimalSign(lang)
	text = strings.TrimSpace(typed.Replace(Western(text, decimal)))
	if number, isSize, bad := readGauge(text, def); isSize {
		gauge, _ := Lookup(gaugeSymbol)
		switch {
		case bad:
			return 0, def, &Error{Reason: NoSize, Text: text, Want: def}
		case def.Kind != Area:
			return 0, def, &Error{Reason: WrongKind, Text: text, Unit: gauge, Want: def}
		}
		return gauge.ToSI(number), gauge, nil
	}
	v, rest, reason := readNumber(text, decimal)
	if reason != 0 {
		return 0, def, &Error{Reason: reason, Text: text, Want: def}
	}
	used = def
	if symbol := whole(strings.TrimSpace(rest), def); symbol != "" {
		var ok bool
		if used, ok = Lookup(symbol); !ok {
			return 0, def, &Error{Reason: UnknownUnit, Text: symbol, Nearest: Nearest(symbol), Want: def}
		}
		if used.Kind == Temperature && def.Kind == TemperatureDifference {
			used, _ = Lookup("Δ" + used.Symbol)
		}
		if used.Kind == def.Kind.nature().bare() || def.Kind == used.Kind.nature().bare() {
			used.Kind = def.Kind // N·cm in a field for a torque or for an energy, and the other way round
		}
		if used.Kind != def.Kind {
			return 0, def, &Error{Reason: WrongKind, Text: symbol, Unit: used, Want: def}
		}
	}
	if used.IsGauge() { // a number, but not written as a size is: 16.0, 1e1, -3
		return 0, def, &Error{Reason: NoSize, Text: text, Want: def}
	}
	si = used.ToSI(v)
	if math.IsInf(si, 0) {
		return 0, def, &Error{Reason: TooLarge, Text: text, Want: def}
	}
	return si, used, nil
}

// whole is a unit as it was written, or that of a resistance with the symbol that a meter leaves out behind a prefix: 9.40k.
func whole(symbol string, def Unit) string {
	if strings.HasSuffix(def.Symbol, "Ω") && (symbol == "k" || symbol == "m" || symbol == "M") {
		return symbol + "Ω"
	}
	return symbol
}

// Western writes figures and marks of Arabic and of Persian, and wide figures, as others have them. decimal is the decimal sign of the
// page's language. The theme's scripts figures.ts, number.ts and search-text.ts do the same.
func Western(text string, decimal byte) string {
	if strings.IndexByte(text, 0xD9) < 0 && strings.IndexByte(text, 0xDB) < 0 && strings.IndexByte(text, 0xD8) < 0 && strings.IndexByte(text, 0xEF) < 0 {
		return text // none of them begins with another byte
	}
	return strings.Map(func(r rune) rune {
		switch {
		case '٠' <= r && r <= '٩', '۰' <= r && r <= '۹', '０' <= r && r <= '９':
			return '0' + r&0xf
		case r == '٫': // the Arabic decimal separator
			return rune(decimal)
		case r == '٬': // what parts thousands
			return ' '
		case r == '،': // a comma
			return ','
		}
		return r
	}, text)
}

// readGauge recognises a size of the wire gauge: marked AWG before or after,
// or as #14, 14 ga or 14 gauge, or a name with a stroke such as "2/0", or any
// size name in a field that is in gauge sizes. bad means that it is marked but
// names no size.
func readGauge(text string, def Unit) (number float64, isSize, bad bool) {
	name, marked := text, false
	if n := len(text) - len(gaugeSymbol); n >= 0 {
		if strings.EqualFold(text[n:], gaugeSymbol) {
			name, marked = strings.TrimSpace(text[:n]), true
		} else if strings.EqualFold(text[:len(gaugeSymbol)], gaugeSymbol) {
			name, marked = strings.TrimSpace(text[len(gaugeSymbol):]), true
		}
	}
	if after, ok := strings.CutPrefix(name, "#"); ok {
		name, marked = strings.TrimSpace(after), true
	}
	for _, word := range []string{"gauge", "ga.", "ga"} {
		before, ok := strings.CutSuffix(strings.ToLower(name), word)
		if before = strings.TrimSpace(before); ok && before != "" && strings.Trim(before, "0123456789/") == "" {
			name, marked = before, true
			break
		}
	}
	number, ok := parseSize(name)
	if marked {
		return number, true, !ok
	}
	return number, ok && (def.IsGauge() || strings.Contains(name, "/")), false
}

// readNumber reads the number that text begins with and returns what follows
// it. decimal is '.' or ','.
//
// Thousands may be grouped by threes, with spaces or with the mark that is not
// the decimal sign. A lone mark of that kind that cannot group a thousand is
// read as a decimal sign too: a phone's keypad has the sign of its owner's
// region, not of the page. One that could group a thousand does so where the
// comma groups; where the point would, Spanish usage has it as a decimal sign
// as well (RAE, Ortografía 2010: both signs are correct), so that the number is
// refused as Ambiguous rather than misread a thousandfold. After a space "1/" is
// no group of digits: it begins a unit such as 1/K.
func readNumber(text string, decimal byte) (v float64, rest string, reason Reason) {
	sign := ""
	for _, s := range []string{"-", "−", "+"} {
		if after, ok := strings.CutPrefix(text, s); ok {
			text = strings.TrimLeft(after, " ")
			if s != "+" {
				sign = "-"
			}
			break
		}
	}
	end := numberLength(text)
	plain, reason := ungroup(text[:end], decimal)
	if reason != 0 {
		return 0, text, reason
	}
	exponent := exponentLength(text[end:])
	v, err := strconv.ParseFloat(sign+plain+text[end:end+exponent], 64)
	if err != nil {
		return 0, text, TooLarge
	}
	return v, text[end+exponent:], 0
}

// numberLength is the length of the digits, marks and spaces that text begins
// with.
func numberLength(text string) int {
	end := 0
	for end < len(text) && (isDigit(text[end]) || text[end] == '.' || text[end] == ',' ||
		text[end] == ' ' && end+1 < len(text) && isDigit(text[end+1]) && !strings.HasPrefix(text[end+1:], "1/")) {
		end++
	}
	return end
}

// ungroup turns digits with marks into digits with at most one point.
func ungroup(s string, decimal byte) (string, Reason) {
	other := byte(',' + '.' - decimal)
	whole, fraction, hasDecimal := strings.Cut(s, string(decimal))
	if !hasDecimal && strings.Count(s, string(other)) == 1 && !strings.Contains(s, " ") {
		lead, tail, _ := strings.Cut(s, string(other))
		switch groups := len(tail) == 3 && len(lead) >= 1 && len(lead) <= 3 && lead[0] != '0'; {
		case !groups:
			whole, fraction = lead, tail
		case decimal == ',':
			return "", Ambiguous
		}
	}
	if whole+fraction == "" || !allDigits(fraction) {
		return "", NotANumber
	}
	mark := " "
	if strings.IndexByte(whole, other) >= 0 {
		mark = string(other)
	}
	for i, group := range strings.Split(whole, mark) {
		if !allDigits(group) || i > 0 && len(group) != 3 {
			return "", NotANumber
		}
	}
	if first, _, grouped := strings.Cut(whole, mark); grouped && (first == "" || len(first) > 3) {
		return "", NotANumber
	}
	return strings.ReplaceAll(whole, mark, "") + "." + fraction, 0
}

// exponentLength is the length of a power of ten such as "e-6" that s begins
// with, or 0.
func exponentLength(s string) int {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0
	}
	n := 1
	if n < len(s) && (s[n] == '-' || s[n] == '+') {
		n++
	}
	digits := n
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	if n == digits {
		return 0
	}
	return n
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func allDigits(s string) bool {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
	}
	return true
}
