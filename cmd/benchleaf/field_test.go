package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// fieldBook is a handbook with one procedure and two causes.
var fieldBook = map[string]string{
	"content/handbook.yaml": book, "content/models.yaml": "k210: {title: K210}\n", "content/parts.yaml": "", "content/specs/a.yaml": "",
	"content/en/flat.md": "---\nsheet: procedure\ntitle: Flat\nsymptom: Flat\ncauses:\n  relay: {title: Relay, frequency: 1, remedy: Fit one.}\n" +
		"  joint: {title: Joint, frequency: 3, remedy: Clean it.}\n---\n\n## Look <id:look>\n\n```answers\n- [Black](cause:relay)\n- [Green](cause:joint)\n```\n",
}

// fieldRecord is a job that found the relay in that handbook.
const fieldRecord = `{"record": 1, "id": "0123456789abcdef0123456789abcdef", "handbook": {"title": "T", "edition": "1", "language": "en"},
	"machine": {"model": "k210"}, "begun": "2026-11-16T09:00:00Z", "changed": "2026-11-16T10:00:00Z",
	"entries": [{"page": "flat", "step": "look", "number": 1, "title": "Look", "shown": "2026-11-16T09:00:00Z", "at": "2026-11-16T09:02:00Z", "said": "Black", "to": "#cause-relay"}],
	"ruledOut": [], "findings": [{"end": "cause", "page": "flat", "cause": "relay", "at": "2026-11-16T09:02:00Z"}], "left": []}`

func joinedFiles(files map[string]string, more ...string) map[string]string {
	all := map[string]string{}
	for name, text := range files {
		all[name] = text
	}
	for i := 0; i < len(more); i += 2 {
		all[more[i]] = more[i+1]
	}
	return all
}

func TestField(t *testing.T) {
	good := joinedFiles(fieldBook, "in/a.json", fieldRecord)
	for _, c := range []struct {
		name   string
		files  map[string]string
		args   string
		status int
		stdout string // "" for nothing, else what it holds
		stderr string
	}{
		{"no file", good, "field", 2, "", "which files? Name records, or folders of them\nusage: benchleaf field [FLAGS] FILE ...\n"},
		{"format", good, "field -format xml in", 2, "", `there is no format "xml"`},
		{"csv to the terminal", good, "field -format csv in", 2, "", "name a folder with -out"},
		{"weight", good, "field -weight 0 in", 2, "", "a weight is above 0"},
		{"no weight", good, "field -weight NaN in", 2, "", "a weight is above 0"},
		{"write where", good, "field -write in", 2, "", "name the handbook to write into with -in"},
		{"no such file", good, "field nowhere", 3, "", "benchleaf field: lstat nowhere: no such file or directory\n"},
		{"no such handbook", good, "field -in nowhere in", 2, "", "benchleaf field: nowhere: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"records alone", good, "field in/a.json", 0, "\n  relay      1               0\n", ""},
		{"a record as the report", good, "field -format html -out in/a.json in", 2, "", "benchleaf field: in/a.json: it is one of the records, or no file; name another one with -out\n"},
		{"a folder as the report", good, "field -out in in", 2, "", "benchleaf field: in: it is one of the records, or no file; name another one with -out\n"},
		// The prior of 4 is 1 and 3: 2 of 5 are the relay.
		{"with the handbook", good, "field -in content in -weight 4", 0, "relay  Relay                     1      1               0      40.0", ""},
		{"a damaged one", joinedFiles(good, "in/b.json", `{"record": 1, "id"`), "field -in content in", 1,
			"2 files, 1 record read, 1 job counted, 1 refused.", "in/b.json: it is cut off: the JSON ends in the middle\n"},
		{"a handbook with errors", joinedFiles(good, "content/en/b.md", "# B\n\n[x](no.md)\n"), "field -in content -write in", 1, "1 job counted",
			"The handbook has 1 error, which `benchleaf audit` tells; what they touch may be missing here.\nNo frequency was written: mend the handbook's errors first.\n"},
		// Links and names are right; what is wrong only the audit sees: a step to which nothing leads.
		{"a handbook that the audit refuses", joinedFiles(good, "content/en/flat.md", fieldBook["content/en/flat.md"]+"\n## Listen <id:listen>\n\n```answers\n- [Loud](cause:relay)\n- [Still](cause:joint)\n```\n"),
			"field -in content -write in", 1, "1 job counted", "The handbook has 1 error, which `benchleaf audit` tells; what they touch may be missing here.\nNo frequency was written: mend the handbook's errors first.\n"},
		{"a cause that is gone", joinedFiles(good, "in/a.json", strings.ReplaceAll(fieldRecord, "relay", "magneto")), "field -in content -write in", 1, "1 job counted",
			"en/flat.md is left alone: 1 of 1 findings are of causes that it does not have, more than 5 %\n"},
		{"help", good, "field -help", 0, "-weight FINDINGS  how many findings the author's frequencies are worth; 20 if left out", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, stdout, stderr := try(t, c.files, strings.Fields(c.args)...)
			if status != c.status || !strings.Contains(stdout, c.stdout) || c.stdout == "" && stdout != "" || !strings.Contains(stderr, c.stderr) || c.stderr == "" && stderr != "" {
				t.Errorf("status %d, want %d\nstdout %s\nwant %s\nstderr %s\nwant %s", status, c.status, stdout, c.stdout, stderr, c.stderr)
			}
		})
	}
}

// TestFieldWrite holds that -write does what the patch says, and nothing else
// writes.
func TestFieldWrite(t *testing.T) {
	files := joinedFiles(fieldBook, "in/a.json", fieldRecord)
	old := files["content/en/flat.md"]
	// Means 2/5 and 3/5 of a sum of 4.
	want := strings.NewReplacer("frequency: 1,", "frequency: 1.6,", "frequency: 3,", "frequency: 2.4,").Replace(old)
	status, stdout, _ := try(t, files, "field", "-in", "content", "-weight", "4", "in")
	if text, err := os.ReadFile("content/en/flat.md"); err != nil || status != 0 || string(text) != old {
		t.Fatalf("%d %v\n%s", status, err, text)
	}
	apply := exec.Command("git", "apply", "--check", "--directory=content", "-")
	apply.Stdin = strings.NewReader(stdout[strings.Index(stdout, "--- a/"):])
	if out, err := apply.CombinedOutput(); err != nil {
		t.Errorf("%v: %s\n%s", err, out, stdout)
	}
	var out, errs bytes.Buffer
	status = Run([]string{"field", "-in", "content", "-weight", "4", "-write", "-format", "csv", "-out", "report", "in"}, nil, &out, &errs)
	if text, err := os.ReadFile("content/en/flat.md"); err != nil || status != 0 || string(text) != want || errs.String() != "en/flat.md has new frequencies.\n" {
		t.Errorf("%d %v\n%s\n%s", status, err, text, errs.String())
	}
	if want := "1 file, 1 record read, 1 job counted, 0 refused.\nThe jobs were begun from 2026-11-16 to 2026-11-16.\nThe report is in report\n"; out.String() != want {
		t.Errorf("said %q, want %q", out.String(), want)
	}
	if read, err := os.ReadFile("report/read.csv"); err != nil || !strings.Contains(string(read), "jobs,1\r\n") || !strings.Contains(string(read), "refused,0\r\n") {
		t.Errorf("%v: %s", err, read)
	}
	if tables, err := filepath.Glob("report/*.csv"); err != nil || len(tables) < 10 {
		t.Errorf("%v %v", err, tables)
	}
	if status := Run([]string{"field", "-format", "html", "-out", "report.html", "in"}, nil, &out, &errs); status != 0 {
		t.Error(status)
	}
	if page, err := os.ReadFile("report.html"); err != nil || !bytes.HasPrefix(page, []byte("<!DOCTYPE html>")) {
		t.Errorf("%v %.100s", err, page)
	}
}
