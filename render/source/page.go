package source

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"benchleaf/render/remark"
)

// Page is one Markdown file.
type Page struct {
	Path  string   // slash-separated, relative to the folder
	Front *YAML    // the front matter; nil if there is none, Broken if it cannot be told
	Text  []byte   // the body; offsets of Doc's nodes count in it
	Doc   ast.Node // the body; its fenced blocks with a known name are *Block; nil until it is parsed
	// Headings are those of a plain page, of which only its outline was asked for. Doc is nil then.
	Headings []Heading
	// Remarks are what the parsing found wrong.
	Remarks remark.List

	file  []byte // the whole file; nil once it was shelved
	lines *lines // of it
	body  int    // offset of Text in the file
	fit   bool   // it was found that the file can be parsed

	shelf *Tree // of a page that was shelved, the tree that reads it again
}

// File returns the whole file, front matter and all.
func (p *Page) File() []byte { return p.file }

// Place returns the place of an offset of Text.
func (p *Page) Place(offset int) remark.Place { return p.lines.place(p.body + offset) }

// PlaceOf returns the place of a node of Doc. A node that has no position of
// its own stands where its parent does.
func (p *Page) PlaceOf(n ast.Node) remark.Place {
	if pos := position(n); pos >= 0 {
		return p.Place(pos)
	}
	return p.Top()
}

// Written returns the lines of a node that stands in Doc itself, up to the next one. A list of
// footnotes has none: they are written in other places.
func (p *Page) Written(n ast.Node) string {
	if n.Kind() == east.KindFootnoteList {
		return ""
	}
	start, end := p.lineOf(n), len(p.Text)
	if next := n.NextSibling(); next != nil && next.Kind() != east.KindFootnoteList {
		end = p.lineOf(next)
	}
	return strings.TrimSpace(string(p.Text[start:max(start, end)]))
}

// lineOf is the offset of the line in which a node begins.
func (p *Page) lineOf(n ast.Node) int {
	at := max(0, position(n))
	return bytes.LastIndexByte(p.Text[:at], '\n') + 1
}

// Top returns the place of the page's first character.
func (p *Page) Top() remark.Place { return remark.Place{File: p.Path, Line: 1, Column: 1} }

func position(n ast.Node) int {
	for ; n != nil && n.Kind() != ast.KindDocument; n = n.Parent() {
		if pos := n.Pos(); pos >= 0 {
			return pos
		}
	}
	return -1
}

// open cuts the page into front matter and body. It tells whether the page can be taken, with
// a remark where it cannot: where the front matter has no end, everything else could be part
// of it.
func (p *Page) open() (start, end int, ok bool) {
	p.Remarks, p.lines = nil, newLines(p.Path, p.file)
	if p.fit = p.fit || fit(p.lines, &p.Remarks); !p.fit {
		return 0, 0, false
	}
	start, end, body := frontMatter(p.lines.text)
	if start < 0 && end > 0 {
		p.Remarks.Add(remark.FrontMatterOpen, p.lines.place(ellipsis(p.lines.text)))
		return 0, 0, false
	}
	p.body, p.Text = body, p.lines.text[body:]
	return start, end, true
}

// Parse parses the page. Doc stays nil, with a remark, where it cannot be taken.
func (p *Page) Parse() {
	if p.front() {
		p.Doc = parseBody(p, &p.Remarks)
	}
}

// Outline finds the front matter and the Headings; it parses the page where these cannot be told
// otherwise.
func (p *Page) Outline() {
	if !p.front() {
		return
	}
	list, ok := p.plain()
	if p.Headings = list; !ok {
		p.Doc = parseBody(p, &p.Remarks)
	}
}

// front opens the page and parses its front matter. It tells whether the page can be taken.
func (p *Page) front() bool {
	start, end, ok := p.open()
	if ok && start >= 0 {
		p.Front = parseYAMLPart(p.lines, start, end, &p.Remarks)
	}
	return ok
}

// Parsed is the page parsed, by itself: p stays as it is. A RereadError is one of a page whose text was
// shelved.
func (p *Page) Parsed() (*Page, error) {
	again := &Page{Path: p.Path, file: p.file, fit: p.fit}
	if p.shelf != nil {
		var err error
		if again.file, err = p.shelf.unshelve(p); err != nil {
			return nil, err
		}
	}
	again.Parse()
	return again, nil
}

// LetGo makes the page as it was before it was parsed.
func (p *Page) LetGo() { *p = Page{Path: p.Path, file: p.file, shelf: p.shelf, fit: p.fit} }

// frontMatter finds a leading block between lines of three hyphens. It returns
// where its YAML starts and ends and where the body begins. Without front
// matter start is -1; end is above 0 then if it was opened and never closed.
func frontMatter(text []byte) (start, end, body int) {
	at := 0
	if bytes.HasPrefix(text, []byte(byteOrderMark)) {
		at = len(byteOrderMark)
	}
	line, next := cutLine(text, at)
	if line != "---" {
		return -1, 0, at
	}
	start = next
	for at = start; at < len(text); at = next {
		line, next = cutLine(text, at)
		if line == "---" {
			return start, at, next
		}
	}
	return -1, len(text), len(text)
}

// ellipsis is where the first line of three full stops begins, which ends a document of YAML and is
// taken for the end of front matter; 0 if there is none.
func ellipsis(text []byte) int {
	for at := 0; at < len(text); {
		line, next := cutLine(text, at)
		if line == "..." {
			return at
		}
		at = next
	}
	return 0
}

// cutLine returns the line at an offset without trailing blanks, and where
// the next one begins.
func cutLine(text []byte, at int) (line string, next int) {
	if i := bytes.IndexByte(text[at:], '\n'); i >= 0 {
		next = at + i + 1
	} else {
		next = len(text)
	}
	return string(bytes.TrimRight(text[at:next], " \t\r\n")), next
}
