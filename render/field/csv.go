package field

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"benchleaf/render/remark"
	"benchleaf/render/whole"
)

// WriteCSV writes each table as NAME.csv into a folder, as RFC 4180 has it, in
// UTF-8 with a header line and decimal points, and the changes of frequencies as
// frequencies.patch. A table without rows has its header.
func (r *Report) WriteCSV(folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for _, t := range r.Tables {
		var b strings.Builder
		w := csv.NewWriter(&b)
		w.UseCRLF = true
		header := make([]string, len(t.Columns))
		for i, c := range t.Columns {
			header[i] = c.Name
		}
		_ = w.Write(header) // into memory
		for _, row := range t.Rows {
			cells := make([]string, len(row))
			for i, cell := range row {
				cells[i] = cell
				if !t.Columns[i].Number {
					cells[i] = harmless(cell)
				}
			}
			_ = w.Write(cells)
		}
		w.Flush()
		if err := whole.Replace(filepath.Join(folder, t.Name+".csv"), []byte(b.String())); err != nil {
			return err
		}
	}
	return whole.Replace(filepath.Join(folder, "frequencies.patch"), []byte(r.Patch()))
}

// Patch is the changes of all files as one patch.
func (r *Report) Patch() string {
	var b strings.Builder
	for _, c := range r.Changes {
		b.WriteString(c.Patch())
	}
	return b.String()
}

// harmless keeps a spreadsheet from taking a text for a formula: one that begins
// as a formula does gets an apostrophe before it, which spreadsheets do not show.
// Texts come from records, which anyone can write. What a terminal would act on and what nobody sees is
// replaced; a tab and a line break are no more than blanks in a cell.
func harmless(text string) string {
	text = strings.Map(func(c rune) rune {
		if c != '\t' && c != '\r' && c != '\n' && remark.Printable(string(c)) != string(c) {
			return unicode.ReplacementChar
		}
		return c
	}, text)
	if text != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", []rune(text)[0]) {
		return "'" + text
	}
	return text
}
