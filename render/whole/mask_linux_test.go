package whole

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A new file has what the user's mask leaves; one that is replaced has the mode that it had.
func TestMask(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a")
	defer syscall.Umask(syscall.Umask(0o077))
	for _, mode := range []os.FileMode{0o600, 0o664} {
		if err := Replace(name, []byte("text")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%v, %v, want %v", info.Mode(), err, mode)
		}
		if err := os.Chmod(name, 0o664); err != nil {
			t.Fatal(err)
		}
	}
}

// What is written to a pipe or a device does not take its place.
func TestReplacePipe(t *testing.T) {
	name := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(name, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Replace(name, []byte("text")); !errors.Is(err, errIrregular) {
		t.Errorf("%v, want that it is no regular file", err)
	}
	if info, err := os.Lstat(name); err != nil || info.Mode()&os.ModeNamedPipe == 0 {
		t.Errorf("%v, %v: the pipe is gone", info, err)
	}
}
