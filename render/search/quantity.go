package search

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"benchleaf/calc/unit"
)

// language is what the texts of a language are read by.
type language struct {
	tag     string // its base
	decimal byte
	units   map[string]*measured // by spelling
	empty   map[string]bool      // words that name nothing
	not     map[string]bool      // words that deny
	longest map[rune]int         // characters of the longest spelling that begins with a character, both as alike has them
}

// measured is a unit with what it measures: a figure v in it is
// (v + offset) * factor - less in the unit of the measure.
type measured struct {
	measure              string
	offset, factor, less float64
	sloppy               bool // a small letter that a text may have as a word
}

func (m *measured) of(v float64) float64 { return (v+m.offset)*m.factor - m.less }

// measures are the kinds of quantity that are searched for, each with the unit
// that its terms count in.
var measures = map[unit.Kind]string{
	unit.Voltage: "V", unit.Current: "A", unit.Resistance: "Ω", unit.Power: "W", unit.Energy: "J", unit.Charge: "A·h",
	unit.Length: "mm", unit.Area: "mm²", unit.Volume: "cc", unit.VolumeFlow: "L/h", unit.Mass: "g", unit.Density: "kg/m³",
	unit.Time: "s", unit.Frequency: "Hz", unit.RotationalFrequency: "rpm", unit.Velocity: "m/s", unit.Angle: "deg",
	unit.Force: "N", unit.Torque: "N·m", unit.Pressure: "kPa", unit.Temperature: "°C", unit.Number: "%",
	unit.ThermalResistance: "K/W", unit.Capacitance: "µF", unit.Inductance: "mH",
}

// spanish are names of units that the table of units has in English alone.
var spanish = map[string]string{
	"voltio": "V", "voltios": "V", "amperio": "A", "amperios": "A", "ohmio": "Ω", "ohmios": "Ω", "vatio": "W", "vatios": "W",
	"segundo": "s", "segundos": "s", "minuto": "min", "minutos": "min", "hora": "h", "horas": "h", "grado": "deg", "grados": "deg",
	"metro": "m", "metros": "m", "litro": "L", "litros": "L", "hercios": "Hz", "bares": "bar",
}

// sloppy are units in a small letter, which somebody types but no text has.
const sloppy = "avwcfl"

// languageOf makes the language of a BCP 47 tag.
func languageOf(tag string) language {
	base, _, _ := strings.Cut(tag, "-")
	l := language{tag: base, decimal: unit.DecimalSign(tag), units: map[string]*measured{}, longest: map[rune]int{}, empty: listed(grammar[base]), not: listed(negations[base])}
	add := func(spelling string, u unit.Unit) {
		symbol, ok := measures[u.Kind]
		if !ok || spelling == "" || u.IsGauge() {
			return // a wire's gauge is searched as its number and a word
		}
		in, _ := unit.Lookup(symbol)
		m := &measured{measure: strings.ToLower(symbol), offset: u.Offset, factor: u.Factor / in.Factor, less: in.Offset}
		m.sloppy = len(spelling) == 1 && strings.Contains(sloppy, spelling)
		l.units[spelling] = m
		first, _ := utf8.DecodeRuneInString(spelling)
		l.longest[first] = max(l.longest[first], utf8.RuneCountInString(spelling))
	}
	for spelling, u := range unit.Spellings() {
		add(spelling, u)
		if plain := strings.NewReplacer("²", "2", "³", "3").Replace(spelling); plain != spelling {
			add(plain, u)
		}
	}
	if base == "es" {
		for spelling, symbol := range spanish {
			u, _ := unit.Lookup(symbol)
			add(spelling, u)
		}
	}
	l.addSmall()
	return l
}

// addSmall adds the spellings in small letters, in which a phone types them, where that is no other unit: nm is a torque. Texts have none of these.
func (l *language) addSmall() {
	small := map[string]*measured{}
	for spelling, m := range l.units {
		lower := strings.ToLower(spelling)
		if utf8.RuneCountInString(lower) == 1 || strings.Contains(lower, "ω") || l.units[lower] != nil {
			continue // the ohm sign is typed as such, if it is
		}
		sloppy := *m
		sloppy.sloppy = true
		if other := small[lower]; other != nil && *other != sloppy {
			sloppy.measure = "" // two units: neither
		}
		small[lower] = &sloppy
	}
	for spelling, m := range small {
		if m.measure == "" {
			continue
		}
		l.units[spelling] = m
		first, _ := utf8.DecodeRuneInString(spelling)
		l.longest[first] = max(l.longest[first], utf8.RuneCountInString(spelling))
	}
}

// blanks may group a number and stand before its unit.
const blanks = " \u00a0\u2009\u202f"

// grouped returns the digits in groups of three, with a blank between, and the fraction that a text
// begins with; "" where it begins otherwise.
func grouped(text string) string {
	end := run(text)
	if end < 1 || end > 3 {
		return ""
	}
	groups := 0
	for {
		c, size := utf8.DecodeRuneInString(text[end:])
		if size == 0 || !strings.ContainsRune(blanks, c) || run(text[end+size:]) < 3 {
			break
		}
		end += size + 3
		groups++
	}
	if groups == 0 {
		return ""
	}
	return text[:end+fraction(text[end:])]
}

// figured returns the digits, with marks between and maybe one before, that a text begins with.
func figured(text string) string {
	end := run(text)
	if end == 0 {
		end = fraction(text) // .030 in
	}
	if end == 0 {
		return ""
	}
	for {
		size := fraction(text[end:])
		if size == 0 {
			return text[:end]
		}
		end += size
	}
}

// run is how many digits a text begins with.
func run(text string) (n int) {
	for n < len(text) && '0' <= text[n] && text[n] <= '9' {
		n++
	}
	return n
}

// fraction is how long a mark with digits behind it is that a text begins with.
func fraction(text string) int {
	if text == "" || text[0] != '.' && text[0] != ',' {
		return 0
	}
	if n := run(text[1:]); n > 0 {
		return 1 + n
	}
	return 0
}

// longestNumber is beyond any number that means something: what is as long is digits with marks between,
// each of which would be asked again with all behind it.
const longestNumber = 100

// number reads the number, with its unit if it has one, that begins at i.
func (l *language) number(text string, i int, typed bool) (token, bool) {
	near := text[i:min(len(text), i+longestNumber)]
	written := grouped(near)
	if rest := near[len(written):]; written == "" || rest != "" && '0' <= rest[0] && rest[0] <= '9' {
		written = figured(near)
	}
	if len(written) == longestNumber {
		return token{}, false
	}
	n := &numeral{}
	if n.figures = l.figures(n.room[:0], written); len(n.figures) == 0 {
		return token{}, false
	}
	t := token{numeral: n, start: i, end: i + len(written)}
	if minus := strings.HasSuffix(text[:i], "-") || strings.HasSuffix(text[:i], "−"); minus {
		before := strings.TrimRight(text[:i], "-−")
		if c, _ := utf8.DecodeLastRuneInString(before); before == "" || !isWord(c) {
			t.start = i - 1
			if strings.HasSuffix(text[:i], "−") {
				t.start = i - len("−")
			}
			for k := range n.figures {
				n.figures[k] = -n.figures[k]
			}
		}
	}
	rest := text[t.end:]
	skip := 0
	if c, size := utf8.DecodeRuneInString(rest); strings.ContainsRune(blanks, c) && rest != "" {
		skip = size
	}
	if u, size := l.unit(rest[skip:], typed); u != nil {
		t.unit = u
		t.end += skip + size
	} else if c, _ := utf8.DecodeRuneInString(rest); rest != "" && isWord(c) {
		return token{}, false // 3rd, 2x
	}
	return t, true
}

// unit finds the longest spelling that text begins with.
func (l *language) unit(text string, typed bool) (*measured, int) {
	first, _ := utf8.DecodeRuneInString(text)
	if first >= utf8.RuneSelf {
		first, _ = utf8.DecodeRuneInString(alike.Replace(string(first)))
	}
	var most *measured
	size, end, ascii := 0, 0, true
	for range l.longest[first] {
		c, n := utf8.DecodeRuneInString(text[end:])
		if n == 0 {
			break
		}
		end += n
		ascii = ascii && c < utf8.RuneSelf
		if next, _ := utf8.DecodeRuneInString(text[end:]); end < len(text) && isWord(next) {
			continue
		}
		spelling := text[:end]
		if !ascii {
			spelling = alike.Replace(spelling)
		}
		if u := l.units[spelling]; u != nil && (!u.sloppy || typed) {
			most, size = u, end
		}
	}
	return most, size
}

// alike puts one character for those that look alike.
var alike = strings.NewReplacer("\u2126", "Ω", "\u00ba", "°", "\u22c5", "·", "\u03bc", "µ", "\u00a0", " ", "\u2009", " ", "\u202f", " ")

// figures appends what a number may be: where a lone mark may group thousands or be
// the decimal sign, and the language does not tell, both.
func (l *language) figures(list []float64, written string) []float64 {
	s := written
	if strings.ContainsAny(s, blanks) {
		for _, blank := range blanks {
			s = strings.ReplaceAll(s, string(blank), "")
		}
	}
	mark := strings.LastIndexAny(s, marks)
	if mark < 0 {
		return append(list, figureOf(s, len(s)))
	}
	whole := s[:mark]
	several := strings.Count(s, s[mark:mark+1]) > 1
	switch canGroup := inThousands(s); {
	case !inThousands(whole), several && !canGroup:
		return list // 1.2.3
	case several:
		return append(list, figureOf(s, len(s)))
	case !canGroup, strings.ContainsAny(whole, marks), s[mark] == l.decimal:
		return append(list, figureOf(s, mark))
	case l.decimal == '.':
		return append(list, figureOf(s, len(s)))
	}
	return append(list, figureOf(s, len(s)), figureOf(s, mark))
}

// marks group the digits of a number, or part its fraction from the rest.
const marks = ".,"

// inThousands tells whether the marks in a number, if there are any, group thousands.
func inThousands(s string) bool {
	at := run(s)
	if at < len(s) && (at > 3 || s[0] == '0') {
		return false
	}
	for ; at < len(s); at += 4 {
		if run(s[at+1:]) != 3 {
			return false
		}
	}
	return true
}

// figureOf is a number whose digits may be grouped by marks, but for the one that parts its fraction from the rest.
func figureOf(s string, mark int) float64 {
	if whole, fraction := s[:mark], s[mark:]; strings.ContainsAny(whole, marks) || fraction != "" && fraction[0] != '.' {
		s = strings.NewReplacer(".", "", ",", "").Replace(whole)
		if fraction != "" {
			s += "." + fraction[1:]
		}
	}
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

// numberTerm is a figure with six digits and what it measures. The small shift
// decides ties, which Go and a browser round differently.
func numberTerm(v float64, u *measured) string {
	measure := ""
	if u != nil {
		v, measure = u.of(v), "~"+u.measure
	}
	v *= 1 + 1e-12
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if a := max(v, -v); a != 0 && (a < 1e-6 || a >= 1e15) {
		v = 0
	}
	return strconv.FormatFloat(v+0, 'f', -1, 64) + measure
}

// writtenTerm is that of a quantity's figure as it is written, of which the term of the number is given: 30 of 30 min.
func writtenTerm(number string) string { return number + "~" }

// shareUnits gives numbers the unit of the one that follows close by: 13.1 to
// 14.6 V, 1,750 ± 50 rpm.
func (l *language) shareUnits(text string, list []token) {
	next := -1
	for i := len(list) - 1; i >= 0; i-- {
		t := &list[i]
		if t.numeral == nil {
			continue
		}
		if t.unit == nil && next >= 0 && list[next].unit != nil {
			if between := text[t.end:list[next].start]; utf8.RuneCountInString(between) <= 5 && !strings.ContainsAny(between, "\n") {
				t.unit = list[next].unit
			}
		}
		next = i
	}
}

// Tag is the base of the index's language.
func (l *Plan) Tag() string { return l.language.tag }

// Empty and Not list the words that name nothing and those that deny.
func (l *Plan) Empty() string { return strings.Join(strings.Fields(grammar[l.language.tag]), " ") }
func (l *Plan) Not() string   { return negations[l.language.tag] }

// Units lists the units that texts are read with, for the script: measure,
// offset, factor, less, spellings with a line between and, where these are sloppy,
// true.
func (l *Plan) Units() [][]any {
	lists := map[measured][]string{}
	for spelling, m := range l.language.units {
		lists[*m] = append(lists[*m], spelling)
	}
	order := slices.SortedFunc(maps.Keys(lists), func(a, b measured) int {
		return cmp.Or(cmp.Compare(a.measure, b.measure), cmp.Compare(a.factor, b.factor), cmp.Compare(a.offset, b.offset), cmp.Compare(strconv.FormatBool(a.sloppy), strconv.FormatBool(b.sloppy)))
	})
	var all [][]any
	for _, m := range order {
		slices.Sort(lists[m])
		entry := []any{m.measure, m.offset, m.factor, m.less, strings.Join(lists[m], "|")}
		if m.sloppy {
			entry = append(entry, true)
		}
		all = append(all, entry)
	}
	return all
}

// rounded is a value with six digits, as in a term.
func rounded(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v*(1+1e-12), 'g', 6, 64), 64)
	return v
}
