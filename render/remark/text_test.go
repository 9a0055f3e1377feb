package remark

import (
	"strings"
	"testing"
)

// TestExcerpt holds the marked lines. Widths are those of a terminal: East Asian
// letters and most emoji take two columns (Unicode Standard Annex 11), a combining
// mark none.
func TestExcerpt(t *testing.T) {
	long := strings.Repeat("abcde ", 30) + "<spec:none>" + strings.Repeat(" fghij", 30)
	for _, c := range []struct {
		name       string
		source     string
		column     int
		width      int
		line, mark string
	}{
		{"a word", "minutes: two", 10, 80, "minutes: two", "         ^~~"},
		{"a number", "at 0.5 V.", 4, 80, "at 0.5 V.", "   ^~~"},
		{"a word and a full stop", "the end.", 5, 80, "the end.", "    ^~~"},
		{"a reference", "see <spec:a b> now", 5, 80, "see <spec:a b> now", "    ^~~~~~~~~~"},
		{"a reference without end", "see <spec:a", 5, 80, "see <spec:a", "    ^"},
		{"tabs", "\ta:\tb", 5, 80, "    a:  b", "        ^"},
		{"wide letters", "温度 温度計 x", 4, 80, "温度 温度計 x", "     ^~~~~~"},
		{"combining marks", "e\u0301e\u0301 no", 6, 80, "e\u0301e\u0301 no", "   ^~"},
		{"a family", "👩‍👧 no", 5, 80, "👩‍👧 no", "   ^~"},
		{"the line's end", "a:", 3, 80, "a:", "  ^"},
		{"beyond the line", "a", 9, 80, "a", " ^"},
		{"what a terminal would act on", "a\x1b[2J b", 7, 80, "a\uFFFD[2J b", "      ^"},
		{"blanks at the end", "a b   ", 3, 80, "a b", "  ^"},
		{"begins a long line", long, 1, 30, "abcde abcde abcde abcde abcd…", "^~~~~"},
		{"within a long line", long, 181, 30, "…cde abcde <spec:none> fghij …", "           ^~~~~~~~~~~"},
		{"ends a long line", long, 367, 30, "…ghij fghij fghij fghij fghij", "                        ^~~~~"},
		{"within a line of a megabyte", strings.Repeat("a\u0301bcde ", 80_000) + "<spec:none>" + strings.Repeat(" fghij", 80_000), 560_001, 30, "…cde a\u0301bcde <spec:none> fghij …", "           ^~~~~~~~~~~"},
		{"begins a line of a megabyte", strings.Repeat("a", 1_000_000), 1, 22, "aaaaaaaaaaaaaaaaaaaa…", "^~~~~~~~~~~~~~~~~~~~"},
		{"ends a line of a megabyte", strings.Repeat("温", 400_000), 400_001, 22, "…温温温温温温温温温", "                   ^"},
		{"longer than the room", "x `" + strings.Repeat("y", 60) + "` z", 3, 22, "…`yyyyyyyyyyyyyyyyyyy…", " ^~~~~~~~~~~~~~~~~~~~"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Remark{Place: Place{"a.md", 1, c.column}, Source: c.source}
			line, mark := r.excerpt(c.width)
			if line != c.line || mark != c.mark {
				t.Errorf("\n%s|\n%s|\nwant\n%s|\n%s|", line, mark, c.line, c.mark)
			}
		})
	}
}

func TestText(t *testing.T) {
	list := List{
		{ID: "link-nowhere", Severity: Error, Place: Place{"a.md", 12, 5}, Message: "it leads nowhere", Mend: "Mend it.", Source: "See [x](y.md)."},
		{ID: "page-title", Severity: Warning, Place: Place{"a.md", 0, 0}, Message: "no title", Mend: "Give it one."},
		{ID: "raw-html", Severity: Advice, Place: Place{"b.svg", 3, 0}, Message: "a line", Mend: "Take it out.", Source: "<b>"},
	}
	const plain = `a.md:12:5: error: it leads nowhere [link-nowhere]
    12 | See [x](y.md).
       |     ^~~
    Mend it.
a.md: warning: no title [page-title]
    Give it one.
b.svg:3: advice: a line [raw-html]
     3 | <b>
    Take it out.
`
	var b strings.Builder
	if err := (Text{Width: 80}).Write(&b, list); err != nil || b.String() != plain {
		t.Errorf("%v\n%s", err, b.String())
	}
	b.Reset()
	if err := (Text{Width: 80, Color: true}).Write(&b, list[:1]); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\x1b[31;1merror\x1b[", "\x1b[31;1m    ^~~\x1b["} { // 31 red, 1 bold: ECMA-48
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is not in %q", want, b.String())
		}
	}
}

// Of a kind no more are written than anybody reads; the others are counted.
func TestTextOfMany(t *testing.T) {
	var list List
	for i := range MostOfKind + 3 {
		list.Add(LinkOutside, Place{File: "a.md", Line: i + 1}, "/x")
		list.Add(PageTitle, Place{File: "b.md", Line: i + 1})
		if i < MostOfKind {
			list.Add(RawHTML, Place{File: "c.md", Line: i + 1})
		}
	}
	var b strings.Builder
	if err := (Text{Width: 80}).Write(&b, list); err != nil {
		t.Fatal(err)
	}
	for part, want := range map[string]int{"[link-outside]": 50, "[page-title]": 50, "[raw-html]": 50, "a.md:50: ": 1, "a.md:51: ": 0} {
		if n := strings.Count(b.String(), part); n != want {
			t.Errorf("%s stands %d times, want %d", part, n, want)
		}
	}
	const end = "Not shown: 3 of link-outside, 3 of page-title.\n    The next ones are shown when these are mended; `benchleaf audit -format json` tells all.\n"
	if !strings.HasSuffix(b.String(), end) {
		t.Errorf("it ends with\n%s", b.String()[max(0, b.Len()-200):])
	}
}
