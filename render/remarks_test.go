package render_test

import (
	"context"
	"encoding/base64"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
	"benchleaf/render/remark"
)

var update = flag.Bool("update", false, "write golden files anew")

// TestRemarks compiles the handbook in each golden file and compares what an
// author is told, to the letter and in order. A file is named after the remark
// that it shows, or <id>.<what> for another case of it.
func TestRemarks(t *testing.T) {
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden files: %v", err)
	}
	shown := map[string]bool{}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txtar")
		t.Run(name, func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			dir, want := unpack(t, archive)
			result, err := render.AuditSince(dir, render.Options{Since: older(t, dir)})
			if err != nil {
				t.Fatal(err)
			}
			got := remarksText(result.Remarks)
			if *update {
				writeGolden(t, file, archive, got)
			} else if got != want {
				t.Errorf("remarks differ\n--- got\n%s--- want\n%s", got, want)
			}
			id, _, _ := strings.Cut(name, ".")
			for _, r := range result.Remarks {
				if r.ID == id {
					shown[id] = true
				}
			}
			if !shown[id] {
				t.Errorf("the case does not show %s", id)
			}
		})
	}
	for _, k := range remark.All() {
		if !shown[k.ID] && !notInText[k.ID] {
			t.Errorf("no golden file shows %s", k.ID)
		}
	}
}

// notInText are remarks on files that no text archive can hold: links, sizes,
// unreadable and wrongly encoded files, names. TestFiles shows them.
var notInText = map[string]bool{
	"file-encoding": true, "file-link": true, "file-name": true, "file-size": true, "file-unreadable": true, "name-unfit": true,
}

// older takes the folder `since` out of a handbook, compiles it, and returns that edition; "" where
// there is none.
func older(t *testing.T, dir string) string {
	t.Helper()
	from, since, out := filepath.Join(dir, "since"), filepath.Join(t.TempDir(), "since"), filepath.Join(t.TempDir(), "edition")
	if err := os.Rename(from, since); errors.Is(err, fs.ErrNotExist) {
		return ""
	} else if err != nil {
		t.Fatal(err)
	}
	if result, err := render.Compile(context.Background(), since, out, render.Options{}); err != nil || result.Failed() {
		t.Fatal(err, result.Remarks)
	}
	return out
}

const wantFile = "remarks"

// unpack writes an archive's files into a folder and returns it with the
// remarks that are expected. A file whose name ends in .base64 is what that says, under
// the name before it.
func unpack(t *testing.T, archive *txtar.Archive) (dir, want string) {
	t.Helper()
	dir = t.TempDir()
	for _, f := range archive.Files {
		if f.Name == wantFile {
			want = string(f.Data)
			continue
		}
		name, coded := strings.CutSuffix(f.Name, ".base64")
		data := f.Data
		if coded {
			var err error
			if data, err = base64.StdEncoding.DecodeString(strings.TrimSpace(string(f.Data))); err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
		}
		put(t, dir, name, string(data))
	}
	return dir, want
}

func put(t *testing.T, dir, name, text string) {
	t.Helper()
	file := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// remarksText leaves out the advice that every small handbook gets for the
// data files that it does without, but in the case that shows it.
func remarksText(list remark.List) string {
	var text strings.Builder
	for _, r := range list {
		if r.ID == remark.DataMissing.ID && r.Place.File != "handbook.yaml" {
			continue
		}
		fmt.Fprintf(&text, "%s\n    %s\n", r, r.Mend)
	}
	return text.String()
}

func writeGolden(t *testing.T, file string, archive *txtar.Archive, got string) {
	t.Helper()
	var kept []txtar.File
	for _, f := range archive.Files {
		if f.Name != wantFile {
			kept = append(kept, f)
		}
	}
	archive.Files = append(kept, txtar.File{Name: wantFile, Data: []byte(got)})
	if err := os.WriteFile(file, txtar.Format(archive), 0o644); err != nil {
		t.Fatal(err)
	}
}
