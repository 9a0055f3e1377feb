package render

import (
	"bytes"
	"fmt"
	"html"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/alecthomas/chroma/v2"
	chromahtml "github.com/alecthomas/chroma/v2/formatters/html"
	"github.com/alecthomas/chroma/v2/lexers"
	"github.com/alecthomas/chroma/v2/styles"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
	"golang.org/x/sync/errgroup"
)

// What compile costs is told as a ratio to the floor: what its own libraries take for the same
// handbook where they do nothing that could be left out.

// floor converts every page of a folder with goldmark and GFM, highlights listings with chroma
// and writes the page, a worker a core.
func floor(in, out string) error {
	var names []string
	if err := filepath.WalkDir(in, func(name string, d fs.DirEntry, err error) error {
		if err == nil && filepath.Ext(name) == ".md" {
			names = append(names, name)
		}
		return err
	}); err != nil {
		return err
	}
	md := goldmark.New(goldmark.WithExtensions(extension.GFM), goldmark.WithParserOptions(parser.WithAutoHeadingID()))
	md.Renderer().AddOptions(renderer.WithNodeRenderers(util.Prioritized(&floorCode{formatter: chromahtml.New(chromahtml.WithClasses(true))}, 100)))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, name := range names {
		workers.Go(func() error {
			text, err := os.ReadFile(name)
			if err != nil {
				return err
			}
			_, text, _ = bytes.Cut(text, []byte("\n---\n"))
			var page bytes.Buffer
			page.WriteString("<!doctype html>\n<title>Page</title>\n<main>\n")
			if err := md.Convert(text, &page); err != nil {
				return err
			}
			page.WriteString("</main>\n")
			rel, err := filepath.Rel(in, name)
			if err != nil {
				return err
			}
			target := filepath.Join(out, strings.TrimSuffix(rel, ".md")+".html")
			if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
				return err
			}
			return os.WriteFile(target, page.Bytes(), 0o644)
		})
	}
	return workers.Wait()
}

// floorCode writes listings through chroma.
type floorCode struct {
	formatter *chromahtml.Formatter
	lexers    sync.Map // by name; nil for an unknown one
}

// RegisterFuncs implements renderer.NodeRenderer.
func (c *floorCode) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindFencedCodeBlock, func(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		f := n.(*ast.FencedCodeBlock)
		code := string(f.Lines().Value(src))
		known, ok := c.lexers.Load(string(f.Language(src)))
		if !ok {
			if l := lexers.Get(string(f.Language(src))); l != nil {
				known = chroma.Coalesce(l)
			}
			c.lexers.Store(string(f.Language(src)), known)
		}
		l, _ := known.(chroma.Lexer)
		if l == nil {
			_, err := w.WriteString("<pre><code>" + html.EscapeString(code) + "</code></pre>\n")
			return ast.WalkSkipChildren, err
		}
		tokens, err := l.Tokenise(nil, code)
		if err != nil {
			return ast.WalkStop, err
		}
		return ast.WalkSkipChildren, c.formatter.Format(w, styles.Get("bw"), tokens)
	})
}

// yard is a handbook of n pages of 6 to 9 KB, with links, tables, listings and pictures: the same
// for the same number.
func yard(n int) map[string]string {
	y := &yarn{r: rand.New(rand.NewPCG(1, 7)), pages: n}
	for i := range 4000 {
		word := ""
		for range 1 + i/1500 + y.r.IntN(2) {
			word += string("bcdfghklmnprstvw"[y.r.IntN(16)]) + string("aeiou"[y.r.IntN(5)])
		}
		y.words = append(y.words, word+string("nrstld"[y.r.IntN(6)]))
	}
	y.common = rand.NewZipf(y.r, 1.15, 4, uint64(len(y.words)-1))
	files := map[string]string{}
	for i := range n {
		files[y.path(i)] = y.page(i)
		if i%25 == 0 {
			files[path.Join(path.Dir(y.path(i)), "figure.svg")] = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 120"><rect x="10" y="10" width="200" height="100" fill="none" stroke="black"/></svg>`
		}
	}
	return files
}

type yarn struct {
	r      *rand.Rand
	pages  int
	words  []string
	common *rand.Zipf
}

func (y *yarn) path(i int) string { return fmt.Sprintf("chapter-%03d/page-%05d.md", i/25, i) }

func (y *yarn) rare() string { return y.words[50+y.r.IntN(len(y.words)-50)] }

func (y *yarn) sentence() string {
	words := make([]string, 7+y.r.IntN(14))
	for i := range words {
		words[i] = y.words[y.common.Uint64()]
	}
	switch at := len(words) / 2; y.r.IntN(8) {
	case 0:
		words[at] = "**" + y.rare() + "**"
	case 1:
		words[at] = "`" + y.rare() + "_" + y.rare() + "`"
	case 2:
		words[at] = fmt.Sprintf("[%s](../%s#part-1)", y.rare(), y.path(y.r.IntN(y.pages)))
	case 3:
		words[at] = fmt.Sprintf("%d.%d V", y.r.IntN(48), y.r.IntN(10))
	}
	return strings.Join(words, " ") + "."
}

func (y *yarn) paragraph() string {
	lines := make([]string, 3+y.r.IntN(3))
	for i := range lines {
		lines[i] = y.sentence()
	}
	return strings.Join(lines, "\n") + "\n"
}

func (y *yarn) page(i int) string {
	var b strings.Builder
	title := y.rare() + " " + y.rare() + " " + y.rare()
	fmt.Fprintf(&b, "---\ntitle: %s\n---\n\n# %[1]s\n\n%s", title, y.paragraph())
	for part := 1; b.Len() < 5500+i%7*500; part++ {
		fmt.Fprintf(&b, "\n## Part %d\n\n%s\n", part, y.paragraph())
		switch y.r.IntN(6) {
		case 0, 1:
			b.WriteString("| Parameter | Min | Max | Unit |\n| --- | ---: | ---: | --- |\n")
			for range 4 + y.r.IntN(7) {
				fmt.Fprintf(&b, "| %s `%s` | %d | %d | mA |\n", y.rare(), y.rare(), y.r.IntN(400), 400+y.r.IntN(40))
			}
		case 2:
			for k := range 4 + y.r.IntN(4) {
				fmt.Fprintf(&b, "%d. %s\n   - %s\n", k+1, y.sentence(), y.sentence())
			}
		case 3:
			fmt.Fprintf(&b, "![%s](figure.svg)\n", y.rare())
		case 4:
			fmt.Fprintf(&b, "```go\n// %s reads a channel.\nfunc %s(ch int) (float64, error) {\n\tif ch > %d {\n\t\treturn 0, fmt.Errorf(\"%s: no channel %%d\", ch)\n\t}\n\treturn float64(read(ch)) * %d.5, nil\n}\n```\n", y.rare(), y.rare(), y.r.IntN(64), y.rare(), y.r.IntN(9))
		case 5:
			fmt.Fprintf(&b, "```sh\n$ sudo %s --config /etc/%s.conf --level %d\n$ grep -n '%s' /var/log/%s.log | head -n %d\n```\n", y.rare(), y.rare(), y.r.IntN(9), y.rare(), y.rare(), y.r.IntN(50))
		}
	}
	return b.String()
}
