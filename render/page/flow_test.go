package page

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Each box of the picture opens a place that is there, the words below it open
// the same ones, and the procedure's page leads to the picture and back.
func TestFlowLinks(t *testing.T) {
	pages := renderAll(t, sourceOf(t, "testdata/procedure.txtar"))
	const at, to = "en/procedures/no-fire.flow.html", "no-fire.html"
	doc := parsed(t, pages[at])
	anchors := map[string]bool{}
	for n := range parsed(t, pages["en/procedures/"+to]).Descendants() {
		if id := valueOf(n, "id"); id != "" {
			anchors[id] = true
		}
	}
	links := map[string][]string{}
	for n := range doc.Descendants() {
		href := valueOf(n, "href")
		if n.Data != "a" || href == "" {
			continue
		}
		in := ""
		for p := range n.Ancestors() {
			if class := valueOf(p, "class"); in == "" && (p.Data == "svg" || p.Data == "section") {
				in = class
			}
		}
		if file, id, _ := strings.Cut(href, "#"); in != "" && in != "bar" {
			if file == to && !anchors[id] || file != to && file != "idle.html" {
				t.Errorf("%s: %s leads nowhere", in, href)
			}
			links[in] = append(links[in], href)
		}
	}
	for in, list := range links {
		slices.Sort(list)
		links[in] = slices.Compact(list)
	}
	// Two steps, two causes, two ends, another page.
	if want := links["words"]; len(want) != 7 || !slices.Equal(links["flow"], want) || !slices.Equal(links["flow paper"], want) {
		t.Errorf("links: %q", links)
	}
	if !bytes.Contains(pages["en/procedures/"+to].HTML, []byte(`<a href="no-fire.flow.html">The whole way in one picture</a>`)) {
		t.Error("the procedure does not lead to its picture")
	}
	if !bytes.Contains(pages[at].HTML, []byte(`<a href="no-fire.html">Back to the procedure</a>`)) {
		t.Error("the picture does not lead back")
	}
}

func TestGlued(t *testing.T) {
	for in, want := range map[string]string{
		"below 26 °C, or 12 V":   "below 26\u00a0°C, or 12\u00a0V",
		"wait 15 minutes":        "wait 15 minutes",
		"a fuse of 7.5 A":        "a fuse of 7.5\u00a0A",
		"step 4":                 "step 4",
		"more than 75 rpm, both": "more than 75\u00a0rpm, both",
	} {
		if got := glued(in); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func parsed(t *testing.T, out Output) *html.Node {
	t.Helper()
	doc, err := html.Parse(bytes.NewReader(out.HTML))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func valueOf(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// A picture leads to the pictures of the other languages, and depends on their
// titles; a page without steps has none.
func TestFlowLanguages(t *testing.T) {
	const procedure = "---\nsheet: procedure\ntitle: Silent\nsymptom: It is silent\n---\n\n## Listen\n\n```answers\n- [Silent](end:hand-over)\n```\n"
	pages := renderAll(t, map[string]string{
		"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en, es]\n",
		"en/a.md":       procedure, "es/a.md": procedure, "en/b.md": procedure, "es/c.md": "# C\n",
	})
	for at, want := range map[string]bool{"en/a.flow.html": true, "es/a.flow.html": true, "en/b.flow.html": false} {
		lang := map[bool]string{true: "es", false: "en"}[at[:2] == "en"]
		link := `<a href="../` + lang + "/" + at[3:] + `" hreflang="` + lang + `"`
		if bytes.Contains(pages[at].HTML, []byte(link)) != want || slices.Contains(pages[at].Reads, Read{ReadTitle, lang + "/" + at[3:4] + ".md"}) != want {
			t.Errorf("%s: the link %s should be there: %t", at, link, want)
		}
	}
	if _, ok := pages["es/c.flow.html"]; ok {
		t.Error("a page without steps has a picture")
	}
}
