// Package bind makes one HTML file of a handbook: complete and linked as it
// stands, and with script the same pages as an edition has.
//
// In: the rendered pages of one language, with the files that they load. Out:
// the file's bytes. It may import nothing of the project but handbook, whose
// model it narrows, picture and csstext.
//
// Each page becomes a section whose id is the page's path; an element of it has
// the path and a colon before its id, so that a link to pump.html#seal leads to
// #pump.html:seal. Scripts stand in the file as text and are run by the first
// one (theme/script/bound.ts), which leaves of all pages the one that the address
// names.
package bind

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"maps"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// Book is a handbook to be bound.
type Book struct {
	Title string
	// About says what is in the file, a paragraph each. It stands on the first page.
	About   []string
	Missing string // the words for a link to what is not in the file
	Pages   []Page // in the order in which they are read; the first is the finder
	// Files are what pages load and show, by path: scripts, style sheets, pictures.
	Files  map[string][]byte
	Style  []byte // of all pages
	Script []byte // the first
}

// Page is a rendered page.
type Page struct {
	Path      string
	HTML      []byte
	Unprinted bool // it is of no use on paper
	// Texts is a file with the page's words, "" for none. It stands behind the page,
	// where a packed file has the same words at hand.
	Texts string
}

// Mark makes an HTML file a bound handbook; it stands near its beginning.
const Mark = `<meta name="generator" content="benchleaf bind">`

// HTML returns the file.
func (b *Book) HTML() ([]byte, error) {
	w := &writer{Book: b, pages: map[string]bool{}, chapters: map[string]int{}, shown: map[string]*picture{}, held: map[string]bool{}}
	for i, p := range b.Pages {
		w.pages[p.Path] = true
		if i > 0 && !p.Unprinted {
			w.chapters[p.Path] = len(w.chapters) + 1
		}
	}
	for i, p := range b.Pages {
		if err := w.page(p, i == 0); err != nil {
			return nil, fmt.Errorf("%s: %w", p.Path, err)
		}
	}
	if last := len(w.chapters); last > 0 { // what stands behind the last page stands on its sheet
		fmt.Fprintf(&w.heads, ".book>.foot{page:p%d}"+contents, last)
	}
	var files bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(b.Files)) {
		if !w.held[name] {
			files.Write(w.file(name))
		}
	}
	var out bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	line("<!DOCTYPE html>")
	line(`<html lang="%s" dir="%s">`, html.EscapeString(w.lang), cmp.Or(w.dir, "ltr"))
	line("<head>")
	line(`<meta charset="utf-8">`)
	line("%s", Mark)
	line(`<meta name="viewport" content="width=device-width, initial-scale=1">`)
	line(`<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src %s 'wasm-unsafe-eval'; style-src %s; img-src data:; base-uri 'none'; form-action 'none'">`,
		strings.Join(append(w.scripts, hash(b.Script), hash([]byte(read))), " "), strings.Join(append(w.styles, hash(b.Style), hash(w.heads.Bytes())), " "))
	line(`<meta name="color-scheme" content="light dark">`)
	line("<title>%s</title>", html.EscapeString(b.Title))
	line(`<link rel="icon" href="data:,">`)
	line("<style>%s</style>", b.Style) // the first: the theme's script bound.ts adds to it
	line("<style>%s</style>", &w.heads)
	line("<script>%s</script>", b.Script)
	line("</head>")
	line("<body>")
	// What every page needs comes first: the page that the address names is live
	// before those behind it are read.
	line("%s", w.skip)
	line("<template>%s</template>", w.foot)
	out.Write(files.Bytes())
	out.WriteString(w.dataScripts())
	out.WriteString(w.pictures())
	line(`<main class="book">`)
	out.Write(w.sections.Bytes())
	line("%s", w.foot)
	line("</main>")
	line("</body>")
	line("</html>")
	return out.Bytes(), nil
}

// contents shows on paper, at the end of a line of the finder, the number that its page has at the head of its sheets: browsers
// cannot tell there on which sheet that is.
const contents = "@media print{.answers a[data-chapter]::after{content:attr(data-chapter);position:static;float:inline-end;width:auto;border:0;text-indent:0}}"

// hash names a script or a style sheet for the content policy.
func hash(text []byte) string {
	sum := sha256.Sum256(text)
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
