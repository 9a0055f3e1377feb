package render

import (
	"os"
	"runtime/debug"
)

// Memory that a compilation may take before it is collected harder: enough for ten thousand
// pages, and for more of them what is known of each, half as much again; and for each that is held
// whole.
const (
	leastMemory = 204 << 20
	pageMemory  = 20 << 10
	heldMemory  = 256 << 10
)

// Pace lets garbage lie as long as there is memory for it: what a page is made with is
// garbage once it is written, and little of it is held. Who sets the collector's pace
// outside is left to it.
func Pace(pages, held int) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(300)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(max(leastMemory, int64(pages)*pageMemory+int64(held)*heldMemory))
	}
}
