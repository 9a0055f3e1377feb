package search

import "strings"

// mostKnown bounds the words, and the figures, that are remembered as they stand in texts.
const mostKnown = 1 << 15

// vocabulary remembers words as they stand in texts. Nearly all that a reader of texts does is to
// ask for words, so that they are found by a hash that is made while a word's end is looked for.
type vocabulary struct {
	words   []known               // in the order in which they came
	slots   [2 * mostKnown]uint16 // by hash: the number of a word from 1 on, or 0; at most half of them are taken
	figures map[figure]*word
}

type known struct {
	raw  string
	hash uint32
	word *word
}

// figure is a number with its unit.
type figure struct {
	value float64
	unit  *measured
}

func newVocabulary() *vocabulary {
	return &vocabulary{figures: map[figure]*word{}}
}

// The hash of a word goes over its characters, as FNV-1a does over bytes.
const (
	firstHash  uint32 = 2166136261
	hashFactor uint32 = 16777619
)

// find returns a word that is known, or nil.
func (v *vocabulary) find(raw string, hash uint32) *word {
	if v == nil {
		return nil
	}
	for at := slot(hash); v.slots[at] > 0; at++ {
		if k := &v.words[v.slots[at]-1]; k.hash == hash && k.raw == raw {
			return k.word
		}
	}
	return nil
}

// add remembers a word, while there is room.
func (v *vocabulary) add(raw string, hash uint32, w *word) {
	if v == nil || len(v.words) >= mostKnown {
		return
	}
	at := slot(hash)
	for v.slots[at] > 0 {
		at++
	}
	v.words = append(v.words, known{strings.Clone(raw), hash, w})
	v.slots[at] = uint16(len(v.words))
}

// slot is where a hash is looked for first; behind the last comes the first. The upper bits of a product are
// the well mixed ones.
func slot(hash uint32) uint16 { return uint16(hash >> 16) }
