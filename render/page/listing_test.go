package page

import (
	"errors"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"
)

// Listings that hold up a lexer stay as they are.
func TestShort(t *testing.T) {
	code := strings.Repeat("x := 1\n", 1_000)
	for name, c := range map[string]struct {
		code string
		want bool
	}{
		"code":         {code, true},
		"long":         {code + code, false},
		"a long line":  {strings.Repeat("x", 1_000) + "\n", false},
		"blank lines":  {"a\n" + strings.Repeat("\n", 199) + "b", true},
		"more of them": {"a\n" + strings.Repeat(" \t\r\n", 50) + "b", false},
	} {
		if got := short(c.code); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Each name of the list is a lexer's, and no other lexer is used.
func TestColoured(t *testing.T) {
	for name := range coloured {
		if l := lexers.Get(name); l == nil || l.Config().Name != name || lexer(name) == nil {
			t.Errorf("%q is the name of no lexer", name)
		}
	}
	for _, name := range []string{"agda", "apacheconf", "nothing"} {
		if lexer(name) != nil {
			t.Errorf("%s is coloured", name)
		}
	}
}

// No rule takes any number of words before it looks for something behind them: the time for a listing of words alone would
// grow with its square.
func TestBounded(t *testing.T) {
	unbounded, found := regexp.MustCompile(`\\s\+\)\+\??\)`), 0
	for name := range coloured {
		l, ok := lexers.Get(name).(*chroma.RegexLexer)
		if !ok {
			continue
		}
		rules, err := l.Rules()
		if err != nil {
			t.Fatal(err)
		}
		for _, list := range rules {
			for _, rule := range list {
				if unbounded.MatchString(rule.Pattern) {
					found++
				}
				if unbounded.MatchString(bounded.Replace(rule.Pattern)) {
					t.Errorf("%s: %s", name, rule.Pattern)
				}
			}
		}
	}
	if found != 2 {
		t.Errorf("%d rules wanted a bound; 2 did", found)
	}
	method := "public static final synchronized strictfp java.util.Map<String, Long> a() {}\n"
	for _, name := range []string{"java", "groovy"} {
		own, err := chroma.Tokenise(chroma.Coalesce(lexers.Get(name)), nil, method)
		got, swiftErr := chroma.Tokenise(lexer(name), nil, method)
		if err != nil || swiftErr != nil || !reflect.DeepEqual(got, own) {
			t.Errorf("%s: %v, want %v", name, got, own)
		}
	}
}

// What a lexer cannot go on with stays as it is, to the last letter.
func TestLexerFails(t *testing.T) {
	fails := chroma.MutatorFunc(func(*chroma.LexerState) error { return errors.New("no") })
	l := hasten(chroma.MustNewLexer(&chroma.Config{Name: "fails"}, func() chroma.Rules {
		return chroma.Rules{"root": {{Pattern: "a", Type: chroma.Keyword}, {Pattern: "b", Type: chroma.Keyword, Mutator: fails}}}
	}))
	tokens, err := chroma.Tokenise(l, nil, "aabaa c")
	if err != nil || chroma.Stringify(tokens...) != "aabaa c" {
		t.Errorf("%q %v", chroma.Stringify(tokens...), err)
	}
}
