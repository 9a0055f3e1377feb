package desk

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// patience is how long a change may take to be told on a busy machine.
const patience = 30 * time.Second

// watched is a folder that is watched.
type watched struct {
	*testing.T
	dir   string
	told  chan []string
	known []string // what was expected so far
}

// watchFolder watches a folder with some files, each of which holds its own name.
func watchFolder(t *testing.T, files ...string) *watched {
	t.Helper()
	f := &watched{T: t, dir: t.TempDir(), told: make(chan []string, 1000)}
	for _, name := range files {
		f.write(name, name)
	}
	w, err := watch(f.dir)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		w.run(ctx, func(files []string) { f.told <- files })
	}()
	t.Cleanup(func() {
		stop()
		<-done
		w.close()
	})
	return f
}

func (f *watched) path(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

func (f *watched) do(err error) {
	f.Helper()
	if err != nil {
		f.Fatal(err)
	}
}

func (f *watched) write(name, text string) {
	f.Helper()
	f.do(os.MkdirAll(filepath.Dir(f.path(name)), 0o777))
	f.do(os.WriteFile(f.path(name), []byte(text), 0o666))
}

// expect waits until all names were told of, in whatever portions. What was expected before may be told of once more: a file in a
// new folder is seen with that, and again once it is written. Of others it fails.
func (f *watched) expect(names ...string) {
	f.Helper()
	missing := slices.Clone(names)
	f.known = append(f.known, names...)
	for len(missing) > 0 {
		select {
		case files := <-f.told:
			for _, name := range files {
				if !slices.Contains(f.known, name) {
					f.Errorf("%s was told of", name)
				}
				missing = slices.DeleteFunc(missing, func(s string) bool { return s == name })
			}
		case <-time.After(patience):
			f.Fatalf("%v: never told of", missing)
		}
	}
}

func TestWatchWrites(t *testing.T) {
	f := watchFolder(t, "en/a.md", "en/b.md")
	f.write("en/a.md", "changed")
	f.expect("en/a.md")
	f.write("handbook.yaml", "title: X")
	f.expect("handbook.yaml")
	f.do(os.Remove(f.path("en/b.md")))
	f.expect("en/b.md")
}

// Many editors write a second file and put it in the place of the first, or move the
// first away before.
func TestWatchRenameWrites(t *testing.T) {
	f := watchFolder(t, "en/a.md")
	for range 3 {
		f.write("en/.a.md.new", "changed")
		f.do(os.Rename(f.path("en/.a.md.new"), f.path("en/a.md")))
		f.expect("en/a.md")
	}
	f.do(os.Rename(f.path("en/a.md"), f.path("en/.a.md.old")))
	f.write("en/a.md", "written anew")
	f.expect("en/a.md")
}

func TestWatchFolders(t *testing.T) {
	f := watchFolder(t, "en/a.md", "away/x/deep.md")
	f.write("es/uno.md", "uno")
	f.expect("es/uno.md")
	f.write("es/dos.md", "dos") // the new folder is watched, too
	f.expect("es/dos.md")
	f.write("es/more/deeper/tres.md", "tres")
	f.expect("es/more/deeper/tres.md")
	f.do(os.RemoveAll(f.path("es/more")))
	f.expect("es/more/deeper/tres.md")
	f.do(os.Rename(f.path("away"), f.path("back")))
	f.expect("away/x/deep.md", "back/x/deep.md")
	f.write("back/x/deep.md", "changed in its new place")
	f.expect("back/x/deep.md")
}

// Of a burst the last state counts: whatever was told of, a look at the files after
// the last time sees it.
func TestWatchBurst(t *testing.T) {
	f := watchFolder(t, "en/a.md")
	const last = 500
	for i := range last + 1 {
		f.write("en/a.md", fmt.Sprint("state ", i))
		f.write(fmt.Sprintf("en/new-%d.md", i%50), fmt.Sprint(i))
	}
	seen := ""
	want := map[string]bool{}
	for i := range 50 {
		want[fmt.Sprintf("en/new-%d.md", i)] = true
	}
	for seen != fmt.Sprint("state ", last) || len(want) > 0 {
		select {
		case files := <-f.told:
			for _, name := range files {
				delete(want, name)
			}
			if slices.Contains(files, "en/a.md") {
				text, _ := os.ReadFile(f.path("en/a.md"))
				seen = string(text)
			}
		case <-time.After(patience):
			t.Fatalf("told of %q, and never of %v", seen, want)
		}
	}
}

// What changes while a build runs is told after it, even where the system told nothing.
func TestWatchLooksAgain(t *testing.T) {
	dir := t.TempDir()
	write := func(text string) {
		if err := os.WriteFile(filepath.Join(dir, "a.md"), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("first")
	w, err := watch(dir)
	if err != nil {
		t.Fatal(err)
	}
	w.close() // no event comes any more
	w.events = nil
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	write("the second")
	seen := 0
	w.run(ctx, func(files []string) {
		if !slices.Equal(files, []string{"a.md"}) {
			t.Errorf("told of %v", files)
		}
		if seen++; seen == 1 {
			write("the third, in the meantime")
		} else {
			stop()
		}
	})
	if seen != 2 {
		t.Errorf("told %d times, want 2", seen)
	}
}

func TestWatchFollowsNoLink(t *testing.T) {
	outside := t.TempDir()
	if err := os.Mkdir(filepath.Join(outside, "in"), 0o777); err != nil {
		t.Fatal(err)
	}
	f := watchFolder(t, "en/a.md")
	f.do(os.Symlink(outside, f.path("link")))
	f.expect("link")
	f.do(os.WriteFile(filepath.Join(outside, "in", "secret.md"), []byte("x"), 0o666))
	f.write("en/a.md", "changed") // what comes after it is told alone
	f.expect("en/a.md")
}

func TestWatchLeavesOutWhatIsHidden(t *testing.T) {
	f := watchFolder(t, "en/a.md", ".git/index", "en/.a.md.swp")
	f.write(".git/index", "changed")
	f.write("en/.a.md.swp", "changed")
	f.write("en/a.md", "changed")
	f.expect("en/a.md")
}

func TestWatchNoFolder(t *testing.T) {
	_, err := watch(filepath.Join(t.TempDir(), "none"))
	if err == nil || !strings.Contains(err.Error(), "none") {
		t.Errorf("got %v", err)
	}
}
