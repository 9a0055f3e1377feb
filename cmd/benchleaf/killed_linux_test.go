package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"unsafe"

	"golang.org/x/sys/unix"
)

var every = flag.Bool("every", false, "kill commands before each of their changes on the disk")

// TestKilled kills commands before each of their changes on the disk, or some twenty of them, with -every all: what they make is there whole or not at all,
// what was there before is whole, and the next run clears away what is left beside it.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("a killed process tells nothing; other tests run each command")
	}
	run := func(t *testing.T, args ...string) {
		t.Helper()
		var errs bytes.Buffer
		if status := Run(args, strings.NewReader(""), &errs, &errs); status != statusDone {
			t.Fatalf("%q: %d, %s", args, status, &errs)
		}
	}
	write := func(t *testing.T, name, text string) {
		t.Helper()
		if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	edition := func(t *testing.T) { run(t, "compile", "-fresh") }
	change := func(t *testing.T) { write(t, "content/en/a.md", "# A\n\nNew.\n") }
	changed := func(t *testing.T) {
		edition(t)
		change(t)
	}
	for _, c := range []struct {
		name    string
		args    []string
		prepare func(t *testing.T)
		kind    kind
	}{
		{"begin a page", []string{"begin", "-title", "Coil", "page", "coil"}, nil, once},
		{"begin a handbook", []string{"begin", "handbook", "new"}, nil, once},
		{"begin a handbook in an empty folder", []string{"begin", "handbook", "new"}, func(t *testing.T) {
			if err := os.Mkdir("new", 0o755); err != nil {
				t.Fatal(err)
			}
		}, once},
		{"compile", []string{"compile", "-fresh"}, changed, 0},
		{"bind", []string{"bind", "-out", "bound.html"}, func(t *testing.T) {
			run(t, "bind", "-out", "bound.html")
			change(t)
		}, 0},
		{"publish", []string{"publish", "edition", "host"}, func(t *testing.T) {
			edition(t)
			run(t, "publish", "edition", "host")
			changed(t)
			edition(t)
		}, 0},
		{"make a key", []string{"sign", "-new", "key"}, nil, once | single | drawn},
		{"sign", []string{"sign", "-key", "key", "edition"}, func(t *testing.T) {
			edition(t)
			run(t, "sign", "-new", "key")
		}, drawn},
		{"schemas", []string{"schema"}, func(t *testing.T) { write(t, "schemas/handbook.schema.json", "{}") }, single},
	} {
		t.Run(c.name, func(t *testing.T) {
			begin := func() {
				t.Helper()
				if status, _, errs := try(t, good, "audit"); status != statusDone {
					t.Fatal(errs)
				}
				if c.prepare != nil {
					c.prepare(t)
				}
			}
			begin()
			old, _ := made(t, c.kind)
			run(t, c.args...)
			done, _ := made(t, c.kind)
			begin()
			changes := killed(t, -1, c.args...)
			within, apart := 0, max(1, changes/15)
			if *every {
				apart = 1
			}
			for n := 1; n <= changes; n += apart {
				begin()
				killed(t, n, c.args...)
				got, left := made(t, c.kind)
				if len(left) > 0 {
					within++
				}
				if !maps.Equal(got, old) && !maps.Equal(got, done) && (c.kind&single == 0 || !between(got, old, done)) {
					t.Fatalf("killed before change %d of %d, it left neither the old nor the new: %q", n, changes, slices.Sorted(maps.Keys(got)))
				}
				if c.kind&once != 0 && maps.Equal(got, done) {
					continue
				}
				run(t, c.args...)
				if got, left := made(t, c.kind); !maps.Equal(got, done) || len(left) > 0 {
					t.Fatalf("killed before change %d of %d and run again, it made something else, or left %q", n, changes, left)
				}
			}
			if within == 0 {
				t.Errorf("of %d changes, it was never killed with something aside", changes)
			}
			t.Logf("%d changes; with something aside %d times", changes, within)
		})
	}
}

// kind is how a command makes what it makes.
type kind int

const (
	once   kind = 1 << iota // what is there as a whole is not made again
	single                  // each file by itself is old or new
	drawn                   // what it makes has random parts
)

// made returns the files of this folder, and apart from them the names of those that lie beside something.
func made(t *testing.T, k kind) (files map[string]string, left []string) {
	t.Helper()
	files = map[string]string{}
	for name, text := range folderOf(t, ".") {
		if strings.HasPrefix(name, ".") && name != "." || strings.Contains(name, "/.") {
			left = append(left, name)
		} else if text != "folder" {
			files[name] = text
			if k&drawn != 0 {
				files[name] = fmt.Sprint(len(text))
			}
		}
	}
	return files, left
}

// between tells whether each file is the old one or the new one.
func between(got, old, done map[string]string) bool {
	for _, name := range slices.Concat(slices.Collect(maps.Keys(old)), slices.Collect(maps.Keys(done)), slices.Collect(maps.Keys(got))) {
		is := func(m map[string]string) bool {
			text, there := got[name]
			other, was := m[name]
			return there == was && text == other
		}
		if !is(old) && !is(done) {
			return false
		}
	}
	return true
}

// changing are the system calls by which the program changes what lies on a disk.
var changing = []uint64{unix.SYS_OPENAT, unix.SYS_WRITE, unix.SYS_PWRITE64, unix.SYS_FSYNC, unix.SYS_LINKAT, unix.SYS_RENAMEAT, unix.SYS_RENAMEAT2,
	unix.SYS_UNLINKAT, unix.SYS_MKDIRAT, unix.SYS_FCHMOD, unix.SYS_FCHMODAT, unix.SYS_SYMLINKAT}

// killed runs the program, kills it before it changes anything for the nth time, and says how often it was about to change
// something. With less than n it came to its end.
func killed(t *testing.T, n int, args ...string) (changed int) {
	t.Helper()
	runtime.LockOSThread() // who began the process is who can trace it
	defer runtime.UnlockOSThread()
	c := exec.Command(os.Args[0], args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	c.SysProcAttr = &syscall.SysProcAttr{Ptrace: true}
	if err := c.Start(); errors.Is(err, syscall.EPERM) {
		t.Skipf("no process can be traced here: %v", err)
	} else if err != nil {
		t.Fatal(err)
	}
	pid, dead, first := c.Process.Pid, false, true
	defer c.Process.Release()
	for {
		var status unix.WaitStatus
		thread, err := unix.Wait4(-1, &status, unix.WALL, nil)
		if err != nil {
			t.Fatal(err)
		}
		if status.Exited() || status.Signaled() {
			if thread == pid {
				if !dead && status.ExitStatus() != statusDone {
					t.Fatalf("%q ended with %d", args, status.ExitStatus())
				}
				return changed
			}
			continue
		}
		signal := 0
		switch {
		case first: // it is about to begin
			first = false
			if err := unix.PtraceSetOptions(pid, unix.PTRACE_O_TRACESYSGOOD|unix.PTRACE_O_TRACECLONE|unix.PTRACE_O_EXITKILL); err != nil {
				t.Fatal(err)
			}
		case status.StopSignal() == unix.SIGTRAP|0x80:
			if !dead && changes(thread) {
				changed++
			}
			if changed == n && !dead {
				dead = true
				if err := unix.Kill(pid, unix.SIGKILL); err != nil {
					t.Fatal(err)
				}
			}
		case status.StopSignal() != unix.SIGTRAP && status.StopSignal() != unix.SIGSTOP:
			signal = int(status.StopSignal())
		}
		if err := unix.PtraceSyscall(thread, signal); err != nil && !errors.Is(err, unix.ESRCH) {
			t.Fatal(err)
		}
	}
}

// changes tells whether a thread is about to change something on a disk.
func changes(thread int) bool {
	const entry = 1
	var info [88]byte // struct ptrace_syscall_info, ptrace(2)
	size, _, errno := unix.Syscall6(unix.SYS_PTRACE, unix.PTRACE_GET_SYSCALL_INFO, uintptr(thread), uintptr(len(info)), uintptr(unsafe.Pointer(&info[0])), 0, 0)
	if errno != 0 || size < 72 || info[0] != entry {
		return false
	}
	call, flags := binary.NativeEndian.Uint64(info[24:]), binary.NativeEndian.Uint64(info[48:])
	return slices.Contains(changing, call) && (call != unix.SYS_OPENAT || flags&(unix.O_WRONLY|unix.O_RDWR|unix.O_CREAT) != 0)
}
