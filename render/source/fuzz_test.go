package source

import (
	"bytes"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"github.com/yuin/goldmark/ast"
	"golang.org/x/tools/txtar"

	"benchleaf/render/remark"
)

// seeds returns the files of the golden cases of remarks.
func seeds(f *testing.F, ending string) {
	files, err := filepath.Glob("../testdata/*/*.txtar")
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds")
	}
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for _, a := range archive.Files {
			if filepath.Ext(a.Name) == ending {
				f.Add(string(a.Data))
			}
		}
	}
}

// inside fails where a place is none of the file's.
func inside(t *testing.T, l *lines, at remark.Place) {
	t.Helper()
	if at.File != l.file || at.Line < 1 || at.Line > len(l.starts())+1 || at.Column < 1 || at.Column > len(l.text)+2 {
		t.Fatalf("%+v is no place of a text of %d lines", at, len(l.starts()))
	}
}

// walked fails where Each and EachBlock miss a node or put it elsewhere than the Markdown library's own walk does.
func walked(t *testing.T, doc ast.Node) {
	t.Helper()
	var all, blocks, each, eachBlock []ast.Node
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			all = append(all, n)
		}
		if entering && n.Type() != ast.TypeInline {
			blocks = append(blocks, n)
		}
		return ast.WalkContinue, nil
	})
	Each(doc, func(n ast.Node) { each = append(each, n) })
	EachBlock(doc, func(n ast.Node) { eachBlock = append(eachBlock, n) })
	if !slices.Equal(all, each) || !slices.Equal(blocks, eachBlock) {
		t.Fatalf("%d nodes of %d, %d blocks of %d", len(each), len(all), len(eachBlock), len(blocks))
	}
}

// FuzzPage reads text as a page; every node of it and every remark has a place
// in the file.
func FuzzPage(f *testing.F) {
	seeds(f, ".md")
	f.Fuzz(func(t *testing.T, text string) {
		l := newLines("f.md", []byte(text))
		var remarks remark.List
		if validText(l.text) >= 0 || !withinLimits(l, &remarks) {
			return
		}
		p := &Page{Path: l.file, file: l.text}
		p.Parse()
		remarks = append(remarks, p.Remarks...)
		if p.Doc != nil {
			walked(t, p.Doc)
			_ = ast.Walk(p.Doc, func(n ast.Node, _ bool) (ast.WalkStatus, error) {
				inside(t, l, p.PlaceOf(n))
				if b, ok := n.(*Block); ok {
					inside(t, l, b.Place)
					m := b.List(&remarks)
					_ = ast.Walk(m.Doc, func(n ast.Node, _ bool) (ast.WalkStatus, error) {
						inside(t, l, m.PlaceOf(n))
						return ast.WalkContinue, nil
					})
				}
				return ast.WalkContinue, nil
			})
		}
		for _, r := range remarks {
			inside(t, l, r.Place)
		}
	})
}

// FuzzOutline finds the headings of a text without parsing it, and with: where the first can
// tell, they are the same.
func FuzzOutline(f *testing.F) {
	seeds(f, ".md")
	for _, text := range []string{
		"# A\n\ntext\n## B c (d)\n", "A\n---\n", "- A\n  ---\n", "> # A\n", "```\n# A\n```\n# B\n", "   ```\n# A\n```\n", "~~~ x\n# A\n~~~~  \n# B\n",
		"<div>\n# A\n", "<!-- allow x-y: z -->\n# A\n", "[a]: b\n# C\n", "|a|\n|---|\n# B\n", "a\n===\n", "# A #\n", "#\tA\n", "# A\\\n", "-\n---\n# A\n", "[^1]: a\n# B\n", "a\n: b\n# C\n",
		"```\n  # A\n", "\t```\n# A\n", "* ```\n# A\n", "``` `\n# A\n", "````\n```\n# A\n````\n# B\n",
		"0<!-", "a <!-- b -->\n",
	} {
		f.Add(text)
	}
	f.Fuzz(outlined)
}

// TestOutline does so with each two lines, and with many of more, that a heading may stand in, end or become.
func TestOutline(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	lines := []string{
		"# A", "## B c", "#", "#x", "   # A", "- x", "  y", "  - y", "> q", "---", "===", "-", "=", "- ", "1. x", "- # h", "> # h", "* * *", "- ---", "> ---", "+ -", "```", "~~~", "~~~ x", "   ```", "- ```", "> ~~~",
		"    code", "\tcode", "\t# t", "<div>", "</div>", "<!--", "-->", " <p>", "- <pre>", "text", "text #", "", "  ", "| a | b |", "|---|---|", "--- | ---", "[a]: /u", "[a]:", "/u 't", "[^1]: f", "[^1]", ": d", ": # d", "`a", "b`", "<a", "[x](", "\\", "# A \\", "# `A`", "# A  ",
	}
	for _, a := range lines {
		for _, b := range lines {
			outlined(t, a+"\n"+b)
		}
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 50_000 {
		text := ""
		for range 3 + r.IntN(5) {
			text += lines[r.IntN(len(lines))] + "\n"
		}
		outlined(t, text)
	}
}

// outlined fails where the headings of a text, found without parsing it, are others than those found with.
func outlined(t *testing.T, text string) {
	t.Helper()
	l := newLines("f.md", []byte(text))
	var remarks remark.List
	if validText(l.text) >= 0 || !withinLimits(l, &remarks) {
		return
	}
	p := &Page{Path: l.file, file: l.text}
	if p.Outline(); p.Doc != nil {
		walked(t, p.Doc)
		return
	}
	if !p.front() {
		return
	}
	told := p.Headings
	p.Parse()
	var found []Heading
	_ = ast.Walk(p.Doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			found = append(found, Heading{h.Level, string(h.Lines().Value(p.Text))})
			plain := h.FirstChild()
			for ; plain != nil; plain = plain.NextSibling() {
				if _, ok := plain.(*ast.Text); !ok {
					t.Fatalf("%q has more in a heading than text", text)
				}
			}
			if h.Parent() != p.Doc {
				t.Fatalf("%q has a heading in something else", text)
			}
		}
		return ast.WalkContinue, nil
	})
	if !slices.Equal(told, found) {
		t.Fatalf("%q has %v, and %v without parsing", text, found, told)
	}
	if bytes.Contains(p.Text, []byte("<!--")) {
		t.Fatalf("%q may have a comment that allows something", text)
	}
}

// FuzzYAML reads text as a data file whose every scalar is Markdown.
func FuzzYAML(f *testing.F) {
	seeds(f, ".yaml")
	f.Fuzz(func(t *testing.T, text string) {
		l := newLines("f.yaml", []byte(text))
		var remarks remark.List
		if validText(l.text) >= 0 || !withinLimits(l, &remarks) {
			return
		}
		y := parseYAML(l, &remarks)
		eachMarkdown(y, func(m Markdown) {
			_ = ast.Walk(m.Doc, func(n ast.Node, _ bool) (ast.WalkStatus, error) {
				inside(t, l, m.PlaceOf(n))
				return ast.WalkContinue, nil
			})
		})
		var into struct {
			A Text      `yaml:"a,needed"`
			B []Text    `yaml:"b"`
			C Map[Text] `yaml:"c"`
			D float64   `yaml:"d"`
			E Markdown  `yaml:"e"`
		}
		Decode(y, &into, "a test", &remarks)
		for _, r := range remarks {
			inside(t, l, r.Place)
		}
	})
}
