package phone

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// policy is what every page may load: script and style of its folder, the one style
// that stands in it, pictures, and modules of WebAssembly. Nothing from elsewhere.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'sha256-STYLE'; img-src 'self' data:; manifest-src 'self'; base-uri 'none'; form-action 'none'"

// policyOf is the policy of a page with a style: a finder may hand what is searched
// for to the page beside it as well.
func policyOf(page, style string, scripts []string) string {
	digest := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return base64.StdEncoding.EncodeToString(sum[:])
	}
	policy := strings.Replace(policy, "STYLE", digest(style), 1)
	for _, script := range scripts {
		policy = strings.Replace(policy, "; style-src", " 'sha256-"+digest(script)+"'; style-src", 1)
	}
	if path.Base(page) == "index.html" {
		return strings.Replace(policy, "form-action 'none'", "form-action 'self'", 1)
	}
	return policy
}

// styleOf is the style that stands in a page.
func styleOf(t *testing.T, page string, root *html.Node) string {
	t.Helper()
	var styles []string
	for n := range root.Descendants() {
		if n.Data == "style" && n.Namespace == "" {
			styles = append(styles, n.FirstChild.Data)
		}
	}
	if len(styles) != 1 {
		t.Fatalf("%s has %d styles in it", page, len(styles))
	}
	return styles[0]
}

// ownScripts are those that stand in a page, without a file and a kind: of the chosen model, of a procedure's card, of the jobs page.
func ownScripts(root *html.Node) (scripts []string) {
	for n := range root.Descendants() {
		if n.Data == "script" && len(n.Attr) == 0 {
			scripts = append(scripts, n.FirstChild.Data)
		}
	}
	return scripts
}

func parse(t *testing.T, data []byte) *html.Node {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// ids are the anchors of a page; a second of the same name is a fault.
func ids(t *testing.T, page string, root *html.Node) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	for n := range root.Descendants() {
		if id := attribute(n, "id"); id != "" {
			if found[id] {
				t.Errorf("%s: two elements have the id %q", page, id)
			}
			found[id] = true
		}
	}
	return found
}

// TestLinks follows every address in every page: to a file of the edition and
// an anchor that exists, or out of the handbook, marked.
func TestLinks(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	roots, anchors := map[string]*html.Node{}, map[string]map[string]bool{}
	for _, p := range d.pages {
		roots[p] = parse(t, d.read(t, p))
		anchors[p] = ids(t, p, roots[p])
	}
	count := 0
	for _, p := range d.pages {
		for n := range roots[p].Descendants() {
			for _, to := range addresses(n) {
				count++
				u, err := url.Parse(to)
				switch {
				case err != nil:
					t.Errorf("%s: %q: %v", p, to, err)
					continue
				case n.Data == "img" && strings.HasPrefix(to, "data:image/png;base64,"), // a label's code stands in the page
					n.Data == "img" && strings.HasPrefix(to, "data:image/svg+xml,"): // and a drawing with which it begins
					continue
				case u.Scheme != "" || u.Host != "":
					if n.Data != "a" || attribute(n, "rel") != "external noreferrer" || !slices.Contains([]string{"https", "http", "mailto", "tel"}, u.Scheme) {
						t.Errorf("%s: <%s> to %q leads out and is not marked", p, n.Data, to)
					}
					continue
				case strings.HasPrefix(u.Path, "/") || strings.HasSuffix(u.Path, "/"):
					t.Errorf("%s: %q: a phone's file system has no such address", p, to)
					continue
				}
				file := p
				if u.Path != "" {
					file = path.Join(path.Dir(p), u.Path)
				}
				if info, err := os.Stat(filepath.Join(d.dir, filepath.FromSlash(file))); err != nil || !info.Mode().IsRegular() {
					t.Errorf("%s: %q: there is no such file", p, to)
				} else if u.Fragment != "" && !anchors[file][u.Fragment] {
					t.Errorf("%s: %q: there is no such anchor", p, to)
				}
			}
		}
	}
	if count < 20*len(d.pages) {
		t.Errorf("only %d addresses in %d pages", count, len(d.pages))
	}
}

// addresses are those that an element leads to or takes files from; of a set of pictures
// each one, without the width beside it.
func addresses(n *html.Node) (list []string) {
	for _, a := range n.Attr {
		switch a.Key {
		case "href", "src", "data", "action", "poster":
			list = append(list, a.Val)
		case "srcset":
			for one := range strings.SplitSeq(a.Val, ", ") {
				file, _, _ := strings.Cut(one, " ")
				list = append(list, file)
			}
		}
	}
	return list
}

// TestPolicy asks that each page has the policy before anything it governs, and
// nothing that the policy would block.
func TestPolicy(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, p := range d.pages {
		data := d.read(t, p)
		if !bytes.HasPrefix(data, []byte("<!DOCTYPE html>\n<html lang=")) {
			t.Errorf("%s: no document type, or no language", p)
		}
		governed := false
		root := parse(t, data)
		own := ownScripts(root)
		want := policyOf(p, styleOf(t, p, root), own)
		if most := map[bool]int{true: 2, false: 1}[strings.Contains(p, "/procedures/") || strings.HasSuffix(p, "search.html")]; len(own) > most {
			t.Errorf("%s: %d scripts stand in the page, at most %d", p, len(own), most)
		}
		for n := range root.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			switch {
			case n.Data == "meta" && strings.EqualFold(attribute(n, "http-equiv"), "Content-Security-Policy"):
				if governed = attribute(n, "content") == want; !governed {
					t.Errorf("%s: the policy is %q", p, attribute(n, "content"))
				}
			case slices.Contains([]string{"link", "script", "style", "img", "body"}, n.Data) && !governed:
				t.Fatalf("%s: <%s> stands before the policy", p, n.Data)
			}
			switch n.Data {
			case "base", "iframe", "object", "embed", "frame", "applet":
				t.Errorf("%s: there is a <%s>", p, n.Data)
			case "script":
				kind := attribute(n, "type")
				if attribute(n, "src") == "" && kind != "application/json" && kind != "application/wasm" && !slices.Contains(own, n.FirstChild.Data) {
					t.Errorf("%s: there is a script in the page", p)
				}
			}
			for _, a := range n.Attr {
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
					t.Errorf("%s: <%s %s=%q>", p, n.Data, a.Key, a.Val)
				}
			}
		}
	}
}

// TestHTML has every page checked against the HTML standard's rules for
// authors by html-validate, an npm package. Two of its rules are off: scripts
// with integrity= do not load from files, and it takes every aside for a
// landmark, which one inside a section is not (HTML-AAM 1.0, 3.5).
func TestHTML(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	packages := filepath.Join("..", "..", "testdata", "browser")
	program := npm(t, "html-validate", "bin", "html-validate.mjs")
	args := []string{program, "--config", filepath.Join(packages, "html-validate.json"), "--formatter", "text"}
	for _, p := range d.pages {
		args = append(args, filepath.Join(d.dir, filepath.FromSlash(p)))
	}
	out, err := exec.Command("node", args...).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// npm returns a file of an npm package of the tests. Without it the test is
// left out, unless the checks are required.
func npm(t *testing.T, name ...string) string {
	t.Helper()
	file := filepath.Join(append([]string{"..", "..", "testdata", "browser", "node_modules"}, name...)...)
	if _, err := os.Stat(file); err != nil {
		if os.Getenv("BENCHLEAF_BROWSER") == "required" {
			t.Fatal(err)
		}
		t.Skipf("run npm ci in testdata/browser: %v", err)
	}
	return file
}
