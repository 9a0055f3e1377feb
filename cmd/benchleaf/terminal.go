package main

import (
	"io"
	"os"

	"github.com/mattn/go-colorable"
	"golang.org/x/term"

	"benchleaf/render/remark"
)

// plainWidth is the width of lines that do not go to a terminal.
const plainWidth = 100

// terminal returns the terminal that a writer is, or nil.
func terminal(w io.Writer) *os.File {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return f
	}
	return nil
}

// tell writes remarks as text: on a terminal as wide as that is, and in colours unless
// the environment says NO_COLOR, as no-color.org has it, or TERM=dumb.
func (c *call) tell(w io.Writer, list remark.List) error {
	text := remark.Text{Width: plainWidth}
	if f := terminal(w); f != nil {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
			text.Width = width
		}
		text.Color = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
		w = colorable.NewColorable(f)
	}
	return text.Write(w, list)
}

// report tells remarks beside a command's own output.
func (c *call) report(remarks remark.List) {
	// A terminal that went away is no reason to stop the build.
	_ = c.tell(c.stderr, remarks)
}
