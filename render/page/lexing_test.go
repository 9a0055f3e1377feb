package page

import (
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"
)

// TestHasten holds swift lexers against those that they are made of, on texts of their languages and on
// what is put together from pieces of them.
func TestHasten(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	var texts []string
	for _, name := range []string{"lexing.go", "../../.ci/run", "../../theme/script/first.ts", "../../content/models.yaml", "../../content/en/procedures/black-smoke.md", "../../content/pictures/governor.svg", "../../theme/style/calculator.css"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text[:min(len(text), 900)]))
	}
	texts = append(texts,
		"#include <stdio.h>\r\nint main(void) { /* ä */ return 0x1F; }\r\n",
		"def f(x: int = 3) -> str:\n    \"\"\"Text.\"\"\"\n    return f'{x:>3} {x!r}' + \"\"\"a\nb\"\"\"  # ende",
		"cat <<EOF | sed -e 's/a/b/' > \"$HOME/x\"\n${A:-b} $(ls)\nEOF\nif [ -f x ]; then echo $((1+2)); fi",
		"[part]\nkey = value ; no\n-old\n+new\n@@ -1 +1 @@\nSELECT * FROM t WHERE a = 'b''c' -- x\n{\"a\": [1, -2.5e3, null, \"\\u00e9\"]}\nall: x.o\n\tcc -o $@ $<\n")
	r := rand.New(rand.NewPCG(3, 4))
	for range 4 {
		var b strings.Builder
		for range 30 {
			text := texts[r.IntN(len(texts))]
			from := r.IntN(len(text))
			b.WriteString(strings.ToValidUTF8(text[from:min(len(text), from+r.IntN(60))], "ß"))
		}
		texts = append(texts, b.String())
	}
	for _, name := range []string{"go", "sh", "python", "c", "cpp", "json", "yaml", "ini", "css", "javascript", "typescript", "html", "xml", "sql", "diff", "make", "markdown", "rust", "console", "java"} {
		l := lexers.Get(name)
		if l == nil {
			t.Fatal(name)
		}
		own, swiftly := chroma.Coalesce(l), chroma.Coalesce(hasten(l))
		for _, text := range texts {
			want, err := chroma.Tokenise(own, nil, text)
			if err != nil {
				t.Fatal(name, err)
			}
			got, err := chroma.Tokenise(swiftly, nil, text)
			if err != nil {
				t.Fatal(name, err)
			}
			if !reflect.DeepEqual(got, want) {
				for i := range want {
					if i >= len(got) || got[i] != want[i] {
						t.Fatalf("%s: token %d of %q is %q, want %q", name, i, text, got[min(i, len(got)-1)], want[i])
					}
				}
				t.Fatalf("%s: %q has %d tokens, want %d", name, text, len(got), len(want))
			}
		}
	}
}

func BenchmarkListing(b *testing.B) {
	text, err := os.ReadFile("lexing.go")
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name string
		l    chroma.Lexer
	}{{"own", chroma.Coalesce(lexers.Get("go"))}, {"swift", chroma.Coalesce(hasten(lexers.Get("go")))}} {
		b.Run(c.name, func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for range b.N {
				if _, err := chroma.Tokenise(c.l, nil, string(text)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
