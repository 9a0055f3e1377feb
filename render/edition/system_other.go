//go:build !linux

package edition

import (
	"errors"
	"os"
)

// exchange swaps two folders in one step, where the system has such a thing.
func exchange(a, b string) error { return errors.ErrUnsupported }

// hold marks a folder as in use by this process. Where that cannot be told,
// every folder counts as in use, and none is cleared away.
func hold(dir string) (*os.File, error) { return nil, errors.ErrUnsupported }
