//go:build !linux

package edition

import "errors"

// exchange swaps two folders in one step, where the system has such a thing.
func exchange(a, b string) error { return errors.ErrUnsupported }
