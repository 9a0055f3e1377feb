package compare_test

import (
	"bytes"
	"flag"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"benchleaf/render/compare"
	"benchleaf/render/schematest"
)

var update = flag.Bool("update", false, "write docs/compare.schema.json anew")

// TestSchema holds docs/compare.schema.json: it is made from the types, and takes what is written.
func TestSchema(t *testing.T) {
	judge := schematest.Kept(t, "../../docs/compare.schema.json", *update,
		"What changed between two editions of a Benchleaf handbook", "What `benchleaf compare -format json` prints.", compare.Comparison{})
	c := compare.Compare(facts(t, book(t, old)), facts(t, book(t, new)))
	var b bytes.Buffer
	if err := c.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(&b)
	if err == nil {
		err = judge.Validate(value)
	}
	if err != nil {
		t.Error(err)
	}
}
