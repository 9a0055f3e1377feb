package search

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// token is a word, a number or a quantity of a text.
type token struct {
	*word
	*numeral // of a number or a quantity; nil of a word
	// joined: the parts of a word with hyphens, which stand before it as well.
	joined     bool
	start, end int // in bytes
}

// word is what a word or a number is, as it stands in a text.
type word struct {
	term   string // as the index has it
	folded string // "" for a number
	empty  bool   // it names nothing
	id     uint32 // the term's number, once a reader asked for it
}

// numeral is what a number may be.
type numeral struct {
	figures []float64 // as written; one or two
	unit    *measured // of a quantity
	other   *word     // of the second figure, or nil
}

// wordOf folds a word of a text, whose hash is given.
func (l *language) wordOf(raw string, hash uint32) *word {
	if w := l.known.find(raw, hash); w != nil {
		return w
	}
	folded := raw
	if l.known != nil {
		folded = strings.Clone(raw) // not a piece of the text, which would be kept
	}
	if l.tag == "en" {
		folded = strings.Map(func(c rune) rune {
			if l.isApostrophe(c) {
				return -1
			}
			return c
		}, folded)
	}
	folded = fold(folded)
	return l.known.add(raw, hash, word{term: l.termOf(folded), folded: folded, empty: l.empty[folded]})
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
		if c >= 0x300 && c <= 0x36F {
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
var asciiWord = func() (is [utf8.RuneSelf]bool) {
	for c := range is {
		is[c] = 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
	}
	return is
}()

// runeAt is the character at an offset of a text, and its length.
func runeAt(text string, i int) (rune, int) {
	if c := text[i]; c < utf8.RuneSelf {
		return rune(c), 1
	}
	return utf8.DecodeRuneInString(text[i:])
}

// isWord tells whether a character is of a word. Beyond the basic plane there is
// nothing that anybody types here, and the order of texts differs there.
func isWord(c rune) bool {
	if c < utf8.RuneSelf {
		return asciiWord[c]
	}
	return c <= 0xFFFF && (unicode.IsLetter(c) || unicode.IsMark(c) || unicode.IsNumber(c))
}

func isHyphen(c rune) bool { return c == '-' || c == '\u2010' || c == '\u2011' }

// longestJoined bounds the words that are indexed without their hyphens too.
const longestJoined = 24

// tokens reads a text, and appends what it finds to a list. typed: somebody types it, may write a unit sloppily, and has
// the parts alone of a word with hyphens.
func (l *language) tokens(list []token, text string, typed bool) []token {
	first := len(list) // of words with nothing but a hyphen between them, the last of the list
	join := func() {
		if chain := list[first:]; len(chain) > 1 && !typed {
			joint := ""
			for i := range chain {
				joint += chain[i].folded
			}
			if utf8.RuneCountInString(joint) <= longestJoined {
				list = append(list, token{word: &word{term: l.stem(joint), folded: joint}, joined: true, start: chain[0].start, end: chain[len(chain)-1].end})
			}
		}
		first = len(list)
	}
	before, hyphen := ' ', false
	for i := 0; i < len(text); {
		c, size := runeAt(text, i)
		if !isWord(c) {
			if hyphen = isHyphen(c) && isWord(before); !hyphen {
				join()
			}
			before = c
			i += size
			continue
		}
		if '0' <= c && c <= '9' && !hyphen {
			if t, ok := l.number(text, i, typed); ok {
				join()
				list = append(list, t)
				first = len(list)
				i = t.end
				before, hyphen = ' ', false
				continue
			}
		}
		end, hash := i, firstHash
		for end < len(text) {
			if c := text[end]; c < utf8.RuneSelf && asciiWord[c] {
				hash = (hash ^ uint32(c)) * hashFactor
				before = rune(c)
				end++
				continue
			}
			c, size := runeAt(text, end)
			if !isWord(c) {
				if !l.isApostrophe(c) {
					break
				}
				if next, _ := utf8.DecodeRuneInString(text[end+size:]); !isWord(next) {
					break
				}
			} else {
				before = c
			}
			hash = (hash ^ uint32(c)) * hashFactor
			end += size
		}
		w := l.wordOf(text[i:end], hash)
		if !hyphen {
			join()
		}
		list = append(list, token{word: w, start: i, end: end})
		hyphen = false
		i = end
	}
	join()
	l.shareUnits(text, list)
	return list
}
