package main

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// cached writes a handbook of some pages into the folder at hand, and makes its edition
// without a cache, to be held against.
func cached(t *testing.T) (want map[string]string) {
	t.Helper()
	files := maps.Clone(good)
	for i := range 120 {
		files[fmt.Sprintf("content/en/p%d.md", i)] = fmt.Sprintf("# Page %d\n\nSee [another](p%d.md).\n\n%s\n", i, (i*7+1)%120, strings.Repeat("Pull the fuse, then read the voltage. ", 40))
	}
	if status, _, errs := try(t, files, "compile", "-fresh", "-out", "whole"); status != statusDone {
		t.Fatal(errs)
	}
	return within(t, "whole")
}

// within are the files of a folder by their names in it.
func within(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	for name, text := range folderOf(t, dir) {
		files[strings.TrimPrefix(name, dir)] = text
	}
	return files
}

// compiling starts a process that compiles into a folder.
func compiling(t *testing.T, out string) *exec.Cmd {
	t.Helper()
	c := exec.Command(os.Args[0], "compile", "-out", out)
	c.Env = append(os.Environ(), asProgram+"=1")
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c
}

// TestBuildsAtOnce: builds that share a cache, and are begun together, each make the whole.
func TestBuildsAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("processes of their own, which the race detector does not see side by side; other tests compile, too")
	}
	want := cached(t)
	for round := range 2 { // with an empty cache, and with a full one
		var builds []*exec.Cmd
		for i := range 3 {
			builds = append(builds, compiling(t, fmt.Sprint("out", i)))
		}
		for i, c := range builds {
			if err := c.Wait(); err != nil {
				t.Fatal(err)
			}
			if got := within(t, fmt.Sprint("out", i)); !maps.Equal(got, want) {
				t.Errorf("round %d: build %d made something else", round, i)
			}
		}
	}
}

// TestKilledBuilds kills builds at any moment. The cache then serves a build that makes the
// whole, and so it does with half of its files damaged.
func TestKilledBuilds(t *testing.T) {
	if testing.Short() {
		t.Skip("many builds")
	}
	want := cached(t)
	random := rand.New(rand.NewPCG(5, 6))
	for range 8 {
		c := compiling(t, "out")
		time.Sleep(time.Duration(random.IntN(1200)) * time.Millisecond) // whenever it is: the outcome is the same
		_ = c.Process.Kill()
		_ = c.Wait()
	}
	whole := func(what string) {
		t.Helper()
		if err := compiling(t, "out").Wait(); err != nil {
			t.Fatal(err)
		}
		if got := within(t, "out"); !maps.Equal(got, want) {
			t.Errorf("%s: the edition is another one", what)
		}
		if left, _ := filepath.Glob(".out*"); left != nil {
			t.Errorf("%s: %q is left", what, left)
		}
	}
	whole("killed")
	whole("again")
	dir := filepath.Join(os.Getenv("XDG_CACHE_HOME"), "benchleaf")
	kept := 0
	if err := filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || random.IntN(2) == 0 {
			return err
		}
		kept++
		text, err := os.ReadFile(name)
		if err == nil && len(text) > 0 {
			text[random.IntN(len(text))] ^= 4
			err = os.WriteFile(name, text[:len(text)-random.IntN(2)], 0o600)
		}
		return err
	}); err != nil || kept < 20 {
		t.Fatalf("%d files were kept: %v", kept, err)
	}
	if err := os.RemoveAll("out"); err != nil { // so that each file is asked for
		t.Fatal(err)
	}
	whole("damaged")
}
