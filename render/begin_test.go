package render_test

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/render"
	"benchleaf/render/begin"
	"benchleaf/render/remark"
)

func kindNamed(t *testing.T, name string) *begin.Kind {
	t.Helper()
	for _, k := range begin.Kinds {
		if k.Name == name {
			return k
		}
	}
	t.Fatalf("there is no kind %q", name)
	return nil
}

// begun begins something, what is not given having its usual value.
func begun(t *testing.T, dir, kind, name string, given map[string]string) ([]string, remark.List, error) {
	t.Helper()
	b, remarks, err := render.Begin(dir, kindNamed(t, kind), name, "2026-11-26")
	if err != nil || len(remarks) > 0 {
		return nil, remarks, err
	}
	if why, ok := b.CheckName(); !ok {
		return nil, remark.List{why}, nil
	}
	for _, f := range b.Kind.Fields {
		value, ok := given[f.Key]
		if !ok {
			value = f.Usual(&b.Draft)
		} else if why, ok := f.Check(&b.Draft, value); !ok {
			return nil, remark.List{why}, nil
		}
		b.Values[f.Key] = value
	}
	return b.Write()
}

// demo is a copy of the demo handbook, in English and, yet without a page, in
// Spanish.
func demo(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../content")); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(filepath.Join(dir, "es")); err != nil { // nothing is translated yet
		t.Fatal(err)
	}
	name := filepath.Join(dir, "handbook.yaml")
	text := strings.Replace(string(mustRead(t, name)), "\nremarks:\n", "\nremarks:\n  page-untranslated: off\n  language-empty: off\n  synonym-idle: off\n  glossary-unshown: off\n", 1)
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

type beginning struct {
	kind, name string
	given      map[string]string
	file       string
}

// awkward is a title that neither YAML nor Markdown takes as it is.
const awkward = `No: "charge" # *at* <all>, {5 %} \ - éω`

// TestBegin begins everything in a new handbook, in the demo and in a folder of
// plain pages: no remark comes with it, and nothing of its comments into the edition.
func TestBegin(t *testing.T) {
	anywhere := []beginning{
		{"procedure", "not-there-yet", nil, "en/procedures/not-there-yet.md"},
		{"procedure", "awkward", map[string]string{"title": awkward, "symptom": awkward}, "en/procedures/awkward.md"},
		{"page", "not-there-yet", map[string]string{"title": awkward}, "en/theory/not-there-yet.md"},
		{"specification", "not-there-yet", map[string]string{"unit": "V", "min": "11.5"}, "specs/not-there-yet.yaml"},
		{"specification", "plain", map[string]string{"unit": "", "nominal": "1", "min": "0.95", "max": "1.05", "conditions": awkward, "title": awkward}, "specs/plain.yaml"},
		{"bulletin", "not-there-yet", map[string]string{"procedure": "procedures/not-there-yet", "title": awkward}, "en/bulletins/not-there-yet.md"},
		{"procedure", "measured", map[string]string{"spec": "not-there-yet"}, "en/procedures/measured.md"},
	}
	for name, c := range map[string]struct {
		dir   string
		begin []beginning
	}{
		"a new handbook": {filepath.Join(t.TempDir(), "new", "content"), slices.Concat([]beginning{
			{"handbook", "", map[string]string{"title": awkward, "publisher": awkward}, "handbook.yaml"},
			{"procedure", "of-the-example", map[string]string{"spec": "battery-rested", "state": "cranking"}, "en/procedures/of-the-example.md"},
		}, anywhere)},
		"the demo": {demo(t), []beginning{
			{"procedure", "not-there-yet", nil, "en/procedures/not-there-yet.md"},
			{"specification", "not-there-yet", map[string]string{"unit": "V", "min": "11.5"}, "specs/not-there-yet.yaml"},
			{"procedure", "above", map[string]string{"spec": "feed-drop", "state": "warming"}, "en/procedures/above.md"}, // a greatest value only
			{"procedure", "between", map[string]string{"spec": "heater-resistance"}, "en/procedures/between.md"},         // both, by model
			{"procedure", "one-model", map[string]string{"spec": "outlet-volts", "state": "loaded"}, "en/procedures/one-model.md"},
			{"translation", "en/procedures/one-model.md", nil, "es/procedures/one-model.md"},
			{"bulletin", "black-smoke", map[string]string{"procedure": "procedures/black-smoke"}, "en/bulletins/black-smoke.md"},
			{"page", "in-spanish", map[string]string{"language": "es"}, "es/theory/in-spanish.md"},
		}},
		"plain pages": {t.TempDir(), anywhere},
	} {
		t.Run(name, func(t *testing.T) {
			if name == "the demo" && testing.Short() {
				t.Skip("it is read and judged twice for each file")
			}
			if name == "plain pages" {
				put(t, c.dir, "a.md", "# A\n")
			}
			before := remark.List{}
			if there, err := render.Audit(c.dir); err == nil {
				before = there.Remarks
			}
			for _, b := range c.begin {
				written, remarks, err := begun(t, c.dir, b.kind, b.name, b.given)
				if err != nil || len(remarks) > 0 || !slices.Contains(written, filepath.Join(c.dir, filepath.FromSlash(b.file))) {
					t.Errorf("%s %s: written %v, want %s\n%v %s", b.kind, b.name, written, b.file, err, remarksText(remarks))
				}
				if text, err := os.ReadFile(filepath.Join(c.dir, b.file)); err != nil || !strings.Contains(string(text), "is for you: no reader sees it") && !strings.Contains(string(text), "are for you: no reader sees them") {
					t.Errorf("%s has no comment for the trainer: %v", b.file, err)
				}
			}
			out := filepath.Join(t.TempDir(), "edition")
			result, err := render.Compile(t.Context(), c.dir, out, render.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range result.Remarks {
				// A page that the first language does not have is written, and told.
				alone := r.ID == "translation-page" && r.Place.File == "es/theory/in-spanish.md"
				if !slices.Contains(before, r) && !alone {
					t.Errorf("%v", r)
				}
			}
			noComment(t, out)
		})
	}
}

// noComment looks for the templates' comments in all files of an edition.
func noComment(t *testing.T, out string) {
	t.Helper()
	told := regexp.MustCompile(`for you: no reader|Example figure  |Say first what|lead to the procedure that|one leads here|bring(s)? the complaint about.*<!--|what answers call it|limit is min, max or both`)
	err := filepath.WalkDir(out, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		if found := told.Find(text); found != nil {
			t.Errorf("%s holds %q", name, found)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestBeginTranslation translates the whole demo: links lead to the pages of the
// other language, and to those of the first one where there is none yet.
func TestBeginTranslation(t *testing.T) {
	if testing.Short() {
		t.Skip("the whole demo is translated")
	}
	dir := demo(t)
	put(t, dir, "es/bench/wires.md", "---\ntitle: Cables\nallow: {translation-unrecorded: it is a part}\n---\n\n## Caída <id:drop>\n")
	put(t, dir, "en/plain.md", "# Plain\n\n[Flat](procedures/battery-flat.md), [itself](plain.md#plain), ![Coil](../pictures/choke-cold.svg), <b>,\n"+
		"[wires](bench/wires.md), [there](bench/wires.md#drop), [not there](bench/wires.md#chosen), [no file](other.md).\n\n## Chosen\n")
	put(t, dir, "en/other.md", "# Other\n")
	put(t, dir, "en/bench/wires.md", string(mustRead(t, filepath.Join(dir, "en/bench/wires.md")))+"\n## Chosen <id:chosen>\n\nText.\n")
	// What is wrong with a page is wrong with its translation too, and does not hinder it.
	if _, remarks, err := begun(t, dir, "translation", "plain", nil); err != nil || len(remarks) > 0 {
		t.Fatal(err, remarks)
	}
	want := "---\n# The translation of en/plain.md. Such lines are for you: no reader sees them.\n" +
		"# Translate what a reader sees: titles, sentences, answers, the texts of pictures.\n" +
		"# When the source is changed later, audit says which blocks: translate them, then run `benchleaf translated` on this page.\n" +
		"# Leave ids, keys and what links lead to as they are; give a heading that is linked to an id of its own, <id:...>.\n" +
		"# What these links lead to is not there in es yet; change them when it is:\n" +
		"# ../en/procedures/battery-flat.md\n# ../en/bench/wires.md#chosen\n# ../en/other.md\n" +
		"translated:\n  plain: digest digest\n  chosen: digest\n---\n" +
		"# Plain\n\n[Flat](../en/procedures/battery-flat.md), [itself](plain.md#plain), ![Coil](../pictures/choke-cold.svg), <b>,\n" +
		"[wires](bench/wires.md), [there](bench/wires.md#drop), [not there](../en/bench/wires.md#chosen), [no file](../en/other.md).\n\n## Chosen\n"
	digests := regexp.MustCompile(`\b[b-df-hj-np-tv-xz]{6}\b`)
	if got := digests.ReplaceAllString(string(mustRead(t, filepath.Join(dir, "es/plain.md"))), "digest"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	b, _, err := render.Begin(dir, kindNamed(t, "translation"), "", "2026-11-26")
	if err != nil {
		t.Fatal(err)
	}
	b.Values["language"] = "es"
	translated := 0
	for _, name := range []string{"en/plain.md", "es/plain.md"} {
		if err := os.Remove(filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	for _, p := range b.Book.Pages {
		b.Name = p.Source.Path
		files, err := b.Files()
		if err != nil {
			t.Fatal(err)
		}
		if name := filepath.Join(dir, files[0].Path); p.Lang == "en" && p.Key != "plain" && files[0].Path != "es/bench/wires.md" {
			put(t, dir, files[0].Path, string(files[0].Text))
			translated++
			if !strings.Contains(string(mustRead(t, name)), "# The translation of "+p.Source.Path) && p.Source.Front != nil {
				t.Errorf("%s does not say what it translates", name)
			}
		}
	}
	result, err := render.Audit(dir)
	if err != nil || len(result.Remarks) > 0 || translated < 30 {
		t.Errorf("%d pages: %v\n%s", translated, err, remarksText(result.Remarks))
	}
}

func mustRead(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// listing is every file of a folder with its text.
func listing(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files[name] = string(mustRead(t, name))
		} else {
			files[name] = "a folder"
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// TestBeginNothing: what cannot be begun leaves everything as it was.
func TestBeginNothing(t *testing.T) {
	base := t.TempDir()
	dir := filepath.Join(base, "content")
	if _, remarks, err := begun(t, dir, "handbook", "", nil); err != nil || len(remarks) > 0 {
		t.Fatal(err, remarks)
	}
	put(t, base, "pages/a.md", "# A\n")
	put(t, base, "pages/specs", "a file\n")
	put(t, base, "broken/models.yaml", "a: [\n")
	put(t, base, "broken/en/a.md", "# A\n")
	put(t, base, "dots/.gitignore", "")
	if err := os.MkdirAll(filepath.Join(base, "empty"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		dir, kind, name string
		given           map[string]string
		kindOf          *remark.Kind // of the remark
		err             error
	}{
		{"content", "handbook", "", nil, nil, render.ErrThere},
		{"pages", "handbook", "", nil, nil, render.ErrThere},
		{"pages/a.md", "handbook", "", nil, nil, errors.ErrUnsupported},
		{"pages/a.md/x", "handbook", "", nil, nil, errors.ErrUnsupported},
		{"nowhere", "page", "a", nil, nil, render.ErrNoSource},
		{"content", "procedure", "does-not-crank", nil, nil, render.ErrThere},
		{"content", "page", "starting", nil, nil, render.ErrThere},
		{"content", "page", "Starting", nil, remark.ValueText, nil},
		{"content", "page", "../starting", nil, remark.ValueText, nil},
		{"content", "page", "", nil, remark.ValueText, nil},
		{"content", "page", "con", nil, remark.NameUnfit, nil},
		{"content", "page", "a", map[string]string{"language": "es"}, remark.ReferenceUnknown, nil},
		{"content", "page", "a", map[string]string{"title": " "}, remark.ValueEmpty, nil},
		{"content", "procedure", "a", map[string]string{"state": "crankin"}, remark.ReferenceUnknown, nil},
		{"content", "procedure", "a", map[string]string{"spec": "battery"}, remark.ReferenceUnknown, nil},
		{"content", "specification", "battery-rested", nil, remark.IDDuplicate, nil},
		{"content", "specification", "starting", map[string]string{"unit": "V", "min": "1"}, nil, render.ErrThere},
		{"content", "specification", "a", map[string]string{"unit": "Vv", "min": "1"}, remark.UnitUnknown, nil},
		{"content", "specification", "a", map[string]string{"unit": "V", "min": "1,5"}, remark.ValueText, nil},
		{"content", "specification", "a", map[string]string{"unit": "V"}, remark.LimitMissing, nil},
		{"content", "specification", "a", map[string]string{"unit": "V", "min": "2", "max": "1"}, remark.LimitOrder, nil},
		{"pages", "specification", "a", map[string]string{"unit": "V", "min": "2"}, nil, errors.ErrUnsupported},
		{"content", "translation", "en/theory/startin.md", nil, remark.ReferenceUnknown, nil},
		{"content", "translation", "en/theory/starting.md", map[string]string{"language": "es"}, remark.ReferenceUnknown, nil},
		{"content", "translation", "en/theory/starting.md", map[string]string{"language": "en"}, remark.IDDuplicate, nil},
		{"broken", "page", "a", nil, remark.YAMLSyntax, nil},
	} {
		before := listing(t, base)
		written, remarks, err := begun(t, filepath.Join(base, c.dir), c.kind, c.name, c.given)
		fits := c.err == nil && err == nil || c.err != nil && (errors.Is(err, c.err) || c.err == errors.ErrUnsupported && err != nil)
		if !fits || written != nil || (c.kindOf == nil) != (len(remarks) == 0) || len(remarks) > 0 && (len(remarks) > 1 || remarks[0].ID != c.kindOf.ID) {
			t.Errorf("%s %s %v: written %v, error %v\n%s", c.kind, c.name, c.given, written, err, remarksText(remarks))
		}
		if !maps.Equal(before, listing(t, base)) {
			t.Errorf("%s %s %v changed the folder", c.kind, c.name, c.given)
		}
	}
	for _, free := range []string{"empty", "dots"} {
		if _, remarks, err := begun(t, filepath.Join(base, free), "handbook", "", nil); err != nil || len(remarks) > 0 {
			t.Errorf("%s: %v %v", free, err, remarks)
		}
	}
}

// A new handbook takes the place of an empty folder in one step, and its mode. Into one that holds names with a dot, in which
// somebody stands, or beside which no other can be made, it is written file by file.
func TestBeginInFolder(t *testing.T) {
	for _, c := range []struct {
		name    string
		prepare func(t *testing.T, dir string)
		placed  bool // the folder is another one
	}{
		{"empty", func(*testing.T, string) {}, true},
		{"dots", func(t *testing.T, dir string) { put(t, dir, ".gitignore", "") }, false},
		{"here", func(t *testing.T, dir string) { t.Chdir(dir) }, false},
		{"group", func(t *testing.T, dir string) { // another one's, which the folder keeps
			if err := os.Chown(dir, -1, os.Getgid()+1); err != nil {
				t.Skip(err)
			}
		}, false},
		{strings.Repeat("long", 60), func(*testing.T, string) {}, false}, // what is aside has a longer name
	} {
		t.Run(c.name[:4], func(t *testing.T) {
			base := t.TempDir()
			dir := filepath.Join(base, c.name)
			if err := errors.Join(os.Mkdir(dir, 0o755), os.Chmod(dir, 0o770)); err != nil {
				t.Fatal(err)
			}
			c.prepare(t, dir)
			before, err := os.Stat(dir)
			if err != nil {
				t.Fatal(err)
			}
			written, remarks, err := begun(t, dir, "handbook", "", nil)
			if err != nil || len(remarks) > 0 || len(written) == 0 {
				t.Fatal(written, remarks, err)
			}
			for _, name := range written {
				if _, err := os.Stat(name); err != nil {
					t.Error(err)
				}
			}
			after, err := os.Stat(dir)
			if err != nil || after.Mode() != before.Mode() || os.SameFile(before, after) == c.placed {
				t.Errorf("%v: the mode is %v and was %v; the same folder: %v", err, after.Mode(), before.Mode(), os.SameFile(before, after))
			}
			if entries, err := os.ReadDir(base); err != nil || len(entries) != 1 {
				t.Errorf("beside it: %v, %v", entries, err)
			}
		})
	}
}

// A link to an empty folder stays.
func TestBeginInLink(t *testing.T) {
	base := t.TempDir()
	if err := os.MkdirAll(filepath.Join(base, "in", "book"), 0o755); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(base, "link")
	if err := os.Symlink(filepath.Join("in", "book"), link); err != nil {
		t.Skip(err)
	}
	if _, remarks, err := begun(t, link, "handbook", "", nil); err != nil || len(remarks) > 0 {
		t.Fatal(remarks, err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", info, err)
	}
	mustRead(t, filepath.Join(base, "in", "book", "handbook.yaml"))
}

// TestBeginMends: a link may lead to a page before that is begun. What is advised about the
// handbook as a whole, once nothing is wrong with it any more, keeps nobody from beginning it.
func TestBeginMends(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "content")
	if _, remarks, err := begun(t, dir, "handbook", "", nil); err != nil || len(remarks) > 0 {
		t.Fatal(err, remarks)
	}
	put(t, dir, "parts.yaml", "lamp: {title: Lamp}\n")
	put(t, dir, "en/procedures/does-not-crank.md", "# Later\n")
	put(t, dir, "en/theory/starting.md", "# Starting\n\n[It does not charge](../procedures/no-charge.md)\n")
	written, remarks, err := begun(t, dir, "procedure", "no-charge", nil)
	if err != nil || len(written) != 1 || len(remarks) > 0 {
		t.Errorf("written %v, error %v\n%s", written, err, remarksText(remarks))
	}
	result, err := render.Audit(dir)
	if err != nil || result.Failed() || !slices.ContainsFunc(result.Remarks, func(r remark.Remark) bool { return r.ID == remark.PartUnexamined.ID }) {
		t.Errorf("%v\n%s", err, remarksText(result.Remarks))
	}
}

// TestBeginDocuments: the guide says what can be begun and with which flags, and
// has every key that the templates write or propose.
func TestBeginDocuments(t *testing.T) {
	guide := string(mustRead(t, "../docs/writing.md"))
	for _, k := range begin.Kinds {
		if !strings.Contains(guide, "benchleaf begin "+k.Name) {
			t.Errorf("docs/writing.md does not say `benchleaf begin %s`", k.Name)
		}
		for _, f := range k.Fields {
			if !strings.Contains(guide, "`-"+f.Key+"`") && !strings.Contains(guide, " -"+f.Key+" ") {
				t.Errorf("docs/writing.md does not say -%s", f.Key)
			}
		}
	}
	// What the templates call by a name of its own.
	own := strings.Fields("stopped cranking battery-gas moving-parts battery battery-clamps battery-rested clamps fault en low within high")
	keys := regexp.MustCompile(`(?m)^ *(?:- |# )*"?([a-z][a-z-]*):(?: |$)|[{,] ?([a-z][a-z-]*): `)
	found := 0
	err := filepath.WalkDir("begin/template", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		for _, m := range keys.FindAllSubmatch(mustRead(t, name), -1) {
			key := string(m[1]) + string(m[2])
			if found++; !slices.Contains(own, key) && !regexp.MustCompile(`(?:^|[\s{(`+"`"+`])`+key+"(?::|`)").MatchString(guide) {
				t.Errorf("%s has the key `%s`, docs/writing.md has not", name, key)
			}
		}
		return nil
	})
	if err != nil || found < 80 {
		t.Errorf("%d keys, %v", found, err)
	}
}

// TestBeginComments: what the comments of the templates propose can be taken as it stands, all of it at once.
func TestBeginComments(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "content")
	for _, k := range []struct {
		kind, name string
		given      map[string]string
	}{
		{"handbook", "", nil},
		{"procedure", "no-charge", map[string]string{"spec": "battery-rested"}},
		{"procedure", "no-start", nil},
		{"page", "battery", nil},
		{"specification", "oil-volume", map[string]string{"unit": "l", "min": "0.5"}},
		{"bulletin", "clamps", map[string]string{"procedure": "procedures/no-start"}},
	} {
		if _, remarks, err := begun(t, dir, k.kind, k.name, k.given); err != nil || len(remarks) > 0 {
			t.Fatalf("%s: %v\n%s", k.kind, err, remarksText(remarks))
		}
	}
	proposal, words := regexp.MustCompile(`^( *)# ( *(?:[a-z][a-z0-9-]*: ?|- ).*)$`), 0
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		// In a page what is proposed stands in the front matter.
		text := string(mustRead(t, name))
		head, body := text, ""
		if filepath.Ext(name) == ".md" {
			i := strings.Index(text[4:], "\n---\n") + 5
			head, body = text[:i], text[i:]
		}
		lines := strings.Split(head, "\n")
		for i, line := range lines {
			if m := proposal.FindStringSubmatch(line); m != nil {
				lines[i] = m[1] + m[2]
				words++
			}
		}
		return os.WriteFile(name, []byte(strings.Join(lines, "\n")+body), 0o644)
	})
	if err != nil || words < 25 {
		t.Fatalf("%d lines, %v", words, err)
	}
	result, err := render.Audit(dir)
	if err != nil {
		t.Fatal(err)
	}
	// What the comments say is still to be done: a panel for each hazard, the value before of what a bulletin
	// supersedes, a procedure for each model.
	toDo := []string{remark.HazardUnguarded.ID, remark.SupersededCurrent.ID, remark.ModelUnserved.ID}
	for _, r := range result.Remarks {
		if !slices.Contains(toDo, r.ID) {
			t.Errorf("%v: %s", r, r.Mend)
		}
	}
}
