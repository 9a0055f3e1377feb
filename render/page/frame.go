package page

import (
	"bytes"
	"html/template"
	"sync"

	"benchleaf/theme"
)

// Frame is what of a page many others have too, in its head, above the sheet and below it. Templates take a fifth of the
// time that a page takes to be drawn, most of it for this: it is drawn once for all of them.
type Frame struct {
	*theme.Words
	Lang, Dir, Root   string
	Book, Home        string
	Sheet             string
	Notice, Publisher string
	ScriptNote        string // what the page needs script for
	Models            *[]modelView
	Script            string // the one that the page loads
	Print             string // the style that it loads, for paper; "" of labels
	Jobs              string // the address of the jobs page
	Search            string // the address of the search page
	ModelsPage        string // and that of the page of models, "" on itself and where there is none
	Plot              string // of a page with plots: one more script
	Range             string // where values depend on the serial number: one more script, which comes first
	Finder            bool

	Desk  string // the language of the desk's script, "" in an edition
	Style *style // as it stands in the page
	Whole bool   // whether nothing shows before a procedure is there, and of another page the head of its sheet
	// These are the scripts that stand in the page: two in its head, one in a procedure behind its last card, one at the end of the jobs page.
	Chosen, Asked, Opened, Last inline
}

type modelView struct{ ID, Title string }

// Guided reports whether the page is a procedure.
func (f Frame) Guided() bool { return f.Sheet == "procedure" }

// Sides are a frame as it stands in a page: between its pieces is what the page has alone.
type Sides struct{ Top, Links, Nav, Main, Kind, Lines, Find, Note, Foot template.HTML }

// frames are those that are drawn.
type frames struct {
	mu    sync.Mutex
	drawn map[Frame]*Sides
}

// sides draws a frame, or takes it as it was drawn.
func (w *writer) sides(f Frame) *Sides {
	all := &w.frames
	all.mu.Lock()
	defer all.mu.Unlock()
	if known := all.drawn[f]; known != nil {
		return known
	}
	part := func(name string) template.HTML {
		var b bytes.Buffer
		w.fill(&b, name, f)
		return template.HTML(b.String())
	}
	s := &Sides{
		part("frame-top"), part("frame-links"), part("frame-nav"), part("frame-main"), part("frame-kind"), part("frame-lines"),
		part("frame-find"), part("frame-note"), part("frame-foot"),
	}
	if all.drawn == nil {
		all.drawn = map[Frame]*Sides{}
	}
	all.drawn[f] = s
	return s
}

// models are the handbook's as a page names them, nil where there are none.
func (w *writer) models() *[]modelView {
	if len(w.book.Models) == 0 {
		return nil
	}
	for _, m := range w.book.Models {
		w.model(m)
	}
	known, ok := w.named.Load(w.lang)
	if !ok {
		var list []modelView
		for _, m := range w.book.Models {
			list = append(list, modelView{m.ID, w.in(m.Title)})
		}
		known, _ = w.named.LoadOrStore(w.lang, &list)
	}
	return known.(*[]modelView)
}
