package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// asProgram makes the tests' binary the program itself, for a test that needs a process.
const asProgram = "BENCHLEAF_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// TestStopped stops a build of some hundred pages by Ctrl-C when the terminal says how far
// it is. The last edition stays, nothing lies beside it, and the bar has gone.
func TestStopped(t *testing.T) {
	files := map[string]string{}
	for name, text := range good {
		files[name] = text
	}
	if status, _, errs := try(t, files, "compile"); status != statusDone {
		t.Fatal(errs)
	}
	for i := range 600 {
		text := fmt.Sprintf("# Page %d\n\n%s\n", i, strings.Repeat("Pull the fuse, then read the voltage at the heater. ", 30))
		if err := os.WriteFile(fmt.Sprintf("content/en/p%d.md", i), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	before := folderOf(t, ".")
	tty, screen := pseudoTerminal(t, 100)
	program := exec.Command(os.Args[0], "compile")
	program.Env = append(os.Environ(), asProgram+"=1")
	program.Stderr = tty
	var stdout bytes.Buffer
	program.Stdout = &stdout
	if err := program.Start(); err != nil {
		t.Fatal(err)
	}
	tty.Close()
	var shown []byte
	stopped := false // a second signal would end it at once
	for buffer := make([]byte, 4096); ; {
		n, err := screen.Read(buffer)
		if shown = append(shown, buffer[:n]...); err != nil {
			break // nobody has the terminal open any more
		}
		if !stopped && bytes.Contains(shown, []byte("drawing")) {
			if stopped = true; program.Process.Signal(unix.SIGINT) != nil {
				t.Error("it had ended before it could be stopped")
			}
		}
	}
	var ended *exec.ExitError
	if err := program.Wait(); !errors.As(err, &ended) || ended.ExitCode() != statusStopped {
		t.Errorf("%v, %q, want status %d", err, stdout.String(), statusStopped)
	}
	lines := strings.Split(strings.TrimSpace(string(shown)), "\r")
	if last := strings.TrimSpace(lines[len(lines)-1]); last != "benchleaf compile: stopped; nothing was written" {
		t.Errorf("the terminal ends with %q", last)
	}
	if after := folderOf(t, "."); !reflect.DeepEqual(after, before) {
		t.Errorf("%d files before, %d after, or others", len(before), len(after))
	}
}

// folderOf returns the files and folders below a folder, with what they hold.
func folderOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			found[name] = "folder"
			return err
		}
		data, err := os.ReadFile(name)
		found[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
