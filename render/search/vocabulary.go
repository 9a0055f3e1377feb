package search

import (
	"math/bits"
	"strings"
)

// mostKnown bounds the words, and the figures, that are remembered as they stand in texts.
const mostKnown = 1 << 15

// vocabulary remembers of words, as they stand in texts, the numbers of their terms. Nearly all that a reader of
// texts does is to ask for words, between which the page is drawn: what counts is how much memory is touched. The words that
// pages are full of are met first, so that they lie together.
type vocabulary struct {
	words []known           // in the order in which they were met
	slots []uint16          // by hash, one more than where the word stands; a power of two, of which half are free at least
	long  map[string]uint32 // words for which a spelling is too short
}

// known is a word with the number of its term, 0 where it names nothing.
type known struct {
	word spelling
	term uint32
}

// spelling are the bytes of a word, the first lowest, with zeros behind them.
type spelling struct{ head, tail uint64 }

// longestSpelled is how many bytes a spelling has.
const longestSpelled = 16

func newVocabulary() *vocabulary {
	return &vocabulary{slots: make([]uint16, 1<<10), long: map[string]uint32{}}
}

// find returns the number of a word's term. known is whether the word is.
func (v *vocabulary) find(text string, from, to int) (term uint32, known bool) {
	if to-from > longestSpelled {
		term, known = v.long[text[from:to]]
		return term, known
	}
	at := *v.slot(spelled(text, from, to))
	if at == 0 {
		return 0, false
	}
	return v.words[at-1].term, true
}

// add remembers a word that is not known, while there is room.
func (v *vocabulary) add(word string, term uint32) {
	if len(v.words)+len(v.long) >= mostKnown {
		return
	}
	if len(word) > longestSpelled {
		v.long[strings.Clone(word)] = term // not a piece of the text, which would be kept
		return
	}
	v.words = append(v.words, known{spelled(word, 0, len(word)), term})
	if 2*len(v.words) <= len(v.slots) {
		v.place(len(v.words) - 1)
		return
	}
	v.slots = make([]uint16, 2*len(v.slots))
	for i := range v.words {
		v.place(i)
	}
}

// place puts a word into its slot.
func (v *vocabulary) place(i int) { *v.slot(v.words[i].word) = uint16(i + 1) }

// spelled is a word of a text.
func spelled(text string, from, to int) spelling {
	n := to - from
	if n <= 8 {
		return spelling{head: eight(text, from) & (1<<(8*uint(n)) - 1)}
	}
	return spelling{eight(text, from), eight(text, from+8) & (1<<(8*uint(n-8)) - 1)}
}

// eight are the eight bytes from an offset of a text on, the first lowest, with zeros behind its end.
func eight(text string, from int) (n uint64) {
	if from+8 <= len(text) {
		b := text[from : from+8]
		return uint64(b[0]) | uint64(b[1])<<8 | uint64(b[2])<<16 | uint64(b[3])<<24 | uint64(b[4])<<32 | uint64(b[5])<<40 | uint64(b[6])<<48 | uint64(b[7])<<56
	}
	for i := len(text) - 1; i >= from; i-- {
		n = n<<8 | uint64(text[i])
	}
	return n
}

// slot is that of a word, or the free one where it goes.
func (v *vocabulary) slot(word spelling) *uint16 {
	const factor = 0x9E3779B97F4A7C15 // 2 to the 64th by the golden ratio, which parts what is alike (Knuth, 6.4)
	hash := (word.head ^ factor*word.tail) * factor
	for i := bits.RotateLeft64(hash, 32); ; i++ { // its high half is mixed best
		s := &v.slots[i&uint64(len(v.slots)-1)]
		if *s == 0 || v.words[*s-1].word == word {
			return s
		}
	}
}
