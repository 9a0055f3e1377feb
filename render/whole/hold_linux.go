package whole

import (
	"os"

	"golang.org/x/sys/unix"
)

// hold marks a file or a folder as in use by this process, for as long as what it returns is
// open. The error is errHeld if another process holds it.
func hold(name string) (*os.File, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		f.Close()
		if err == unix.EWOULDBLOCK {
			err = errHeld
		}
		return nil, err
	}
	return f, nil
}
