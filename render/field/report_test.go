package field

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"benchleaf/render/record"
)

var update = flag.Bool("update", false, "write golden files anew")

// sampleReport is of a dozen jobs with something in every table.
func sampleReport(t *testing.T) *Report {
	t.Helper()
	s := NewSum(openBook(t, testBook))
	for i := range 12 {
		r := job(i)
		switch {
		case i < 6:
			found(r, "cause", "regulator", i < 4)
			by := 1
			r.Findings[0].Part, r.Findings[0].CondemnedBy = "regulator", &by
			r.Findings[0].Remedy = &record.Remedy{Text: "fitted", Replaced: true, At: start}
		case i < 8:
			r.Machine.Model = "k340"
			v := 14.1
			r.Entries[1].Reading.Value, r.Entries[1].Reading.Verdict, r.Entries[1].To = &v, "within", "#cause-drain"
			found(r, "cause", "drain", true)
		case i == 8:
			found(r, "hand-over", "", false)
		case i == 9:
			r.Entries[0].Step = "<b>=gone</b>"
			r.Handbook.Edition = "3"
		case i == 10:
			r.Machine.Model = "=HYPERLINK(\"x\")"
		}
		s.Add(r)
	}
	r := s.Report(20)
	r.Taken(Files{Paths: make([]string, 1234), Other: 1}, &Intake{Sum: s, Read: 1233, Same: 1221, Refused: 1, Refusals: []Refusal{{"a.json", "it is empty", false}}})
	return r
}

func golden(t *testing.T, name, have string) {
	t.Helper()
	name = filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(name, []byte(have), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(name); err != nil || string(want) != have {
		t.Errorf("%v: %s is not what is written now; -update writes it:\n%s", err, name, have)
	}
}

func TestText(t *testing.T) {
	var b bytes.Buffer
	if err := sampleReport(t).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	golden(t, "report.txt", b.String())
}

// TestCSV holds each file against RFC 4180: records of as many fields as the
// header has, ended by CRLF; and that no text is taken for a formula.
// What a record has and nobody sees is seen.
func TestShownHidden(t *testing.T) {
	table := Table{Columns: []Column{{Name: "step"}}, Rows: [][]string{{"a\x1b[31m\u202eb\x00"}}}
	if have := table.shown().Rows[0][0]; have != "a�[31m�b�" {
		t.Errorf("%q", have)
	}
}

func TestCSV(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	r := sampleReport(t)
	if err := r.WriteCSV(dir); err != nil {
		t.Fatal(err)
	}
	files, err := fs.Glob(os.DirFS(dir), "*")
	if err != nil || len(files) != len(r.Tables)+1 {
		t.Fatalf("%v: %v", err, files)
	}
	formulas := 0
	for _, table := range r.Tables {
		data, err := os.ReadFile(filepath.Join(dir, table.Name+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		if strings.Count(string(data), "\n") != strings.Count(string(data), "\r\n") {
			t.Errorf("%s: a line does not end with CRLF", table.Name)
		}
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll() // which holds the number of fields
		if err != nil || len(rows) != len(table.Rows)+1 || rows[0][0] != table.Columns[0].Name {
			t.Errorf("%s: %v, %d rows of %d", table.Name, err, len(rows), len(table.Rows)+1)
		}
		for _, row := range rows[1:] {
			for i, cell := range row {
				if cell != "" && strings.ContainsAny(cell[:1], "=+-@") && !table.Columns[i].Number {
					t.Errorf("%s: %q", table.Name, cell)
				}
				if strings.HasPrefix(cell, "'=HYPERLINK") {
					formulas++
				}
			}
		}
	}
	if formulas < 2 {
		t.Errorf("%d of what a record tried", formulas)
	}
	causes, err := os.ReadFile(filepath.Join(dir, "causes.csv"))
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "causes.csv", string(causes))
	if patch, err := os.ReadFile(filepath.Join(dir, "frequencies.patch")); err != nil || !strings.HasPrefix(string(patch), "--- a/en/procedures/flat.md\n") {
		t.Errorf("%v: %s", err, patch)
	}
}

// TestLong holds that many refusals and the patch are folded, and what large
// numbers look like to readers and to programs.
func TestLong(t *testing.T) {
	in := &Intake{Sum: NewSum(openBook(t, testBook)), Refused: 12_000}
	for i := range 3000 {
		r := found(job(i), "cause", "regulator", true)
		r.Begun = start.AddDate(0, 0, -i%40)
		in.Sum.Add(r)
	}
	early := job(9999)
	early.Begun = time.Date(1969, 12, 31, 23, 0, 0, 0, time.UTC)
	in.Sum.Add(early)
	in.Sum.Remove(early) // and its day with it
	for i := range maxRefusals {
		in.Refusals = append(in.Refusals, Refusal{Name: fmt.Sprint("file-", i), Reason: "it is empty"})
	}
	r := in.Sum.Report(20)
	r.Taken(Files{Paths: make([]string, 4000)}, in)
	var text, page bytes.Buffer
	if err := r.WriteText(&text); err != nil {
		t.Fatal(err)
	}
	if err := r.WriteHTML(&page, "Records"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Pumps, edition 4\n", "4,000 files, 0 records read, 3,000 jobs counted, 12,000 refused.", "The jobs were begun from 2026-10-08 to 2026-11-16.",
		"file-9 ", "And 2,000 more.", "and 9,990 more", " 3,000 "} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text has no %q", want)
		}
	}
	if strings.Contains(text.String(), "file-10") {
		t.Error("the text lists all refusals")
	}
	for _, want := range []string{"<title>Records: Pumps, edition 4</title>", "<details><summary>Show all 10,000</summary>", "file-9999<", "<details><summary>Show its 19 lines</summary>", ">3,000</td>"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page has no %q", want)
		}
	}
	for _, table := range r.Tables {
		if table.Name == "ends" && table.Rows[0][5] != "3000" {
			t.Errorf("a program reads %q", table.Rows[0][5])
		}
	}
}

func TestSeparated(t *testing.T) {
	for number, want := range map[string]string{"": "", "0": "0", "999": "999", "1000": "1,000", "-1234567.8901": "-1,234,567.8901", "123456": "123,456", "a1234": "a1234"} {
		if have := separated(number); have != want {
			t.Errorf("%q: have %q, want %q", number, have, want)
		}
	}
}

// TestHTML holds that the page is whole: every element closed, every picture
// there, its style allowed by its policy, nothing fetched, no name of a record
// taken for markup.
func TestHTML(t *testing.T) {
	var b bytes.Buffer
	if err := sampleReport(t).WriteHTML(&b, "Records <of> the field"); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	sheet := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(text)
	digest := sha256.Sum256([]byte(sheet[1]))
	if policy := "style-src 'sha256-" + base64.StdEncoding.EncodeToString(digest[:]) + "'"; !strings.Contains(html.UnescapeString(text), policy) {
		t.Errorf("the policy does not allow the style sheet: %s", policy)
	}
	for _, bad := range []string{"<script", " style=", " src=", "<link", "<b>", "url(", "@import"} {
		if strings.Contains(text, bad) {
			t.Errorf("there is %s", bad)
		}
	}
	var open []string
	void := map[string]bool{"meta": true}
	count := map[string]int{}
	for z := html.NewTokenizer(strings.NewReader(text)); ; {
		kind := z.Next()
		if kind == html.ErrorToken {
			break
		}
		name, _ := z.TagName()
		switch tag := string(name); {
		case kind == html.StartTagToken && !void[tag]:
			open = append(open, tag)
			count[tag]++
		case kind == html.EndTagToken:
			if len(open) == 0 || open[len(open)-1] != tag {
				t.Fatalf("</%s> in %v", tag, open)
			}
			open = open[:len(open)-1]
		}
	}
	// 3 causes for all models and for two with findings: 9 intervals. Histograms:
	// three models (one of them unknown to the handbook). Each plot has an inner
	// picture.
	if len(open) > 0 || count["svg"] != 9+2*3 || count["table"] < 10 {
		t.Errorf("%v %v", open, count)
	}
	golden(t, "report.html", text)
}
