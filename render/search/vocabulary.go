package search

import "strings"

// mostKnown bounds the words, and the figures, that are remembered as they stand in texts.
const mostKnown = 1 << 15

// vocabulary remembers words as they stand in texts. Nearly all that a reader of texts does is to
// ask for words, so that they are found by a hash that is made while a word's end is looked for.
type vocabulary struct {
	slots   []*known // by hash; a power of two, of which half are free at least
	count   int
	figures map[figure]*word
}

// known is a word as it stands in texts.
type known struct {
	word
	raw  string
	hash uint32
}

// figure is a number with its unit.
type figure struct {
	value float64
	unit  *measured
}

func newVocabulary() *vocabulary {
	return &vocabulary{slots: make([]*known, 1<<10), figures: map[figure]*word{}}
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
	for i := hash; ; i++ {
		k := v.slots[v.slot(i)]
		if k == nil {
			return nil
		}
		if k.hash == hash && k.raw == raw {
			return &k.word
		}
	}
}

// add remembers a word, while there is room, and returns it.
func (v *vocabulary) add(raw string, hash uint32, w word) *word {
	if v == nil || v.count >= mostKnown {
		return &w
	}
	if v.count++; 2*v.count > len(v.slots) {
		old := v.slots
		v.slots = make([]*known, 2*len(old))
		for _, k := range old {
			if k != nil {
				v.put(k)
			}
		}
	}
	k := &known{w, strings.Clone(raw), hash} // not a piece of the text, which would be kept
	v.put(k)
	return &k.word
}

func (v *vocabulary) put(k *known) {
	i := k.hash
	for v.slots[v.slot(i)] != nil {
		i++
	}
	v.slots[v.slot(i)] = k
}

// slot is where a hash is looked for first; behind the last comes the first.
func (v *vocabulary) slot(hash uint32) uint32 { return hash & uint32(len(v.slots)-1) }
