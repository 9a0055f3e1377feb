package source

import (
	"iter"
	"strings"
)

// List is a list of texts without zeros in one piece of memory, a zero behind each: of what is held of ten thousand pages
// the collector looks at each piece, and at each thing that leads to one, again and again, and a text that is a piece of
// its page would hold all of that.
type List string

// Together puts texts together.
func Together(list []string) List {
	if len(list) == 0 {
		return ""
	}
	return List(strings.Join(list, "\x00") + "\x00")
}

// All are the texts.
func (l List) All() iter.Seq[string] {
	return func(yield func(string) bool) {
		for rest := string(l); rest != ""; {
			var text string
			if text, rest, _ = strings.Cut(rest, "\x00"); !yield(text) {
				return
			}
		}
	}
}

// Has tells whether a text is among them.
func (l List) Has(text string) bool {
	for s := range l.All() {
		if s == text {
			return true
		}
	}
	return false
}
