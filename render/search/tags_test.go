package search

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// events are the texts and tags of a page from its body on, as tags has them.
func events(page []byte) (list []string) {
	add := adder(&list)
	for t := (tags{page: page}); ; {
		more := t.next()
		add("text", string(t.text))
		if !more {
			return list
		}
		name, end, _ := t.name()
		switch {
		case len(name) == 0:
		case end:
			add("end", string(name))
		default:
			var keys []string
			t.attributes(func(key, value []byte) { keys = append(keys, fmt.Sprintf("%s=%q", bytes.ToLower(key), value)) })
			add("begin", fmt.Sprint(string(name), keys))
		}
	}
}

// eventsOfReference are the same as a tokenizer of browsers' rules has them (HTML Standard, 13.2.5).
func eventsOfReference(page []byte) (list []string) {
	add := adder(&list)
	z := html.NewTokenizer(bytes.NewReader(page))
	for {
		switch kind := z.Next(); kind {
		case html.ErrorToken:
			return list
		case html.TextToken:
			add("text", string(z.Text()))
		case html.StartTagToken, html.SelfClosingTagToken:
			t := z.Token()
			var keys []string
			for _, a := range t.Attr {
				keys = append(keys, fmt.Sprintf("%s=%q", a.Key, a.Val))
			}
			add("begin", fmt.Sprint(t.Data, keys))
		case html.EndTagToken:
			name, _ := z.TagName()
			add("end", string(name))
		}
	}
}

// adder puts texts together between which nothing is that is read.
func adder(list *[]string) func(kind, what string) {
	return func(kind, what string) {
		if n := len(*list); kind == "text" && n > 0 && strings.HasPrefix((*list)[n-1], "text ") {
			(*list)[n-1] += what
		} else if what != "" {
			*list = append(*list, kind+" "+what)
		}
	}
}

// SameEvents holds a page against the reference, from its body on: scripts and styles are left out, in whose text no
// page has a tag that counts.
func SameEvents(t testing.TB, name string, page []byte) {
	t.Helper()
	got, want := events(page), eventsOfReference(page)
	inRaw := false
	want = slices.DeleteFunc(want, func(e string) bool {
		drop := inRaw && strings.HasPrefix(e, "text ")
		inRaw = strings.HasPrefix(e, "begin script") || strings.HasPrefix(e, "begin style")
		return drop
	})
	for i := range min(len(got), len(want)) {
		if got[i] != want[i] {
			t.Fatalf("%s: %d is %q, in the reference %q", name, i, got[i], want[i])
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%s has %d texts and tags, in the reference %d", name, len(got), len(want))
	}
}

// TestTags reads random trees as a serializer writes them.
func TestTags(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	words := []string{"one", " two ", "a < b && c > d", "\"quoted\"", "it's", "&amp;", "é ✓", "/", "="}
	word := func() string { return words[r.IntN(len(words))] }
	var grow func(parent *html.Node, depth int)
	grow = func(parent *html.Node, depth int) {
		for range r.IntN(4) {
			n := &html.Node{Type: html.ElementNode, Data: []string{"p", "div", "span", "b", "table", "svg", "h2"}[r.IntN(7)]}
			switch {
			case r.IntN(3) == 0:
				n = &html.Node{Type: html.TextNode, Data: word()}
			case r.IntN(9) == 0:
				n = &html.Node{Type: html.CommentNode, Data: " a <b> comment "}
			case r.IntN(9) == 0:
				n.Data = "script"
				n.AppendChild(&html.Node{Type: html.TextNode, Data: "if (a<b && c>d) say('</p>')"})
			default:
				for _, key := range []string{"id", "class", "hidden", "data-step"} {
					if r.IntN(3) == 0 {
						n.Attr = append(n.Attr, html.Attribute{Key: key, Val: word()})
					}
				}
				if r.IntN(8) == 0 {
					n.Data = []string{"br", "img", "input"}[r.IntN(3)]
				} else if depth < 5 {
					grow(n, depth+1)
				}
			}
			parent.AppendChild(n)
		}
	}
	for range 3000 {
		root := &html.Node{Type: html.ElementNode, Data: "body"}
		grow(root, 0)
		var b bytes.Buffer
		if err := html.Render(&b, root); err != nil {
			t.Fatal(err)
		}
		SameEvents(t, b.String(), b.Bytes())
	}
}

// FuzzTags asks that no page makes it fail, or go on for ever.
func FuzzTags(f *testing.F) {
	for _, s := range []string{`<p class="a b">x &lt; y<br/></p>`, `<!-- <p> --><a href='>'>`, `<script>a<b`, `<`, `<p a="`, `<!--`, `<![CDATA[ <b> ]]>x`, `</`, `< >`, `<a =`, `<a b=c d>`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, page []byte) { events(page) })
}
