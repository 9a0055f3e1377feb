// Package search makes the index with which a phone finds a place of the
// handbook: a sheet, a step, a finding, a calculator, a specified value.
//
// In: the handbook and its pages as they were rendered. Out: scripts that hold
// the index and the texts for excerpts, and Find, which ranks as the phone does.
// It may import even, handbook, jsontext, calc/unit and calc/typo.
//
// The same input gives the same bytes. A page is in one segment of the index and
// in one file of excerpts, so that a changed page changes those two.
package search

import "strings"

// Kind is what a place is.
type Kind byte

// The kinds, as the index writes them; theme/script/search.ts has the same.
const (
	Sheet      Kind = 'p' // the head of a page
	Part       Kind = 'h' // a heading of a page
	Step       Kind = 's'
	Finding    Kind = 'e' // a cause or another end
	Calculator Kind = 'c'
	Value      Kind = 'v' // a row of a table with a specified value
	State      Kind = 'f' // an engine state of the finder
)

// Place is a place that a search may lead to.
type Place struct {
	Kind    Kind
	ID      string // of the element to open, "" for the page
	Mark    string // the number of a step or the letter of a finding
	Title   string
	Lead    string // symptom and purpose
	Names   string // parts, specifications and models that belong to it
	Hazards string // titles of those that it warns of
	Text    string // lines as they stand on the page
	Ranges  []Range
}

// Range is what the limits of a specification allow, in the unit of the measure. Where
// the specification has another unit the measure is marked as converted, and a second
// range, without a measure, has the limits as they are written.
type Range struct {
	Measure  string
	Min, Max float64
}

// converted is the mark before such a measure.
const converted = "~"

func (r Range) converted() bool { return strings.HasPrefix(r.Measure, converted) }

// Page is a page with its places; the first is the page itself.
type Page struct {
	Path   string // of its file in the edition
	Key    string // the same in every language
	Sheet  string
	Title  string
	Models []string // ids of those that it holds for; nil for all
	Gone   string   // what has superseded it, in the page's words
	Places []Place

	taken *Taken // once a reader has taken it
}

// Index is the index of one language.
type Index struct {
	*Plan
	segments []*segment
	synonyms [][][]string // lists of what means the same, each a text's terms
	places   []place      // of all segments, one after the other
	lexicon  map[string][]posting
	counts   map[string]int // in how many places a term is
	terms    []string       // of the lexicon, sorted
	said     []string       // terms of the synonyms, sorted
	text     float64        // average length of a text
	title    float64        // and of a title
}

// place is a place as the ranking sees it.
type place struct {
	page   *Page
	first  int // number of its page's first place
	at     int // which of the page's places
	text   int // length of the text in words, in steps of lengthStep
	title  int // of the title
	ranges []Range
}

// posting says in which fields of a place a term stands.
type posting struct {
	place int32
	fields
}

// fields are those in which a term stands, and in a text how often, up to maxText.
type fields uint8

const (
	inText    fields = 1
	inTitle   fields = 1 << 2
	inLead    fields = 1 << 3
	inNames   fields = 1 << 4
	inHazards fields = 1 << 5

	maxText = 3
)

// text is how often the term stands in the text.
func (f fields) text() int { return int(f & maxText) }

// with adds that the term stands in a field.
func (f fields) with(in fields) fields {
	if in == inText {
		return f&^maxText | min(f&maxText+1, maxText)
	}
	return f | in
}

// lengthStep is how many words of a text are told apart.
const lengthStep = 4
