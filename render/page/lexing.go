package page

import (
	"strings"
	"unicode/utf8"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"
	"github.com/dlclark/regexp2/v2"
	"github.com/dlclark/regexp2/v2/syntax"
)

// swift is a lexer that goes through a text as its own would, and tries at each character only those
// of its rules that can begin with it: of twenty often none but the one that matches.
type swift struct {
	*chroma.RegexLexer
	rules chroma.CompiledRules
	apt   map[string]*apt // by state
}

// apt are for each character of ASCII the numbers of the rules that can begin with it, within a line and where one begins.
// The last are for every other character.
type apt [utf8.RuneSelf + 1][2][]int

// first tells of a rule with what it can begin.
type first struct {
	ascii *[utf8.RuneSelf]bool // with which characters of ASCII; nil where that is not known
	line  bool                 // where a line begins, and nowhere else
}

// hasten returns a lexer that makes the same of a text, in less time where that can be.
func hasten(l chroma.Lexer) chroma.Lexer {
	r, ok := l.(*chroma.RegexLexer)
	if !ok {
		return l
	}
	raw, err := r.Rules()
	if err != nil {
		return l
	}
	s := &swift{r, chroma.CompiledRules{}, map[string]*apt{}}
	firsts := map[*chroma.CompiledRule]first{}
	for state, list := range raw {
		s.rules[state] = nil
		for _, rule := range list {
			c := &chroma.CompiledRule{Rule: rule}
			if c.Regexp, firsts[c], err = compileRule(r.Config(), rule.Pattern); err != nil {
				return l
			}
			s.rules[state] = append(s.rules[state], c)
		}
	}
	for again := true; again; {
		if again, err = s.include(); err != nil {
			return l
		}
	}
	for state, list := range s.rules {
		a := &apt{}
		for c := range a {
			for i, rule := range list {
				f := firsts[rule]
				if c < utf8.RuneSelf && f.ascii != nil && !f.ascii[c] {
					continue
				}
				if !f.line {
					a[c][0] = append(a[c][0], i)
				}
				a[c][1] = append(a[c][1], i)
			}
		}
		s.apt[state] = a
	}
	return s
}

// include puts in the place of a rule that names other states the rules of these. It tells
// whether there was one.
func (s *swift) include() (again bool, err error) {
	for state, list := range s.rules {
		for i, rule := range list {
			if m, ok := rule.Mutator.(chroma.LexerMutator); ok {
				return true, m.MutateLexer(s.rules, state, i)
			}
		}
	}
	return false, nil
}

// bounded puts a bound to the words before a bracket that make a method of Java and Groovy. Without it each word of a
// listing without brackets is looked at again from every word before it; ten are more than a method has.
var bounded = strings.NewReplacer(`[\w.\[\]$<>?]*\s+)+?`, `[\w.\[\]$<>?]*\s+){1,10}?`, `[\w.\[\]]*\s+)+?`, `[\w.\[\]]*\s+){1,10}?`)

// compileRule compiles a rule's pattern, which is held against a text from where the lexer is.
func compileRule(c *chroma.Config, pattern string) (compiled *regexp2.Regexp, f first, err error) {
	flags := ""
	if !c.NotMultiline {
		flags += "m"
	}
	if c.CaseInsensitive {
		flags += "i"
	}
	if c.DotAll {
		flags += "s"
	}
	pattern = "(?:" + pattern + ")"
	if flags != "" {
		pattern = "(?" + flags + ")" + pattern
	}
	tree, err := syntax.Parse(pattern, syntax.ParseOptions{})
	if err != nil {
		return nil, f, err
	}
	code, err := syntax.Write(tree)
	if err != nil {
		return nil, f, err
	}
	f.line = code.Anchors&syntax.AnchorBol != 0
	if code.FcPrefix != nil && !c.CaseInsensitive && !code.FcPrefix.CaseInsensitive {
		f.ascii = new([utf8.RuneSelf]bool)
		for i := range f.ascii {
			f.ascii[i] = code.FcPrefix.PrefixSet.CharIn(rune(i))
		}
	}
	compiled, err = regexp2.Compile(`\G` + pattern)
	return compiled, f, err
}

// Tokenise implements chroma.Lexer.
func (s *swift) Tokenise(options *chroma.TokeniseOptions, text string) (chroma.Iterator, error) {
	if options != nil {
		return s.RegexLexer.Tokenise(options, text)
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	added := s.Config().EnsureNL && !strings.HasSuffix(text, "\n")
	if added {
		text += "\n"
	}
	w := &lexing{of: s, state: &chroma.LexerState{
		Lexer: s.RegexLexer, Registry: lexers.GlobalLexerRegistry, Text: []rune(text), Stack: []string{"root"},
		Rules: s.rules, MutatorContext: map[any]any{},
	}}
	if w.end = len(w.state.Text); added {
		w.end--
	}
	return w.next, nil
}

// lexing is the way of a swift lexer through a text.
type lexing struct {
	of    *swift
	state *chroma.LexerState
	end   int
	begun chroma.Iterator // of the last match, or nil
	last  *regexp2.Match  // or nil
}

func (w *lexing) next() chroma.Token {
	l := w.state
	for {
		for w.begun != nil {
			switch t := w.begun(); {
			case t == chroma.EOF:
				w.begun = nil
			case t.Type != chroma.Ignore:
				return t
			}
		}
		if l.Pos >= w.end || len(l.Stack) == 0 {
			break
		}
		l.State = l.Stack[len(l.Stack)-1]
		rule, match := w.match()
		if match == nil {
			if l.Text[l.Pos] == '\n' && l.State != "root" {
				l.Stack = []string{"root"}
				continue
			}
			l.Pos++
			return chroma.Token{Type: chroma.Error, Value: string(l.Text[l.Pos-1 : l.Pos])}
		}
		l.Pos += match.RuneLength
		if t, ok := rule.Type.(chroma.TokenType); ok && rule.Mutator == nil && t != chroma.Ignore {
			if match.RuneLength > 0 {
				return chroma.Token{Type: t, Value: match.String()}
			}
			continue
		}
		l.Groups, l.NamedGroups = nil, map[string]string{}
		for _, g := range match.Groups() {
			l.Groups = append(l.Groups, g.String())
			l.NamedGroups[g.Name] = g.String()
		}
		if rule.Mutator != nil {
			if err := rule.Mutator.Mutate(l); err != nil {
				l.Pos -= match.RuneLength
				l.Stack = nil // the rest stays as it is
				continue
			}
		}
		if rule.Type != nil {
			w.begun = rule.Type.Emit(l.Groups, l)
		}
	}
	if l.Pos != len(l.Text) && len(l.Stack) == 0 {
		value := string(l.Text[l.Pos:])
		l.Pos = len(l.Text)
		return chroma.Token{Type: chroma.Error, Value: value}
	}
	return chroma.EOF
}

// match finds the first rule of the state that matches the text from where it is.
func (w *lexing) match() (*chroma.CompiledRule, *regexp2.Match) {
	l := w.state
	a := w.of.apt[l.State]
	if a == nil {
		return nil, nil
	}
	begins := 0 // a line
	if l.Pos == 0 || l.Text[l.Pos-1] == '\n' {
		begins = 1
	}
	for _, i := range a[min(l.Text[l.Pos], utf8.RuneSelf)][begins] {
		rule := l.Rules[l.State][i]
		if m, err := w.find(rule.Regexp); m != nil && err == nil && m.RuneIndex == l.Pos {
			l.Rule, w.last = i, m
			return rule, m
		}
	}
	return nil, nil
}

// find holds an expression against the text from where the lexer is. Where the last match ends there, what that has of the
// text serves again: most rules do not match, and making it takes as long as finding that.
func (w *lexing) find(e *regexp2.Regexp) (*regexp2.Match, error) {
	if m := w.last; m != nil && m.RuneLength > 0 && m.RuneIndex+m.RuneLength == w.state.Pos {
		return e.FindNextMatch(m)
	}
	return e.FindRunesMatchStartingAt(w.state.Text, w.state.Pos)
}
