package remark

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/fatih/color"
)

// Text is how a list is written for people.
type Text struct {
	Width int  // columns of a line
	Color bool // with the colours of a terminal
}

var hues = map[Severity]color.Attribute{Error: color.FgRed, Warning: color.FgYellow, Advice: color.FgCyan}

// MostOfKind is how many remarks of one kind are written. A folder of texts that were no handbook before
// has thousands of a few kinds; who has seen fifty knows what to search and replace.
const MostOfKind = 50

// Write writes for each remark what is wrong, the line of the source with the place
// marked beneath, and how to mend it; of each kind no more than anybody reads.
func (t Text) Write(w io.Writer, l List) error {
	written, more := map[string]int{}, map[string]int{}
	for _, r := range l {
		if written[r.ID] == MostOfKind {
			more[r.ID]++
			continue
		}
		written[r.ID]++
		hue, strong, faint := t.paint(hues[r.Severity], color.Bold), t.paint(color.Bold), t.paint(color.Faint)
		var b strings.Builder
		fmt.Fprintf(&b, "%s: %s: %s %s\n", strong(r.Place), hue(r.Severity), strong(r.Message), faint("["+r.ID+"]"))
		if r.Place.Line > 0 && strings.TrimSpace(r.Source) != "" {
			number := fmt.Sprintf("%6d", r.Place.Line)
			line, mark := r.excerpt(max(20, t.Width-len(number)-len(" | ")))
			fmt.Fprintf(&b, "%s %s\n", faint(number+" |"), line)
			if r.Place.Column > 0 {
				fmt.Fprintf(&b, "%s %s\n", faint(strings.Repeat(" ", len(number))+" |"), hue(mark))
			}
		}
		fmt.Fprintf(&b, "    %s\n", r.Mend)
		if _, err := io.WriteString(w, b.String()); err != nil {
			return err
		}
	}
	if len(more) == 0 {
		return nil
	}
	var rest []string
	for _, id := range slices.Sorted(maps.Keys(more)) {
		rest = append(rest, fmt.Sprintf("%d of %s", more[id], id))
	}
	_, err := fmt.Fprintf(w, "Not shown: %s.\n    The next ones are shown when these are mended; `benchleaf audit -format json` tells all.\n", strings.Join(rest, ", "))
	return err
}

// paint returns what prints its arguments with the attributes.
func (t Text) paint(attributes ...color.Attribute) func(...any) string {
	c := color.New(attributes...)
	if t.Color {
		c.EnableColor()
	} else {
		c.DisableColor()
	}
	return c.SprintFunc()
}
