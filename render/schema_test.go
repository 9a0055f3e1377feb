package render_test

import (
	"encoding/json"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"golang.org/x/tools/txtar"

	"benchleaf/render"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/schematest"
)

// schemas compiles the schemas by the name of their files.
func schemas(t *testing.T) map[string]*validator.Schema {
	t.Helper()
	all := map[string]*validator.Schema{}
	for _, s := range handbook.Schemas() {
		text, err := json.Marshal(s.Schema)
		if err != nil {
			t.Fatal(err)
		}
		all[s.Name] = schematest.Compile(t, text)
	}
	return all
}

var frontOf = regexp.MustCompile(`^---\n(?s:(.*?)\n)---`)

// schemaFor returns the schema of a file and the YAML that it judges; "" for a file
// that has none. lines is how many of the file's lines that YAML may end at.
func schemaFor(name string, text []byte) (schema string, of []byte, lines int) {
	switch {
	case path.Ext(name) == ".md":
		if m := frontOf.FindSubmatch(text); m != nil {
			return "front-matter.json", m[1], 1 + strings.Count(string(m[0]), "\n")
		}
		return "", nil, 0
	case path.Ext(name) != ".yaml":
		return "", nil, 0
	case strings.HasPrefix(name, "specs/"):
		schema = "specs.json"
	case strings.HasPrefix(name, "circuits/"):
		schema = "circuit.json"
	case name == "handbook.yaml", name == "models.yaml", name == "parts.yaml":
		schema = strings.TrimSuffix(name, ".yaml") + ".json"
	}
	return schema, text, 1 + strings.Count(string(text), "\n")
}

// judge holds a piece of YAML against a schema; ok is false for what is no YAML or empty.
func judgeYAML(t *testing.T, schema *validator.Schema, text []byte) (why error, ok bool) {
	t.Helper()
	var value any
	if yaml.Unmarshal(text, &value) != nil || value == nil {
		return nil, false
	}
	data, err := json.Marshal(value)
	if err != nil {
		return nil, false
	}
	return schema.Validate(schematest.Value(t, data)), true
}

func TestSchemasTakeTheDemo(t *testing.T) {
	all, taken := schemas(t), map[string]int{}
	err := filepath.WalkDir("../content", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(file)
		name := filepath.ToSlash(strings.TrimPrefix(file, filepath.FromSlash("../content/")))
		schema, part, _ := schemaFor(name, text)
		if err != nil || schema == "" {
			return err
		}
		why, ok := judgeYAML(t, all[schema], part)
		if !ok || why != nil {
			t.Errorf("%s: %v", name, why)
		}
		taken[schema]++
		return nil
	})
	if err != nil || len(taken) != len(all) {
		t.Errorf("%v; files of %v", err, taken)
	}
}

var blocks = regexp.MustCompile("(?ms)^```([a-z]+)( [^\n]+)?\n(.*?)^```$")

// The blocks of the demo are what their schemas say, and a key that nobody knows is refused in each.
func TestBlockSchemasTakeTheDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs alone")
	}
	all, taken := map[string]*validator.Schema{}, map[string]bool{}
	for _, s := range handbook.BlockSchemas() {
		text, err := json.Marshal(s.Schema)
		if err != nil {
			t.Fatal(err)
		}
		all[strings.TrimSuffix(strings.TrimPrefix(s.Name, "block-"), ".json")] = schematest.Compile(t, text)
	}
	err := filepath.WalkDir("../content", func(file string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(file) != ".md" {
			return err
		}
		text, err := os.ReadFile(file)
		for _, m := range blocks.FindAllSubmatch(text, -1) {
			name := string(m[1])
			if all[name] == nil || name == "calculator" && m[2] != nil || len(m[3]) == 0 { // a built-in one has the keys of its function
				continue
			}
			if why, ok := judgeYAML(t, all[name], m[3]); !ok || why != nil {
				t.Errorf("%s: %s: %v\n%s", file, name, why, m[3])
			}
			if why, ok := judgeYAML(t, all[name], slices.Concat(m[3], []byte("nobody: 1\n"))); ok && why == nil && !taken[name] {
				t.Errorf("%s: %s takes any key", file, name)
			}
			taken[name] = true
		}
		return err
	})
	if err != nil || len(taken) != len(all) {
		t.Errorf("%v; blocks of %v", err, taken)
	}
}

// ofForm are the mistakes that a schema can see.
var ofForm = map[string]bool{remark.ValueType.ID: true, remark.ValueEmpty.ID: true, remark.KeyUnknown.ID: true, remark.KeyMissing.ID: true, remark.ValueChoice.ID: true}

// The golden cases of remarks are held against the schemas: what the build takes a schema
// takes, and what the build refuses for its form alone a schema refuses.
func TestSchemasJudgeAsTheBuild(t *testing.T) {
	if testing.Short() {
		t.Skip("many small handbooks, one after the other")
	}
	// What hangs on more than the form: on another key of the file, and on what stands elsewhere.
	unseen := map[string]bool{"key-missing.labels.txtar": true, "key-unknown.sheet.txtar": true, "key-unknown.supersedes.txtar": true, "key-unknown.tolerance.txtar": true}
	all := schemas(t)
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	took, refused := 0, 0
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		dir, _ := unpack(t, archive)
		result, err := render.Audit(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range archive.Files {
			schema, part, lines := schemaFor(f.Name, f.Data)
			if schema == "" {
				continue
			}
			why, ok := judgeYAML(t, all[schema], part)
			if !ok {
				continue
			}
			here := slices.DeleteFunc(slices.Clone(result.Remarks), func(r remark.Remark) bool {
				return r.Severity != remark.Error || r.Place.File != f.Name || r.Place.Line > lines
			})
			misshapen := slices.ContainsFunc(here, func(r remark.Remark) bool { return ofForm[r.ID] }) && !unseen[filepath.Base(file)]
			name := filepath.Base(file) + ": " + f.Name
			switch {
			case len(here) == 0 && why != nil:
				t.Errorf("%s is taken by the build, and not by its schema: %v", name, why)
			case misshapen && why == nil:
				t.Errorf("%s is taken by its schema, and not by the build: %v", name, here)
			case why == nil:
				took++
			default:
				refused++
			}
		}
	}
	t.Logf("%d taken, %d refused", took, refused)
	if took < 100 || refused < 10 {
		t.Errorf("%d taken, %d refused: the cases hardly test the schemas", took, refused)
	}
}

// Files of the demo in which one line is spoilt: a key misspelt or gone, a value of another
// form. The schemas judge each as the build does.
func TestSchemasSeeSlips(t *testing.T) {
	if testing.Short() {
		t.Skip("it judges the whole demo once for each slip")
	}
	all, random := schemas(t), rand.New(rand.NewPCG(3, 5))
	editing, err := render.Edit("../content")
	if err != nil {
		t.Fatal(err)
	}
	first, err := editing.Judge(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]string{} // by schema
	for _, name := range slices.Sorted(maps.Keys(first.Texts)) {
		schema, _, _ := schemaFor(name, first.Texts[name])
		files[schema] = append(files[schema], name)
	}
	keyed := regexp.MustCompile(`^(\s*(?:- )?\{?)([a-z-]+):( .*)?$`)
	refused, taken := map[string]int{}, 0
	rounds := 24
	if *every {
		rounds = 96
	}
	for round := range rounds {
		schema := handbook.Schemas()[round%len(all)].Name
		name := files[schema][random.IntN(len(files[schema]))]
		_, part, end := schemaFor(name, first.Texts[name])
		lines := strings.Split(string(first.Texts[name]), "\n")
		i := random.IntN(strings.Count(string(part), "\n") + 1)
		m := keyed.FindStringSubmatch(lines[i])
		if m == nil {
			continue
		}
		switch random.IntN(4) {
		case 0:
			lines[i] = m[1] + m[2] + "q:" + m[3]
		case 1:
			lines[i] = m[1] + m[2] + ": [{q: 1}]"
		case 2:
			lines[i] = m[1] + m[2] + ": {q: {q: 1}}"
		default:
			lines[i] = m[1] + m[2] + ":"
		}
		text := []byte(strings.Join(lines, "\n"))
		_, part, _ = schemaFor(name, text)
		why, ok := judgeYAML(t, all[schema], part)
		if !ok {
			continue
		}
		got, err := editing.Judge(t.Context(), map[string][]byte{name: text})
		if err != nil {
			t.Fatal(err)
		}
		misshapen, wrong := false, false
		for _, r := range got.Remarks {
			if r.Place.File == name && r.Place.Line <= end && r.Severity == remark.Error {
				misshapen, wrong = misshapen || ofForm[r.ID], true
			}
		}
		switch {
		case misshapen && why == nil:
			t.Errorf("%s:%d: %q is taken by the schema: %v", name, i+1, lines[i], got.Remarks)
		case !wrong && why != nil:
			t.Errorf("%s:%d: %q is refused by the schema: %v", name, i+1, lines[i], why)
		case why != nil:
			refused[schema]++
		default:
			taken++
		}
	}
	t.Logf("refused %v, taken %d", refused, taken)
	if len(refused) != len(all) {
		t.Errorf("refused %v of %d schemas", refused, len(all))
	}
}

// What a schema sees of a value's form besides its type, the build sees too: days, pairs, numbers that are none below
// nought, languages, kinds of remarks.
func TestSchemasSeeForms(t *testing.T) {
	const (
		book    = "title: T\npublisher: P\nedition: A\nlanguages: [en]\n"
		spec    = "x:\n  title: X\n  unit: V\n  nominal: 1\n"
		circuit = "title: C\nground: B\nstates: [cold]\npoints: {A: {title: A}, B: {title: B}}\nelements:\n  source: {title: S, between: [A, B], volts: 1 V, ohms: 1 Ω}\n"
		front   = "title: T\nsheet: procedure\nsymptom: S\n"
		labels  = "address: https://handbook.example/a/\nlabels: {paper: A4, columns: 3, rows: 7, width: 63.5, height: 38.1, every: [models]}\n"
		states  = "states: {cold: {title: C, minutes: 5}, hot: {title: H, minutes: 5, from: {cold: 2}}}\n"
		meters  = "meters: [{unit: V, percent: 0.5, digits: 2, resolution: 0.01}]\n"
	)
	all := schemas(t)
	for _, e := range []struct{ name, text, good, bad string }{
		{"handbook.yaml", book + "date: 2026-11-25\n", "2026-11-25", "25.11.2026"},
		{"handbook.yaml", book + "date: 2026-11-25\n", "2026-11-25", "20261125"},
		{"handbook.yaml", book + "check-by: 2027-12-31\n", "2027-12-31", "2027-13-45"},
		{"handbook.yaml", book, "[en]", "[english]"},
		{"handbook.yaml", book, "[en]", "english"},
		{"handbook.yaml", book, "[en]", "[EN]"},
		{"handbook.yaml", strings.Replace(book, "title: T", "title: {en: T}", 1), "{en: T}", "{EN: T}"},
		{"handbook.yaml", book + "remarks: {page-unlinked: off}\n", "page-unlinked", "page-unlikned"},
		{"handbook.yaml", book + "remarks: {page-unlinked: off}\n", "page-unlinked", "link-nowhere"},
		{"handbook.yaml", book + states, "title: C, minutes: 5", "title: C, minutes: -4"},
		{"handbook.yaml", book + states, "{cold: 2}", "{cold: -2}"},
		{"handbook.yaml", book + meters, "percent: 0.5", "percent: -1"},
		{"handbook.yaml", book + labels, "columns: 3", "columns: 0"},
		{"handbook.yaml", book + labels, "rows: 7", "rows: -7"},
		{"handbook.yaml", book + labels, "width: 63.5", "width: -63.5"},
		{"specs/x.yaml", spec + "  revised: 2026-10-05\n", "2026-10-05", "5 Oct"},
		{"specs/x.yaml", spec + "  tolerance: 0.1\n", "tolerance: 0.1", "tolerance: -0.1"},
		{"specs/x.yaml", spec + "  history: [{until: 2026-10-05, nominal: 2}]\n", "2026-10-05", "2026-10-5"},
		{"circuits/c.yaml", circuit, "[A, B]", "[A]"},
		{"circuits/c.yaml", circuit, "[A, B]", "A"},
		{"circuits/c.yaml", circuit, "[A, B]", "[A, B, A]"},
		{"en/p.md", front + "revised: 2026-10-05\n", "2026-10-05", "2026-10-32"},
		{"en/p.md", front + "causes: {coil: {title: C, frequency: 3}}\n", "frequency: 3", "frequency: -3"},
		{"en/p.md", "title: T\nsheet: bulletin\nsupersedes: {spec: x, from: 2026-10-05}\n", "2026-10-05", "soon"},
	} {
		judged := func(text string) (remarks remark.List, why error) {
			if strings.HasSuffix(e.name, ".md") {
				text = "---\n" + text + "---\n"
			}
			dir := t.TempDir()
			for name, data := range map[string]string{"handbook.yaml": book + states, "specs/x.yaml": spec, e.name: text} {
				file := filepath.Join(dir, filepath.FromSlash(name))
				if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, []byte(data), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			result, err := render.Audit(dir)
			if err != nil {
				t.Fatal(err)
			}
			schema, part, _ := schemaFor(e.name, []byte(text))
			why, ok := judgeYAML(t, all[schema], part)
			if !ok {
				t.Fatalf("%s is no YAML: %q", e.name, text)
			}
			return result.Remarks, why
		}
		tells := func(remarks remark.List) bool {
			return slices.ContainsFunc(remarks, func(r remark.Remark) bool {
				return r.Place.File == e.name && (r.ID == remark.ValueText.ID || r.ID == remark.ReferenceUnknown.ID || r.ID == remark.RemarkFixed.ID)
			})
		}
		if strings.Count(e.text, e.good) != 1 {
			t.Fatalf("%q stands not once in %q", e.good, e.text)
		}
		if remarks, why := judged(e.text); why != nil || tells(remarks) {
			t.Errorf("%s: %q: the schema says %v, the build %v", e.name, e.good, why, remarks)
		}
		if remarks, why := judged(strings.Replace(e.text, e.good, e.bad, 1)); why == nil || !tells(remarks) {
			t.Errorf("%s: %q: the schema says %v, the build %v", e.name, e.bad, why, remarks)
		}
	}
}
