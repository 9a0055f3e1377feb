package handbook

import (
	_ "embed"
	"maps"
	"slices"
	"strings"

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
		schema := source.Schema(f.into, about)
		schema.Title = f.title
		list = append(list, SchemaFile{f.name, f.of, schema})
	}
	return list
}

// Blocks are the schemas of the blocks that hold YAML, by the block's name; that of `calculator` is for one
// of the handbook's own.
func Blocks() map[string]*jsonschema.Schema {
	all := map[string]*jsonschema.Schema{}
	for name, into := range map[string]any{
		"calculator": &ownYAML{}, "picture": &pictureYAML{}, "plot": &plotYAML{}, "reading": &readingYAML{}, "safety": &safetyYAML{},
		"step": &stepYAML{}, "timing": &timingYAML{},
	} {
		all[name] = source.Schema(into, about)
	}
	return all
}

// keyTexts say what an author writes behind each key: a line with the name of a struct, then its keys.
//
//go:embed keys.txt
var keyTexts string

// keys are those texts by struct and key.
var keys = func() map[[2]string]string {
	all, of := map[[2]string]string{}, ""
	for line := range strings.Lines(keyTexts) {
		key, says, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok {
			of = key
		} else {
			all[[2]string{of, key}] = says
		}
	}
	return all
}()

var yesOrNo = []string{"yes", "no"}

// choices are what an author can choose from.
var choices = map[[2]string][]string{
	{"front", "sheet"}: sheets, {"safety", "level"}: levels, {"handbook", "units"}: {"metric", "inch"},
	{"labels", "paper"}: {papers[0].Name, papers[1].Name}, {"labels", "every"}: {everyProcedure, everyModel},
	{"handbook", "remarks"}: slices.Sorted(maps.Keys(ruleSeverities)),
	{"step", "who"}:         Roles, {"cause", "who"}: Roles,
	{"step", "again"}: yesOrNo, {"step", "emissions"}: yesOrNo, {"step", "verification"}: yesOrNo, {"cause", "emissions"}: yesOrNo,
}

func about(of, key string) (says string, from []string) {
	name := [2]string{of, key}
	return keys[name], choices[name]
}
