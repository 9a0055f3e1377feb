package edition

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"benchleaf/render/whole"
)

// lastOf is where the last edition lies while a swap without exchange is under way.
func lastOf(out string) string {
	return filepath.Join(filepath.Dir(out), "."+filepath.Base(out)+".last")
}

// swap puts aside in place of out. Where the system can, the two are exchanged
// in one step; elsewhere the last edition is moved away first, and a build that
// finds no edition but that one puts it back (recoverSwap).
func swap(aside, out string) error {
	if _, err := os.Lstat(out); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(aside, out)
	}
	if err := exchange(aside, out); err == nil {
		return nil // Close removes the last edition, which lies aside now
	}
	last := lastOf(out)
	if err := os.RemoveAll(last); err != nil {
		return err
	}
	if err := os.Rename(out, last); err != nil {
		return err
	}
	if err := os.Rename(aside, out); err != nil {
		return errors.Join(err, os.Rename(last, out))
	}
	return os.RemoveAll(last)
}

// recoverSwap finishes what a build that was killed in a swap began.
func recoverSwap(out string) error {
	last := lastOf(out)
	if _, err := os.Lstat(last); err != nil {
		return nil
	}
	if _, err := os.Lstat(out); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(last, out)
	}
	return os.RemoveAll(last)
}

// clearAway removes what builds that were killed wrote aside.
func clearAway(out string) {
	whole.Clear(filepath.Dir(out), func(d fs.DirEntry) bool {
		return d.IsDir() && strings.HasPrefix(d.Name(), asidePrefix(out))
	})
}

func asidePrefix(out string) string { return "." + filepath.Base(out) + ".new-" }
