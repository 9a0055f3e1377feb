package edition

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// small mounts a disk in memory that has so many bytes, and returns what gives it another size.
// Without the right to mount one the test is left out.
func small(t *testing.T, size int) (dir string, resize func(int)) {
	t.Helper()
	dir = t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", 0, fmt.Sprint("size=", size)); err != nil {
		t.Skipf("no disk can be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := unix.Unmount(dir, unix.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir, func(size int) {
		if err := unix.Mount("tmpfs", dir, "tmpfs", unix.MS_REMOUNT, fmt.Sprint("size=", size)); err != nil {
			t.Fatal(err)
		}
	}
}

// build makes an edition of files, as far as the disk lets it.
func build(out string, files map[string]string) error {
	w, err := Begin(out, Manifest{Title: "T", Edition: "1"})
	if err != nil {
		return err
	}
	for name, text := range files {
		if err == nil {
			err = w.Write(name, []byte(text))
		}
	}
	if err == nil {
		err = w.Commit()
	}
	return errors.Join(err, w.Close())
}

// pages are files of some kilobytes, the same but for a word.
func pages(word string) map[string]string {
	files := map[string]string{"index.html": "the same"}
	for i := range 12 {
		files[fmt.Sprintf("en/p%d.html", i)] = strings.Repeat(fmt.Sprint(word, i, " "), 600)
	}
	return files
}

// TestFullDisk builds on a disk that is full at each page of memory on the way from nothing to
// enough. Until there is room for the new edition the old one is there, whole and alone, and the
// build says what it lacked.
func TestFullDisk(t *testing.T) {
	dir, resize := small(t, 1<<20)
	out := filepath.Join(dir, "edition")
	old := pages("old")
	if err := build(out, old); err != nil {
		t.Fatal(err)
	}
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		t.Fatal(err)
	}
	page := int(s.Bsize)
	full, made := 0, false
	for used := int(s.Blocks-s.Bfree) * page; !made; used += page {
		resize(used)
		err := build(out, pages("new"))
		switch {
		case err == nil:
			made = true
		case !errors.Is(err, unix.ENOSPC):
			t.Fatalf("with %d bytes: %v", used, err)
		default:
			full++
			holds(t, out, old)
		}
	}
	holds(t, out, pages("new"))
	if full < 12 {
		t.Errorf("the disk was full %d times", full)
	}
}

// TestReadOnly builds on a disk that can only be read, which not even root can write to.
func TestReadOnly(t *testing.T) {
	dir, _ := small(t, 1<<20)
	out := filepath.Join(dir, "edition")
	old := pages("old")
	if err := build(out, old); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mount("tmpfs", dir, "tmpfs", unix.MS_REMOUNT|unix.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{out, filepath.Join(dir, "other"), filepath.Join(dir, "new", "edition")} {
		if err := build(name, pages("new")); !errors.Is(err, unix.EROFS) {
			t.Errorf("%s: %v", name, err)
		}
	}
	holds(t, out, old)
}

// immutable sets what keeps everybody, root too, from changing what is in a folder, and takes
// it away in the end.
func immutable(t *testing.T, dir string) {
	t.Helper()
	f, err := os.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	flags, err := unix.IoctlGetUint32(int(f.Fd()), unix.FS_IOC_GETFLAGS)
	if err == nil {
		err = unix.IoctlSetPointerInt(int(f.Fd()), unix.FS_IOC_SETFLAGS, int(flags)|unix.STATX_ATTR_IMMUTABLE)
	}
	if err != nil {
		f.Close()
		t.Skipf("no folder can be locked here: %v", err)
	}
	t.Cleanup(func() {
		err := unix.IoctlSetPointerInt(int(f.Fd()), unix.FS_IOC_SETFLAGS, int(flags))
		if err = errors.Join(err, f.Close()); err != nil {
			t.Error(err)
		}
	})
}

// TestNotPermitted builds where nothing can be made beside the edition, and where the edition itself
// cannot be moved.
func TestNotPermitted(t *testing.T) {
	for _, which := range []string{"the folder", "the edition"} {
		t.Run(which, func(t *testing.T) {
			dir := t.TempDir()
			out, old := filepath.Join(dir, "edition"), pages("old")
			if err := build(out, old); err != nil {
				t.Fatal(err)
			}
			locked := dir
			if which == "the edition" {
				locked = out
			}
			immutable(t, locked)
			if err := build(out, pages("new")); !errors.Is(err, os.ErrPermission) {
				t.Errorf("%v", err)
			}
			holds(t, out, old)
		})
	}
}

// TestLeftAnywhere: what a killed build left is cleared away in a folder whose name is a pattern
// too, and nothing of a neighbour that the pattern would fit.
func TestLeftAnywhere(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "a[b]*", "edition")
	left, other := filepath.Join(filepath.Dir(out), asidePrefix(out)+"1"), filepath.Join(parent, "ab-", asidePrefix(out)+"1")
	for _, dir := range []string{left, other} {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := build(out, pages("new")); err != nil {
		t.Fatal(err)
	}
	holds(t, out, pages("new"))
	if _, err := os.Stat(other); err != nil {
		t.Error(err)
	}
}

// TestFolderOfLink: an edition whose folder is a link is made where that leads, and the link stays.
func TestFolderOfLink(t *testing.T) {
	parent := t.TempDir()
	real, out := filepath.Join(parent, "real", "edition"), filepath.Join(parent, "edition")
	if err := build(real, pages("old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, out); err != nil {
		t.Fatal(err)
	}
	if err := build(out, pages("new")); err != nil {
		t.Fatal(err)
	}
	holds(t, real, pages("new"))
	if info, err := os.Lstat(out); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("%v %v", info, err)
	}
}

// TestClockSetBack: a file of the edition that somebody changed while the clock stood at the
// time of the build, at the same length, is told by its bytes where stamps are not known, and an edition made
// with a clock that was set back is the same.
func TestClockSetBack(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := pages("new")
	if err := build(out, files); err != nil {
		t.Fatal(err)
	}
	before := map[string][]byte{}
	read := func(into map[string][]byte) {
		t.Helper()
		for name := range files {
			text, err := os.ReadFile(filepath.Join(out, name))
			if err != nil {
				t.Fatal(err)
			}
			into[name] = text
		}
		into[ManifestName], _ = os.ReadFile(filepath.Join(out, ManifestName))
	}
	read(before)
	page := filepath.Join(out, "en", "p1.html")
	info, err := os.Stat(page)
	if err != nil {
		t.Fatal(err)
	}
	text := bytes.ToUpper(before["en/p1.html"])
	if err := errors.Join(os.WriteFile(page, text, 0o644), os.Chtimes(page, info.ModTime(), info.ModTime())); err != nil {
		t.Fatal(err)
	}
	if err := build(out, files); err != nil {
		t.Fatal(err)
	}
	after := map[string][]byte{}
	read(after)
	if !maps.EqualFunc(before, after, bytes.Equal) {
		t.Error("the edition is another one")
	}
}

// TestTerabyte: in the place of a page or of a pack somebody may have put a file that no memory holds. It is not read.
func TestTerabyte(t *testing.T) {
	for _, name := range []string{"en/p1.html", PackName(0), ShellPack} {
		out := filepath.Join(t.TempDir(), "edition")
		files := pages("new")
		if err := build(out, files); err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(filepath.Join(out, filepath.FromSlash(name)), 1<<40); err != nil {
			t.Fatal(err)
		}
		if err := build(out, files); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(filepath.Join(out, filepath.FromSlash(name))); err != nil || info.Size() != int64(len(want)) {
			t.Fatalf("%s: %v, %v, want %d bytes", name, info.Size(), err, len(want))
		}
		holds(t, out, files)
	}
}

// TestNoPlainList: in the place of a list of files somebody may have put what is read without end, or what
// gives nothing for ever.
func TestNoPlainList(t *testing.T) {
	for _, name := range []string{ManifestName, ShellPart, PartName(0)} {
		for kind, put := range map[string]func(string) error{
			"a link to a device": func(path string) error { return os.Symlink("/dev/zero", path) },
			"a pipe":             func(path string) error { return unix.Mkfifo(path, 0o644) },
			"a file of a terabyte": func(path string) error {
				f, err := os.Create(path)
				if err != nil {
					return err
				}
				return errors.Join(f.Truncate(1<<40), f.Close())
			},
		} {
			out := filepath.Join(t.TempDir(), "edition")
			commit(t, out, map[string]string{"a.html": "a"})
			path := filepath.Join(out, filepath.FromSlash(name))
			if err := errors.Join(os.Remove(path), put(path)); err != nil {
				t.Fatal(err)
			}
			if _, err := Begin(out, Manifest{}); !errors.Is(err, ErrForeign) {
				t.Errorf("%s as %s: %v, want ErrForeign", name, kind, err)
			}
			if _, err := Publish(out, filepath.Join(t.TempDir(), "host")); !errors.Is(err, ErrForeign) {
				t.Errorf("%s as %s, published: %v, want ErrForeign", name, kind, err)
			}
		}
	}
}
