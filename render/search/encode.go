package search

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"benchleaf/render/jsontext"
)

// File is a file of the edition.
type File struct {
	Path string
	Data []byte
}

// folder is where the files of the index lie.
const folder = "assets/search"

// Paths lists the paths of the index's segments.
func (l *Plan) Paths() (paths []string) {
	for i := range l.pages {
		paths = append(paths, l.path(i))
	}
	return paths
}

func (l *Plan) path(i int) string { return path.Join(folder, fmt.Sprintf("%s-%d.js", l.lang, i)) }

// TextsPath is where the texts of a page's places lie, for excerpts.
func TextsPath(page string) string { return path.Join(folder, page+".js") }

// Files makes the segments and the texts of all pages.
func (ix *Index) Files() (files []File, err error) {
	for i, s := range ix.segments {
		segment, err := s.file(ix.Plan, i)
		if err != nil {
			return nil, err
		}
		files = append(files, segment)
		for _, p := range s.pages {
			files = append(files, p.file())
		}
	}
	return files, nil
}

// file makes the file of the segment, whose number is given.
func (s *segment) file(l *Plan, i int) (File, error) {
	data, err := call("benchleafSegment", i, s.json(l.models))
	return File{l.path(i), data}, err
}

// Texts makes the file of a page's texts, for excerpts. ok is false of a page with rows of
// values: Plan.Files makes it, once it is known whose they are.
func (p *Page) Texts() (file File, ok bool) {
	if p.hasValues() {
		return File{}, false
	}
	return p.file(), true
}

func (p *Page) file() File {
	size := 100
	for i := range p.Places {
		size += len(p.Places[i].Text)*17/16 + 8 // quotes and line ends take a byte more
	}
	data := append(make([]byte, 0, size), "self.benchleafTexts&&benchleafTexts("...)
	data = append(jsontext.Append(data, p.Path), ",["...)
	for i := range p.Places {
		if i > 0 {
			data = append(data, ',')
		}
		data = jsontext.Append(data, p.Places[i].Text)
	}
	return File{TextsPath(p.Path), append(data, "])\n"...)}
}

// call writes a script that calls a function of the search script.
func call(name string, arguments ...any) ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "self.%s&&%[1]s(", name)
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	for i, a := range arguments {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := e.Encode(a); err != nil {
			return nil, err
		}
		b.Truncate(b.Len() - 1) // the line end
	}
	b.WriteString(")\n")
	return b.Bytes(), nil
}

// segmentJSON is a segment as the phone reads it.
type segmentJSON struct {
	// Pages are path, sheet, title, the numbers of the models that it holds for with
	// a blank between, how many places it has, and what has superseded it, if something has.
	Pages [][]any `json:"pages"`
	// Places are kind, id, mark and title with tabs between.
	Places []string `json:"places"`
	// Lengths are two digits a place: of its text and of its title.
	Lengths string `json:"lengths"`
	// Terms are sorted: a capital letter says how many letters a term begins with of
	// the one before it, then come the others.
	Terms string `json:"terms"`
	// Postings are those of each term, with a line | between; see postings.
	Postings string `json:"postings"`
	// Ranges are place, measure, least and most, in turn.
	Ranges []any `json:"ranges,omitempty"`
}

func (s *segment) json(of []string) segmentJSON {
	j := segmentJSON{Places: []string{}, Pages: [][]any{}}
	for _, p := range s.pages {
		var models []string
		for _, m := range p.Models {
			models = append(models, fmt.Sprint(slices.Index(of, m)))
		}
		head := []any{p.Path, p.Sheet, p.Title, strings.Join(models, " "), len(p.Places)}
		if p.Gone != "" {
			head = append(head, p.Gone)
		}
		j.Pages = append(j.Pages, head)
	}
	var lengths bytes.Buffer
	for i, q := range s.places {
		at := q.page.Places[q.at]
		title := at.Title
		if q.at == 0 {
			title = "" // the page's
		}
		j.Places = append(j.Places, strings.Join([]string{string(at.Kind), at.ID, at.Mark, title}, "\t"))
		writeNumber(&lengths, q.text)
		writeNumber(&lengths, q.title)
		for _, r := range q.ranges {
			j.Ranges = append(j.Ranges, i, r.Measure, r.Min, r.Max)
		}
	}
	j.Lengths = lengths.String()
	j.Terms, j.Postings = s.encoded()
	return j
}

// encoded writes the words of the segment and where they stand.
func (s *segment) encoded() (terms, postings string) {
	var words, lists bytes.Buffer
	before := ""
	for i, term := range s.terms {
		end := lists.Len()
		if end > 0 {
			lists.WriteByte('|')
		}
		if !s.postings(&lists, i) {
			lists.Truncate(end) // it stands nowhere any more
			continue
		}
		shared := 0
		for shared < min(len(before), len(term), 25) && before[shared] == term[shared] {
			shared++
		}
		for shared > 0 && shared < len(term) && term[shared]&0xC0 == 0x80 {
			shared-- // not within a character
		}
		words.WriteByte('A' + byte(utf8.RuneCountInString(term[:shared])))
		words.WriteString(term[shared:])
		before = term
	}
	return words.String(), lists.String()
}

// cutMark begins the list of a common term, before the count of the places in
// which it is.
const cutMark = '~'

// postings writes the list of a term: for each place twice the distance from the one before
// it less one, and where the term does not just stand once in the text, one more
// and a digit that says where it stands. It tells whether there was any to write.
func (s *segment) postings(b *bytes.Buffer, i int) bool {
	n := s.cut[s.terms[i]]
	if n > 0 {
		b.WriteByte(cutMark)
		writeNumber(b, n)
	}
	last := -1
	for _, p := range s.lists[i] {
		distance := 2 * (int(p.place) - last - 1)
		last = int(p.place)
		if p.fields == inText {
			writeNumber(b, distance)
		} else {
			writeNumber(b, distance+1)
			b.WriteByte(digitsOf[p.fields])
		}
	}
	return n > 0 || last >= 0
}

// digitsOf are the digits of numbers in a segment: what a JSON text holds in one
// byte, but for the marks | and ~. The first lastDigits end a number, the others
// are followed by more: most numbers are small, and take one byte.
const (
	digitsOf    = " !#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{}"
	digitsCount = len(digitsOf)
	lastDigits  = 60
	moreDigits  = digitsCount - lastDigits
)

func writeNumber(b *bytes.Buffer, n int) {
	for n >= lastDigits {
		n -= lastDigits
		b.WriteByte(digitsOf[lastDigits+n%moreDigits])
		n /= moreDigits
	}
	b.WriteByte(digitsOf[n])
}
