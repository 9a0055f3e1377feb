package theme

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

func load(t *testing.T) *Theme {
	t.Helper()
	theme, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	return theme
}

// tool returns a program of the browser checks. Without it the test is left
// out, unless BENCHLEAF_BROWSER says that these checks are required.
func tool(t *testing.T, found string, err error) string {
	t.Helper()
	if err != nil {
		if os.Getenv("BENCHLEAF_BROWSER") == "required" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	return found
}

func TestScriptTypes(t *testing.T) {
	tsc := filepath.Join("..", "testdata", "browser", "node_modules", "typescript", "bin", "tsc")
	_, err := os.Stat(tsc)
	tsc = tool(t, tsc, err)
	// The worker lives in a world without a document, which has other types.
	for _, config := range []string{"tsconfig.json", "tsconfig.worker.json"} {
		out, err := exec.Command("node", tsc, "-p", filepath.Join("..", "testdata", "browser", config)).CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v\n%s", config, err, out)
		}
	}
}

// The weights keep the first page and a procedure within what a phone on a weak
// network takes in its first round trips.
func TestWeights(t *testing.T) {
	theme := load(t)
	for entry, most := range map[StyleEntry]int{PageStyle: 3000, SafetyStyle: 700, TableStyle: 250, WideStyle: 150, EdgeStyle: 450, ForeignStyle: 200, AnswerStyle: 300, LeadStyle: 250, WorkStyle: 150, VerdictStyle: 500, StepStyle: 850, CalculatorStyle: 800, PlotStyle: 300, CheckStyle: 150, ListingStyle: 250, FlowStyle: 3000, FinderStyle: 300, WayStyle: 500, NarrowStyle: 150, TimingStyle: 250, CodesStyle: 500, JobsStyle: 3000, EarlyStyle: 200, LeftStyle: 250, JobStyle: 2000, PictureStyle: 600, BulletinStyle: 300, PracticeStyle: 1000, SearchStyle: 3000, SourceStyle: 300, ChangeStyle: 400, LabelStyle: 2500, PrintStyle: 2000, BoundStyle: 6500} {
		style, err := theme.Style(entry)
		if err != nil {
			t.Fatal(err)
		}
		weigh(t, string(entry)+".css", style, most)
	}
	worker, err := theme.Worker()
	if err != nil {
		t.Fatal(err)
	}
	weigh(t, "worker.js", worker, 8000)
	for lang := range catalogues {
		// The script in a procedure's page asks which card is named and whether a job is at hand; what the page may weigh, it may weigh with it.
		for entry, most := range map[Entry]int{PlainScript: 2000, ChosenScript: 300, AskedScript: 150, OpenedScript: 345, PageScript: 6000, BenchScript: 10000, JobsScript: 11000, RecordScript: 4000, CodeScript: 3000, ReadScript: 4000, PlotScript: 3000, PictureScript: 1400, CheckScript: 900, JobScript: 16500, BarScript: 4500, PracticeScript: 5800, SearchScript: 8000, HeldScript: 3000, DueScript: 700, RangeScript: 1200, BoundScript: 2500} {
			script, err := theme.Script(entry, lang)
			if err != nil {
				t.Fatal(err)
			}
			weigh(t, fmt.Sprintf("%s-%s.js", entry, lang), script, most)
			if bytes.Contains(script, []byte("word.")) {
				t.Errorf("%s-%s.js still names a word", entry, lang)
			}
		}
	}
}

// Words in another language than the page's say so; an attribute has them without tags.
func TestForeignWords(t *testing.T) {
	theme := load(t)
	const want = `<span lang="en" dir="ltr">Jobs</span>`
	if got := theme.Words("fa").Say("jobs.title"); fmt.Sprint(got) != want {
		t.Errorf("in a page in Persian stands %v, want %s", got, want)
	}
	for _, lang := range []string{"en", "en-GB", "es-MX", ""} {
		words := theme.Words(lang)
		if got := words.Say("jobs.title"); got != words.Word("jobs.title") || words.Mark() != "" {
			t.Errorf("in a page in %q stands %v", lang, got)
		}
	}
}

func weigh(t *testing.T, name string, data []byte, most int) {
	t.Helper()
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
	_, _ = z.Write(data)
	_ = z.Close()
	if b.Len() > most || b.Len() < most/4 {
		t.Errorf("%s has %d bytes compressed, want %d to %d", name, b.Len(), most/4, most)
	}
}

func TestScriptIsMadeOnceForALanguage(t *testing.T) {
	theme := load(t)
	a, err := theme.Script(PageScript, "es-MX")
	if err != nil {
		t.Fatal(err)
	}
	b, _ := theme.Script(PageScript, "es")
	if &a[0] != &b[0] {
		t.Error("es-MX and es have the same words and were bundled twice")
	}
	en, _ := theme.Script(PageScript, "en")
	if bytes.Equal(a, en) {
		t.Error("the Spanish script has English words")
	}
}

func TestWordsOfALanguage(t *testing.T) {
	theme := load(t)
	for tag, want := range map[string]string{"en": "en", "en-US": "en", "es-MX": "es", "es": "es", "fr-CA": "fr", "it": "en", "zh-Hant-TW": "en", "": "en"} {
		if got := theme.Words(tag).Lang; got != want {
			t.Errorf("Words(%q) are %s, want %s", tag, got, want)
		}
	}
	if got := theme.Words("en").Word("no.such"); got != "no.such" {
		t.Errorf("a missing word gave %q", got)
	}
}

func TestFill(t *testing.T) {
	w := &Words{Lang: "xx", text: map[string]string{"a.b": "{x} to {y}, {x}, {z}"}}
	if got := w.Fill("a.b", "x", "{y}", "y", "2"); got != "{y} to 2, {y}, {z}" {
		t.Errorf("got %q", got)
	}
}

// The theme has its words in these languages, each with the same keys and the same places to fill.
// TestDay: days have the long form of the Unicode CLDR, against which TestDays in a browser holds every month; figures are
// 0 to 9 in Arabic too.
func TestDay(t *testing.T) {
	look, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for lang, want := range map[string]string{
		"en": "March 5, 2027", "es": "5 de marzo de 2027", "de": "5. März 2027", "fr": "5 mars 2027", "pt": "5 de março de 2027", "ar": "5 مارس 2027",
		"sv": "2027-03-05", // English words would say nothing of the page's language
	} {
		if got := look.Words(lang).Day("2027-03-05"); got != want {
			t.Errorf("%s: %s, want %s", lang, got, want)
		}
	}
	for _, not := range []string{"", "2027-02-30", "soon"} {
		if got := look.Words("en").Day(not); got != not {
			t.Errorf("%q: %q", not, got)
		}
	}
}

func TestLanguages(t *testing.T) {
	if got, want := slices.Sorted(maps.Keys(catalogues)), []string{"ar", "de", "en", "es", "fr", "pt"}; !slices.Equal(got, want) {
		t.Errorf("there are words in %v, want %v", got, want)
	}
	for lang, words := range catalogues {
		if err := agrees(words(), catalogues[fallback]()); err != nil {
			t.Errorf("messages in %q: %v", lang, err)
		}
	}
}

// agrees tells what of the English words is missing in a language or fills otherwise, and what is its own.
func agrees(w, english *Words) error {
	var wrong []error
	for _, key := range slices.Sorted(maps.Keys(english.text)) {
		text, ok := w.text[key]
		switch {
		case !ok:
			wrong = append(wrong, fmt.Errorf("%s is missing", key))
		case !slices.Equal(places(text), places(english.text[key])):
			wrong = append(wrong, fmt.Errorf("%s fills %v, not %v", key, places(text), places(english.text[key])))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(w.text)) {
		if _, ok := english.text[key]; !ok {
			wrong = append(wrong, fmt.Errorf("%s is in no other language", key))
		}
	}
	return errors.Join(wrong...)
}

// places are the names that a text has in braces, sorted.
func places(text string) (found []string) {
	for {
		_, rest, ok := strings.Cut(text, "{")
		if !ok {
			slices.Sort(found)
			return found
		}
		name, after, _ := strings.Cut(rest, "}")
		found, text = append(found, name), after
	}
}

// A catalogue that lacks a word, has one of its own or fills a text otherwise does not agree.
func TestMessagesAgree(t *testing.T) {
	english := &Words{text: map[string]string{"a.one": "{n} of {all}", "a.two": "Two"}}
	for text, want := range map[string]string{
		`{"a.one": "{all}: {n}", "a.two": "Zwei"}`:                   "",
		`{"a.one": "{n} von {all}"}`:                                 "a.two is missing",
		`{"a.one": "{n}", "a.two": "Zwei"}`:                          "a.one fills [n], not [all n]",
		`{"a.one": "{n} {all}", "a.two": "Zwei", "a.three": "Drei"}`: "a.three is in no other language",
	} {
		w := &Words{}
		if err := json.Unmarshal([]byte(text), &w.text); err != nil {
			t.Fatal(err)
		}
		got := ""
		if err := agrees(w, english); err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// A script that names a word which has no text must not be bundled.
func TestUnknownWordIsRefused(t *testing.T) {
	_, err := bundleScript(PageScript, &Words{Lang: "xx", text: map[string]string{}}, nil)
	if err == nil || !strings.Contains(err.Error(), `has no text in "xx"`) {
		t.Errorf("got %v", err)
	}
}

// run bundles a script together with those of the theme that it imports and runs
// it in node. There the input is called input; what the script prints is JSON and
// decoded into result. The document that the theme's scripts look at is empty.
func run(t *testing.T, script string, input, result any) {
	t.Helper()
	path, err := exec.LookPath("node")
	node := tool(t, path, err)
	js, err := build(withFile{files, "script/test.ts", script}, api.BuildOptions{EntryPoints: []string{"script/test.ts"}, Define: map[string]string{"desk": "false"}})
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(input)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, "-")
	cmd.Stdin = strings.NewReader(fmt.Sprintf("const input = %s;\nglobalThis.document = {querySelector: () => input?.Page ? {textContent: JSON.stringify(input.Page)} : null};\n%s", data, js))
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			t.Fatalf("%v\n%s", err, exit.Stderr)
		}
		t.Fatal(err)
	}
	if err := json.Unmarshal(out, result); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}

// withFile is a file system with one more file.
type withFile struct {
	fs.FS
	name, text string
}

func (w withFile) ReadFile(name string) ([]byte, error) {
	if name == w.name {
		return []byte(w.text), nil
	}
	return fs.ReadFile(w.FS, name)
}
