package render_test

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
)

// mistake is one slip in the handbook of testdata/mistakes: in a file, a text
// is replaced where it stands first. Where the remark stands in the new text, a
// mark shows the place; elsewhere want names it. No mistake moves what stands
// below it.
type mistake struct {
	file, old, new string
	want           string // id of the one remark, or its place and id
}

const placeMark = "▸"

// apply makes the mistake in a file's text.
func (m mistake) apply(text string) string {
	return strings.Replace(text, m.old, strings.Replace(m.new, placeMark, "", 1), 1)
}

// remark returns place and id of the remark, for the file's text.
func (m mistake) remark(text string) string {
	if !strings.Contains(m.new, placeMark) {
		return m.want
	}
	before, _, _ := strings.Cut(strings.Replace(text, m.old, m.new, 1), placeMark)
	line := before[strings.LastIndex(before, "\n")+1:]
	return fmt.Sprintf("%s:%d:%d %s", m.file, strings.Count(before, "\n")+1, utf8.RuneCountInString(line)+1, m.want)
}

// TestMistakes makes each mistake alone: one remark, at the right place, and
// none that only follows from it.
func TestMistakes(t *testing.T) {
	if testing.Short() {
		t.Skip("-short")
	}
	whole := wholeHandbook(t)
	if got := slipped(t, whole); len(got) > 0 {
		t.Fatalf("without a mistake: %v", got)
	}
	for _, m := range slices.Concat(mistakes, hidingMistakes, calculatorMistakes, repairMistakes) {
		want := m.remark(whole[m.file])
		if got := slipped(t, whole, m); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %q for %q\ngot  %s\nwant %s", m.file, m.new, m.old, strings.Join(got, "\n     "), want)
		}
	}
}

// TestTwentyMistakes makes twenty at once, in several choices of the table: twenty remarks, status 1, and the last edition stays to the byte.
func TestTwentyMistakes(t *testing.T) {
	if testing.Short() {
		t.Skip("-short")
	}
	whole := wholeHandbook(t)
	for seed := range uint64(8) {
		set := twenty(whole, seed)
		if len(set) != 20 {
			t.Fatalf("seed %d: %d mistakes", seed, len(set))
		}
		want := map[string]bool{}
		for _, m := range set {
			want[m.remark(whole[m.file])] = true
		}
		for _, g := range slipped(t, whole, set...) {
			if !want[g] {
				t.Errorf("seed %d: nobody expects %s", seed, g)
			}
			delete(want, g)
		}
		for w := range want {
			t.Errorf("seed %d: no %s", seed, w)
		}
	}
}

// twenty chooses mistakes that stand in lines of their own.
func twenty(whole map[string]string, seed uint64) (set []mistake) {
	taken := map[string]bool{}
	for _, i := range rand.New(rand.NewPCG(seed, 0)).Perm(len(mistakes)) {
		m := mistakes[i]
		place, _, _ := strings.Cut(m.remark(whole[m.file]), " ")
		line := fmt.Sprint(m.file, strings.Count(whole[m.file][:strings.Index(whole[m.file], m.old)], "\n"))
		if len(set) == 20 || taken[place] || taken[line] {
			continue
		}
		taken[place], taken[line] = true, true
		set = append(set, m)
	}
	return set
}

// wholeHandbook returns the texts of the handbook without a mistake.
func wholeHandbook(t *testing.T) map[string]string {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/mistakes/whole.txtar")
	if err != nil {
		t.Fatal(err)
	}
	whole := map[string]string{}
	for _, f := range archive.Files {
		whole[f.Name] = string(f.Data)
	}
	return whole
}

// slipped returns the places and ids of the remarks that the handbook gets with
// some mistakes. With an error among them, the edition that was made before
// must stay.
func slipped(t *testing.T, whole map[string]string, set ...mistake) (got []string) {
	t.Helper()
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "edition")
	for name, text := range whole {
		put(t, dir, name, text)
	}
	before := map[string][]byte{}
	if len(set) > 1 {
		if result, err := render.Compile(t.Context(), dir, out, render.Options{}); err != nil || result.Failed() {
			t.Fatal(err, result.Remarks)
		}
		before = files(t, out)
	}
	changed := maps.Clone(whole)
	for _, m := range set {
		if !strings.Contains(changed[m.file], m.old) {
			t.Fatalf("%s has no %q", m.file, m.old)
		}
		changed[m.file] = m.apply(changed[m.file])
		put(t, dir, m.file, changed[m.file])
	}
	result, err := render.Compile(t.Context(), dir, out, render.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range result.Remarks {
		got = append(got, fmt.Sprintf("%s %s", r.Place, r.ID))
	}
	for name, data := range before {
		if now, err := os.ReadFile(filepath.Join(out, name)); err != nil || !bytes.Equal(now, data) {
			t.Errorf("%s of the last edition changed (%v)", name, err)
		}
	}
	return got
}
