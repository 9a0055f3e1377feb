package source

import "strings"

// Together gives the texts of a list one piece of memory: of what is held of ten thousand pages the collector looks at each
// piece again and again, and a text that is a piece of its page would hold all of that.
func Together(list []string) []string {
	all := strings.Join(list, "")
	for i, s := range list {
		list[i], all = all[:len(s)], all[len(s):]
	}
	return list
}
