package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"benchleaf/render/csstext"
	"benchleaf/theme"
)

// A page's style stands in its head: what a phone is sent first is all that it
// needs to show the page, and nothing moves on it later. Paper's style, and what
// scripts add to a sheet, are files of their own.

// style is a page's.
type style struct {
	Name string // by which a handbook in one file knows it; "" of that of most pages
	Text template.CSS
	Hash string // by which the content policy knows it
}

// style returns the style that is made of some sheets.
func (r *Renderer) style(look []theme.StyleEntry) (*style, error) {
	key := fmt.Sprint(look)
	if known, ok := r.styles.Load(key); ok {
		return known.(*style), nil
	}
	var text []byte
	for _, entry := range look {
		sheet, err := r.theme.Style(entry)
		if err != nil {
			return nil, err
		}
		text = append(text, bytes.TrimSpace(sheet)...)
		if entry == theme.LabelStyle {
			text = append(text, r.labelSize()...)
		}
	}
	s := &style{Text: template.CSS(text), Hash: digestOf(text)}
	if look[0] != theme.PageStyle {
		s.Name = string(look[0])
	}
	known, _ := r.styles.LoadOrStore(key, s)
	return known.(*style), nil
}

// BoundStyle is the style of a handbook in one file.
func (r *Renderer) BoundStyle(lang string) ([]byte, error) {
	look := []theme.StyleEntry{theme.BoundStyle, theme.EdgeStyle}
	if theme.Direction(lang) == "rtl" {
		look = append(look, theme.RTLStyle)
	}
	s, err := r.style(look)
	if err != nil {
		return nil, err
	}
	return slices.Concat([]byte(s.Text), r.margin(lang)), nil
}

// inline is a script that stands in a page.
type inline struct {
	Text template.JS
	Hash string // by which the content policy knows it
}

// inline returns a script that stands in pages.
func (w *writer) inline(entry theme.Entry) (inline, error) {
	text, err := w.theme.Script(entry, w.lang)
	text = bytes.TrimSpace(text)
	return inline{template.JS(text), digestOf(text)}, err
}

// digestOf is a digest as a content policy has it (CSP Level 3, 2.3.1).
func digestOf(text []byte) string {
	sum := sha256.Sum256(text)
	return base64.StdEncoding.EncodeToString(sum[:])
}

// stylePath is the file of a style that a script adds to a sheet.
func stylePath(entry theme.StyleEntry) string { return path.Join("assets", string(entry)+".css") }

func printPath(lang string) string { return path.Join("assets", "print-"+lang+".css") }

// printStyle is a language's style for paper: that of all, which a new edition leaves
// as it is, and the edition in the margin of each sheet.
func (r *Renderer) printStyle(lang string) File {
	all := fmt.Appendf(nil, "@import %s;", csstext.String(path.Base(stylePath(theme.PrintStyle))))
	return File{printPath(lang), slices.Concat(all, r.margin(lang), r.notice(lang))}
}

// notice is the rule by which what the foot says stands at a procedure's head on paper: at the foot it may be all that is on the last sheet.
func (r *Renderer) notice(lang string) []byte {
	edition := r.edition(lang)
	if r.book.CheckBy != "" {
		edition = edition[:len(edition)-1]
	}
	// A browser that knows no nesting keeps the foot.
	said := strings.Join(slices.DeleteFunc([]string{r.book.Notice.In(lang), r.book.Publisher, strings.Join(edition, " · ")}, func(s string) bool { return s == "" }), " ")
	if said == "" {
		return nil
	}
	return fmt.Appendf(nil, "[data-sheet=procedure]{.foot{display:none}.head::after{content:%s;font:7pt sans-serif}}\n", csstext.String(said))
}

// margin is the rule of a style sheet by which each printed sheet names handbook,
// edition and day, and the day by which to look for a newer one: on paper nothing tells that it has passed.
func (r *Renderer) margin(lang string) []byte {
	text := append([]string{r.book.Title.In(lang)}, r.edition(lang)...)
	return fmt.Appendf(nil, "@page{@bottom-left{content:%s;font:8pt sans-serif}}\n", csstext.String(strings.Join(text, " · ")))
}

// edition says which edition it is, of which day, and by when to look for a newer one.
func (r *Renderer) edition(lang string) (text []string) {
	h := r.book
	if h.Edition != "" {
		text = append(text, r.theme.Words(lang).Fill("page.edition", "edition", h.Edition))
	}
	if h.Date != "" {
		text = append(text, r.theme.Words(lang).Day(h.Date))
	}
	if h.CheckBy != "" {
		text = append(text, r.theme.Words(lang).Fill("due.by", "day", r.theme.Words(lang).Day(h.CheckBy)))
	}
	return text
}
