package search

import (
	"bytes"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"benchleaf/render/even"
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
	row    row // the table row at hand
}

// row is a table row, whose text is what is added to that of its place.
type row struct {
	extracted
	in   *extracted // nil: there is none at hand
	from int
}

// extracted is a place with its text being put together.
type extracted struct {
	Place
	cause   string        // of a finding
	specs   []string      // named in it, each once
	text    *bytes.Buffer // nil of a row
	hazards []string      // that it warns of
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
	*kind
	skip   bool // nothing in it is read
	title  bool // it is the title of its place
	mark   bool // it is the number of its place
	hazard bool // it is the title of a hazard
	// reading: it is of a reading or of the page's head, where terms are the theme's.
	reading bool
	place   *extracted // that what stands in it belongs to
}

// kind is what elements of a name are.
type kind struct {
	name    string
	line    bool // it begins a line of its own
	void    bool
	unread  bool // its text is no reader's: a control, a listing, a picture
	heading bool
	listing bool // of nothing but text and what is within a line, none of it read
}

// kinds are the elements that pages have, by the first letter of their names.
var kinds = func() (by [256][]*kind) {
	m := map[string]*kind{}
	for _, of := range []struct {
		names string
		set   func(*kind)
	}{
		{"a b body code em i kbd label span strong sub sup", func(*kind) {}},
		{"address article aside blockquote br caption dd details div dl dt fieldset figcaption figure footer form h1 h2 h3 h4 h5 h6 header hr legend li main nav ol p pre section summary table tbody td th thead tr ul",
			func(k *kind) { k.line = true }},
		{"area base br col embed hr img input link meta source track wbr path circle rect line polyline polygon use", func(k *kind) { k.void = true }},
		{"script style title nav footer select button pre svg textarea output h1", func(k *kind) { k.unread = true }},
		{"h2 h3 h4", func(k *kind) { k.heading = true }},
		{"pre", func(k *kind) { k.listing = true }},
	} {
		for _, name := range strings.Fields(of.names) {
			if m[name] == nil {
				m[name] = &kind{name: name}
				by[name[0]] = append(by[name[0]], m[name])
			}
			of.set(m[name])
		}
	}
	return by
}()

// kindOf is what elements of a name are.
func kindOf(name []byte) *kind {
	for _, k := range kinds[name[0]] {
		if k.name == string(name) {
			return k
		}
	}
	return &kind{name: string(name)}
}

// classes are what the search knows an element by.
type classes uint16

const (
	unreadClass classes = 1 << iota // its text is no reader's
	readingClass
	listClass // of other pages
	supersededClass
	bulletinsClass
	stepClass
	endClass
	stateClass
	calculatorClass
	hazardClass
	numberClass
)

var classNames = func() map[string]classes {
	m := map[string]classes{"reading": readingClass, "facts": readingClass, "answers": listClass, "pages": listClass, "superseded": supersededClass, "bulletins": bulletinsClass,
		"step": stepClass, "end": endClass, "state": stateClass, "calculator": calculatorClass, "hazard": hazardClass, "number": numberClass}
	for _, name := range strings.Fields("skip bar lines address script-note not-applicable resumed keys begin kind repeated source minutes taken ends signal self-check change aged history") {
		m[name] = unreadClass
	}
	return m
}()

// extract reads a page. The first place is the page itself. gone says what has superseded it.
func extract(page []byte, sheet string) (places []*extracted, gone string) {
	x := &extractor{theory: sheet == "theory", guided: sheet == "procedure", finder: sheet == "finder", places: []*extracted{newExtracted(Place{Kind: Sheet})}, gone: newExtracted(Place{})}
	x.open = []element{{place: x.places[0]}}
	if at := bytes.Index(page, []byte("<body")); at > 0 {
		page = page[at:] // the head, style and all, is as long as most bodies
	}
	t := tags{page: page}
	for {
		more := t.next()
		if len(t.text) > 0 {
			x.write(t.text)
		}
		if !more {
			for _, p := range x.places {
				if p.Hazards = strings.Join(p.hazards, "\n"); p.text != nil {
					p.Text = p.done()
				}
			}
			return x.places, x.gone.done()
		}
		switch name, end, closed := t.name(); {
		case len(name) == 0:
		case end:
			x.end(name)
		default:
			k := kindOf(name)
			x.begin(tagOf(&t, k), closed)
			if k.listing {
				t.pass(k.name) // each letter run of a listing is an element
			}
		}
	}
}

func (x *extractor) top() *element { return &x.open[len(x.open)-1] }

// tag is a start tag, with what of its attributes the search looks at.
type tag struct {
	*kind
	classes
	id, step, cause, spec, reading string
	hidden, outcome                bool
}

func (t *tag) has(of classes) bool { return t.classes&of != 0 }

// tagOf reads the tag at hand. Pages consist of them: one without attributes allocates nothing.
func tagOf(from *tags, of *kind) (t tag) {
	t.kind = of
	from.attributes(func(key, value []byte) {
		switch string(key) {
		case "id":
			t.id = string(value)
		case "class":
			for name := range bytes.FieldsSeq(value) {
				t.classes |= classNames[string(name)]
			}
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

func (x *extractor) begin(t tag, closed bool) {
	e := *x.top()
	e.kind = t.kind
	e.reading = e.reading || t.has(readingClass)
	e.skip = e.skip || t.hidden || t.unread || t.has(unreadClass) || t.outcome ||
		e.reading && (t.name == "dt" || t.name == "caption") || x.finder && t.has(listClass)
	if t.line {
		x.breakLine(&e)
	}
	switch {
	case e.skip:
	case t.has(supersededClass):
		e.place = x.gone
	case t.has(bulletinsClass): // each stands beside its value too
		e.skip = true
	case t.name == "section" && t.has(stepClass):
		e.place = x.add(Step, t.id)
		e.place.Mark = t.step
	case t.name == "section" && t.has(endClass) && t.cause == "":
		e.skip = true // every procedure has those
	case t.name == "section" && t.has(endClass):
		e.place = x.add(Finding, t.id)
		e.place.cause = t.cause
	case t.name == "section" && t.has(stateClass):
		e.place = x.add(State, t.id)
	case t.name == "form" && t.has(calculatorClass):
		e.place = x.add(Calculator, t.id)
	case t.heading && t.id != "" && !x.guided && e.place.Kind != State && e.place.Kind != Calculator:
		// What follows the heading belongs to it, up to the next one.
		e.place = x.add(Part, t.id)
		x.top().place = e.place
		e.title = true
	case t.heading && !e.place.titled && e.place.Kind != Sheet && e.place.Kind != Part:
		e.title = true
	case t.name == "tr" && !x.guided:
		x.row = row{extracted: extracted{Place: Place{Kind: Value}}, in: e.place, from: e.place.text.Len()}
	}
	e.hazard = t.has(hazardClass) && (!x.theory || e.place.Kind == Sheet)
	if e.title {
		e.place.titled = true
	}
	if e.title && t.has(numberClass) {
		e.mark = true
	}
	if spec := t.spec; spec != "" {
		x.names(e.place, spec)
		if x.row.in != nil {
			x.names(&x.row.extracted, spec)
			if x.row.ID == "" {
				x.row.ID = "_spec-" + spec // where the page prints it first
			}
		}
	}
	if t.reading != "" {
		x.names(e.place, t.reading)
	}
	if !t.void && !closed {
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

func (x *extractor) end(name []byte) {
	for i := len(x.open) - 1; i > 0; i-- {
		if x.open[i].name != string(name) {
			continue
		}
		if x.open[i].line {
			x.breakLine(&x.open[i])
		}
		x.open = x.open[:i]
		break
	}
	if x.row.in != nil && string(name) == "tr" {
		if len(x.row.specs) > 0 && !x.top().skip {
			p := x.row.extracted
			p.Text = string(bytes.TrimSpace(x.row.in.text.Bytes()[x.row.from:]))
			x.places = append(x.places, &p)
		}
		x.row.in = nil
	}
}

// breakLine begins a new line of text.
func (x *extractor) breakLine(e *element) {
	text := e.place.text
	if b := text.Bytes(); len(b) > 0 && b[len(b)-1] != '\n' {
		text.Truncate(len(bytes.TrimRight(b, " ")))
		text.WriteByte('\n')
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
	to := e.place.text
	blank := true // stands before
	if b := to.Bytes(); len(b) > 0 {
		blank = isBlank(b[len(b)-1])
	}
	from := 0 // of what goes as it is
	for i := 0; ; {
		if n := even.Length(text[i:], blank); n > 0 {
			i += n
			blank = text[i-1] == ' '
		}
		if i == len(text) {
			break
		}
		switch c := text[i]; {
		case isBlank(c):
			to.Write(text[from:i])
			if !blank {
				to.WriteByte(' ')
			}
			i++
			from, blank = i, true
		case bytes.HasPrefix(text[i:], []byte(softHyphen)):
			to.Write(text[from:i])
			i += len(softHyphen)
			from = i
		default: // and what else there is beyond ASCII
			for i++; i < len(text) && text[i] >= utf8.RuneSelf && text[i] != softHyphen[0]; {
				i++
			}
			blank = false
		}
	}
	to.Write(text[from:])
}

const softHyphen = "\u00AD"

func isBlank(b byte) bool { return b == ' ' || b == '\n' || b == '\t' || b == '\r' }

// collapse leaves one blank of several, and none at the beginning.
func collapse(s string) string {
	if even.Length(s, true) == len(s) {
		return s
	}
	end := s != "" && strings.HasSuffix(s, " ")
	s = strings.Join(strings.FieldsFunc(s, func(c rune) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }), " ")
	if end && s != "" {
		s += " "
	}
	return s
}
