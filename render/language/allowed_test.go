package language_test

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// TestRenameInAllowedBlock: a block that a translation may lack is named by a digest of its words. When a name in it becomes
// another one, it is still that block.
func TestRenameInAllowedBlock(t *testing.T) {
	c := start(t, folder(t))
	const allow = "<!-- allow translation-missing-bcdfgh: not sold here -->\n<!-- allow translation-extra-bcdfgh: sold here alone -->\n"
	c.open("en/gap.md", "# Gap\n\nSee the list.\n\n- It has <spec:feed>.\n")
	c.open("es/gap.md", "---\ntitle: Abertura\ntranslated:\n  _title: bbbbbb\n  gap: bbbbbb bbbbbb -\n---\n\n# Abertura <id:gap>\n\nVea la lista.\n\n"+allow+"Son <spec:feed>.\n")
	told := func() (list []string) {
		for _, d := range c.remarks("es/gap.md") {
			list = append(list, d.Code)
		}
		return list
	}
	digests := map[string]string{}
	for _, d := range c.remarks("es/gap.md") {
		if m := regexp.MustCompile("allow (translation-missing|translation-extra)-([a-z]{6}): why").FindStringSubmatch(d.Message); m != nil {
			digests[m[1]] = m[2]
		}
	}
	for kind, digest := range digests {
		c.replace("es/gap.md", kind+"-bcdfgh", kind+"-"+digest)
	}
	before := strings.Join(told(), " ")
	if len(digests) != 2 || strings.Contains(before, "missing") || strings.Contains(before, "extra") || strings.Contains(before, "idle") {
		t.Fatalf("%v, told: %s", digests, before)
	}
	var e workspaceEdit
	c.call("textDocument/rename", c.at("en/gap.md", "<spec:fe", "supply"), &e)
	texts := maps.Clone(c.texts)
	for _, f := range txtar.Parse([]byte(trial)).Files {
		if texts[f.Name] == "" {
			texts[f.Name] = string(f.Data)
		}
	}
	c.applied(e, texts)
	names := slices.Sorted(maps.Keys(texts))
	last := slices.Index(names, "es/gap.md") // whose remarks are asked for: those of its version know of all before it
	for _, name := range append(slices.Delete(names, last, last+1), "es/gap.md") {
		text := texts[name]
		if was, open := c.texts[name]; open {
			c.replace(name, was, text)
		} else {
			c.open(name, text)
		}
	}
	if after := strings.Join(told(), " "); !strings.Contains(texts["es/gap.md"], "<spec:supply>") || after != before {
		t.Errorf("%s\nfor %s\n%s", after, before, texts["es/gap.md"])
	}
	c.end()
}
