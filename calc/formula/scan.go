package formula

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"benchleaf/calc/unit"
)

// word is one sign, name or number of a formula.
type word struct {
	kind       wordKind
	text       string
	start, end int
}

type wordKind int

const (
	number wordKind = iota
	name
	sign // an operator, a parenthesis or a comma
)

// signs are those of a formula.
var signs = []string{"<=", ">=", "==", "!=", "&&", "||", "+", "-", "*", "/", "<", ">", "!", "(", ")", ","}

var binaryOperators = []string{"+", "-", "*", "/", "<", "<=", ">", ">=", "==", "!=", "&&", "||"}

// scanner reads the words of one formula.
type scanner struct {
	*compiler
	f     *formula
	words []word
	open  []bracket
	signs int // that stand one behind the other before an operand: - - x
}

// bracket is a parenthesis that is open.
type bracket struct {
	at   int  // in the formula
	call bool // it holds arguments of a function
}

// scan returns the words of a formula if operands and operators alternate in it
// and its parentheses are in pairs. Otherwise it returns nil and adds a problem:
// the first only, since what follows a slip is often its consequence.
func (c *compiler) scan(f *formula) []word {
	s := &scanner{compiler: c, f: f}
	if len(f.text) > maxLength {
		c.problem(f, Limit, 0, len(f.text), fmt.Sprintf("the formula has %d bytes; at most %d can be taken", len(f.text), maxLength), "Move parts of it into values of their own.")
		return nil
	}
	for at := 0; at < len(f.text); {
		if strings.IndexByte(" \t\r\n", f.text[at]) >= 0 {
			at++
			continue
		}
		w, ok := s.next(at)
		if !ok || !s.accept(w) {
			return nil
		}
		at = w.end
	}
	switch {
	case len(s.words) == 0:
		c.problem(f, Syntax, 0, 0, "there is no formula", "Write what is to be computed.")
	case s.wantsOperand():
		last := s.words[len(s.words)-1]
		c.problem(f, Syntax, last.start, last.end, "behind "+quote(last.text)+" something is missing", "Complete the formula, or remove the sign.")
	case len(s.open) > 0:
		at := s.open[len(s.open)-1].at
		c.problem(f, Syntax, at, at+1, "this parenthesis is not closed", "Write the ) that is missing.")
	default:
		return s.words
	}
	return nil
}

func (s *scanner) refuse(start, end int, message, mend string) bool {
	s.problem(s.f, Syntax, start, end, message, mend)
	return false
}

// next reads the word at a place.
func (s *scanner) next(at int) (word, bool) {
	text := s.f.text[at:]
	c := text[0]
	switch {
	case isDigit(c), c == '.' && len(text) > 1 && isDigit(text[1]):
		return s.number(at)
	case isLetter(c) || c == '_':
		end := 1
		for end < len(text) && (isLetter(text[end]) || isDigit(text[end]) || text[end] == '_') {
			end++
		}
		if r, size := utf8.DecodeRuneInString(text[end:]); end < len(text) && r >= utf8.RuneSelf && r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsMark(r)) {
			return word{}, s.letter(at+end, r, size)
		}
		return word{name, text[:end], at, at + end}, true
	}
	longest := ""
	for _, s := range signs {
		if len(s) > len(longest) && strings.HasPrefix(text, s) {
			longest = s
		}
	}
	for _, m := range mistaken {
		if len(m.text) > len(longest) && strings.HasPrefix(text, m.text) {
			if m.text == "=" && len(s.words) == 1 && s.words[0].kind == name {
				return word{}, s.refuse(s.words[0].start, at+1, "the formula stands without its name", "Write what is behind the =.")
			}
			return word{}, s.refuse(at, at+len(m.text), m.message, m.mend)
		}
	}
	if longest != "" {
		return word{sign, longest, at, at + len(longest)}, true
	}
	r, size := utf8.DecodeRuneInString(text)
	switch {
	case r == utf8.RuneError && size == 1:
		return word{}, s.refuse(at, at+1, "the text is not UTF-8 here", "Save the file as UTF-8 in the editor.")
	case unicode.IsLetter(r) || unicode.IsMark(r):
		return word{}, s.letter(at, r, size)
	case !unicode.IsPrint(r):
		return word{}, s.refuse(at, at+size, fmt.Sprintf("a character that cannot be seen (U+%04X) stands in the formula", r), "Remove it.")
	}
	return word{}, s.refuse(at, at+size, quote(string(r))+" is no sign of a formula", "Write numbers, names and + - * / with parentheses.")
}

// letter refuses a letter that is none of a to z.
func (s *scanner) letter(at int, r rune, size int) bool {
	for _, m := range mistaken {
		if m.text == string(r) {
			return s.refuse(at, at+size, m.message, m.mend)
		}
	}
	return s.refuse(at, at+size, fmt.Sprintf("%s (U+%04X) is no letter of a name", quote(string(r)), r), "Write names with a to z, digits and underscores.")
}

// number reads a number in decimal digits.
func (s *scanner) number(at int) (word, bool) {
	text := s.f.text[at:]
	digits := func(i int) int {
		for i < len(text) && isDigit(text[i]) {
			i++
		}
		return i
	}
	whole := digits(0)
	end := whole
	if end < len(text) && text[end] == '.' {
		end = digits(end + 1)
	}
	if end < len(text) && (text[end] == 'e' || text[end] == 'E') {
		i := end + 1
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		if i < len(text) && isDigit(text[i]) {
			end = digits(i)
		}
	}
	written := text[:end]
	tail := end
	for tail < len(text) && (isLetter(text[tail]) || isDigit(text[tail]) || text[tail] == '_' || text[tail] == '.') {
		tail++
	}
	switch {
	case whole == 1 && text[0] == '0' && tail > 1 && strings.IndexByte("xXbBoO", text[1]) >= 0:
		return word{}, s.refuse(at, at+tail, quote(text[:tail])+" is no number in decimal digits", "Write it in decimal digits.")
	case whole > 1 && text[0] == '0' && s.wantsOperand():
		plain := strings.TrimLeft(text[:whole], "0")
		if plain == "" {
			plain = "0"
		}
		return word{}, s.refuse(at, at+end, "a number does not begin with 0 and another digit", "Write "+plain+text[whole:end]+".")
	case tail > end && text[end] == '_':
		return word{}, s.refuse(at, at+tail, "a number has no underscore", "Write "+strings.ReplaceAll(text[:tail], "_", "")+".")
	case tail > end && text[end] == '.':
		return word{}, s.refuse(at, at+tail, quote(text[:tail])+" is no number", "Write one point, before the decimals.")
	case tail == end+1 && text[end] == 'i':
		return word{}, s.refuse(at, at+tail, "a formula has no imaginary numbers", "Write the number without i, or * before the name.")
	}
	return word{number, written, at, at + end}, true
}

// wantsOperand reports whether a number, a name or a parenthesis is to come.
func (s *scanner) wantsOperand() bool {
	if len(s.words) == 0 {
		return true
	}
	last := s.words[len(s.words)-1]
	return last.kind == sign && last.text != ")"
}

// accept adds the next word if it may stand there.
func (s *scanner) accept(w word) bool {
	last := word{kind: sign}
	if len(s.words) > 0 {
		last = s.words[len(s.words)-1]
	}
	if s.wantsOperand() {
		switch {
		case w.kind != sign:
			s.signs = 0
		case w.text == "(":
			s.open = append(s.open, bracket{at: w.start})
		case w.text == "+" || w.text == "-" || w.text == "!":
			s.signs++
		case w.text == ")" && last.text == "(":
			return s.refuse(last.start, w.end, "nothing stands between the parentheses", "Write what belongs there, or remove them.")
		case last.text == "":
			return s.refuse(w.start, w.end, "a formula cannot begin with "+quote(w.text), "Write what stands before it, or remove it.")
		default:
			return s.refuse(w.start, w.end, fmt.Sprintf("between %s and %s something is missing", quote(last.text), quote(w.text)), "Write a number or a name there, or remove a sign.")
		}
	} else {
		switch {
		case w.kind != sign, w.text == "(" && last.kind != name, w.text == "!":
			return s.missingSign(last, w)
		case w.text == "(":
			s.open = append(s.open, bracket{w.start, true})
		case w.text == ")" && len(s.open) == 0:
			return s.refuse(w.start, w.end, "this parenthesis was not opened", "Write the ( that is missing, or remove this one.")
		case w.text == ")":
			s.open = s.open[:len(s.open)-1]
		case w.text == "," && (len(s.open) == 0 || !s.open[len(s.open)-1].call):
			return s.comma(last, w)
		}
	}
	if len(s.open)+s.signs > maxDepth {
		s.problem(s.f, Limit, w.start, w.end, fmt.Sprintf("more than %d parentheses or signs stand one within the other", maxDepth), "Move a part of the formula into a value of its own.")
		return false
	}
	s.words = append(s.words, w)
	return true
}

// missingSign refuses two operands with nothing between them.
func (s *scanner) missingSign(last, w word) bool {
	message := fmt.Sprintf("between %s and %s a sign is missing", quote(last.text), quote(w.text))
	switch {
	case w.kind == name && (w.text == "and" || w.text == "or"):
		return s.refuse(w.start, w.end, quote(w.text)+" is no sign of a formula", "Write "+map[string]string{"and": "&&", "or": "||"}[w.text]+".")
	case last.kind == name && last.text == "not":
		return s.refuse(last.start, last.end, "`not` is no sign of a formula", "Write !.")
	case last.kind == name && functions[last.text].arguments == 1 && s.symbols[last.text] == nil:
		return s.refuse(last.start, w.end, quote(last.text)+" is a function", fmt.Sprintf("Write its argument in parentheses: %s(%s).", last.text, w.text))
	case w.kind == name && w.text == "x" && s.symbols["x"] == nil:
		return s.refuse(w.start, w.end, "`x` is no sign of a formula", "Write * for a product.")
	case last.kind == number && w.kind == number:
		return s.refuse(last.start, w.end, message, fmt.Sprintf("Write %s%s if it is one number, or the sign.", last.text, w.text))
	case last.kind == number && w.kind == name && s.symbols[w.text] == nil && functions[w.text].arguments == 0 && w.text != "pi":
		if _, ok := unit.Lookup(w.text); ok {
			return s.refuse(w.start, w.end, "a unit cannot stand in a formula", fmt.Sprintf("Give %s %s as a constant: its name can stand here.", last.text, w.text))
		}
	}
	return s.refuse(last.start, w.end, message, "Write * for a product.")
}

// comma refuses one that stands between no arguments.
func (s *scanner) comma(last, w word) bool {
	rest := s.f.text[w.end:]
	if last.kind == number && last.end == w.start && rest != "" && isDigit(rest[0]) {
		end := 0
		for end < len(rest) && isDigit(rest[end]) {
			end++
		}
		return s.refuse(last.start, w.end+end, "a number has a decimal point, not a comma", "Write "+last.text+"."+rest[:end]+".")
	}
	return s.refuse(w.start, w.end, "a comma can only stand between the arguments of a function", "Remove it, or write one formula for each value.")
}

func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
func isLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }
