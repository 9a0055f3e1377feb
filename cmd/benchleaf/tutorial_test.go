package main

import (
	"bytes"
	"context"
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// becomes is a change of a file in the words of a page.
var becomes = regexp.MustCompile("(?i)in `(content/[^`]*)`\\s`([^`]*)`\\sbecomes\\s`([^`]*)`")

// TestTutorial does what docs/tutorial.md tells a newcomer to do, in its order and in its
// words, and sees what it says that he sees.
func TestTutorial(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "tutorial.md"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	done := map[string]int{}
	for _, part := range partsOf(string(page)) {
		for _, does := range []struct {
			name string
			what *regexp.Regexp
			do   func(t *testing.T, said []string, listing string) error
		}{
			{"all of a file", regexp.MustCompile("(?i)\\ball of `(content/[^`]*)`:$"), writeAll},
			{"below the front matter", regexp.MustCompile("below the front matter of `(content/[^`]*)` becomes:$"), writeBody},
			{"becomes", becomes, replaceOnce},
			{"delete", regexp.MustCompile("(?i)delete the folders `(content/[^`]*)` and `(content/[^`]*)`"), remove},
		} {
			for _, said := range does.what.FindAllStringSubmatch(part.text, -1) {
				if err := does.do(t, said[1:], part.listing); err != nil {
					t.Fatalf("%s: %v", said[0], err)
				}
				if done[does.name]++; strings.HasSuffix(said[0], ":") {
					part.listing = ""
				}
			}
		}
		if part.kind == "console" {
			done["console"]++
			typed(t, part.listing)
		} else if part.listing != "" {
			t.Errorf("nothing is done with the listing of %s after %q", part.kind, part.text)
		}
	}
	for name, least := range map[string]int{"all of a file": 7, "below the front matter": 1, "becomes": 8, "delete": 1, "console": 14} {
		if done[name] < least {
			t.Errorf("%s: %d times", name, done[name])
		}
	}
	if status, stdout, stderr := said(t, "audit"); status != statusDone || strings.Contains(stdout+stderr, "error") {
		t.Errorf("what comes of it: %s%s", stdout, stderr)
	}
}

// TestFiveMinutes makes the changes to the demo that the README proposes.
func TestFiveMinutes(t *testing.T) {
	if testing.Short() {
		t.Skip("the whole demo takes seconds; TestTutorial runs the same commands")
	}
	page, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	demo, dir := os.DirFS(filepath.Join("..", "..", "content")), t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "content"), demo); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	_, walk, _ := strings.Cut(string(page), "\n## Five minutes\n")
	walk, _, _ = strings.Cut(walk, "\n## ")
	changes := becomes.FindAllStringSubmatch(walk, -1)
	if len(changes) != 2 {
		t.Fatalf("changes: %q", changes)
	}
	if err := replaceOnce(t, changes[0][1:], ""); err != nil {
		t.Fatal(err)
	}
	if status, stdout, stderr := said(t, "audit"); status != statusDone {
		t.Errorf("with %q: %s%s", changes[0][0], stdout, stderr)
	}
	if err := replaceOnce(t, changes[1][1:], ""); err != nil {
		t.Fatal(err)
	}
	_, console, _ := strings.Cut(walk, "```console\n")
	console, _, _ = strings.Cut(console, "```")
	typed(t, strings.ReplaceAll(strings.ReplaceAll(console, "\n   ", "\n"), "   $ go run ./cmd/benchleaf", "$ benchleaf"))
}

// part is a text of a page and the listing behind it.
type part struct{ text, kind, listing string }

func partsOf(page string) (parts []part) {
	fence := regexp.MustCompile("(?ms)^(```+)([a-z]*)\n(.*?\n)```+$")
	for at := fence.FindStringSubmatchIndex(page); at != nil; at = fence.FindStringSubmatchIndex(page) {
		// A fence is closed by one as long as the one that opens it.
		opens := page[at[2]:at[3]]
		end := at[6] + strings.Index(page[at[6]:], "\n"+opens+"\n") + 1
		parts = append(parts, part{strings.TrimSpace(page[:at[0]]), page[at[4]:at[5]], page[at[6]:end]})
		page = page[end+len(opens):]
	}
	return append(parts, part{text: page})
}

func writeAll(_ *testing.T, said []string, listing string) error {
	if err := os.MkdirAll(filepath.Dir(said[0]), 0o755); err != nil {
		return err
	}
	return os.WriteFile(said[0], []byte(listing), 0o644)
}

func writeBody(t *testing.T, said []string, listing string) error {
	text, err := os.ReadFile(said[0])
	head, _, ok := strings.Cut(string(text), "\n---\n")
	if !ok {
		t.Fatalf("%s has no front matter: %v", said[0], err)
	}
	return os.WriteFile(said[0], []byte(head+"\n---\n\n"+listing), 0o644)
}

func replaceOnce(t *testing.T, said []string, _ string) error {
	text, err := os.ReadFile(said[0])
	if n := strings.Count(string(text), said[1]); n != 1 {
		t.Fatalf("%s has %q %d times (%v)", said[0], said[1], n, err)
	}
	return os.WriteFile(said[0], []byte(strings.Replace(string(text), said[1], said[2], 1)), 0o644)
}

func remove(_ *testing.T, said []string, _ string) error {
	for _, name := range said {
		if err := os.RemoveAll(name); err != nil {
			return err
		}
	}
	return nil
}

// typed types the commands of a console, and holds what comes against what it shows.
func typed(t *testing.T, console string) {
	t.Helper()
	for _, one := range strings.Split("\n"+strings.TrimSuffix(console, "\n"), "\n$ ")[1:] {
		line, shows, _ := strings.Cut(one, "\n")
		args := words(line)
		if args[0] != "benchleaf" {
			t.Fatalf("%q is no command of this program", line)
		}
		var out bytes.Buffer
		if args[1] == "desk" {
			showDesk(t, args[2:], &out)
		} else {
			Run(args[1:], strings.NewReader(""), &out, &out)
		}
		got := strings.TrimRight(filepath.ToSlash(out.String()), "\n")
		pattern := strings.ReplaceAll(regexp.QuoteMeta(strings.TrimRight(shows, "\n")), "…", "(?s:.*)")
		if !regexp.MustCompile("^" + pattern + "$").MatchString(got) {
			t.Errorf("%s\n%s\nthe page shows\n%s", line, got, shows)
		}
	}
}

// words are those of a command line, as a shell takes it.
func words(line string) (list []string) {
	for _, word := range regexp.MustCompile(`(?:[^ "]|"[^"]*")+`).FindAllString(line, -1) {
		list = append(list, strings.ReplaceAll(word, `"`, ""))
	}
	return list
}

// showDesk opens the desk, and closes it once it has said that it is open.
func showDesk(t *testing.T, args []string, out *bytes.Buffer) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	c := &call{command: &command{name: "desk"}, flags: flag.NewFlagSet("desk", flag.ContinueOnError), stdout: opened{out, stop}, stderr: out}
	if err := c.desk(ctx, folder(args), 0, false, ""); err != nil && ctx.Err() == nil {
		t.Fatal(err)
	}
}

// opened stops the desk behind its last line.
type opened struct {
	io.Writer
	stop func()
}

func (o opened) Write(p []byte) (int, error) {
	if bytes.Contains(p, []byte("Ctrl-C ends it")) {
		defer o.stop()
	}
	return o.Writer.Write(p)
}
