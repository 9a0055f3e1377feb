package source

import (
	"path/filepath"
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
	if at.File != l.file || at.Line < 1 || at.Line > len(l.starts)+1 || at.Column < 1 || at.Column > len(l.text)+2 {
		t.Fatalf("%+v is no place of a text of %d lines", at, len(l.starts))
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
		p.parse()
		remarks = append(remarks, p.Remarks...)
		if p.Doc != nil {
			_ = ast.Walk(p.Doc, func(n ast.Node, _ bool) (ast.WalkStatus, error) {
				inside(t, l, p.PlaceOf(n))
				if b, ok := n.(*Block); ok {
					inside(t, l, b.Place)
					m := b.List()
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
