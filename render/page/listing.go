package page

import (
	"strings"
	"sync"
	"time"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"
	"github.com/dlclark/regexp2/v2"
)

// The lexers give each match a quarter of a second by a clock that ticks ten times a
// second. On a busy machine a tick comes late, the match of that moment counts as none, and
// the same listing looks another way. With a tick an hour a build sees none.
func init() { regexp2.SetTimeoutCheckPeriod(time.Hour) }

// What is highlighted, in bytes: what is longer is data rather than code. The patterns of
// most languages take time that grows with the square of a listing, and of a line.
const (
	longestListing = 8 << 10
	longestLine    = 1_000    // of a listing
	mostListed     = 32 << 10 // of the listings of a page together
	mostBlank      = 200      // of blanks and blank lines without anything between
)

// short tells whether a listing can be highlighted.
func short(code string) bool {
	if len(code) > longestListing {
		return false
	}
	for line := range strings.Lines(code) {
		if len(line) > longestLine {
			return false
		}
	}
	blank := 0
	for i := range len(code) {
		if blank++; strings.IndexByte(" \t\r\n", code[i]) < 0 {
			blank = 0
		}
		if blank > mostBlank {
			return false
		}
	}
	return true
}

// knownLexers remembers lexers by the name in the info string, and the names
// that none has: looking one up tries patterns of all languages.
var knownLexers sync.Map // string -> chroma.Lexer, nil for an unknown name

func lexer(name string) chroma.Lexer {
	if l, ok := knownLexers.Load(name); ok {
		l, _ := l.(chroma.Lexer)
		return l
	}
	l := lexers.Get(name)
	if l == nil || !coloured[l.Config().Name] {
		knownLexers.Store(name, nil)
		return nil
	}
	l = chroma.Coalesce(hasten(l))
	knownLexers.Store(name, l)
	return l
}

// listing writes a listing, highlighted if its language is known.
func (w *writer) listing(language, code string) {
	w.out.WriteString(`<pre tabindex="0"><code>`)
	w.highlighted(language, code)
	w.out.WriteString("</code></pre>\n")
}

func (w *writer) highlighted(language, code string) {
	var l chroma.Lexer
	if language != "" && w.colored+len(code) <= mostListed && short(code) {
		if l = lexer(language); l != nil {
			w.colored += len(code)
		}
	}
	if l == nil {
		w.out.escaped(code)
		return
	}
	tokens, err := l.Tokenise(nil, code)
	if err != nil {
		w.out.escaped(code)
		return
	}
	open := "" // the class of the span that is open
	for t := tokens(); t != chroma.EOF; t = tokens() {
		class := tokenClass(t.Type)
		if strings.TrimSpace(t.Value) == "" {
			class = open // blanks need no span of their own
		}
		if class != open {
			if open != "" {
				w.out.WriteString("</span>")
			}
			if class != "" {
				w.out.WriteString(`<span class="` + class + `">`)
			}
			open = class
		}
		w.out.escaped(t.Value)
	}
	if open != "" {
		w.out.WriteString("</span>")
	}
}

// tokenClass sorts chroma's hundred kinds of token into the few that the style
// sheet tells apart; "" is plain text.
func tokenClass(t chroma.TokenType) string {
	switch {
	case t == chroma.KeywordType:
		return ""
	case t.InCategory(chroma.Keyword):
		return "k"
	case t.InSubCategory(chroma.LiteralNumber):
		return "n"
	case t.InCategory(chroma.Literal):
		return "s"
	case t == chroma.CommentPreproc:
		return "k"
	case t.InCategory(chroma.Comment):
		return "c"
	case t == chroma.GenericDeleted:
		return "d"
	case t == chroma.GenericInserted:
		return "s"
	}
	return ""
}
