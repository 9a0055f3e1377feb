// Package language helps an editor with a handbook: a server of the Language Server
// Protocol 3.17 that tells remarks on texts as they are typed, completes names, shows what
// a specification says, leads to where a name is defined, and gives it another name
// wherever it stands.
//
// In: the protocol's messages, and a Judge. Out: the protocol's messages.
// It may import calc, handbook, remark and source.
//
// Names are found in the texts as they are (scan.go), for a text that is being typed is
// seldom whole. What the build says of a text comes from the Judge.
package language

import (
	"context"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// Judged is a handbook as the build judges it.
type Judged struct {
	Book    *handbook.Handbook
	Remarks remark.List
	Apart   remark.List         // the same, where there are several of one mistake each at its place
	Texts   map[string][]byte   // of pages and data files, by path
	Digests map[string][]string // that translations may record, by page, in its order
}

// Judge judges a handbook's folder.
type Judge interface {
	// Judge takes unsaved texts, by path, in the place of what lies in the folder.
	Judge(ctx context.Context, unsaved map[string][]byte) (*Judged, error)
}
