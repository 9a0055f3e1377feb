package record

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// DecodeShort reads a record in its short form. What the form leaves out is
// empty. An *Error says why a line is refused, with the part as its place.
func DecodeShort(line string) (*Record, error) {
	line = strings.TrimSpace(line)
	if len(line) > MaxSize {
		return nil, wrong("", "it is larger than %d bytes", MaxSize)
	}
	rest, ok := strings.CutPrefix(line, ShortPrefix)
	switch {
	case ok:
	case IsShort(line):
		return nil, wrong("", "it is in small letters: a short form is written in capital ones")
	default:
		return nil, wrong("", "it is no job record: a short form begins with %s%d", ShortPrefix, Version)
	}
	number, _, _ := strings.Cut(rest, "*")
	if version, err := strconv.Atoi(number); err == nil && version > Version {
		return nil, wrong("", "it is of a newer version, %d; version %d is known here", version, Version)
	} else if err != nil || number != strconv.Itoa(Version) {
		return nil, wrong("", "its version %q cannot be read", shortened(number))
	}
	end := strings.LastIndexByte(line, '*')
	if end < 0 || line[end+1:] != checkOf(line[:end]) {
		return nil, wrong("", "it is cut off or mistyped: its check does not fit")
	}
	s := shortReader{r: &Record{Record: Version, Entries: []Entry{}, RuledOut: []RuledOut{}, Findings: []Finding{}, Left: []string{}}}
	for i, text := range strings.Split(line[:end], "*")[1:] {
		if text == "" {
			return nil, wrong(fmt.Sprintf("part %d", i+1), "it is empty")
		}
		p := &shortPart{kind: text[0], fields: strings.Split(text[1:], ":"), place: fmt.Sprintf("part %d", i+1)}
		s.take(p, i == 0)
		if p.err != nil {
			return nil, p.err
		}
	}
	if s.r.ID == "" {
		return nil, wrong("part 1", "the J part is missing")
	}
	for _, i := range s.onward {
		if i+1 == len(s.r.Entries) || s.r.Entries[i+1].Page != s.r.Entries[i].Page {
			return nil, wrong(fmt.Sprintf("entries[%d].to", i), "no step of the same page follows")
		}
		s.r.Entries[i].To = "#" + s.r.Entries[i+1].Step
	}
	if err := s.r.check(); err != nil {
		return nil, err
	}
	return s.r, nil
}

// IsShort tells whether a line begins as a short form does, in letters of any
// case: it is meant to be one.
func IsShort(line string) bool {
	return len(line) >= len(ShortPrefix) && strings.EqualFold(line[:len(ShortPrefix)], ShortPrefix)
}

// shortReader puts parts together.
type shortReader struct {
	r      *Record
	begun  int64
	last   int64 // when the entry before was answered
	page   string
	onward []int // entries that lead to the one after them
}

func (s *shortReader) take(p *shortPart, first bool) {
	if first != (p.kind == 'J') {
		p.refuse("the J part stands first, and once")
		return
	}
	switch p.kind {
	case 'J':
		s.job(p)
	case 'P':
		if s.page = p.text("page"); s.page == "" {
			p.refuse("the page is empty")
		}
	case 'E':
		s.entry(p)
	case 'R':
		s.r.RuledOut = append(s.r.RuledOut, RuledOut{Page: s.page, Cause: p.text("cause"), Entry: p.whole("entry")})
	case 'F':
		s.finding(p)
	case 'L':
		for len(p.fields) > 0 {
			s.r.Left = append(s.r.Left, p.text("setting"))
		}
	default:
		p.refuse("a part %q is not known", rune(p.kind))
	}
	if len(p.fields) > 0 {
		p.refuse("it has %d fields too many", len(p.fields))
	}
}

func (s *shortReader) job(p *shortPart) {
	r := s.r
	r.ID = p.text("id")
	r.Handbook.Edition, r.Handbook.Language = p.text("edition"), p.text("language")
	r.Machine.Model, r.Machine.Serial, r.Machine.Hours = p.text("model"), p.text("serial"), p.number("hours")
	s.begun = p.seconds("begun")
	s.last = s.begun
	r.Begun = p.time("begun", s.begun)
	r.Changed = p.time("changed", s.begun+p.seconds("changed"))
	r.Closed = p.maybe("closed", s.begun)
}

func (s *shortReader) entry(p *shortPart) {
	e := Entry{Page: s.page, Step: p.text("step"), Number: p.whole("number"), Outcome: p.word("outcome", outcomeCodes)}
	if p.peek() == "" {
		s.onward = append(s.onward, len(s.r.Entries))
	}
	if to := p.text("to"); strings.HasPrefix(to, "/") {
		e.To = to[1:]
	} else {
		e.To = "#" + to
	}
	shown := s.last + p.seconds("shown")
	s.last = shown + p.seconds("at")
	e.Shown, e.At = p.time("shown", shown), p.time("at", s.last)
	switch flags := p.next(); flags {
	case "", "V":
		e.Verification = flags == "V"
	default:
		p.refuse("a flag %q is not known", flags)
	}
	if len(p.fields) > 0 {
		e.Reading = &Reading{Spec: p.text("spec"), Value: p.number("value"), Unit: p.text("unit"),
			Min: p.number("min"), Max: p.number("max"), Verdict: p.word("verdict", verdictCodes)}
	}
	s.r.Entries = append(s.r.Entries, e)
}

func (s *shortReader) finding(p *shortPart) {
	f := Finding{Page: s.page, End: p.word("end", endCodes), Cause: p.text("cause"), Part: p.text("part")}
	f.At = p.time("at", s.begun+p.seconds("at"))
	if p.peek() != "" {
		by := p.whole("condemnedBy")
		f.CondemnedBy = &by
	} else {
		p.next()
	}
	switch replaced, at := p.next(), p.maybe("remedy", s.begun); {
	case replaced == "" && at.IsZero():
	case (replaced == "0" || replaced == "1") && !at.IsZero():
		f.Remedy = &Remedy{Replaced: replaced == "1", At: at}
	default:
		p.refuse("whether a part was replaced goes with the time of the remedy")
	}
	f.Repaired = p.maybe("repaired", s.begun)
	s.r.Findings = append(s.r.Findings, f)
}

// shortPart is one part whose fields are taken one by one; those left out at
// its end are empty. It keeps the first thing that is wrong.
type shortPart struct {
	kind   byte
	fields []string
	place  string
	err    error
}

func (p *shortPart) refuse(reason string, args ...any) {
	if p.err == nil {
		p.err = wrong(p.place, reason, args...)
	}
}

func (p *shortPart) peek() string {
	if len(p.fields) == 0 {
		return ""
	}
	return p.fields[0]
}

func (p *shortPart) next() string {
	field := p.peek()
	if len(p.fields) > 0 {
		p.fields = p.fields[1:]
	}
	return field
}

func (p *shortPart) text(name string) string {
	text, ok := fromCapitals(p.next())
	if !ok {
		p.refuse("the %s cannot be read", name)
	}
	return text
}

func (p *shortPart) word(name string, c codes) string {
	letter := p.next()
	i := strings.Index(c.letters, letter)
	switch {
	case letter == "":
		return ""
	case len(letter) > 1 || i < 0:
		p.refuse("%s %q is none of %q", name, shortened(letter), c.letters)
		return ""
	}
	return c.words[i]
}

func (p *shortPart) whole(name string) int {
	n, err := strconv.ParseInt(p.next(), 10, 32)
	if err != nil {
		p.refuse("the %s is no whole number", name)
	}
	return int(n)
}

func (p *shortPart) number(name string) *float64 {
	text := p.next()
	if text == "" {
		return nil
	}
	v, ok := parseDecimal(text)
	if !ok {
		p.refuse("the %s is no number", name)
	}
	return &v
}

// seconds reads a time field in which nothing means 0.
func (p *shortPart) seconds(name string) int64 {
	text := p.next()
	if text == "" {
		return 0
	}
	n, ok := parseBase36(text)
	if !ok {
		p.refuse("the time of %s cannot be read", name)
	}
	return n
}

// maybe reads a time field in which nothing means that there is none.
func (p *shortPart) maybe(name string, begun int64) time.Time {
	if p.peek() == "" {
		p.next()
		return time.Time{}
	}
	return p.time(name, begun+p.seconds(name))
}

func (p *shortPart) time(name string, unix int64) time.Time {
	if unix < 0 || unix > latest {
		p.refuse("the time of %s is not between 1970 and 9999", name)
	}
	return time.Unix(unix, 0).UTC()
}
