// Package desk shows a handbook while it is written: it serves what a Builder
// makes on this machine alone, watches the folder, and tells open pages what
// has changed.
//
// In: a Builder and the folder to watch. Out: pages over http, and what to say
// on the terminal. It may import code, remark and theme.
package desk

import (
	"context"

	"benchleaf/render/remark"
)

// Built is a handbook as the desk shows it.
type Built struct {
	Files   map[string][]byte   // by path in the edition
	Pages   map[string][]string // source path -> paths of the pages made from it (finders included under their index.md)
	Remarks remark.List         // settled, sorted, quoted
	Stale   map[string]bool     // paths in Files that are the last good form, since their source has an error now
}

// Builder makes the handbook of what the folder holds now.
type Builder interface {
	// Build builds it. changed are source paths that may have changed, nil for "look
	// at all". The error tells of the machine; what was built before still stands.
	// What does not change keeps its slice of bytes from one Built to the next.
	Build(ctx context.Context, changed []string) (*Built, error)
}
