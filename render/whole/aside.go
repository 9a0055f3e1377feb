package whole

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// leftPrefix begins the names of files that are written aside; 26 letters and figures follow.
const leftPrefix = ".benchleaf-"

// Left tells whether a file is one that Replace or New write aside: where nobody holds it, a killed process left it.
func Left(d fs.DirEntry) bool {
	drawn, ok := strings.CutPrefix(d.Name(), leftPrefix)
	return ok && len(drawn) == 26 && d.Type().IsRegular()
}

// Clear removes from a folder what killed processes left there. What a process is still writing is held by it and stays;
// where the system cannot hold anything, all stays.
func Clear(dir string, left func(fs.DirEntry) bool) {
	entries, _ := os.ReadDir(dir)
	for _, d := range entries {
		if !left(d) {
			continue
		}
		name := filepath.Join(dir, d.Name())
		if held, err := hold(name); err == nil {
			os.RemoveAll(name)
			held.Close()
		}
	}
}

// errHeld says that another process holds a file or a folder.
var errHeld = errors.New("another process holds it")

// Aside makes a file or a folder with a name of its own and holds it for as long as what it returns is open; that is nil where
// the system cannot. In the moment before it is held another process may take it for one that was left: then it makes the next.
func Aside(create func() (name string, err error)) (name string, held *os.File, err error) {
	for range 100 {
		if name, err = create(); err != nil {
			return "", nil, err
		}
		held, err = hold(name)
		_, gone := os.Lstat(name)
		if gone == nil && !errors.Is(err, errHeld) {
			return name, held, nil
		}
		held.Close()
	}
	return "", nil, errHeld
}
