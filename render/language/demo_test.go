package language_test

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"benchleaf/render"
)

const demo = "../../content"

// texts are the pages and data files of a handbook.
func texts(t *testing.T, dir string) map[string]string {
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

// Every specification of the demo and every tenth step can have another name: the server gives
// edits only where the handbook with them has no new error, so that a place which it
// overlooks refuses the name. And no whole word of the old name is left of a specification.
func TestRenameTheDemo(t *testing.T) {
	dir, err := filepath.Abs(demo)
	if err != nil {
		t.Fatal(err)
	}
	c, all, renames, most := start(t, dir), texts(t, dir), 0, 0
	for name, text := range all {
		c.texts[name] = text
	}
	id := regexp.MustCompile(`(?m)^([a-z][a-z0-9-]*):$`)
	for name, text := range all {
		if !strings.HasPrefix(name, "specs/") {
			continue
		}
		for _, m := range id.FindAllStringSubmatchIndex(text, -1) {
			var e workspaceEdit
			old := text[m[2]:m[3]]
			c.call("textDocument/rename", map[string]any{
				"textDocument": map[string]any{"uri": c.uri(name)}, "position": c.pos(name, m[2]), "newName": "renamed-" + old,
			}, &e)
			renames++
			most = max(most, len(e.DocumentChanges))
			left := regexp.MustCompile(`spec: ?` + regexp.QuoteMeta(old) + `([^a-z0-9-]|$)`)
			after := map[string]string{}
			for name, text := range all {
				after[name] = text
			}
			for name, text := range c.applied(e, after) {
				if left.MatchString(text) {
					t.Errorf("%s: %q is left in %s", old, left.FindString(text), name)
				}
			}
		}
	}
	step := regexp.MustCompile(`(?m)^## .*<id:([a-z0-9-]+)>`)
	n := 0
	for name, text := range all {
		for _, m := range step.FindAllStringSubmatchIndex(text, -1) {
			if n++; n%10 != 0 {
				continue
			}
			var e workspaceEdit
			c.call("textDocument/rename", map[string]any{
				"textDocument": map[string]any{"uri": c.uri(name)}, "position": c.pos(name, m[2]), "newName": "renamed-" + text[m[2]:m[3]],
			}, &e)
			renames++
		}
	}
	t.Logf("%d renames, the largest in %d files", renames, most)
	if renames < 60 || most < 5 {
		t.Errorf("%d renames, the largest in %d files", renames, most)
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
	for round := range 60 {
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
				for _, method := range []string{"completion", "hover", "definition"} {
					c.call("textDocument/"+method, p, nil)
				}
			}
		}
		if round%10 == 0 {
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
