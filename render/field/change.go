package field

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"benchleaf/render/remark"
	"benchleaf/render/source"
	"benchleaf/render/whole"
)

// Change is what the records say about the frequencies of one file.
type Change struct {
	File    string // in the handbook's folder
	Causes  []Frequency
	Refused string // why the file is left alone; "" if it is not
	Strange int    // findings of causes that the procedure does not have, which are left out

	dir      string
	old, new []byte
}

// Frequency is the frequency of a cause, as written and as found.
type Frequency struct {
	Cause    string
	Old, New string
}

// frontMatter is what is read of a procedure's front matter, with places.
type frontMatter struct {
	Causes source.Map[struct {
		Frequency source.Text `yaml:"frequency"`
	}] `yaml:"causes" noun:"a cause"`
}

// strangers is the share of a procedure's findings that may be of causes that it
// does not have. Few are slips and old editions; of many nobody knows what the
// others would have been.
const strangers = 0.05

// changes returns one for each file of each procedure in which causes were found.
func (s *Sum) changes(weight float64) []Change {
	var list []Change
	for _, page := range s.pages() {
		_, counts := s.byModel(page)
		whole := counts[0]
		all := whole.findings() + whole.strange
		if all == 0 {
			continue
		}
		causes := s.book.procedures[page].Causes
		_, shares := sharesOf(causes, whole, weight)
		why := ""
		if float64(whole.strange) > strangers*float64(all) {
			why = fmt.Sprintf("%d of %d findings are of causes that it does not have, more than %s %%", whole.strange, all, trimmed(100*strangers))
		}
		total := 0.0
		for _, c := range causes {
			total += c.Frequency
			if c.Frequency == 0 {
				why = fmt.Sprintf("its cause %q has no frequency", c.ID)
			}
		}
		wanted := map[string]string{}
		for i, c := range causes {
			wanted[c.ID] = twoDigits(shares[i].Mean * total)
		}
		for _, file := range s.book.sources[page] {
			c := Change{File: file.Path, Refused: why, Strange: whole.strange, dir: s.book.dir}
			if why == "" {
				c.make(file, wanted)
			}
			list = append(list, c)
		}
	}
	return list
}

// twoDigits rounds to two significant digits, in plain decimals.
func twoDigits(v float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 1, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// make makes the new text of a file: the figures where they stand, every other
// byte as it is.
func (c *Change) make(file *source.Page, wanted map[string]string) {
	var front frontMatter
	var remarks remark.List // of the keys that are not looked for here
	source.Decode(file.Front, &front, "a procedure", &remarks)
	text, err := os.ReadFile(c.path())
	if err != nil {
		c.Refused = reason(err)
		return
	}
	type edit struct {
		at       int
		old, new string
	}
	var edits []edit
	for _, e := range front.Causes {
		id, old := e.ID.Value, e.Value.Frequency
		new, ok := wanted[id]
		at := offsetOf(text, old.Place)
		switch {
		case !ok:
			c.Refused = fmt.Sprintf("it has a cause %q that the first language's file does not have", id)
		case !old.Given():
			c.Refused = fmt.Sprintf("its cause %q has no frequency", id)
		case at < 0 || !isFigure(text, at, old.Value):
			c.Refused = fmt.Sprintf("the frequency of %q is not written as a plain number", id)
		}
		if c.Refused != "" {
			return
		}
		if v, _ := strconv.ParseFloat(old.Value, 64); twoDigits(v) == new && trimmed(v) == new {
			new = old.Value // 24.0 is 24 already
		}
		c.Causes = append(c.Causes, Frequency{id, old.Value, new})
		edits = append(edits, edit{at, old.Value, new})
	}
	if len(edits) != len(wanted) {
		c.Refused = "it has fewer causes than the first language's file"
		return
	}
	slices.SortFunc(edits, func(a, b edit) int { return a.at - b.at })
	done := 0
	for _, e := range edits {
		c.new = append(append(c.new, text[done:e.at]...), e.new...)
		done = e.at + len(e.old)
	}
	c.old, c.new = text, append(c.new, text[done:]...)
}

func (c *Change) path() string { return filepath.Join(c.dir, filepath.FromSlash(c.File)) }

// offsetOf is the offset of a place in its file; -1 if there is no such line.
func offsetOf(text []byte, at remark.Place) int {
	offset := 0
	if bytes.HasPrefix(text, []byte("\xef\xbb\xbf")) {
		offset = 3
	}
	for line := 1; line < at.Line; line++ {
		n := bytes.IndexAny(text[offset:], "\r\n")
		if n < 0 {
			return -1
		}
		offset += n + 1
		if text[offset-1] == '\r' && offset < len(text) && text[offset] == '\n' {
			offset++
		}
	}
	for column := 1; column < at.Column && offset < len(text); column++ {
		_, size := utf8.DecodeRune(text[offset:])
		offset += size
	}
	return offset
}

// isFigure tells whether a plain number stands in the text just so.
func isFigure(text []byte, at int, figure string) bool {
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil || math.IsNaN(v) || strings.Trim(figure, "+.0123456789") != "" || !bytes.HasPrefix(text[at:], []byte(figure)) {
		return false
	}
	after := text[at+len(figure):]
	return len(after) == 0 || bytes.IndexByte([]byte(" \t\r\n,}"), after[0]) >= 0
}

// Patch is the change as a unified diff; "" if there is none.
func (c *Change) Patch() string { return unified(c.File, c.old, c.new) }

// Write puts the new text in place of the old one, in one step. A file that is
// no longer as it was read is left alone.
func (c *Change) Write() error {
	if bytes.Equal(c.old, c.new) {
		return nil
	}
	now, err := os.ReadFile(c.path())
	if err != nil {
		return err
	}
	if !bytes.Equal(now, c.old) {
		return fmt.Errorf("%s has changed since it was read", c.File)
	}
	return whole.Replace(c.path(), c.new)
}

func changesTable(changes []Change) Table {
	t := Table{
		Name: "frequencies", Title: "New frequencies", Group: 1,
		About:   "The posterior means, scaled to the sum of the frequencies as written, to two digits.",
		Columns: columns("file=File", "cause=Cause", "#written=As written", "#new=New", "refused=Left alone because"),
	}
	for _, c := range changes {
		if c.Refused != "" {
			t.Rows = append(t.Rows, []string{c.File, "", "", "", c.Refused})
			continue
		}
		for _, f := range c.Causes {
			t.Rows = append(t.Rows, []string{c.File, f.Cause, f.Old, f.New, ""})
		}
	}
	return t
}
