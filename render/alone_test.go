package render

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// holdNothing lets small handbooks be read again too.
func holdNothing(t *testing.T) {
	was := mostHeld
	mostHeld = 0
	t.Cleanup(func() { mostHeld = was })
}

// TestAlone judges the demo and the handbooks of golden files with slight pages one by one, and with all
// held: an author is told the same.
func TestAlone(t *testing.T) {
	holdNothing(t)
	judge := func(t *testing.T, dir string, early drawer) (result Result, slight int) {
		tree, list, err := source.Scan(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer tree.Close()
		b := fresh()
		b.lean, b.next = early != nil, newState()
		j, err := b.judge(context.Background(), tree, list, nil, early)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range j.pages {
			if x.slight {
				slight++
			}
		}
		return j.result, slight
	}
	all := 0
	both := func(t *testing.T, dir string) {
		one, slight := judge(t, dir, func(*judged) drawPage { return func(*judgedPage, *handbook.Page) {} })
		if all += slight; slight == 0 {
			return
		}
		if held, _ := judge(t, dir, nil); !reflect.DeepEqual(one, held) {
			t.Errorf("one by one:\n%v\n%v\nall held:\n%v\n%v", one.Remarks, one.Allowed, held.Remarks, held.Allowed)
		}
	}
	if !testing.Short() {
		t.Run("demo", func(t *testing.T) { both(t, filepath.Join("..", "content")) })
	}
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for i, file := range files {
		if testing.Short() && i%5 > 0 {
			continue // one thing, many times
		}
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			files, err := txtar.FS(archive)
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			if err := os.CopyFS(dir, files); err != nil {
				t.Fatal(err)
			}
			both(t, dir)
		})
	}
	if all < 100 && !testing.Short() {
		t.Errorf("no more than %d pages were judged by themselves", all)
	}
}

// TestChangedMeanwhile changes a page after it was outlined. Once: the handbook is read again, and what comes
// out is that of the new text. Each time: nothing comes out, and the last edition stays.
func TestChangedMeanwhile(t *testing.T) {
	holdNothing(t)
	f := newFolder(t, map[string]string{"a.md": "# A\n\n[B](b.md#one)\n", "b.md": "# B\n\n## One\n"})
	out := filepath.Join(t.TempDir(), "edition")
	compile := func(change func(n int)) error {
		n := 0
		_, err := Compile(context.Background(), f.dir, out, Options{Pages: func(_, held int) {
			if n++; n%2 == 0 { // all are outlined
				change(n / 2)
			}
		}})
		return err
	}
	shown := func() string {
		page, err := os.ReadFile(filepath.Join(out, "b.html"))
		if err != nil {
			t.Fatal(err)
		}
		return string(page)
	}
	if err := compile(func(n int) {
		if n == 1 {
			f.write("b.md", "# B\n\n## One\n\nAnother text.\n")
		}
	}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(shown(), "Another text.") {
		t.Error("the edition has not the page as it is now")
	}
	err := compile(func(n int) { f.write("b.md", fmt.Sprintf("# B\n\n## One\n\nText %d.\n", n)) })
	if !errors.Is(err, source.ErrChanged) || !strings.Contains(err.Error(), "b.md") {
		t.Errorf("a page that changed each time it was read: %v", err)
	}
	if !strings.Contains(shown(), "Another text.") {
		t.Error("the last edition did not stay")
	}
	// One that is taken away is told of as missing.
	n := 0
	result, err := Compile(context.Background(), f.dir, out, Options{Pages: func(int, int) {
		if n++; n == 2 {
			f.remove("b.md")
		}
	}})
	if err != nil || !slices.ContainsFunc(result.Remarks, func(r remark.Remark) bool { return r.ID == remark.LinkNowhere.ID }) {
		t.Errorf("a page that was taken away: %v, %v", result.Remarks, err)
	}
}

// An audit holds no more than a build does: no plain pages, whatever is wrong with them.
func TestAuditHolds(t *testing.T) {
	holdNothing(t)
	f := newFolder(t, map[string]string{"a.md": "# A\n", "b.md": "# B\n\n[Nowhere](x.md)\n", "c.md": "# C\n"})
	var told [][2]int
	result, err := AuditSince(f.dir, Options{Pages: func(n, held int) { told = append(told, [2]int{n, held}) }})
	if err != nil || result.Remarks.Count(remark.Error) != 1 {
		t.Errorf("%v, %v", result.Remarks, err)
	}
	if want := [][2]int{{3, 0}, {3, 0}}; !slices.Equal(told, want) {
		t.Errorf("pages and how many are held: %v, want %v", told, want)
	}
}

// Once a page has an error there will be no edition, and no other page is drawn for it.
func TestDrawnUntilError(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // pages are judged in their order
	f := newFolder(t, map[string]string{"a.md": "# A\n", "b.md": "# B\n\n[Nowhere](x.md)\n", "c.md": "# C\n"})
	tree, list, err := source.Scan(f.dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	b := fresh()
	b.lean, b.next = true, newState()
	var drawn []string
	if _, err := b.judge(context.Background(), tree, list, nil, func(*judged) drawPage {
		return func(_ *judgedPage, p *handbook.Page) { drawn = append(drawn, p.Source.Path) }
	}); err != nil || !slices.Equal(drawn, []string{"a.md"}) {
		t.Errorf("drawn: %q, %v", drawn, err)
	}
}
