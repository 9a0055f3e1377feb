package field

import (
	"bytes"
	"fmt"
	"strings"
)

// context is how many lines a hunk has around its changes.
const context = 3

// unified writes the difference of two texts whose lines correspond one to one,
// as figures in place of figures leave them, as POSIX describes it for diff -u.
func unified(name string, old, new []byte) string {
	if bytes.Equal(old, new) {
		return ""
	}
	from, to := linesOf(old), linesOf(new)
	var b strings.Builder
	fmt.Fprintf(&b, "--- a/%s\n+++ b/%s\n", name, name)
	for at := 0; at < len(from); {
		if from[at] == to[at] {
			at++
			continue
		}
		begin, end := max(0, at-context), at+1
		for i := at; i < len(from) && i < end+2*context; i++ {
			if from[i] != to[i] {
				end = i + 1
			}
		}
		end = min(len(from), end+context)
		fmt.Fprintf(&b, "@@ -%d,%d +%d,%d @@\n", begin+1, end-begin, begin+1, end-begin)
		for i := begin; i < end; {
			if from[i] == to[i] {
				writeLine(&b, ' ', from[i])
				i++
				continue
			}
			run := i
			for run < end && from[run] != to[run] {
				run++
			}
			for _, line := range from[i:run] {
				writeLine(&b, '-', line)
			}
			for _, line := range to[i:run] {
				writeLine(&b, '+', line)
			}
			i = run
		}
		at = end
	}
	return b.String()
}

func linesOf(text []byte) []string {
	lines := strings.SplitAfter(string(text), "\n")
	if lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

func writeLine(b *strings.Builder, sign byte, line string) {
	b.WriteByte(sign)
	b.WriteString(line)
	if !strings.HasSuffix(line, "\n") {
		b.WriteString("\n\\ No newline at end of file\n")
	}
}
