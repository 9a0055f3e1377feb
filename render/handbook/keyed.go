package handbook

import "iter"

// Keyed finds pages by their key, of which there is one in each language. It has numbers of pages and not lists of them, at which
// the collector would look again and again.
type Keyed struct {
	pages []*Page
	first map[string]int32 // the first page of a key
	next  []int32          // of each page, the next one of its key; 0 where there is none
}

// ByKey puts pages in order by their key.
func ByKey(pages []*Page) *Keyed {
	k := &Keyed{pages: pages, first: make(map[string]int32, len(pages)), next: make([]int32, len(pages))}
	last := map[string]int32{} // of keys with several
	for i, p := range pages {
		n := int32(i)
		first, several := k.first[p.Key]
		if !several {
			k.first[p.Key] = n
			continue
		}
		if before := last[p.Key]; before > 0 {
			first = before
		}
		k.next[first], last[p.Key] = n, n
	}
	return k
}

// All are the pages of a key.
func (k *Keyed) All(key string) iter.Seq[*Page] {
	return func(yield func(*Page) bool) {
		n, ok := k.first[key]
		for ok && yield(k.pages[n]) {
			n = k.next[n]
			ok = n > 0
		}
	}
}

// Several tells whether a key has more than one page.
func (k *Keyed) Several(key string) bool {
	n, ok := k.first[key]
	return ok && k.next[n] > 0
}

// has tells whether a key has a page in a language.
func (k *Keyed) has(key, lang string) bool {
	for p := range k.All(key) {
		if p.Lang == lang {
			return true
		}
	}
	return false
}
