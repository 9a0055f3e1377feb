package audit

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// figure is a number with a unit in a text: 0.5 V, .5 V, -18 °C, 12%, a 12-V lamp. What Markdown sets around the number, a
// blank that does not break and the end of a line may stand between them.
var figure = regexp.MustCompile(`([-−]?(?:\d+(?:[.,]\d+)?|[.,]\d+))[*_` + "`" + `]{0,3}(?:[ \x{a0}\x{2009}\x{202f}-]|&nbsp;|&#160;|\n *)?[*_` + "`" + `]{0,3}([\pL°%][\pL\d°%/·²³]*)`)

// beforeFigure is a number before another one with the unit of both: 3,500 to 3,700 rpm, 3600 ± 100 rpm. Words between are
// short in every language.
var beforeFigure = regexp.MustCompile(`([-−]?(?:\d+(?:[.,]\d+)?|[.,]\d+))[*_]{0,3}(?:[ \x{a0}]?[±–—/-][ \x{a0}]?|[ \x{a0}]\pL{1,3}[ \x{a0}])[*_]{0,3}$`)

// typed is a figure as it stands in a text, or the first of two that have a unit together.
type typed struct {
	from, to       int
	number, symbol string
}

// unitWords are units in words, in the languages of the theme that write with Latin letters. Not among them are those that
// are something else as well: a meter, a degree.
var unitWords = func() map[string]string {
	words := map[string]string{}
	for symbol, list := range map[string]string{
		"V":   "volt volts voltio voltios",
		"mV":  "millivolt millivolts milivoltio milivoltios",
		"kV":  "kilovolt kilovolts kilovoltio kilovoltios",
		"Ω":   "ohm ohms ohmio ohmios",
		"kΩ":  "kilohm kilohms kiloohm kiloohms kiloohmio kiloohmios",
		"A":   "ampere amperes amp amps amperio amperios ampère ampères",
		"mA":  "milliampere milliamperes milliamp milliamps miliamperio miliamperios",
		"W":   "watt watts vatio vatios",
		"kW":  "kilowatt kilowatts kilovatio kilovatios",
		"Hz":  "hertz hercio hercios",
		"µm":  "micrometre micrometres micrometer micrometers micrómetro micrómetros",
		"mm":  "millimetre millimetres millimeter millimeters milímetro milímetros millimètre millimètres",
		"cm":  "centimetre centimetres centimeter centimeters centímetro centímetros centimètre centimètres",
		"in":  "inch inches pulgada pulgadas zoll pouce pouces polegada polegadas",
		"kPa": "kilopascal kilopascals kilopascales",
		"L":   "litre litres liter liters litro litros",
		"mL":  "millilitre millilitres milliliter milliliters mililitro mililitros",
		"g":   "gram grams gramme grammes gramm gramo gramos grama gramas",
		"kg":  "kilogram kilograms kilogramm kilogramo kilogramos kilogramme kilogrammes",
		"s":   "second seconds segundo segundos sekunde sekunden seconde secondes",
		"ms":  "millisecond milliseconds milisegundo milisegundos",
		"min": "minute minutes minuto minutos minuten",
		"h":   "hour hours hora horas stunde stunden heure heures",
		"%":   "percent prozent",
	} {
		for _, word := range strings.Fields(list) {
			words[word] = symbol
		}
	}
	return words
}()

// symbolOf is the symbol of a unit that may be written in words.
func symbolOf(written string) string {
	if symbol, ok := unitWords[strings.ToLower(written)]; ok {
		return symbol
	}
	return written
}

// eachFigure calls f for each number with a unit, behind it or behind the number that follows. Where f has told of two
// together it is not asked about the second.
func eachFigure(text string, f func(typed) (told bool)) {
	for _, m := range figure.FindAllStringSubmatchIndex(text, -1) {
		if m[0] > 0 && strings.ContainsRune("0123456789.,", rune(text[m[0]-1])) {
			continue // within a longer number
		}
		number, symbol := text[m[2]:m[3]], symbolOf(text[m[4]:m[5]])
		start := m[2]
		if c := number[0]; c == '-' && m[0] > 0 && text[m[0]-1] >= '0' && text[m[0]-1] <= '9' {
			start++ // a dash between two
		}
		line := strings.LastIndexByte(text[:start], '\n') + 1
		b := beforeFigure.FindStringSubmatchIndex(text[line:start])
		if b == nil || !f(typed{line + b[0], m[1], text[line+b[2] : line+b[3]], symbol}) {
			f(typed{m[0], m[1], number, symbol})
		}
	}
}

// figuresOf lists the figures of a text.
func figuresOf(text string) (list []typed) {
	eachFigure(text, func(t typed) bool {
		list = append(list, t)
		return false
	})
	return list
}

// value is what a number in a text can mean. Half is of its last figure.
type value struct{ of, half float64 }

// valuesOf lists what a number can mean: before three figures a comma may be a decimal sign, or part thousands.
func valuesOf(number string) (values []value) {
	number = strings.ReplaceAll(number, "−", "-")
	for _, sign := range []string{".", ""} {
		written := strings.ReplaceAll(number, ",", sign)
		if v, err := strconv.ParseFloat(written, 64); err == nil {
			_, decimals, _ := strings.Cut(written, ".")
			values = append(values, value{v, math.Pow10(-len(decimals)) / 2})
		}
		if whole, after, _ := strings.Cut(number, ","); len(after) != 3 || strings.TrimLeft(whole, "-0") == "" {
			break
		}
	}
	return values
}

// roundest is how much of a figure half of its last place may be, for what is typed in another unit to stand for a limit: 0.030 in
// are 0.75 mm, but 1 V is not 1.2 V that somebody has rounded.
const roundest = 0.02

// holds tells whether a number with a unit is a figure of one of a specification's limits. In another unit, which its
// author has converted, it may be rounded.
func holds(s *handbook.Spec, limits []*handbook.Limit, number, symbol string) bool {
	u, ok := unit.Lookup(symbol)
	if !ok || u.Kind != s.Unit.Kind || u.IsGauge() || s.Unit.IsGauge() {
		return false
	}
	values := valuesOf(number)
	is := func(n *handbook.Number) bool {
		return n != nil && slices.ContainsFunc(values, func(v value) bool {
			switch d := math.Abs(u.FromSI(s.Unit.ToSI(n.Value)) - v.of); {
			case d <= 1e-9*math.Abs(v.of):
				return true
			default:
				return u != s.Unit && d <= v.half && v.half <= roundest*math.Abs(v.of)
			}
		})
	}
	return slices.ContainsFunc(limits, func(l *handbook.Limit) bool { return l != nil && (is(l.Nominal) || is(l.Min) || is(l.Max)) })
}
