package remark

import (
	"bytes"
	"encoding/json"
	"testing"

	"benchleaf/render/schematest"
)

// sample has a remark with letters outside the basic plane before it, on a line, on a
// file, and one with braces and what looks like a link.
var sample = List{
	{ID: "link-nowhere", Severity: Error, Place: Place{"en/a b.md", 12, 5}, Message: "`y` leads nowhere", Mend: "Mend it.", Source: "𝛺 é [x](y)."},
	{ID: "page-title", Severity: Warning, Place: Place{"en/a b.md", 0, 0}, Message: "no title", Mend: "Give it one."},
	{ID: "raw-html", Severity: Advice, Place: Place{"b.svg", 3, 0}, Message: "a line", Mend: "Write {a: [b](c)}.", Source: "<b>"},
}

var allowed = List{{ID: "page-title", Severity: Advice, Place: Place{"c.md", 0, 0}, Message: "no title", Mend: "Give it one.", Allowed: "a list"}}

func TestReport(t *testing.T) {
	const want = `{
  "audit": 1,
  "errors": 1,
  "warnings": 1,
  "advice": 1,
  "remarks": [
    {
      "id": "link-nowhere",
      "severity": "error",
      "file": "en/a b.md",
      "line": 12,
      "column": 5,
      "end": 8,
      "message": "` + "`y`" + ` leads nowhere",
      "mend": "Mend it.",
      "source": "𝛺 é [x](y)."
    },
    {
      "id": "page-title",
      "severity": "warning",
      "file": "en/a b.md",
      "message": "no title",
      "mend": "Give it one."
    },
    {
      "id": "raw-html",
      "severity": "advice",
      "file": "b.svg",
      "line": 3,
      "message": "a line",
      "mend": "Write {a: [b](c)}.",
      "source": "<b>"
    }
  ],
  "allowed": [
    {
      "id": "page-title",
      "severity": "advice",
      "file": "c.md",
      "message": "no title",
      "mend": "Give it one.",
      "reason": "a list"
    }
  ]
}
`
	var b bytes.Buffer
	if err := sample.WriteJSON(&b, allowed); err != nil || b.String() != want {
		t.Errorf("%v\n%s", err, b.String())
	}
}

// TestSchema holds docs/audit.schema.json: it is made from the types, takes what is
// written and refuses what is not.
func TestSchema(t *testing.T) {
	judge := schematest.Kept(t, "../../docs/audit.schema.json", *update,
		"Remarks on a handbook, version 1", "What they mean stands in audit.md.", &Report{})
	for _, c := range []struct {
		name   string
		change func(*Report)
		ok     bool
	}{
		{"as written", func(*Report) {}, true},
		{"empty", func(r *Report) { *r = List{}.Report(nil) }, true},
		{"another version", func(r *Report) { r.Audit = 2 }, false},
		{"a severity that there is not", func(r *Report) { r.Remarks[0].Severity = "fatal" }, false},
		{"an id that is none", func(r *Report) { r.Remarks[0].ID = "Link" }, false},
	} {
		report := sample.Report(allowed)
		c.change(&report)
		text, err := json.Marshal(report)
		if err != nil {
			t.Fatal(err)
		}
		if err := judge.Validate(schematest.Value(t, text)); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
