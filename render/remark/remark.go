// Package remark holds what the build says to an author: what is wrong, where,
// and how to mend it.
//
// In: kinds of remarks (kinds.go and beside it) and places in the author's files.
// Out: a sorted list and its text form.
// It may import calc/typo.
package remark

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// Severity tells whether a remark stops the output.
type Severity int

const (
	// Off is no remark at all; a kind that is off by itself is one where a handbook asks for it.
	Off Severity = iota
	// Advice leaves the output as it is.
	Advice
	// Warning leaves it too; it is what a handbook takes more seriously.
	Warning
	// Error stops the output; the last good output stays.
	Error
)

func (s Severity) String() string { return severities[s] }

var severities = [...]string{Off: "off", Advice: "advice", Warning: "warning", Error: "error"}

// Place is a point in one of the author's files. Line and Column count from 1,
// columns in characters; 0 means that the remark concerns the whole file.
type Place struct {
	File   string // slash-separated, relative to the handbook's folder
	Line   int
	Column int
}

func (p Place) String() string {
	file := Printable(p.File)
	switch {
	case p.Line == 0:
		return file
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", file, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", file, p.Line, p.Column)
}

// Printable replaces what a terminal would act on instead of showing it, such
// as the escape sequences that a hostile file has in a name or a link.
func Printable(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) || Hidden(c) {
			return unicode.ReplacementChar
		}
		return c
	}, s)
}

// Hidden tells of the characters that nobody sees: those that turn the direction of what stands behind them,
// blanks without width, and those that break a line. The two joiners are none: some scripts write with them.
func Hidden(c rune) bool {
	return unicode.In(c, unicode.Cf, unicode.Zl, unicode.Zp) && c != '\u200c' && c != '\u200d'
}

// Kind is one thing that an author can get wrong. Its ID is stable: authors
// search for it and rules are set by it.
type Kind struct {
	ID       string
	Severity Severity
	// Message and Mend are formats for the arguments of At; each uses indexed
	// verbs where it needs fewer of them, or another order.
	Message string
	Mend    string
	// About is the paragraph of docs/remarks.md.
	About string
}

// MessageText is the message with an ellipsis for each detail of a place.
func (k *Kind) MessageText() string { return detail(k.Message, "what is wrong is said in each case") }

// MendText is the mend with an ellipsis for each detail of a place.
func (k *Kind) MendText() string { return detail(k.Mend, "what helps is said in each case.") }

var verb = regexp.MustCompile("(`?%\\[\\d\\]s(\\.\\.\\.)?`?)+")

// detail is a text of a kind without what stands for a place, or what is said where
// nothing else is left of it.
func detail(s, alone string) string {
	s = verb.ReplaceAllString(s, "…")
	if s == "…" {
		return alone
	}
	return s
}

// Remark is one mistake at one place.
type Remark struct {
	ID       string
	Severity Severity
	Place    Place
	Message  string
	Mend     string
	Source   string     // the line of the place, "" until Quote of the tree puts it there
	Block    string     // the digest of the block that it is about, which an allowance names; or ""
	Fix      Fix        // what mends it without a decision, or nothing
	Allowed  string     // the reason for which the handbook lets it stand, or ""
	Subjects [2]Subject // put there by About
}

// Fix is a text to write in the place of another one.
type Fix struct {
	Title    string // what that does, in a few words
	Place    Place
	Old, New string
}

// At makes the remark of this kind at a place.
func (k *Kind) At(place Place, args ...any) Remark {
	return Remark{ID: k.ID, Severity: k.Severity, Place: place, Message: format(k.Message, args), Mend: format(k.Mend, args)}
}

// format is Sprintf without the complaint about arguments that a format leaves
// out: a kind's message and mend share one argument list.
func format(text string, args []any) string {
	used := 0
	for i := range args {
		if strings.Contains(text, fmt.Sprintf("%%[%d]", i+1)) {
			used = i + 1
		}
	}
	if used == 0 {
		return text
	}
	return Printable(fmt.Sprintf(text, args[:used]...))
}

// Instead returns the remark with another way to mend it, for places where
// more is known than the kind can say (a near name, a limit).
func (r Remark) Instead(mend string, args ...any) Remark {
	r.Mend = Printable(fmt.Sprintf(mend, args...))
	return r
}

func (r Remark) String() string {
	return fmt.Sprintf("%s: %s: %s [%s]", r.Place, r.Severity, r.Message, r.ID)
}

// List collects remarks.
type List []Remark

// Add appends a remark of kind k.
func (l *List) Add(k *Kind, place Place, args ...any) {
	*l = append(*l, k.At(place, args...))
}

// Sort orders the list by file, line, column and id, drops repetitions, makes one
// remark of those about one subject, and tells no more of a file than anybody reads.
func (l *List) Sort() {
	l.order()
	l.gather()
	l.order()
	l.cut()
}

// Apart are the remarks in that order, before those about one subject become one: each at its own place.
func (l List) Apart() List {
	l = slices.Clone(l)
	l.order()
	l.cut()
	return l
}

func (l *List) order() {
	slices.SortStableFunc(*l, func(a, b Remark) int {
		return cmp.Or(
			cmp.Compare(a.Place.File, b.Place.File),
			cmp.Compare(a.Place.Line, b.Place.Line),
			cmp.Compare(a.Place.Column, b.Place.Column),
			cmp.Compare(a.ID, b.ID),
			cmp.Compare(a.Message, b.Message))
	})
	*l = slices.Compact(*l)
}

// Count returns how many remarks have the severity.
func (l List) Count(s Severity) int {
	n := 0
	for _, r := range l {
		if r.Severity == s {
			n++
		}
	}
	return n
}
