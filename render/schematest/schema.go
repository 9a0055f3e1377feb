// Package schematest holds a documented form of JSON against the Go types that it is
// made from.
//
// In: a type, the file in docs with its schema. Out: the schema, ready to judge what
// is written. It imports nothing of the project; only tests import it.
package schematest

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
)

// Kept returns the schema of a value's type. It fails the test where the file does not
// hold the very schema that the type gives; with update it writes it anew first.
func Kept(t *testing.T, file string, update bool, title, description string, value any) *validator.Schema {
	t.Helper()
	reflector := jsonschema.Reflector{Anonymous: true}
	schema := reflector.Reflect(value)
	schema.Title, schema.Description = title, description
	made, err := json.MarshalIndent(schema, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	made = append(made, '\n')
	if update {
		if err := os.WriteFile(file, made, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(file); err != nil || !bytes.Equal(kept, made) {
		t.Fatalf("%v: the schema is not what the types give; -update writes it", err)
	}
	return Compile(t, made)
}

// Compile reads a schema. Formats are asserted, as far as the library knows them.
func Compile(t *testing.T, text []byte) *validator.Schema {
	t.Helper()
	compiler := validator.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("https://schema.test/", Value(t, text)); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("https://schema.test/")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// Value reads JSON as a schema judges it: figures keep all their digits.
func Value(t *testing.T, text []byte) any {
	t.Helper()
	v, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}
