package render

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// TestAlone judges the demo and the handbooks of golden files with slight pages one by one, and with all
// held: an author is told the same.
func TestAlone(t *testing.T) {
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
	t.Run("demo", func(t *testing.T) { both(t, filepath.Join("..", "content")) })
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
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
	if all < 100 {
		t.Errorf("no more than %d pages were judged by themselves", all)
	}
}
