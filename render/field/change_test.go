package field

import (
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// changed adds up 30 regulators and 5 drains against the handbook's files.
func changed(t *testing.T, files map[string]string) []Change {
	t.Helper()
	s := NewSum(openBook(t, files))
	for i := range 35 {
		cause := "regulator"
		if i%7 == 0 {
			cause = "drain"
		}
		s.Add(found(job(i), "cause", cause, i%2 == 0))
	}
	return s.changes(20)
}

// TestChange works the new frequencies by hand. Written 24 + 6 + 10 = 40, so the
// prior of 20 is 12, 3, 5; with 30, 0, 5 of 35 findings the means are 42/55,
// 3/55 and 10/55, and of 40 that is 30.5, 2.2 and 7.3: to two digits 31, 2.2, 7.3.
func TestChange(t *testing.T) {
	list := changed(t, testBook)
	if len(list) != 1 || list[0].Refused != "" {
		t.Fatalf("%+v", list)
	}
	c := list[0]
	want := []Frequency{{"regulator", "24", "31"}, {"joint", "6.0", "2.2"}, {"drain", "10", "7.3"}}
	if !reflect.DeepEqual(c.Causes, want) {
		t.Errorf("%+v", c.Causes)
	}
	old := testBook["en/procedures/flat.md"]
	wanted := strings.NewReplacer("frequency: 24 ", "frequency: 31 ", "frequency: 6.0,", "frequency: 2.2,", "frequency: 10\n", "frequency: 7.3\n").Replace(old)
	if string(c.new) != wanted {
		t.Errorf("%s", c.new)
	}

	// The patch makes the same of the file.
	patch := filepath.Join(t.TempDir(), "p.patch")
	put(t, filepath.Dir(patch), map[string]string{"p.patch": c.Patch()})
	apply := exec.Command("git", "apply", patch)
	apply.Dir = c.dir
	if out, err := apply.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s\n%s", err, out, c.Patch())
	}
	name := filepath.Join(c.dir, "en/procedures/flat.md")
	if have, err := os.ReadFile(name); err != nil || string(have) != wanted {
		t.Errorf("%v\n%s", err, have)
	}
	if err := c.Write(); err == nil {
		t.Error("a file that has changed since it was read is written over")
	}

	put(t, c.dir, testBook)
	if err := os.Chmod(name, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := c.Write(); err != nil {
		t.Fatal(err)
	}
	have, err := os.ReadFile(name)
	if err != nil || string(have) != wanted {
		t.Errorf("%v\n%s", err, have)
	}
	if info, err := os.Stat(name); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("%v %v", err, info.Mode())
	}
	if entries, err := os.ReadDir(filepath.Dir(name)); err != nil || len(entries) != 1 {
		t.Errorf("%v %v", err, entries)
	}
}

// TestChangeBytes holds that ends of lines, a byte order mark and the end of the
// file stay as they are.
func TestChangeBytes(t *testing.T) {
	plain := testBook["en/procedures/flat.md"]
	for name, form := range map[string]func(string) string{
		"CRLF":       func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"mark":       func(s string) string { return "\xef\xbb\xbf" + s },
		"no newline": func(s string) string { return strings.TrimSuffix(s, "\n") },
		"wide letters": func(s string) string {
			return strings.Replace(s, "{title: Bad joint,", "{title: Schlecht geerdet °Ω,", 1)
		},
		"other language": func(s string) string { return s },
	} {
		files := map[string]string{}
		for file, text := range testBook {
			files[file] = text
		}
		files["en/procedures/flat.md"] = form(plain)
		if name == "other language" {
			files["es/procedures/flat.md"] = plain
		}
		list := changed(t, files)
		for _, c := range list {
			if c.Refused != "" || string(c.old) != files[c.File] {
				t.Fatalf("%s: %+v", name, c)
			}
			back := strings.NewReplacer("frequency: 31 ", "frequency: 24 ", "frequency: 2.2,", "frequency: 6.0,", "frequency: 7.3", "frequency: 10").Replace(string(c.new))
			if back != files[c.File] || string(c.new) == back {
				t.Errorf("%s: %q", name, c.new)
			}
			apply := exec.Command("git", "apply", "--check", "-")
			apply.Dir, apply.Stdin = c.dir, strings.NewReader(c.Patch())
			if out, err := apply.CombinedOutput(); err != nil {
				t.Errorf("%s: %v: %s\n%s", name, err, out, c.Patch())
			}
		}
		if want := 1 + strings.Count(name, "other"); len(list) != want {
			t.Errorf("%s: %d files", name, len(list))
		}
	}
}

// TestChangeRefused holds when a file is left alone.
func TestChangeRefused(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"frequency: 10\n", "part: regulator\n", `its cause "drain" has no frequency`},
		{"  regulator: # the usual one", "  reg:", "30 of 35 findings are of causes that it does not have, more than 5 %"},
		{"frequency: 10\n", "frequency: \"10\"\n", `the frequency of "drain" is not written as a plain number`},
	} {
		files := map[string]string{}
		for file, text := range testBook {
			files[file] = strings.Replace(text, c.from, c.to, 1)
		}
		list := changed(t, files)
		if len(list) != 1 || list[0].Refused != c.want || list[0].Patch() != "" {
			t.Errorf("%s: %+v", c.to, list)
		}
	}
	// The other language's file has other causes.
	files := map[string]string{}
	for file, text := range testBook {
		files[file] = text
	}
	files["es/procedures/flat.md"] = strings.Replace(testBook["en/procedures/flat.md"], "  drain:", "  fuga:", 1)
	list := changed(t, files)
	if len(list) != 2 || list[0].Refused != "" || list[1].Refused != `it has a cause "fuga" that the first language's file does not have` {
		t.Errorf("%+v", list)
	}
	files["es/procedures/flat.md"] = strings.Replace(testBook["en/procedures/flat.md"], "  joint: {title: Bad joint, frequency: 6.0, remedy: Clean it.}\n", "", 1)
	list = changed(t, files)
	if len(list) != 2 || list[1].Refused != "it has fewer causes than the first language's file" {
		t.Errorf("%+v", list)
	}
}

// TestChangeStrangers holds that few findings of causes that the handbook does
// not have leave the patch as it is without them, and are told. Of 37 findings,
// 2 more than those of TestChange, 2 are 5.4 %; of 42 they are 4.8 %.
func TestChangeStrangers(t *testing.T) {
	add := func(s *Sum, from, to int, cause string) {
		for i := from; i < to; i++ {
			s.Add(found(job(i), "cause", cause, true))
		}
	}
	s := NewSum(openBook(t, testBook))
	add(s, 0, 30, "regulator")
	add(s, 30, 35, "drain")
	add(s, 35, 37, "magneto")
	want := "2 of 37 findings are of causes that it does not have, more than 5 %"
	if list := s.changes(20); len(list) != 1 || list[0].Refused != want {
		t.Errorf("%+v", list)
	}
	// The prior is 12, 3 and 5; with 30, 0 and 10 of 40 findings the means are 42/60,
	// 3/60 and 15/60, and of 40 that is 28, 2 and 10.
	add(s, 37, 42, "drain")
	list := s.changes(20)
	if len(list) != 1 || list[0].Refused != "" || list[0].Strange != 2 {
		t.Fatalf("%+v", list)
	}
	if have := []Frequency{{"regulator", "24", "28"}, {"joint", "6.0", "2"}, {"drain", "10", "10"}}; !reflect.DeepEqual(list[0].Causes, have) {
		t.Errorf("%+v", list[0].Causes)
	}
	if notes := s.Report(20).Notes; len(notes) != 2 || notes[1] != "In no share: 2 findings of causes that the handbook does not have; they are named below." {
		t.Errorf("%v", notes)
	}
}

func TestTwoDigits(t *testing.T) {
	for v, want := range map[float64]string{0.3456: "0.35", 24.4: "24", 24.6: "25", 7.26: "7.3", 1234: "1200", 99.6: "100", 0.00123: "0.0012", 10: "10"} {
		if have := twoDigits(v); have != want {
			t.Errorf("%v: have %s, want %s", v, have, want)
		}
	}
}

// TestUnified holds hunks against those that diff -u would write, by hand.
func TestUnified(t *testing.T) {
	old := "1\n2\n3\n4\n5\n6\n7\n8\n9\n10\n11\n12\n13\n14\n15\n16"
	new := "1\nB\n3\n4\n5\n6\n7\nH\n9\n10\n11\n12\n13\n14\n15\nP"
	want := "--- a/f\n+++ b/f\n@@ -1,11 +1,11 @@\n 1\n-2\n+B\n 3\n 4\n 5\n 6\n 7\n-8\n+H\n 9\n 10\n 11\n" +
		"@@ -13,4 +13,4 @@\n 13\n 14\n 15\n-16\n\\ No newline at end of file\n+P\n\\ No newline at end of file\n"
	if have := unified("f", []byte(old), []byte(new)); have != want {
		t.Errorf("%s", have)
	}
	if have := unified("f", []byte(old), []byte(old)); have != "" {
		t.Errorf("%s", have)
	}
}
