package handbook

import (
	"github.com/invopop/jsonschema"

	"benchleaf/render/source"
)

// SchemaFile is the JSON Schema of one sort of an author's files.
type SchemaFile struct {
	Name   string // of the file with the schema
	Of     string // which files it is for
	Schema *jsonschema.Schema
}

// Schemas are made from what decodes the files, and so take what the build takes.
func Schemas() []SchemaFile {
	var list []SchemaFile
	for _, f := range []struct {
		name, of, title string
		into            any
	}{
		{"handbook.json", handbookFile, "What all pages of a handbook share", &handbookYAML{}},
		{"models.json", modelsFile, "Engine models", &source.Map[modelYAML]{}},
		{"parts.json", partsFile, "Parts", &source.Map[partYAML]{}},
		{"specs.json", specsFolder + "*.yaml", "Specified values", &source.Map[specYAML]{}},
		{"circuit.json", circuitsFolder + "*.yaml", "A circuit", &circuitYAML{}},
		{"front-matter.json", "the front matter of pages", "What a page says of itself", &frontYAML{}},
	} {
		schema := source.Schema(f.into)
		schema.Title = f.title
		list = append(list, SchemaFile{f.name, f.of, schema})
	}
	return list
}
