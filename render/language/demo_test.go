package language_test

import (
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/render"
)

const demo = "../../content"

// texts are the pages and data files of a handbook.
func texts(t testing.TB, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(file) != ".md" && filepath.Ext(file) != ".yaml" {
			return err
		}
		data, err := os.ReadFile(file)
		name, _ := filepath.Rel(dir, file)
		all[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

var every = flag.Bool("every", false, "rename all that has a name in the demo, and not a part of it")

// named are the places of the demo where something is defined that can have another name.
func named(all map[string]string) (list []definition) {
	top := regexp.MustCompile(`(?m)^([a-z][a-z0-9-]*):`)
	nested := regexp.MustCompile(`(?m)^  ([a-z][a-z0-9-]*):`)
	step := regexp.MustCompile(`(?m)^## .*<id:([a-z0-9-]+)>`)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		text, from := all[name], 0
		add := func(kind string, of *regexp.Regexp, part string) {
			for _, m := range of.FindAllStringSubmatchIndex(part, -1) {
				list = append(list, definition{kind, name, part[m[2]:m[3]], from + m[2]})
			}
		}
		within := func(key string, start, end int) string { // the lines beneath a key
			m := regexp.MustCompile(`(?m)^` + key + `:\n((?:[ #].*\n|\n)+)`).FindStringSubmatchIndex(text[start:end])
			if m == nil {
				return ""
			}
			from = start + m[2]
			return text[from : start+m[3]]
		}
		switch {
		case strings.HasPrefix(name, "specs/"):
			add("specification", top, text)
		case name == "parts.yaml":
			add("part", top, text)
		case name == "models.yaml":
			add("model", top, text)
		case name == "handbook.yaml":
			add("engine state", nested, within("states", 0, len(text)))
			add("setting", nested, within("settings", 0, len(text)))
			add("hazard", nested, within("hazards", 0, len(text)))
		case strings.HasPrefix(name, "circuits/"):
			add("point", regexp.MustCompile(`(?m)^  "?([A-Za-z0-9-]+)"?: `), within("points", 0, len(text)))
			add("element", nested, within("elements", 0, len(text)))
		case strings.HasPrefix(name, "en/"):
			for _, m := range regexp.MustCompile("(?ms)^```calculator\n(.*?)^```$").FindAllStringSubmatchIndex(text, -1) {
				for _, of := range [][2]string{{"input", "inputs"}, {"figure", "constants"}, {"figure", "values"}, {"result", "results"}} {
					add(of[0], nested, within(of[1], m[2], m[3]))
				}
			}
			from = 0
			add("step", step, text)
			add("calculator", regexp.MustCompile(`(?m)^name: ([a-z0-9-]+)$`), text)
			add("cause", nested, within("causes", 0, len(text)))
		}
	}
	return list
}

type definition struct {
	kind, file, name string
	at               int
}

// Whatever has a name in the demo can have another one: with the edits that the server gives, another
// judge has as little to say of the handbook as before. All of it is renamed with -every, else a part, all kinds
// among it.
func TestRenameTheDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("one thing, many times")
	}
	dir, err := filepath.Abs(demo)
	if err != nil {
		t.Fatal(err)
	}
	c, all := start(t, dir), texts(t, dir)
	judge, err := render.Edit(dir)
	if err != nil {
		t.Fatal(err)
	}
	remarks := func(unsaved map[string][]byte) string {
		j, err := judge.Judge(t.Context(), unsaved)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(j.Remarks)
	}
	want := remarks(nil)
	random, count, most, rerecorded := rand.New(rand.NewPCG(1, 3)), map[string]int{}, 0, 0
	for _, x := range named(all) {
		if !*every && count[x.kind] > 0 && random.IntN(120) > 0 {
			continue
		}
		count[x.kind]++
		maps.Copy(c.texts, all)
		var e workspaceEdit
		c.call("textDocument/rename", map[string]any{
			"textDocument": map[string]any{"uri": c.uri(x.file)}, "position": c.pos(x.file, x.at), "newName": "renamed-" + x.name,
		}, &e)
		after, unsaved := c.applied(e, maps.Clone(all)), map[string][]byte{}
		for name, text := range after {
			if text != all[name] {
				unsaved[name] = []byte(text)
			}
		}
		if got := remarks(unsaved); got != want {
			t.Errorf("the %s %s of %s: %s", x.kind, x.name, x.file, got)
		}
		if _, changed := unsaved["es"+strings.TrimPrefix(x.file, "en")]; changed {
			rerecorded++
		}
		most = max(most, len(unsaved))
	}
	t.Logf("%v, the largest in %d files, %d with a translation", count, most, rerecorded)
	if len(count) != 14 || most < 5 || rerecorded == 0 {
		t.Errorf("%v, the largest in %d files, %d with a translation", count, most, rerecorded)
	}
	c.end()
}

// Whatever is typed, in whatever place of a page, the server answers, and what it tells of the
// handbook is what a build would say of the same texts.
func TestTyping(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	c := start(t, folder(t))
	all := texts(t, c.dir)
	pieces := []string{"spec:", "<", "[", "]", "{", "}", "\n", "  ", "- ", "```", "---\n", "#", "\"", "'", "|", ":", ",", "é", "𝛀", "\r", "heater-ohms", "cause:", "`", "\x00", "<!--", ">"}
	rounds := 60
	if testing.Short() {
		rounds = 12 // two of which are held against a build
	}
	for round := range rounds {
		for _, name := range []string{"en/choke.md", "specs/heater.yaml", "handbook.yaml"} {
			text := all[name]
			for range 1 + random.IntN(6) {
				at := random.IntN(len(text) + 1)
				for at < len(text) && text[at]&0xc0 == 0x80 {
					at++
				}
				cut := at + random.IntN(1+min(12, len(text)-at))
				for cut < len(text) && text[cut]&0xc0 == 0x80 {
					cut++
				}
				text = text[:at] + pieces[random.IntN(len(pieces))] + text[cut:]
			}
			c.open(name, text)
			for range 8 {
				p := map[string]any{"textDocument": map[string]any{"uri": c.uri(name)}, "position": pos{random.IntN(40), random.IntN(60)}}
				for _, method := range []string{"completion", "hover", "definition", "references", "documentSymbol"} {
					c.call("textDocument/"+method, p, nil)
				}
			}
		}
		if round%10 == 0 {
			c.call("textDocument/codeAction", map[string]any{"textDocument": map[string]any{"uri": c.uri("en/choke.md")}, "range": rang{pos{0, 0}, pos{99, 0}}}, nil)
			c.judgedAsBuilt()
		}
	}
	c.end()
}

// judgedAsBuilt asks the judge of the session's texts, after all that it judged before, and
// an audit of the same texts.
func (c *client) judgedAsBuilt() {
	c.t.Helper()
	dir := c.t.TempDir()
	unsaved := map[string][]byte{}
	for name, text := range texts(c.t, c.dir) {
		write(c.t, dir, name, text)
	}
	for name, text := range c.texts {
		write(c.t, dir, name, text)
		unsaved[name] = []byte(text)
	}
	if c.judge == nil {
		judge, err := render.Edit(c.dir)
		if err != nil {
			c.t.Fatal(err)
		}
		c.judge = judge
	}
	got, err := c.judge.Judge(c.t.Context(), unsaved)
	if err != nil {
		c.t.Fatal(err)
	}
	want, err := render.Audit(dir)
	if err != nil {
		c.t.Fatal(err)
	}
	if fmt.Sprint(got.Remarks) != fmt.Sprint(want.Remarks) {
		c.t.Errorf("unsaved: %v\nbuilt: %v", got.Remarks, want.Remarks)
	}
}
