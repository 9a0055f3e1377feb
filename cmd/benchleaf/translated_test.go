package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestTranslated follows a translation through its life: begun, older than its source in two sections, recorded
// section by section, recorded as a whole; a block that is missing keeps the whole from being recorded.
func TestTranslated(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	write := func(name, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const source, page = "content/en/oil.md", "content/es/oil.md"
	change := func(name, old, new string) {
		t.Helper()
		text, err := os.ReadFile(name)
		if err != nil || !strings.Contains(string(text), old) {
			t.Fatalf("%s has no %q: %v", name, old, err)
		}
		write(name, strings.Replace(string(text), old, new, 1))
	}
	write("content/handbook.yaml", "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en, es]\n")
	for _, name := range []string{"models.yaml", "parts.yaml", "specs/a.yaml"} {
		write("content/"+name, "")
	}
	write(source, "---\ntitle: Oil\n---\n\nLevel ground.\n\n## Check <id:check>\n\nWait five minutes.\n\n## Fill <id:fill>\n\nNot above the mark.\n")

	// run tells the status, and which remarks stand at which lines of the translation.
	run := func(args ...string) string {
		t.Helper()
		status, stdout, stderr := said(t, args...)
		out := []string{string(rune('0' + status))}
		for line := range strings.Lines(stdout + stderr) {
			if rest, ok := strings.CutPrefix(line, "es/oil.md:"); ok && strings.HasSuffix(line, "]\n") {
				place, _, _ := strings.Cut(rest, ":")
				_, id, _ := strings.Cut(strings.TrimRight(rest, "]\n"), "[")
				out = append(out, place+" "+id)
			}
		}
		return strings.Join(out, ", ")
	}
	expect := func(what, got, want string) {
		t.Helper()
		if got != want {
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
	expect("begin", run("begin", "translation", "en/oil.md", "-language", "es"), "0")
	expect("a new one", run("audit"), "0")
	text, _ := os.ReadFile(page)
	at := strings.Count(string(text[:strings.Index(string(text), "Wait")]), "\n") + 1
	line := func(n int, id string) string { return strconv.Itoa(at+n) + " " + id }

	change(source, "five minutes", "ten minutes")
	change(source, "the mark", "the upper mark")
	stale, later := line(0, "translation-stale"), line(4, "translation-stale")
	expect("a source that was changed twice", run("audit"), "0, "+stale+", "+later)
	before, _ := os.ReadFile(page)
	expect("a section that is not there", run("translated", "-section", "chek", "es/oil.md"), "2")
	if now, _ := os.ReadFile(page); string(now) != string(before) {
		t.Error("it was written all the same")
	}
	change(page, "Wait five minutes", "Espere diez minutos")
	expect("a text alone records nothing", run("audit"), "0, "+stale+", "+later)
	expect("one section", run("translated", "-section", "check", page), "0, "+stale+", "+later)
	expect("after it", run("audit"), "0, "+later)
	expect("all of it", run("translated", "es/oil.md"), "0, "+later)
	expect("after that", run("audit"), "0")
	before, _ = os.ReadFile(page)
	expect("again", run("translated", page), "0")
	if now, _ := os.ReadFile(page); string(now) != string(before) {
		t.Errorf("recorded again it is\n%s", now)
	}

	// A heading with a new name keeps what was recorded under its old one when another section is recorded.
	change(page, "  check:", "  comprobar:")
	run("translated", "-section", "_top", page)
	expect("a section beside one with a new name", run("audit"), "0")
	write(page, string(before))

	change(source, "Level ground.", "Level _ground_,\n* dry,\n* firm.")
	run("translated", "-section", "_top", page)
	marked, _ := os.ReadFile(source)
	change(source, "Level _ground_,\n* dry,\n* firm.", "Level\n*ground*,\n- dry,\n- firm.")
	if now := run("audit"); strings.Contains(now, "stale") {
		t.Errorf("with other marks of lists and of stress: %s", now)
	}
	write(source, string(marked))
	change(source, "Level _ground_,\n* dry,\n* firm.", "Level ground.")
	write(page, string(before))

	change(source, "Level ground.\n", "Level ground.\n\nEngine stopped.\n")
	missing := line(-4, "translation-missing")
	expect("a new block", run("audit"), "0, "+missing)
	expect("cannot be recorded with the whole", run("translated", page), "1, "+missing)
	if now, _ := os.ReadFile(page); string(now) != string(before) {
		t.Error("it was written all the same")
	}
	change(page, "Level ground.\n", "Suelo llano.\n\nMotor parado.\n\nSin viento.\n")
	extra := line(0, "translation-extra")
	// Three blocks for two digests: which one is its own shows once the section is recorded.
	run("translated", "-section", "_top", page)
	expect("one block too many, recorded as its own", run("audit"), "0, "+extra)
	if now, _ := os.ReadFile(page); !strings.Contains(string(now), " -\n") {
		t.Errorf("the record has no hyphen:\n%s", now)
	}

	for _, name := range []string{"en/oil.md", "es/none.md"} {
		if status, _, stderr := said(t, "translated", name); status != statusUsage || stderr == "" {
			t.Errorf("translated %s: %d %s", name, status, stderr)
		}
	}
	if status, _, _ := said(t, "translated"); status != statusUsage {
		t.Error(status)
	}
}
