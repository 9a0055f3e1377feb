package handbook

import (
	_ "embed"
	"maps"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/render/remark"
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

// BlockSchemas are those of Blocks as files.
func BlockSchemas() (list []SchemaFile) {
	blocks := Blocks()
	for _, name := range slices.Sorted(maps.Keys(blocks)) {
		schema := blocks[name]
		schema.Title = "A block `" + name + "`"
		of := "the YAML of `" + name + "` blocks"
		if name == "calculator" {
			of += " of your own"
		}
		list = append(list, SchemaFile{"block-" + name + ".json", of, schema})
	}
	return list
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
	{"fault", "intermittent"}: yesOrNo,
}

// Forms that several keys have.
var (
	dayForm   = &jsonschema.Schema{Type: "string", Pattern: "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"}
	pairForm  = &jsonschema.Schema{Type: "array", MinItems: new(uint64(2)), MaxItems: new(uint64(2))}
	countForm = &jsonschema.Schema{Pattern: `^\+?[.0-9]+$`, Minimum: "1", Maximum: "50"} // of columns and rows
	noLess    = &jsonschema.Schema{Pattern: `^\+?[.0-9]+$`, Minimum: "0"}
)

// forms are what is judged of a value besides its type.
var forms = map[[2]string]*jsonschema.Schema{
	{"handbook", "date"}: dayForm, {"handbook", "check-by"}: dayForm, {"front", "revised"}: dayForm, {"front", "check-by"}: dayForm,
	{"spec", "revised"}: dayForm, {"earlier", "from"}: dayForm, {"earlier", "until"}: dayForm, {"supersession", "from"}: dayForm,
	{"handbook", "languages"}: {AnyOf: []*jsonschema.Schema{languageForm, {Type: "array", Items: languageForm}}},
	{"handbook", "remarks"}:   {PropertyNames: &jsonschema.Schema{Enum: settable()}},
	{"state", "minutes"}:      noLess, {"state", "from"}: {AdditionalProperties: noLess}, {"cause", "frequency"}: noLess,
	{"meter", "percent"}: noLess, {"meter", "digits"}: noLess, {"meter", "resolution"}: noLess,
	{"labels", "columns"}: countForm, {"labels", "rows"}: countForm, {"labels", "width"}: noLess, {"labels", "height"}: noLess, {"labels", "gap"}: noLess,
	{"spec", "tolerance"}: noLess, {"limit", "tolerance"}: noLess, {"earlier", "tolerance"}: noLess,
	{"element", "between"}: pairForm, {"fault", "between"}: pairForm,
}

// settable are the kinds of remarks of which a handbook may make something else.
func settable() (ids []any) {
	for _, k := range remark.All() {
		if k.Severity != remark.Error {
			ids = append(ids, k.ID)
		}
	}
	return ids
}

func about(of, key string) (says string, from []string, form *jsonschema.Schema) {
	name := [2]string{of, key}
	return keys[name], choices[name], forms[name]
}
