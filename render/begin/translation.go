package begin

import (
	"bytes"
	"net/url"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// pageOf is the page that is translated, by its file or by its name without
// folder of the language and ending; or nil.
func pageOf(d *Draft) *handbook.Page {
	for _, p := range d.Book.Pages {
		if p.Source.Path == d.Name || p.Key == d.Name && p.Lang == d.Book.Languages[0] {
			return p
		}
	}
	return nil
}

// Source is the file that a translation is made from, or "".
func (d *Draft) Source() string {
	if d.Kind.Name == translationName {
		return pageOf(d).Source.Path
	}
	return ""
}

func checkPage(d *Draft) (remark.Remark, bool) {
	if pageOf(d) != nil {
		return remark.Remark{}, true
	}
	why := remark.ReferenceUnknown.At(remark.Place{File: d.Name}, "page", d.Name).Instead("Name a page by its file in the handbook's folder.")
	var names []string
	for _, p := range d.Book.Pages {
		names = append(names, p.Source.Path, p.Key)
	}
	if near := remark.Nearest(d.Name, names); near != "" {
		why = why.Instead("Did you mean `%s`?", near)
	}
	return why, false
}

// translation is a page on its way into another language.
type translation struct {
	*Draft
	Page *handbook.Page
	// Untranslated are the pages that it leads to and that are not there in the
	// other language, as links name them.
	Untranslated []string
	to           string // the file that is written
	known        map[string]*handbook.Page
	assets       []string
}

// translationFiles copies the page to where its translation stands, with its links
// led to the pages of that language, and the trainer's part told at its head.
func translationFiles(d *Draft) ([]File, error) {
	p := pageOf(d)
	t := &translation{Draft: d, Page: p, known: map[string]*handbook.Page{}, assets: d.Book.Assets}
	t.to = path.Join(d.Values[otherLanguage.Key], p.Key+".md")
	for _, other := range d.Book.Pages {
		t.known[other.Source.Path] = other
	}
	file := p.Source.File()
	if list, same := handbook.Record(p, p); same && p.Lang == d.Book.Languages[0] {
		file = handbook.WithRecord(p.Source, list)
	}
	text := t.lead(file)
	head, err := fill("", "translation.txt", t)
	return []File{{t.to, commented(text, string(head.Text), bytes.HasPrefix(bytes.TrimPrefix(file, []byte("\ufeff")), []byte("---")))}}, err
}

// linkForm finds what may be a link to a page or a file of the handbook, in
// Markdown and in YAML. What leads nowhere is left as it is.
var linkForm = regexp.MustCompile("(?i)[^\\s()<>\\[\\]{}\"'`,]+\\.(?:md|svg|png|jpe?g|webp|pdf|csv|txt)(?:#[^\\s()<>\\[\\]{}\"'`,]*)?")

// lead leads the links of the text from where the translation stands.
func (t *translation) lead(text []byte) []byte {
	return linkForm.ReplaceAllFunc(text, func(link []byte) []byte {
		file, fragment, has := strings.Cut(string(link), "#")
		plain, err := url.PathUnescape(file)
		if err != nil {
			return link
		}
		name := path.Join(path.Dir(t.Page.Source.Path), plain)
		page, ok := t.known[name]
		if !ok && !slices.Contains(t.assets, name) {
			return link
		}
		twin := t.twin(page, fragment)
		switch {
		case page == t.Page:
			name = t.to
		case twin != nil:
			name = twin.Source.Path
		}
		rel, err := filepath.Rel(path.Dir(t.to), name)
		if err != nil {
			return link
		}
		to := (&url.URL{Path: filepath.ToSlash(rel)}).EscapedPath()
		if has {
			to += "#" + fragment
		}
		if page != nil && twin == nil && page != t.Page && !slices.Contains(t.Untranslated, to) {
			t.Untranslated = append(t.Untranslated, to)
		}
		return []byte(to)
	})
}

// twin is the page in the other language, where it has what a link leads to.
func (t *translation) twin(page *handbook.Page, heading string) *handbook.Page {
	if page == nil {
		return nil
	}
	for _, p := range t.Book.Pages {
		if p.Lang != t.Values[otherLanguage.Key] || p.Key != page.Key {
			continue
		}
		if heading == "" {
			return p
		}
		for _, id := range p.IDs {
			if id == heading {
				return p
			}
		}
	}
	return nil
}

// commented puts the comment at the head of a page: into its front matter, or
// before the text of one that has none.
func commented(text []byte, comment string, front bool) []byte {
	if !front {
		return slices.Concat([]byte("<!-- "+strings.TrimSpace(comment)+" -->\n\n"), bytes.TrimPrefix(text, []byte("\ufeff")))
	}
	first, rest, _ := bytes.Cut(text, []byte("\n"))
	var b bytes.Buffer
	b.Write(first)
	b.WriteByte('\n')
	for line := range strings.Lines(comment) {
		b.WriteString("# " + line)
	}
	b.Write(rest)
	return b.Bytes()
}
