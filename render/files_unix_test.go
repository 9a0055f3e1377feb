//go:build unix

package render_test

import (
	"syscall"
	"testing"
)

func pipe(t *testing.T, name string) {
	t.Helper()
	if err := syscall.Mkfifo(name, 0o644); err != nil {
		t.Fatal(err)
	}
}
