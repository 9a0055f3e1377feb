//go:build !unix

package whole

import "io/fs"

// SameOwner tells nothing here: owners are not in what is known of a file.
func SameOwner(_, _ fs.FileInfo) bool { return true }
