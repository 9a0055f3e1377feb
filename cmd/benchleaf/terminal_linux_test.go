package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"benchleaf/render/remark"
)

// pseudoTerminal opens a terminal of so many columns: what is written to the one file
// can be read from the other.
func pseudoTerminal(t *testing.T, columns int) (tty, screen *os.File) {
	t.Helper()
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { screen.Close() })
	fd := int(screen.Fd())
	if err := unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err != nil {
		t.Fatal(err)
	}
	if tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0); err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { tty.Close() })
	if err := unix.IoctlSetWinsize(int(tty.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: uint16(columns)}); err != nil {
		t.Fatal(err)
	}
	return tty, screen
}

// TestTell holds that colours, and the width of lines, go by the terminal.
func TestTell(t *testing.T) {
	long := remark.Remark{
		ID: "link-nowhere", Severity: remark.Error, Place: remark.Place{File: "a.md", Line: 1, Column: 1},
		Source: strings.Repeat("x ", 200),
	}
	for _, c := range []struct {
		noColor, term string
		color         bool
	}{{"", "xterm", true}, {"1", "xterm", false}, {"", "dumb", false}} {
		t.Setenv("NO_COLOR", c.noColor)
		t.Setenv("TERM", c.term)
		tty, screen := pseudoTerminal(t, 40)
		if err := (&call{}).tell(tty, remark.List{long}); err != nil {
			t.Fatal(err)
		}
		var got []byte
		for buffer := make([]byte, 4096); bytes.Count(got, []byte("\n")) < 4; {
			n, err := screen.Read(buffer)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, buffer[:n]...)
		}
		text := string(got)
		if strings.Contains(text, "\x1b[") != c.color {
			t.Errorf("NO_COLOR=%s TERM=%s: %q", c.noColor, c.term, text)
		}
		if line := strings.Split(text, "\r\n")[1]; !c.color && (len([]rune(line)) > 40 || len([]rune(line)) < 36) {
			t.Errorf("%q is not as wide as the terminal", line)
		}
	}
	var piped bytes.Buffer
	if err := (&call{}).tell(&piped, remark.List{long}); err != nil || strings.Contains(piped.String(), "\x1b") {
		t.Errorf("%v %q", err, piped.String())
	}
}
