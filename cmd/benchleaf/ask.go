package main

import (
	"bufio"
	"cmp"
	"fmt"
	"os"
	"strings"
	"unicode"
	"unicode/utf8"

	"benchleaf/render/begin"
	"benchleaf/render/remark"
)

// asker asks the person at the terminal.
type asker struct {
	call *call
	in   *bufio.Reader
	over bool // no answer comes any more
}

// asker is nil where nobody is there to be asked.
func (c *call) asker() *asker {
	in, ok := c.stdin.(*os.File)
	if !ok || terminal(in) == nil || terminal(c.stderr) == nil {
		return nil
	}
	return &asker{call: c, in: bufio.NewReader(in)}
}

// ask returns the answer to a question, the usual one where there is none.
func (a *asker) ask(question, usual string) string {
	if usual != "" {
		question += " [" + usual + "]"
	}
	first, size := utf8.DecodeRuneInString(question)
	fmt.Fprintf(a.call.stderr, "%c%s: ", unicode.ToUpper(first), remark.Printable(question[size:]))
	line, err := a.in.ReadString('\n')
	a.over = a.over || err != nil
	return cmp.Or(strings.TrimSpace(line), usual)
}

// field asks for the value of a field until one can be taken.
func (a *asker) field(f *begin.Field, d *begin.Draft) string {
	question, usual := f.About, f.Usual(d)
	if choices := f.Choices(d); len(choices) > 0 && len(choices) <= begin.MostChoices {
		question += " (" + strings.Join(choices, ", ") + ")"
	}
	if usual == "" && !f.Needed {
		question += ", if any"
	}
	for {
		value := a.ask(question, usual)
		if value == usual && (usual != "" || !f.Needed) {
			return value
		}
		why, ok := f.Check(d, value)
		if ok || a.over {
			return value
		}
		a.call.report(remark.List{why})
	}
}
