package search

import (
	"math/bits"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// token is where a word, a number or a quantity of a text stands.
type token struct {
	*numeral // of a number or a quantity; nil of a word
	// joined: the parts of a word with hyphens, which stand before it as well.
	joined     bool
	start, end int // in bytes
}

// numeral is what a number may be.
type numeral struct {
	figures []float64 // as written; one or two
	unit    *measured // of a quantity

	room [2]float64 // where the figures are
}

// named is a token with what it is called.
type named struct {
	token
	word
	other string // the term of the second figure, or ""
}

// word is what a word or a number is.
type word struct {
	term   string // as the index has it
	folded string // "" for a number
	empty  bool   // it names nothing
}

// tokens are those of a text, named. typed is as scan has it.
func (l *language) tokens(text string, typed bool) (list []named) {
	for _, t := range l.scan(nil, text, typed) {
		n := named{token: t}
		if t.numeral == nil {
			n.word = l.wordOf(text[t.start:t.end], t.joined)
		} else {
			n.term = numberTerm(t.figures[0], t.unit)
			if len(t.figures) > 1 {
				n.other = numberTerm(t.figures[1], t.unit)
			}
		}
		list = append(list, n)
	}
	return list
}

// wordOf folds a word of a text, or one with hyphens without these.
func (l *language) wordOf(raw string, joined bool) word {
	if !joined {
		folded := l.fold(raw)
		return word{term: l.termOf(folded), folded: folded, empty: l.empty[folded]}
	}
	folded := ""
	for part := range strings.FieldsFuncSeq(raw, isHyphen) {
		folded += l.fold(part)
	}
	return word{term: l.stem(folded), folded: folded, empty: utf8.RuneCountInString(folded) > longestJoined}
}

// fold takes off case, accents, the apostrophes that the language leaves out, and the article where it is written
// as part of the word.
func (l *language) fold(word string) string {
	switch l.tag {
	case "en":
		word = strings.Map(func(c rune) rune {
			if l.isApostrophe(c) {
				return -1
			}
			return c
		}, word)
	case "ar":
		return withoutArticle(fold(word))
	}
	return fold(word)
}

// articles are the Arabic article by itself and with the particles that are written before it: and, so, with, as, for.
// They are the prefixes that light stemmers take off (L. Larkey, L. Ballesteros and M. Connell, "Light Stemming for Arabic
// Information Retrieval", 2007; the list of memory), where two letters are left at least.
var articles = []string{"ال", "وال", "فال", "بال", "كال", "لل"}

func withoutArticle(word string) string {
	for _, article := range articles {
		if rest, ok := strings.CutPrefix(word, article); ok && utf8.RuneCountInString(rest) >= 2 {
			return rest
		}
	}
	return word
}

// letters that have no decomposition, and what they are searched as.
var letters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "đ", "d", "ł", "l", "ı", "i", "ς", "σ")

// fold takes off case and accents. theme/script/search-text.ts does the same.
func fold(s string) string {
	ascii := true
	for i := range len(s) {
		ascii = ascii && s[i] < 0x80
	}
	if ascii {
		return strings.ToLower(s)
	}
	s = strings.Map(func(c rune) rune {
		if c >= 0x300 && c <= 0x36F || c >= 0x64B && c <= 0x655 { // accents; vowels of Arabic, and the hamza on a letter
			return -1
		}
		return unicode.ToLower(c)
	}, norm.NFKD.String(s))
	return letters.Replace(s)
}

// stem takes off the plural's ending where that is safe: English -s, -es after a
// hiss, -ies; Spanish -s and -es, and the last e of the singular with it, so that
// both meet (voltaje, voltajes; conector, conectores). A word with a digit is a
// name and stays.
func (l *language) stem(w string) string {
	n := utf8.RuneCountInString(w)
	if n < 4 || strings.ContainsAny(w, "0123456789") {
		return w
	}
	end := len(w)
	switch l.tag {
	case "en":
		switch {
		case n > 4 && strings.HasSuffix(w, "ies"):
			return w[:end-3] + "y"
		case hasAnySuffix(w, "ches", "shes", "sses", "xes", "zzes"):
			return w[:end-2]
		case w[end-1] == 's' && !hasAnySuffix(w, "ss", "us", "is"):
			return w[:end-1]
		}
	case "es":
		if w[end-1] == 's' {
			if strings.IndexByte("aeiou", w[end-2]) < 0 {
				return w
			}
			w = w[:end-1]
		}
		if len(w) > 4 && w[len(w)-1] == 'e' {
			return w[:len(w)-1]
		}
	}
	return w
}

func hasAnySuffix(s string, suffixes ...string) bool {
	for _, suffix := range suffixes {
		if strings.HasSuffix(s, suffix) {
			return true
		}
	}
	return false
}

// asciiWord holds the letters and digits of ASCII.
var asciiWord = func() (is [256]bool) {
	for c := range is {
		is[c] = 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
	}
	return is
}()

// asciiLength is how many letters and digits of ASCII stand from an offset of a text on. It looks at eight bytes at once: to
// each is added what carries it into its high bit if it is not less than the first, and more than the last, of a range.
func asciiLength(text string, from int) (n int) {
	const ones, high = 0x0101010101010101, 0x8080808080808080
	for {
		x := eight(text, from+n)
		low := x &^ high
		letters := low | 0x20*ones // small ones
		word := (letters + (0x80-'a')*ones) &^ (letters + (0x7F-'z')*ones)
		word |= (low + (0x80-'0')*ones) &^ (low + (0x7F-'9')*ones)
		if rest := ^(word &^ x) & high; rest != 0 {
			return n + bits.TrailingZeros64(rest)/8
		}
		n += 8
	}
}

// isWord tells whether a character is of a word. Beyond the basic plane there is
// nothing that anybody types here, and the order of texts differs there.
func isWord(c rune) bool {
	return c < utf8.RuneSelf && asciiWord[byte(c)] || c >= utf8.RuneSelf && isWordBeyondASCII(c)
}

func isWordBeyondASCII(c rune) bool {
	return c <= 0xFFFF && (unicode.IsLetter(c) || unicode.IsMark(c) || unicode.IsNumber(c))
}

func isHyphen(c rune) bool { return c == '-' || c == '\u2010' || c == '\u2011' }

// longestJoined bounds the words that are indexed without their hyphens too.
const longestJoined = 24

// scan reads a text, and appends what it finds to a list. typed: somebody types it, may write a unit sloppily, and has
// the parts alone of a word with hyphens.
func (l *language) scan(list []token, text string, typed bool) []token {
	first := len(list) // of words with nothing but a hyphen between them, the last of the list
	join := func() {
		if last := len(list) - 1; last > first && !typed {
			list = append(list, token{joined: true, start: list[first].start, end: list[last].end})
		}
		first = len(list)
	}
	afterWord, hyphen := false, false
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRuneInString(text[i:])
		if figure := '0' <= c && c <= '9' || !afterWord && fraction(text[i:]) > 0; figure && !hyphen {
			if t, ok := l.number(text, i, typed); ok {
				join()
				list = append(list, t)
				first = len(list)
				i = t.end
				afterWord = false
				continue
			}
		}
		if !isWord(c) {
			if hyphen = afterWord && isHyphen(c); !hyphen {
				join()
			}
			afterWord = false
			i += size
			continue
		}
		if !hyphen {
			join()
		}
		end := l.wordEnd(text, i)
		list = append(list, token{start: i, end: end})
		afterWord, hyphen = true, false
		i = end
	}
	join()
	l.shareUnits(text, list)
	return list
}

// wordEnd is where the word ends in which an offset of a text lies.
func (l *language) wordEnd(text string, end int) int {
	for end < len(text) {
		if end += asciiLength(text, end); end == len(text) {
			break
		}
		c, size := utf8.DecodeRuneInString(text[end:])
		if !isWord(c) {
			if !l.isApostrophe(c) {
				break
			}
			if next, _ := utf8.DecodeRuneInString(text[end+size:]); !isWord(next) {
				break
			}
		}
		end += size
	}
	return end
}
