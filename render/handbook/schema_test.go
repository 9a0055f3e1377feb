package handbook

import (
	"maps"
	"slices"
	"testing"

	"github.com/invopop/jsonschema"
)

// Each key says to who writes it what stands there, and nothing is said of keys that are not there.
func TestKeysHaveWords(t *testing.T) {
	there := map[[2]string]bool{}
	all := slices.Collect(maps.Values(Blocks()))
	for _, f := range Schemas() {
		all = append(all, f.Schema)
	}
	for _, schema := range all {
		for of, s := range schema.Definitions {
			for p := s.Properties.Oldest(); p != nil; p = p.Next() {
				there[[2]string{of, p.Key}] = true
				if p.Value.Description == "" {
					t.Errorf("nothing is said of `%s` of %s", p.Key, of)
				}
			}
		}
	}
	for name := range keys {
		if !there[name] {
			t.Errorf("`%s` of %s has words, and is no key", name[1], name[0])
		}
	}
	for name, list := range choices {
		if !there[name] || len(list) == 0 {
			t.Errorf("`%s` of %s has choices %q, and is no key", name[1], name[0], list)
		}
	}
}

// What can be chosen stands in the schema, for one text, for each of a list and behind each key.
func TestSchemaHasChoices(t *testing.T) {
	def := func(schema *jsonschema.Schema, of, key string) *jsonschema.Schema {
		value, _ := schema.Definitions[of].Properties.Get(key)
		return value.AllOf[0]
	}
	all := map[string]*jsonschema.Schema{}
	for _, f := range Schemas() {
		all[f.Name] = f.Schema
	}
	for what, c := range map[string]struct {
		got  *jsonschema.Schema
		want []any
	}{
		"sheet":        {def(all["front-matter.json"], "front", "sheet"), []any{"bulletin", "procedure", "reference", "theory"}},
		"every":        {def(all["handbook.json"], "labels", "every").AnyOf[0], []any{"procedures", "models"}},
		"remarks":      {def(all["handbook.json"], "handbook", "remarks").AdditionalProperties, []any{"advice", "error", "off", "warning"}},
		"verification": {def(Blocks()["step"], "step", "verification"), []any{"yes", "no", true, false}},
	} {
		if !slices.Equal(c.got.Enum, c.want) {
			t.Errorf("%s: %v, want %v", what, c.got.Enum, c.want)
		}
	}
}
