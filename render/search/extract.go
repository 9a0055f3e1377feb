package search

import (
	"bytes"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// extractor takes the places and their texts out of a rendered page: what stands
// there is what a reader can see, with every reference in its words.
type extractor struct {
	theory bool // the page explains: a hazard that it names is its subject
	guided bool // the page is a procedure: its headings are those of steps and ends
	finder bool // what it lists are other pages
	places []*extracted
	gone   *extracted // what has superseded the page
	open   []element
	row    *extracted // the table row at hand
}

// extracted is a place with its text being put together.
type extracted struct {
	Place
	cause   string   // of a finding
	specs   []string // named in it, each once
	text    *bytes.Buffer
	hazards []string // that it warns of
	titled  bool
}

// texts are put together in buffers that are used again.
var texts = sync.Pool{New: func() any { return new(bytes.Buffer) }}

func newExtracted(p Place) *extracted { return &extracted{Place: p, text: texts.Get().(*bytes.Buffer)} }

// done returns the text, and gives its buffer back.
func (p *extracted) done() string {
	text := string(bytes.TrimSpace(p.text.Bytes()))
	p.text.Reset()
	texts.Put(p.text)
	p.text = nil
	return text
}

// element is an open element.
type element struct {
	name   string
	skip   bool // nothing in it is read
	title  bool // it is the title of its place
	mark   bool // it is the number of its place
	hazard bool // it is the title of a hazard
	// reading: it is of a reading or of the page's head, where terms are the theme's.
	reading bool
	place   *extracted // that what stands in it belongs to
}

// line are the elements that begin a line of their own.
var line = set("address article aside blockquote br caption dd details div dl dt fieldset figcaption figure footer form h1 h2 h3 h4 h5 h6 header hr legend li main nav ol p pre section summary table tbody td th thead tr ul")

var void = set("area base br col embed hr img input link meta source track wbr path circle rect line polyline polygon use")

// unread are elements whose text is no reader's: controls, listings, pictures.
var unread = set("script style title nav footer select button pre svg textarea output h1")

// unreadClasses are the same by class.
var unreadClasses = set("skip bar lines address script-note not-applicable resumed keys begin kind repeated source minutes taken ends signal self-check change aged history")

func set(names string) map[string]bool {
	m := map[string]bool{}
	for _, n := range strings.Fields(names) {
		m[n] = true
	}
	return m
}

// extract reads a page. The first place is the page itself. gone says what has superseded it.
func extract(page []byte, sheet string) (places []*extracted, gone string) {
	x := &extractor{theory: sheet == "theory", guided: sheet == "procedure", finder: sheet == "finder", places: []*extracted{newExtracted(Place{Kind: Sheet})}, gone: newExtracted(Place{})}
	x.open = []element{{place: x.places[0]}}
	if at := bytes.Index(page, []byte("<body")); at > 0 {
		page = page[at:] // the head, style and all, is as long as most bodies
	}
	for t := (tags{page: page}); ; {
		more := t.next()
		if len(t.text) > 0 {
			x.write(t.text)
		}
		if !more {
			for _, p := range x.places {
				p.Text, p.Hazards = p.done(), strings.Join(p.hazards, "\n")
			}
			return x.places, x.gone.done()
		}
		switch name, end, closed := t.name(); {
		case len(name) == 0:
		case end:
			x.end(nameOf(name))
		default:
			x.begin(tagOf(&t, nameOf(name)), closed)
		}
	}
}

func (x *extractor) top() *element { return &x.open[len(x.open)-1] }

// tag is a start tag, with what of its attributes the search looks at.
type tag struct {
	name                           string
	id, step, cause, spec, reading string
	classes                        []string
	hidden, outcome                bool
}

// tagOf reads the tag at hand. Pages consist of them: one without attributes allocates nothing.
func tagOf(from *tags, name string) (t tag) {
	t.name = name
	from.attributes(func(key, value []byte) {
		switch string(key) {
		case "id":
			t.id = string(value)
		case "class":
			t.classes = strings.Fields(string(value))
		case "hidden":
			t.hidden = true
		case "data-outcome":
			t.outcome = true
		case "data-step":
			t.step = string(value)
		case "data-cause":
			t.cause = string(value)
		case "data-spec":
			t.spec = string(value)
		case "data-reading":
			t.reading = string(value)
		}
	})
	return t
}

// nameOf is the name of an element; of one that pages have, the same string each time.
func nameOf(name []byte) string {
	if known, ok := names[string(name)]; ok {
		return known
	}
	return string(name)
}

var names = func() map[string]string {
	m := map[string]string{"a": "a", "b": "b", "code": "code", "em": "em", "span": "span", "strong": "strong"}
	for _, s := range []map[string]bool{line, void, unread} {
		for name := range s {
			m[name] = name
		}
	}
	return m
}()

func (x *extractor) begin(t tag, closed bool) {
	e := *x.top()
	e.name = t.name
	has := func(name string) bool { return slices.Contains(t.classes, name) }
	e.skip = e.skip || t.hidden || unread[t.name] || slices.ContainsFunc(t.classes, func(c string) bool { return unreadClasses[c] })
	e.reading = e.reading || has("reading") || has("facts")
	e.skip = e.skip || t.outcome || e.reading && (t.name == "dt" || t.name == "caption") || x.finder && (has("answers") || has("pages"))
	if line[t.name] {
		x.breakLine(&e)
	}
	heading := len(t.name) == 2 && t.name[0] == 'h' && '2' <= t.name[1] && t.name[1] <= '4'
	switch {
	case e.skip:
	case has("superseded"):
		e.place = x.gone
	case has("bulletins"): // each stands beside its value too
		e.skip = true
	case t.name == "section" && has("step"):
		e.place = x.add(Step, t.id)
		e.place.Mark = t.step
	case t.name == "section" && has("end") && t.cause == "":
		e.skip = true // every procedure has those
	case t.name == "section" && has("end"):
		e.place = x.add(Finding, t.id)
		e.place.cause = t.cause
	case t.name == "section" && has("state"):
		e.place = x.add(State, t.id)
	case t.name == "form" && has("calculator"):
		e.place = x.add(Calculator, t.id)
	case heading && t.id != "" && !x.guided && e.place.Kind != State && e.place.Kind != Calculator:
		// What follows the heading belongs to it, up to the next one.
		e.place = x.add(Part, t.id)
		x.top().place = e.place
		e.title = true
	case heading && !e.place.titled && e.place.Kind != Sheet && e.place.Kind != Part:
		e.title = true
	case t.name == "tr" && !x.guided:
		x.row = newExtracted(Place{Kind: Value})
	}
	e.hazard = has("hazard") && (!x.theory || e.place.Kind == Sheet)
	if e.title {
		e.place.titled = true
	}
	if e.title && has("number") {
		e.mark = true
	}
	if spec := t.spec; spec != "" {
		x.names(e.place, spec)
		if x.row != nil {
			x.names(x.row, spec)
			if x.row.ID == "" {
				x.row.ID = "_spec-" + spec // where the page prints it first
			}
		}
	}
	if t.reading != "" {
		x.names(e.place, t.reading)
	}
	if !void[t.name] && !closed {
		x.open = append(x.open, e)
	}
}

func (x *extractor) names(p *extracted, spec string) {
	if !slices.Contains(p.specs, spec) {
		p.specs = append(p.specs, spec)
	}
}

func (x *extractor) add(kind Kind, id string) *extracted {
	p := newExtracted(Place{Kind: kind, ID: id})
	x.places = append(x.places, p)
	return p
}

func (x *extractor) end(name string) {
	if void[name] {
		return
	}
	for i := len(x.open) - 1; i > 0; i-- {
		if x.open[i].name != name {
			continue
		}
		if line[name] {
			x.breakLine(&x.open[i])
		}
		x.open = x.open[:i]
		break
	}
	if name == "tr" && x.row != nil {
		if len(x.row.specs) > 0 && !x.top().skip {
			x.places = append(x.places, x.row)
		} else {
			x.row.done()
		}
		x.row = nil
	}
}

// breakLine begins a new line of text.
func (x *extractor) breakLine(e *element) {
	targets := []*extracted{e.place}
	if x.row != nil {
		targets = append(targets, x.row)
	}
	for _, p := range targets {
		if b := p.text.Bytes(); len(b) > 0 && b[len(b)-1] != '\n' {
			p.text.Truncate(len(bytes.TrimRight(b, " ")))
			p.text.WriteByte('\n')
		}
	}
}

// write adds text, blanks and line ends as one blank.
func (x *extractor) write(text []byte) {
	e := x.top()
	if e.skip {
		return
	}
	if e.mark {
		e.place.Mark = strings.TrimSpace(string(text))
		return
	}
	if e.hazard {
		e.place.hazards = append(e.place.hazards, strings.TrimSpace(string(text)))
		return
	}
	if e.title {
		title := collapse(e.place.Title + string(text))
		e.place.Title = title
		return
	}
	for _, p := range [...]*extracted{e.place, x.row} {
		if p == nil {
			continue
		}
		last := byte('\n')
		if b := p.text.Bytes(); len(b) > 0 {
			last = b[len(b)-1]
		}
		for i := 0; i < len(text); {
			switch c, size := utf8.DecodeRune(text[i:]); {
			case isBlank(text[i]):
				if last != ' ' && last != '\n' {
					p.text.WriteByte(' ')
				}
				last, i = ' ', i+1
			case c >= utf8.RuneSelf:
				if c != '\u00AD' {
					p.text.WriteRune(c)
					last = 0
				}
				i += size
			default:
				from := i
				for i < len(text) && text[i] < utf8.RuneSelf && !isBlank(text[i]) {
					i++
				}
				p.text.Write(text[from:i])
				last = 0
			}
		}
	}
}

func isBlank(b byte) bool { return b == ' ' || b == '\n' || b == '\t' || b == '\r' }

// collapse leaves one blank of several, and none at the beginning.
func collapse(s string) string {
	end := s != "" && strings.HasSuffix(s, " ")
	s = strings.Join(strings.FieldsFunc(s, func(c rune) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }), " ")
	if end && s != "" {
		s += " "
	}
	return s
}
