package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"benchleaf/calc"
)

// TestCalculatorsDocument holds docs/calculators.md against what `benchleaf calculate` says of
// each built-in calculator.
func TestCalculatorsDocument(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("# Calculators\n\n" +
		"The built-in calculators, as `benchleaf calculate NAME` describes each: what it takes and gives, its formulas, what they rest on, worked examples, and a command that\n" +
		"runs one. On a page one stands in a [`calculator` block](writing.md#calculator), which names inputs as they are named here. A handbook can have\n" +
		"[calculators of its own](writing.md#a-calculator-of-your-own).\n")
	for _, c := range calc.All() {
		var out, errs bytes.Buffer
		if status := Run([]string{"calculate", c.Name}, strings.NewReader(""), &out, &errs); status != statusDone || errs.Len() > 0 {
			t.Fatalf("%s: status %d, %s", c.Name, status, errs.String())
		}
		_, text, _ := strings.Cut(out.String(), "\n")
		fmt.Fprintf(&b, "\n## %s\n\n```text\n%s```\n", c.Name, text)
	}
	kept(t, filepath.Join("..", "..", "docs", "calculators.md"), b.Bytes())
}
