//go:build !unix

package render_test

import "testing"

// pipe skips the test: there are no named pipes in folders.
func pipe(t *testing.T, _ string) {
	t.Helper()
	t.Skip("no named pipes in folders here")
}
