package desk

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"html/template"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"

	"benchleaf/render/code"
	"benchleaf/theme"
)

// own is the folder of what the desk adds to a handbook. No file of a handbook is served
// from it.
const own = "_desk/"

// handler gives the files of the handbook, and what the desk adds. It never looks at the
// disk. Only the desk's own machine sees the code for a phone.
func (d *Desk) handler(here bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "Pages are read here.", http.StatusMethodNotAllowed)
			return
		}
		name := pageOf(strings.TrimPrefix(r.URL.Path, "/"))
		if ours, ok := strings.CutPrefix(name, own); ok {
			d.serveOwn(w, r, ours, here)
			return
		}
		data, ok := d.file(name)
		if !ok {
			d.missing(w, r, name)
			return
		}
		give(w, r, name, data)
	})
}

// pageOf is the file that a path means: of a folder its first page.
func pageOf(name string) string {
	if name == "" || strings.HasSuffix(name, "/") {
		return name + "index.html"
	}
	return name
}

func (d *Desk) file(name string) ([]byte, bool) {
	s := d.current()
	if s == nil || path.Base(name) == "worker.js" {
		return nil, false // a page at the desk is never kept on a phone
	}
	data, ok := s.Files[name]
	return data, ok
}

func give(w http.ResponseWriter, r *http.Request, name string, data []byte) {
	if kind := mime.TypeByExtension(path.Ext(name)); kind != "" {
		w.Header().Set("Content-Type", kind)
	}
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(data))
}

func (d *Desk) serveOwn(w http.ResponseWriter, r *http.Request, name string, here bool) {
	var data []byte
	var err error
	lang, script := strings.CutSuffix(name, ".js")
	switch {
	case name == "events":
		d.stream(w, r, here)
		return
	case name == "desk.css":
		data, err = d.Theme.Style(theme.DeskStyle)
	case script && d.Theme.Words(lang).Lang == lang:
		data, err = d.Theme.Script(theme.DeskScript, lang)
	case name == "phone.png" && here && d.phone != nil:
		data, err = picture(d.phone.address + pageOf(r.URL.Query().Get("page")))
	default:
		http.NotFound(w, r)
		return
	}
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	give(w, r, name, data)
}

// picture is the code of an address that a phone's camera reads.
func picture(address string) ([]byte, error) {
	c, err := code.Medium(address)
	if err != nil {
		return nil, err
	}
	return c.PNG()
}

// deskPage is a page of the desk itself.
type deskPage struct {
	*theme.Words
	Title   string
	Style   template.CSS
	Missing string // that there is no such page; "" of the page that asks for the code
	Slip    string // what was wrong with the code
	To      string // where the code leads
}

func (d *Desk) missing(w http.ResponseWriter, r *http.Request, name string) {
	if !isHTML(name) {
		http.NotFound(w, r)
		return
	}
	words := d.words(r)
	d.page(w, http.StatusNotFound, deskPage{Words: words, Title: words.Word("desk.missing"), Missing: words.Word("desk.missing")})
}

// page writes one. It has no script.
func (d *Desk) page(w http.ResponseWriter, status int, p deskPage) {
	style, err := d.Theme.Style(theme.PageStyle)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	p.Style = template.CSS(style)
	var b bytes.Buffer
	if err := d.Theme.Templates.ExecuteTemplate(&b, "desk-page", p); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	sum := sha256.Sum256(style)
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes())
}

// words are those of the language that the reader's browser asks for first.
func (d *Desk) words(r *http.Request) *theme.Words {
	tag, _, _ := strings.Cut(r.Header.Get("Accept-Language"), ",")
	tag, _, _ = strings.Cut(tag, ";")
	return d.Theme.Words(d.Theme.Words(strings.TrimSpace(tag)).Lang)
}
