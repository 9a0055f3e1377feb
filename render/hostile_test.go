package render_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/render"
)

// nothing is wanted where nothing is wrong.
const nothing = "nothing"

// TestHostile reads what no author writes. Nothing may panic or run for ever;
// what is told is shown where there is one thing to tell.
func TestHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("a build for each of many texts")
	}
	for _, c := range []struct{ name, file, text, want string }{
		{"brackets", "en/a.md", strings.Repeat(strings.Repeat("[", 19_000)+"\n", 50), ""},
		{"emphasis", "en/a.md", strings.Repeat("*", 9_000) + "a" + strings.Repeat("*", 9_000), ""},
		{"the same heading", "en/a.md", strings.Repeat("# x\n", 19_000), ""},
		{"NUL bytes", "en/a.md", "# A\n\na\x00b <id:\x00>\n", ""},
		{"links that are left open", "en/a.md", strings.Repeat(strings.Repeat("[a](<b", 3_000)+"\n", 20), ""},
		{"lines", "en/a.md", strings.Repeat("a\n", 20_001), "en/a.md: error: the file has 20001 lines; at most 20000 can be taken [text-limit]"},
		{"a line", "en/a.md", "# A\n\n" + strings.Repeat("a", 20_001), "en/a.md:3:1: error: the line has 20001 bytes; at most 20000 can be taken [text-limit]"},
		{"quotations in quotations", "en/a.md", strings.Repeat("> ", 51) + "x", "en/a.md:1:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"lists in lists", "en/a.md", "# A\n\n" + strings.Repeat("- 1. * ", 17) + "x", "en/a.md:3:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"footnotes in footnotes", "en/a.md", "# A\n\n" + strings.Repeat("[^1]: ", 51) + "x", "en/a.md:3:1: error: the line has 51 lists or quotations one in the other; at most 50 can be taken [text-limit]"},
		{"a long rule", "en/a.md", "# A\n\n" + strings.Repeat("- ", 60) + "\n\n" + strings.Repeat("* ", 60) + "\n", ""},
		{"a wide table", "en/a.md", "# A\n\n" + strings.Repeat("|a", 51) + "|\n" + strings.Repeat("|:-:", 51) + "|\n", "en/a.md:4:1: error: the table has 51 columns; at most 50 can be taken [text-limit]"},
		{"one link many times", "en/a.md", "# A\n\n[a]: https://example.com/" + strings.Repeat("b", 10_000) + "\n\n" + strings.Repeat("[a]\n", 300),
			"en/a.md:214:1: error: the page with this link has more bytes of links; at most 2097152 can be taken [text-limit]"},
		{"lists in YAML", "models.yaml", "a: " + strings.Repeat("[", 10_000), "models.yaml:1:1: error: the YAML cannot be read: more than 64 brackets or lists stand one in the other [yaml-syntax]"},
		{"lists in YAML without brackets", "models.yaml", "a1: {title: A}\n" + strings.Repeat("- ", 9_000), "models.yaml:2:1: error: the YAML cannot be read: more than 64 brackets or lists stand one in the other [yaml-syntax]"},
		{"values in YAML", "models.yaml", "a: [\n" + strings.Repeat(strings.Repeat("[],", 6_000)+"\n", 20) + "]\n", "models.yaml:18:1: error: the YAML up to here has 200001 values; at most 200000 can be taken [text-limit]"},
		{"keys that nobody knows", "en/a.md", "---\n" + numbered("k%d: x\n", 9_000) + "---\n# A\n", "en/a.md:2:1: error: `k0` is no key of the front matter [key-unknown]"},
		{"keys without values", "models.yaml", "a1:\n" + numbered("  k%d:\n", 9_000), ""},
		{"links that lead nowhere", "en/a.md", "# A\n\n" + numbered("[a](x%d.md) [b](y%[1]d.md) [a](x%[1]d.md)\n\n", 2_000), "en/a.md: error: there are 3800 more remarks about this file [remark-limit]"},
		{"one link that leads nowhere", "en/a.md", "# A\n\n" + strings.Repeat(strings.Repeat("[a](b) ", 2_700)+"\n\n", 8), ""},
		{"links to no heading", "en/a.md", "# A\n\n" + numbered("[a](#f"+strings.Repeat("x", 190)+"%d)\n\n", 4_000) + numbered("## g"+strings.Repeat("y", 180)+"%d\n", 1_900), "en/a.md: error: there are 3800 more remarks about this file [remark-limit]"},
		{"links to no heading where two have one id", "en/a.md", "# A\n\n" + strings.Repeat(numbered("[a](#f"+strings.Repeat("x", 50)+"%d)", 150)+"\n\n", 200) + numbered("## g"+strings.Repeat("y", 50)+"%d\n", 1_900) + "## a <id:b>\n## c <id:b>\n", "en/a.md:2304:6: error: `b` stands twice; the first is at en/a.md:2303:6 [id-duplicate]"},
		{"a paragraph", "en/a.md", "# A\n\nb\n\n" + strings.Repeat(strings.Repeat("[a](b) ", 2_000)+"\n", 3), "en/a.md:5:1: error: the paragraph has 42001 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in a paragraph of 2 MB", "en/a.md", "# A\n\n" + emphasis, "en/a.md:3:1: error: the paragraph has 1960098 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in a heading of 2 MB", "en/a.md", "# A\n\n" + emphasis + "---\n", "en/a.md:3:1: error: the paragraph has 1960098 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in a quotation", "en/a.md", "# A\n\n> " + emphasis, "en/a.md:3:3: error: the paragraph has 1960098 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in a panel", "en/a.md", "# A\n\n```safety\nlevel: notice\ntext: |\n  a\n\n" + strings.ReplaceAll("\n"+emphasis, "\n*", "\n  *")[1:] + "```\n", "en/a.md:8:3: error: the paragraph has 1960098 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in answers", "en/a.md", "---\nsheet: procedure\ntitle: B\nsymptom: It is silent\n---\n\n## S\n\n```answers\n- " + emphasis + "```\n", "en/a.md:10:1: error: an answer is not written as a link [answer-form]"},
		{"emphasis in a self-check", "en/a.md", "# A\n\n```self-check\n" + emphasis + "\n- [x] a\n- [ ] b\n```\n", "en/a.md:4:1: error: the paragraph has 1960098 bytes; at most 40000 can be taken [text-limit]"},
		{"emphasis in paragraphs of 20 KB", "en/a.md", "# A\n\n" + strings.ReplaceAll(emphasis, "\n", "\n\n"), "en/a.md:3:2001: error: the text has 9800 brackets and marks of emphasis; at most 1000 can be taken [text-limit]"},
		{"links in a heading", "en/a.md", "# A\n\n## " + strings.Repeat("[a](", 4_900) + "\n", "en/a.md:3:2004: error: the text has 9800 brackets and marks of emphasis; at most 1000 can be taken [text-limit]"},
		{"pictures in a cell", "en/a.md", "# A\n\n|a|\n|-|\n|" + strings.Repeat("![[", 4_900) + "|\n", "en/a.md:5:1502: error: the text has 9800 brackets and marks of emphasis; at most 1000 can be taken [text-limit]"},
		{"a thousand marks", "en/a.md", "# A\n\n" + strings.Repeat("*a* ", 500) + "\n\n" + strings.Repeat("**a** ", 500) + "\n", nothing},
		{"many definitions of links in one paragraph", "en/a.md", "# A\n\n" + numbered("[r%d]: https://example.com\n", 19_000), nothing},
		{"figures", "en/a.md", "# A\n\n" + strings.Repeat(strings.Repeat("1 V 2 ft - ", 1_800)+"\n\n", 2), ""},
		{"comments", "en/a.md", "# A\n\n" + strings.Repeat("<!-- allow units-mixed: x -->\n\n", 3_000), ""},
		{"answers", "en/a.md", "---\nsheet: procedure\ntitle: B\nsymptom: It is silent\n---\n\n## S\n\n```answers\n" + strings.Repeat("- [x](#s)\n", 3_000) + "```\n", ""},
		{"maps in YAML", "models.yaml", "a1: {title: A}\nb2: " + strings.Repeat("{b: ", 4_000), "models.yaml:2:1: error: the YAML cannot be read: more than 64 brackets or lists stand one in the other [yaml-syntax]"},
		{"blank lines in YAML", "models.yaml", "a: {title: |" + strings.Repeat("\n", 15_000) + "}", ""},
		{"a value that doubles itself", "models.yaml", "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n", "models.yaml:1:4: error: anchors, aliases and tags are not read [yaml-alias]"},
		{"a tag", "models.yaml", "a: !!binary x\n", "models.yaml:1:4: error: anchors, aliases and tags are not read [yaml-alias]"},
		{"a number beyond all", "specs/a.yaml", "a: {title: A, unit: V, min: 1e999}\n", "specs/a.yaml:1:29: error: `1e999` is no number [value-text]"},
		{"calculators in a chain of a thousand", "en/a.md", "# A\n" + chainOf(1_000, 1), "en/a.md:362:4: error: the page has more than 40 calculators; at most 40 can be taken [text-limit]"},
		{"a chain with too many inputs", "en/a.md", "# A\n" + chainOf(20, 6), "en/a.md:231:29: error: the calculator with those that it takes values from has 102 inputs; at most 100 can be taken [text-limit]"},
		{"diamonds in a chain", "en/a.md", "# A\n" + chainOf(40, 2), nothing},
		{"fifty inputs", "en/a.md", "# A\n" + chainOf(1, 50), nothing},
		{"ten thousand results", "en/a.md", "# A\n" + ownCalculator("a", entry, strings.Repeat("  y: {formula: x}\n", 10_000)), "en/a.md:10:3: error: `y` stands twice; the first is at en/a.md:9:3 [id-duplicate]"},
		{"a thousand results", "en/a.md", "# A\n" + ownCalculator("a", entry, manyResults(1_000)), "en/a.md:108:3: error: the formula cannot be taken: the calculator has more than 100 names [formula-syntax]"},
		{"a long formula", "en/a.md", "# A\n" + ownCalculator("a", entry, "  y:\n    formula: >\n"+strings.Repeat("      x + x + x + x + x + x +\n", 4_000)+"      x\n"), "en/a.md:11:7: error: the formula cannot be taken: the formula has 96002 bytes; at most 2000 can be taken [formula-syntax]"},
		{"parentheses in a formula", "en/a.md", "# A\n" + ownCalculator("a", entry, "  y: {formula: "+strings.Repeat("(", 900)+"x"+strings.Repeat(")", 900)+"}\n"), "en/a.md:9:116: error: the formula cannot be taken: more than 100 parentheses or signs stand one within the other [formula-syntax]"},
		{"keys in keys", "en/a.md", "# A\n" + "```calculator\nname: a\ninputs:\n" + steps(1_500) + "```\n", ""},
		{"no number", "en/a.md", "# A\n" + ownCalculator("a", "  x: {start: NaN, range: 0 to 1}\n", "  y: {formula: x}\n"), "en/a.md:7:14: error: `NaN` is no value of `x`: \"NaN\" is not a number [quantity-wrong]"},
		{"a range beyond all", "en/a.md", "# A\n" + ownCalculator("a", "  x: {start: 1, range: -Inf to 1e999}\n", "  y: {formula: x}\n"), "en/a.md:7:24: error: `1e999` is no value of `x`: \"1e999\" is too large [quantity-wrong]"},
		{"an example beyond all", "en/a.md", "# A\n" + ownCalculator("a", entry, "  y: {formula: x}\nexamples:\n  - {given: {x: 1e999}, gives: {y: 1}}\n"), "en/a.md:11:17: error: `1e999` is no value of `x`: \"1e999\" is too large [quantity-wrong]"},
		{"digits", "en/a.md", "# A\n" + ownCalculator("a", entry, "  y: {formula: x, digits: 99999999999999999999}\n"), "en/a.md:9:27: error: `99999999999999999999` is no number of digits from 1 to 15 [value-text]"},
		{"a name of nothing", "en/a.md", "# A\n" + ownCalculator(`""`, "  \"\": {start: 1, range: 0 to 1}\n", "  é: {formula: x}\n"), "en/a.md:3:1: error: `name` is empty [value-empty]"},
		{"markup in a name", "en/a.md", "# A\n" + ownCalculator("a", "  <b>: {start: 1, range: 0 to 1}\n", "  y: {formula: x}\n"), "en/a.md:7:3: error: `<b>` is no id [value-text]"},
		{"two documents", "models.yaml", "a: {title: A}\n---\nb: {title: B}\n", "models.yaml:3:1: error: the YAML cannot be read: a second document begins [yaml-syntax]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			put(t, dir, "handbook.yaml", small)
			put(t, dir, "en/index.md", "# Start\n")
			put(t, dir, c.file, c.text)
			result, err := render.Audit(dir)
			if err != nil {
				t.Fatal(err)
			}
			got := remarksText(result.Remarks)
			if c.want == nothing && got != "" {
				t.Errorf("got\n%.300s\nwant nothing", got)
			}
			if c.want != "" && c.want != nothing && !strings.HasPrefix(got, c.want+"\n") {
				t.Errorf("got\n%.300s\nwant first\n%s", got, c.want)
			}
		})
	}
}

// emphasis is a text in which each mark could belong to each one before it.
var emphasis = strings.Repeat(strings.Repeat("*a_ ", 4_900)+"\n", 100)

const entry = "  x: {start: 1, range: 0 to 1}\n"

// ownCalculator is a block of seven lines and those of its inputs and results.
func ownCalculator(name, inputs, results string) string {
	return "```calculator\nname: " + name + "\ntitle: T\nabout: A\ninputs:\n" + inputs + "results:\n" + results + "```\n"
}

// chainOf makes calculators that take all their inputs from the one before.
func chainOf(n, inputs int) string {
	var text strings.Builder
	for i := range n {
		var list, sum strings.Builder
		for k := range inputs {
			from := fmt.Sprintf("range: 0 to 1, from: c%d.y", i-1)
			if i == 0 {
				from = "range: 0 to 1, start: 1"
			}
			fmt.Fprintf(&list, "  x%d: {%s}\n", k, from)
			fmt.Fprintf(&sum, "x%d + ", k)
		}
		result := fmt.Sprintf("  y: {formula: (%s0) / %d}\n", sum.String(), inputs)
		text.WriteString(ownCalculator(fmt.Sprintf("c%d", i), list.String(), result))
	}
	return text.String()
}

func manyResults(n int) string {
	var text strings.Builder
	for i := range n {
		fmt.Fprintf(&text, "  y%d: {formula: x}\n", i)
	}
	return text.String()
}

// numbered writes a line with each number.
func numbered(form string, n int) string {
	var text strings.Builder
	for i := range n {
		fmt.Fprintf(&text, form, i)
	}
	return text.String()
}

// steps is YAML with each key within the one before.
func steps(n int) string {
	var text strings.Builder
	for i := range n {
		text.WriteString(strings.Repeat(" ", i+1) + "a:\n")
	}
	return text.String()
}

// Words of a calculator and a plot stay words on the page, in its pictures and
// in what its script reads.
func TestHostileWords(t *testing.T) {
	words := `"<script>alert(1)</script></title></svg><img src=x onerror=alert(1)>&amp;'"`
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "edition")
	put(t, dir, "handbook.yaml", small)
	put(t, dir, "en/index.md", "# Start\n")
	put(t, dir, "specs/a.yaml", "s: {title: "+words+", unit: V, min: 0, conditions: "+words+"}\n")
	put(t, dir, "en/a.md", "# A\n\n```calculator\nname: a\ntitle: "+words+"\nabout: "+words+"\ninputs:\n  x: {label: "+words+", unit: V, start: 1, range: 0 to 2}\nresults:\n  y: {label: "+words+
		", unit: V, formula: x, limits: s}\nsource: ["+words+"]\n```\n\n```calculator\nname: b\ntitle: "+words+"\ninputs:\n  x: {label: "+words+", unit: V, range: 0 to 2, from: a.y}\nresults:\n  y: {unit: V, formula: 2 * x}\n```\n\n```plot a\nover: x\nshow: y\ntitle: "+words+"\n```\n")
	result, err := render.Compile(t.Context(), dir, out, render.Options{})
	if err != nil || result.Failed() {
		t.Fatal(err, remarksText(result.Remarks))
	}
	page, err := os.ReadFile(filepath.Join(out, "en", "a.html"))
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(page), "alert(1)"); n < 20 {
		t.Errorf("the words stand %d times", n)
	}
	if strings.Contains(string(page), "<script>alert") || strings.Contains(string(page), "<img") {
		t.Error("words of the handbook became markup")
	}
}

// FuzzAudit looks for text of a page and of a data file that breaks the stages
// up to the audit, and for a remark without a place in a file that there is.
func FuzzAudit(f *testing.F) {
	if testing.Short() {
		f.Skip("many small handbooks, one after the other")
	}
	files, err := filepath.Glob("testdata/remarks/*.txtar")
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds")
	}
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			f.Fatal(err)
		}
		page, data := "", ""
		for _, a := range archive.Files {
			switch filepath.Ext(a.Name) {
			case ".md":
				page = string(a.Data)
			case ".yaml":
				data = string(a.Data)
			}
		}
		f.Add(page, data)
	}
	whole, err := txtar.ParseFile("testdata/mistakes/whole.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, a := range whole.Files {
		if filepath.Ext(a.Name) == ".md" {
			f.Add(string(a.Data), string(whole.Files[0].Data))
		}
	}
	f.Add(chainOf(3, 2), small)
	f.Add(ownCalculator(`""`, "  \"\": {start: 1e300, range: [-1e999, NaN], meter: yes, from: x}\n", "  é: {formula: [x], digits: -1}\n"), small)
	f.Add(ownCalculator("a", entry, "  y: {formula: \"choose(x > 0.5 && !(x < 1), log(x), 1 / x)\"}\nexamples:\n  - {given: {x: 1e-400}, gives: {y: 1e-400}}\n"), small)
	f.Fuzz(func(t *testing.T, page, data string) {
		if len(page)+len(data) > 20_000 {
			return
		}
		dir := t.TempDir()
		put(t, dir, "a.md", page)
		for _, name := range []string{"handbook.yaml", "models.yaml", "parts.yaml", "specs/a.yaml"} {
			put(t, dir, name, data)
		}
		result, err := render.Audit(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range result.Remarks {
			if _, err := os.Stat(filepath.Join(dir, r.Place.File)); err != nil || r.Message == "" || r.Mend == "" {
				t.Fatalf("%+v", r)
			}
		}
	})
}
