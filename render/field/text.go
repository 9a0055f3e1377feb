package field

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"benchleaf/render/remark"
)

// WriteText writes the report for a terminal.
func (r *Report) WriteText(to io.Writer) error {
	w := bufio.NewWriter(to)
	if r.Handbook != "" {
		fmt.Fprintln(w, remark.Printable(r.Handbook))
	}
	for _, note := range r.Notes {
		fmt.Fprintln(w, note)
	}
	for _, t := range r.Tables {
		if len(t.Rows) == 0 || t.Figures {
			continue
		}
		t, left := t.shown(), 0
		if t.Fold && len(t.Rows) > unfolded {
			t.Rows, left = t.Rows[:unfolded], len(t.Rows)-unfolded
		}
		fmt.Fprintf(w, "\n%s\n%s\n", strings.ToUpper(t.Title), strings.Repeat("=", utf8.RuneCountInString(t.Title)))
		if t.About != "" {
			fmt.Fprintln(w, t.About)
		}
		for _, section := range t.sections() {
			if t.Group > 0 {
				fmt.Fprintf(w, "\n%s\n", remark.Printable(t.heading(section[0])))
			}
			heads, rows := t.body(section)
			writeColumns(w, heads, rows)
		}
		if left > 0 {
			fmt.Fprintf(w, "  and %s more, which the HTML and CSV forms list\n", grouped(left))
		}
	}
	r.writeBars(w)
	for _, c := range r.Changes {
		if patch := c.Patch(); patch != "" {
			fmt.Fprintf(w, "\n%s", patch)
		}
	}
	return w.Flush()
}

// sections cuts the rows where what they share changes.
func (t Table) sections() [][][]string {
	var list [][][]string
	for i, row := range t.Rows {
		if i == 0 || !slices.Equal(row[:t.Group], t.Rows[i-1][:t.Group]) {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], row)
	}
	return list
}

// heading is what the rows of a section share.
func (t Table) heading(row []string) string {
	var parts []string
	for i, c := range t.Columns[:t.Group] {
		if row[i] != "" {
			parts = append(parts, c.Head+": "+row[i])
		}
	}
	return strings.Join(parts, " · ")
}

// body returns the columns that the rows of a section do not share, and the rows
// with them. A column in which no row has anything is left out.
func (t Table) body(section [][]string) (heads []Column, rows [][]string) {
	rows = make([][]string, len(section))
	for i := t.Group; i < len(t.Columns); i++ {
		if !slices.ContainsFunc(section, func(row []string) bool { return row[i] != "" }) {
			continue
		}
		heads = append(heads, t.Columns[i])
		for j, row := range section {
			rows[j] = append(rows[j], row[i])
		}
	}
	return heads, rows
}

// writeColumns writes rows with their columns below one another.
func writeColumns(w io.Writer, heads []Column, rows [][]string) {
	widths := make([]int, len(heads))
	for i, c := range heads {
		widths[i] = utf8.RuneCountInString(c.Head)
		for _, row := range rows {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
	}
	line := func(cells func(i int) string) {
		var b strings.Builder
		b.WriteByte(' ')
		for i, c := range heads {
			text := remark.Printable(cells(i))
			space := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(text))
			if c.Number {
				b.WriteString(" " + space + text + " ")
			} else {
				b.WriteString(" " + text + space + " ")
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
	line(func(i int) string { return heads[i].Head })
	for _, row := range rows {
		line(func(i int) string { return row[i] })
	}
}

// writeBars writes the histograms, one a line.
func (r *Report) writeBars(w io.Writer) {
	var rows [][]string
	for _, k := range r.sum.readingKeys() {
		if h := k.bins(r.sum.readings[k]); h.edges != nil {
			rows = append(rows, []string{k.spec, r.sum.book.modelTitle(k.model), separated(trimmed(h.at(0))), h.bars(), separated(trimmed(h.at(len(h.counts)))), k.unit, joined(h.stepText(), h.beyondText())})
		}
	}
	if len(rows) > 0 {
		fmt.Fprintf(w, "\nHistograms, limits in brackets\n")
		heads, rows := Table{Columns: columns("=Specification", "=Model", "#=From", "=Readings", "=To", "=Unit", "=Bars")}.body(rows)
		writeColumns(w, heads, rows)
	}
}
