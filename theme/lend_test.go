package theme

import (
	"fmt"
	"io/fs"
	"regexp"
	"strings"
	"testing"
)

// first are the scripts behind which each script that takes something runs: every one
// that may be the first of its page, as render/page has it.
var first = map[Entry][]Entry{
	PlotScript:     {BenchScript},
	BarScript:      {BenchScript},
	JobScript:      {PageScript, BenchScript},
	PracticeScript: {PageScript, BenchScript},
	RecordScript:   {JobsScript},
	ReadScript:     {JobsScript},
	PictureScript:  {PlainScript, PageScript, BenchScript},
	CheckScript:    {PlainScript, PageScript, BenchScript},
	DueScript:      {PlainScript, PageScript, BenchScript, JobsScript, SearchScript, ModelsScript},
	HeldScript:     {PlainScript, PageScript, BenchScript, JobsScript, SearchScript, ModelsScript},
}

var (
	lends = regexp.MustCompile(`self\.(benchleaf\w+)=\[([^\]]*)\]`)
	taken = regexp.MustCompile(`var\[([^\]]*)\]=(benchleaf\w+);`)
)

// Each script finds what it takes, in every way a handbook is shown: an edition, one file, the desk.
func TestLentAndTaken(t *testing.T) {
	for name, load := range map[string]func() (*Theme, error){"an edition": Load, "one file": LoadBound, "the desk": LoadDesk} {
		theme, err := load()
		if err != nil {
			t.Fatal(err)
		}
		script := func(entry Entry) string {
			text, err := theme.Script(entry, "en")
			if err != nil {
				t.Fatal(err)
			}
			return string(text)
		}
		for entry := range takes {
			if len(first[entry]) == 0 {
				t.Errorf("behind which script does %s run?", entry)
			}
			text := script(entry)
			all := taken.FindAllStringSubmatch(text, -1)
			if strings.Count(text, "benchleaf") < len(all)+1 || len(all) == 0 {
				t.Errorf("%s: %s takes nothing, or is not held back:\n%.200s", name, entry, text)
			}
			for _, before := range first[entry] {
				lent := map[string]int{}
				for _, m := range lends.FindAllStringSubmatch(script(before), -1) {
					lent[m[1]] = len(strings.Split(m[2], ","))
				}
				for _, m := range all {
					if want := len(strings.Split(m[1], ",")); lent[m[2]] < want {
						t.Errorf("%s: %s takes %d of %s, and %s lends %d", name, entry, want, m[2], before, lent[m[2]])
					}
				}
			}
		}
	}
}

// A script whose lender is not there does nothing.
func TestTakenOfNobody(t *testing.T) {
	theme := load(t)
	for entry := range takes {
		text, err := theme.Script(entry, "en")
		if err != nil {
			t.Fatal(err)
		}
		var got string
		run(t, fmt.Sprintf("const self = {};\nif (!(() => {%s})()) console.log('\"nothing\"');", text), nil, &got)
		if got != "nothing" {
			t.Errorf("%s: %q", entry, got)
		}
	}
}

// What is lent is taken by somebody: else it would be in a first script for nothing.
func TestNothingIsLentInVain(t *testing.T) {
	theme := load(t)
	used := map[string]bool{}
	for entry := range takes {
		text, err := theme.Script(entry, "en")
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range taken.FindAllSubmatch(text, -1) {
			for i, name := range strings.Split(string(m[1]), ",") {
				if name != "" {
					used[fmt.Sprintf("%s[%d]", m[2], i)] = true
				}
			}
		}
	}
	names, err := fs.Glob(files, "script/lend-*.ts")
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		l, err := readLoan(lendFile.FindStringSubmatch(name)[1])
		if err != nil || len(l.names) == 0 {
			t.Fatal(name, err)
		}
		for i, lent := range l.names {
			if !used[fmt.Sprintf("%s[%d]", l.array, i)] {
				t.Errorf("%s lends %s, and nobody takes it", name, lent)
			}
		}
	}
}
