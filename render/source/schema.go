package source

import (
	"reflect"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"
)

// Shapes makes the JSON Schema (2020-12) of what Decode fills, by the tags that Decode
// goes by.
type Shapes struct {
	defs  jsonschema.Definitions // of structs, by their type's name
	about About
}

// About says of a struct's key what an author writes there, and what he can choose from: nil where he is free.
type About func(of, key string) (says string, choices []string)

// Schema returns the schema of what into points to.
func Schema(into any, about About) *jsonschema.Schema {
	s := &Shapes{defs: jsonschema.Definitions{}, about: about}
	// Nothing but keys stands beside a reference to a definition.
	schema := &jsonschema.Schema{Version: jsonschema.Version, AllOf: []*jsonschema.Schema{s.Of(into)}}
	schema.Definitions = s.defs
	return schema
}

// Of returns the schema of what into points to, as a part of another.
func (s *Shapes) Of(into any) *jsonschema.Schema { return s.of(reflect.TypeOf(into).Elem()) }

// Scalar is the schema of a text as its author typed it: YAML takes some for figures.
func (s *Shapes) Scalar() *jsonschema.Schema {
	return &jsonschema.Schema{Extras: map[string]any{"type": []string{"string", "number", "boolean"}}}
}

// List is the schema of a list; a single value counts as a list of one.
func (s *Shapes) List(each *jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{each, {Type: "array", Items: each}}}
}

func (s *Shapes) of(t reflect.Type) *jsonschema.Schema {
	pointer := reflect.New(t).Interface()
	switch own := pointer.(type) {
	case Value:
		return own.Schema(s)
	case mapDecoder:
		return own.schemaMap(s)
	case *Text, *Expression, *Markdown:
		return s.Scalar()
	}
	switch t.Kind() {
	case reflect.String:
		return s.Scalar()
	case reflect.Slice:
		return s.List(s.of(t.Elem()))
	case reflect.Struct:
		return s.structure(t)
	}
	panic("source: no schema of " + t.String())
}

func (m *Map[T]) schemaMap(s *Shapes) *jsonschema.Schema {
	var each T
	return &jsonschema.Schema{
		Type:                 "object",
		PropertyNames:        &jsonschema.Schema{Pattern: "^[a-z][a-z0-9-]*$"}, // IsID
		AdditionalProperties: s.Of(&each),
	}
}

// structure keeps the schema of a struct among the definitions, and refers to it.
func (s *Shapes) structure(t reflect.Type) *jsonschema.Schema {
	name := strings.TrimSuffix(t.Name(), "YAML")
	if _, known := s.defs[name]; !known {
		schema := &jsonschema.Schema{Type: "object", Properties: jsonschema.NewProperties(), AdditionalProperties: jsonschema.FalseSchema}
		s.defs[name] = schema
		for i := range t.NumField() {
			field := t.Field(i)
			key, needed := tagOf(field)
			if key == "" {
				continue
			}
			says, choices := s.about(name, key)
			value := s.of(field.Type)
			if choices != nil {
				value = s.chosen(value, choices)
			}
			if needed != "needed or blank" {
				value = said(value)
			}
			value.Description = says
			schema.Properties.Set(key, value)
			need(schema, key, needed)
		}
	}
	return &jsonschema.Schema{Ref: "#/$defs/" + name}
}

// chosen is the schema of a text, of a list of texts or of texts by a key, that are among choices.
func (s *Shapes) chosen(value *jsonschema.Schema, choices []string) *jsonschema.Schema {
	switch {
	case value.AdditionalProperties != nil:
		value.AdditionalProperties = s.chosen(value.AdditionalProperties, choices)
	case value.AnyOf != nil:
		return s.List(s.chosen(value.AnyOf[0], choices))
	default:
		for _, c := range choices {
			value.Enum = append(value.Enum, c)
		}
		if slices.Contains(choices, "yes") { // as some parsers take it
			value.Enum = append(value.Enum, true, false)
		}
	}
	return value
}

// said is the schema of a value that says something.
func said(value *jsonschema.Schema) *jsonschema.Schema {
	one := uint64(1)
	return &jsonschema.Schema{AllOf: []*jsonschema.Schema{value}, Pattern: `\S`, MinItems: &one, MinProperties: &one}
}

// need adds whether a key must be there, as Decoder.missing judges it.
func need(schema *jsonschema.Schema, key, needed string) {
	with := func(key string) *jsonschema.Schema { return &jsonschema.Schema{Required: []string{key}} }
	either := &jsonschema.Schema{AnyOf: []*jsonschema.Schema{with(key)}}
	if others, ok := strings.CutPrefix(needed, "needed unless "); ok {
		for other := range strings.SplitSeq(others, " or ") {
			either.AnyOf = append(either.AnyOf, with(other))
		}
	} else if on, ok := strings.CutPrefix(needed, "needed with "); ok {
		on, but, isBut := strings.Cut(on, " but ")
		either.AnyOf = append(either.AnyOf, &jsonschema.Schema{Not: with(on)})
		if isBut {
			either.AnyOf = append(either.AnyOf, with(but))
		}
	} else {
		if needed != "" {
			schema.Required = append(schema.Required, key)
		}
		return
	}
	schema.AllOf = append(schema.AllOf, either)
}
