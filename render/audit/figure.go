package audit

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// figure is where a number with a unit stands in a text: 0.5 V, .5 V, -18 °C, 12%, a 12-V lamp.
type figure struct{ from, number, symbol, to int } // number is where that ends, symbol where the unit begins

// figures finds those of a text. What Markdown sets around the number, a blank that does not break and the end of a line may
// stand between it and its unit. All texts of all pages are looked through, so it goes from digit to digit; a test has the
// same as a regular expression.
func figures(text string) (list []figure) {
	for begin := 0; ; {
		digit := begin + beforeDigit(text[begin:])
		if digit == len(text) {
			return list
		}
		end := afterDigits(text, digit)
		f := figure{from: digit}
		fraction := digit > begin && isPoint(text[digit-1]) // a number may begin with its point
		if fraction {
			f.from--
		}
		f.from -= minusBefore(text[begin:f.from])
		found := false
		if fraction {
			found = f.unitAt(text, end)
			if !found {
				f.from = digit
			}
		}
		if !found {
			number := end
			if end+1 < len(text) && isPoint(text[end]) && isDigit(text[end+1]) {
				number = afterDigits(text, end+1)
			}
			found = f.unitAt(text, number)
		}
		if begin = end; found { // else from the point on there may be another: 2.3 V of 1.2.3 V
			list = append(list, f)
			begin = f.to
		}
	}
}

// unitAt tells whether behind the number's end there is a unit, and notes both.
func (f *figure) unitAt(text string, number int) bool {
	i := afterMarks(text, number)
	for _, blank := range blanks {
		if strings.HasPrefix(text[i:], blank) {
			i += len(blank)
			if blank == "\n" {
				i = len(text) - len(strings.TrimLeft(text[i:], " "))
			}
			break
		}
	}
	i = afterMarks(text, i)
	f.number, f.symbol, f.to = number, i, i
	for f.to < len(text) {
		c, size := utf8.DecodeRuneInString(text[f.to:])
		if !unicode.IsLetter(c) && c != '°' && c != '%' && (f.to == i || !strings.ContainsRune(digits+"/·²³", c)) {
			break
		}
		f.to += size
	}
	return f.to > i
}

const digits = "0123456789"

// blanks are what may stand between a number and its unit.
var blanks = []string{" ", "-", "\u00a0", "\u2009", "\u202f", "&nbsp;", "&#160;", "\n"}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isPoint(c byte) bool { return c == '.' || c == ',' }

// beforeDigit is the length of what stands before the first digit of a text, or all of it.
func beforeDigit[T string | []byte](text T) (n int) {
	for n < len(text) && !isDigit(text[n]) {
		n++
	}
	return n
}

func afterDigits(text string, i int) int {
	for i < len(text) && isDigit(text[i]) {
		i++
	}
	return i
}

// afterMarks is what follows on up to three marks of Markdown around a number.
func afterMarks(text string, i int) int {
	for end := i + 3; i < end && i < len(text) && strings.IndexByte("*_`", text[i]) >= 0; {
		i++
	}
	return i
}

// minusBefore is the length of the sign in which a text ends.
func minusBefore(text string) int {
	for _, minus := range []string{"-", "−"} {
		if strings.HasSuffix(text, minus) {
			return len(minus)
		}
	}
	return 0
}

// beforeFigure is a number before another one with the unit of both: 3,500 to 3,700 rpm, 3600 ± 100 rpm. Words between are
// short in every language.
var beforeFigure = regexp.MustCompile(`([-−]?(?:\d+(?:[.,]\d+)?|[.,]\d+))[*_]{0,3}(?:[ \x{a0}]?[±–—/-][ \x{a0}]?|[ \x{a0}]\pL{1,3}[ \x{a0}])[*_]{0,3}$`)

// mostBetween is the most that stands between two numbers with one unit, in bytes: marks, three letters between blanks, marks.
const mostBetween = 3 + 2 + 3*utf8.UTFMax + 2 + 3

// numberBefore finds beforeFigure at the end of a text; nil for none.
func numberBefore(text string) []int {
	from := strings.LastIndexAny(text, digits)
	if from < 0 || len(text)-from-1 > mostBetween {
		return nil
	}
	for from > 0 && (isDigit(text[from-1]) || isPoint(text[from-1])) {
		from--
	}
	from -= minusBefore(text[:from])
	m := beforeFigure.FindStringSubmatchIndex(text[from:])
	for i := range m {
		m[i] += from
	}
	return m
}

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
	for _, m := range figures(text) {
		if m.from > 0 && (isDigit(text[m.from-1]) || isPoint(text[m.from-1])) {
			continue // within a longer number
		}
		number, symbol := text[m.from:m.number], symbolOf(text[m.symbol:m.to])
		line := strings.LastIndexByte(text[:m.from], '\n') + 1
		b := numberBefore(text[line:m.from])
		if b == nil || !f(typed{line + b[0], m.to, text[line+b[2] : line+b[3]], symbol}) {
			f(typed{m.from, m.to, number, symbol})
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
