// Package whole writes single files: each is under its name when the disk has all of it, and not before, so
// that a reader, a process that is killed and a loss of power find the old text or the new one. What a killed
// process left beside it is cleared away by the next one that writes into the folder.
//
// In: a name and a text. Out: a file, or an error that leaves what was there.
// It imports nothing of the project.
package whole

import (
	"crypto/rand"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// errIrregular says that a name is of a device, a pipe or a folder: a file in its place would take it from all others.
var errIrregular = errors.New("it is no regular file")

// Replace writes a file in the place of another one, whose mode it has, or where there is none. A link
// stays, and what it leads to is replaced.
func Replace(name string, text []byte) error {
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real
	}
	mode := os.FileMode(0o644)
	old, err := os.Stat(name)
	there := err == nil
	if there && !old.Mode().IsRegular() {
		return &fs.PathError{Op: "replace", Path: name, Err: errIrregular}
	} else if there {
		mode = old.Mode().Perm()
	}
	aside, held, err := write(name, text, mode)
	if err != nil {
		return err
	}
	defer held.Close()
	defer os.Remove(aside) // gone already where all went well
	if there {             // what the mask of the user takes from a new file, an old one may have
		if err := os.Chmod(aside, mode); err != nil {
			return err
		}
	}
	return os.Rename(aside, name)
}

// New writes a file that must not be there yet: where one is, the error is fs.ErrExist.
func New(name string, text []byte, mode os.FileMode) error {
	if _, err := os.Lstat(name); err == nil {
		return &fs.PathError{Op: "create", Path: name, Err: fs.ErrExist}
	}
	aside, held, err := write(name, text, mode)
	if err != nil {
		return err
	}
	defer held.Close()
	defer os.Remove(aside)
	if err := os.Link(aside, name); err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	// A disk without links: who makes the same file at this moment loses it.
	return os.Rename(aside, name)
}

// write writes a text beside a name, waits until the disk has it, and holds what it wrote. A name that begins with a dot is
// no part of a handbook.
func write(name string, text []byte, mode os.FileMode) (aside string, held *os.File, err error) {
	dir := filepath.Dir(name)
	Clear(dir, Left)
	var f *os.File
	aside, held, err = Aside(func() (aside string, err error) {
		f.Close() // one that was taken away
		aside = filepath.Join(dir, leftPrefix+rand.Text())
		f, err = os.OpenFile(aside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		return aside, err
	})
	if err != nil {
		return "", nil, err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		err = errors.Join(err, os.Remove(aside))
		held.Close()
		return "", nil, err
	}
	return aside, held, nil
}
