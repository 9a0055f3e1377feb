//go:build unix

package whole

import (
	"io/fs"
	"syscall"
)

// SameOwner tells whether two files are of one owner and one group.
func SameOwner(a, b fs.FileInfo) bool {
	x, ok := a.Sys().(*syscall.Stat_t)
	y, known := b.Sys().(*syscall.Stat_t)
	return ok && known && x.Uid == y.Uid && x.Gid == y.Gid
}
