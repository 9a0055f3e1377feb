package desk

import (
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"time"

	"benchleaf/render/remark"
)

// told is what a page is told; theme/desk/told.ts has the same.
type told struct {
	HTML      *string   `json:"html,omitempty"` // none where the page is gone
	Stale     bool      `json:"stale,omitempty"`
	To        *page     `json:"to,omitempty"` // where it went
	Here      []note    `json:"here"`
	Others    []note    `json:"others"`
	Elsewhere int       `json:"elsewhere"`
	Errors    int       `json:"errors"` // of all
	Phone     *doorbell `json:"phone,omitempty"`
}

type page struct {
	Page  string `json:"page"`
	Title string `json:"title"`
}

// note is a remark.
type note struct {
	Severity string `json:"severity"`
	Place    string `json:"place"`
	Line     int    `json:"line"`
	Message  string `json:"message"`
	Mend     string `json:"mend"`
	ID       string `json:"id"`
	Page     string `json:"page,omitempty"` // made from the file
}

// doorbell is how a phone gets in.
type doorbell struct {
	Address string `json:"address"`
	Code    string `json:"code"`
}

// mostOthers is how many remarks on other files a page is told.
const mostOthers = 100

// tell makes what a page is told.
func (s *shown) tell(name string) told {
	t := told{Here: []note{}, Others: []note{}, Errors: s.Remarks.Count(remark.Error)}
	if html, ok := s.Files[name]; ok {
		text := string(html)
		t.HTML, t.Stale = &text, s.Stale[name]
	} else if to := s.gone[name]; to != "" {
		t.To = &page{to, heading(s.Files[to])}
	}
	source := s.sources[name]
	for _, r := range s.Remarks {
		switch {
		case source != "" && r.Place.File == source:
			t.Here = append(t.Here, noteOf(r, ""))
		case len(t.Others) < mostOthers:
			t.Others = append(t.Others, noteOf(r, s.first(r.Place.File)))
			fallthrough
		default:
			t.Elsewhere++
		}
	}
	return t
}

// first is the first page that is made from a file, "" for none.
func (s *shown) first(source string) string {
	if pages := s.Pages[source]; len(pages) > 0 {
		return pages[0]
	}
	return ""
}

func noteOf(r remark.Remark, page string) note {
	return note{r.Severity.String(), r.Place.String(), r.Place.Line, r.Message, r.Mend, r.ID, page}
}

// encode writes it as JSON on one line.
func encode(t told) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // a page would be half as long again
	if err := e.Encode(t); err != nil {
		panic(err) // it is made of texts and figures
	}
	return b.String()
}

// rest is how long a stream is silent at most: what lies between may think it dead.
const rest = 20 * time.Second

// stream tells a page what it should show, now and whenever that changes, as server-sent
// events (HTML Standard, 9.2).
func (d *Desk) stream(w http.ResponseWriter, r *http.Request, here bool) {
	name := pageOf(r.URL.Query().Get("page"))
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	out := http.NewResponseController(w)
	changed, done := d.hear()
	defer done()
	last := ""
	silence := time.NewTicker(rest)
	defer silence.Stop()
	for {
		line := ":\n\n" // a comment, which says that the desk is there
		if s := d.current(); s != nil {
			t := s.tell(name)
			if here && d.phone != nil {
				t.Phone = d.phone.bell()
			}
			if now := encode(t); now != last {
				last, line = now, "data: "+now+"\n" // the text ends with a line's end already
			}
		}
		_ = out.SetWriteDeadline(time.Now().Add(rest))
		if _, err := io.WriteString(w, line); err != nil || out.Flush() != nil {
			return
		}
		select {
		case <-changed:
		case <-silence.C:
		case <-r.Context().Done():
			return
		}
	}
}
