package remark

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"

	"benchleaf/render/schematest"
)

// oasisSchema is the schema of SARIF 2.1.0 with Errata 01, as OASIS published it; the
// module that the test reads logs with carries it as a constant.
func oasisSchema(t *testing.T) []byte {
	t.Helper()
	dir, err := exec.Command("go", "list", "-f", "{{.Dir}}", "github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif").Output()
	if err != nil {
		t.Fatal(err)
	}
	file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(strings.TrimSpace(string(dir)), "schema.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	ast.Inspect(file, func(n ast.Node) bool {
		if s, ok := n.(*ast.BasicLit); ok && s.Kind == token.STRING {
			text, err = strconv.Unquote(s.Value)
		}
		return true
	})
	if err != nil || !strings.Contains(text, sarifSchema) {
		t.Fatalf("%v: no schema", err)
	}
	return []byte(text)
}

func TestSARIF(t *testing.T) {
	var b bytes.Buffer
	if err := sample.WriteSARIF(&b, allowed, "v1.2.3", "content"); err != nil {
		t.Fatal(err)
	}
	schema := schematest.Compile(t, oasisSchema(t))
	if err := schema.Validate(schematest.Value(t, b.Bytes())); err != nil {
		t.Error(err)
	}
	for _, wrong := range [][2]string{{`"note"`, `"advice"`}, {`"ruleId"`, `"rule-id"`}, {`"utf16CodeUnits"`, `"characters"`}, {`"startLine": 12`, `"startLine": 0`}} {
		if err := schema.Validate(schematest.Value(t, bytes.Replace(b.Bytes(), []byte(wrong[0]), []byte(wrong[1]), 1))); err == nil {
			t.Errorf("with %s instead of %s the schema takes it too", wrong[1], wrong[0])
		}
	}

	log, err := sarif.FromBytes(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	run := log.Runs[0]
	if len(run.Tool.Driver.Rules) != len(All()) || len(run.Results) != len(sample)+len(allowed) {
		t.Fatalf("%d rules, %d results", len(run.Tool.Driver.Rules), len(run.Results))
	}
	for i, r := range run.Results {
		want := slices.Concat(sample, allowed)[i].ID
		if rule := run.Tool.Driver.Rules[r.RuleIndex]; *rule.ID != want || *r.RuleID != want {
			t.Errorf("result %d has rule %s and id %s", i, *rule.ID, *r.RuleID)
		}
	}

	// "𝛺" is two code units of UTF-16 and "é" one, so that the bracket, the fifth
	// character, is the sixth unit; it ends after three more.
	results := decodedResults(t, b.Bytes())
	for i, want := range []string{
		`{"ruleId":"link-nowhere","level":"error","message":{"text":"` + "`y`" + ` leads nowhere. Mend it."},"locations":[{"physicalLocation":{"artifactLocation":{"uri":"content/en/a%20b.md","uriBaseId":"%SRCROOT%"},"region":{"startLine":12,"startColumn":6,"endColumn":9,"snippet":{"text":"[x]"}}}}],"suppressions":[]}`,
		`{"ruleId":"page-title","level":"warning","message":{"text":"no title. Give it one."},"locations":[{"physicalLocation":{"artifactLocation":{"uri":"content/en/a%20b.md","uriBaseId":"%SRCROOT%"}}}],"suppressions":[]}`,
		`{"ruleId":"raw-html","level":"note","message":{"text":"a line. Write {{a: [b] (c)}}."},"locations":[{"physicalLocation":{"artifactLocation":{"uri":"content/b.svg","uriBaseId":"%SRCROOT%"},"region":{"startLine":3}}}],"suppressions":[]}`,
		`{"ruleId":"page-title","level":"note","message":{"text":"no title. Give it one."},"locations":[{"physicalLocation":{"artifactLocation":{"uri":"content/c.md","uriBaseId":"%SRCROOT%"}}}],"suppressions":[{"kind":"inSource","justification":"a list"}]}`,
	} {
		if got := results[i]; got != want {
			t.Errorf("\n%s\nwant\n%s", got, want)
		}
	}
}

// decodedResults returns the results, each without its rule's index, on one line.
func decodedResults(t *testing.T, log []byte) (results []string) {
	t.Helper()
	var l sarifLog
	if err := json.Unmarshal(log, &l); err != nil {
		t.Fatal(err)
	}
	for _, r := range l.Runs[0].Results {
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		if err := e.Encode(r); err != nil {
			t.Fatal(err)
		}
		text := strings.TrimSpace(b.String())
		text = strings.Replace(text, `"ruleIndex":`+strconv.Itoa(r.Index)+",", "", 1)
		results = append(results, text)
	}
	return results
}

func TestSARIFFile(t *testing.T) {
	for _, c := range []struct{ folder, file, uri, base string }{
		{"content", "en/a.md", "content/en/a.md", "%SRCROOT%"},
		{".", "en/a.md", "en/a.md", "%SRCROOT%"},
		{".", "a:b.md", "./a:b.md", "%SRCROOT%"}, // else the scheme "a" (RFC 3986, 4.2)
		{"/var/book", "en/ä.md", "file:///var/book/en/%C3%A4.md", ""},
		{"/C:/book", "a.md", "file:///C:/book/a.md", ""},
	} {
		if got := sarifFileOf(c.folder, c.file); got.URI != c.uri || got.Base != c.base {
			t.Errorf("%s, %s: %+v", c.folder, c.file, got)
		}
	}
}
