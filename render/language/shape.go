package language

import (
	"slices"
	"sync"

	"github.com/invopop/jsonschema"

	"benchleaf/render/handbook"
)

// shapes are the schemas of what rules are about, by the same names.
var shapes = sync.OnceValue(func() map[string]*jsonschema.Schema {
	all := handbook.Blocks()
	of := map[string]string{
		"handbook.json": "handbook.yaml", "models.json": "models.yaml", "parts.json": "parts.yaml",
		"specs.json": "specs", "circuit.json": "circuits", "front-matter.json": "front",
	}
	for _, f := range handbook.Schemas() {
		all[of[f.Name]] = f.Schema
	}
	return all
})

// shapesAt are what a schema says of the place to which keys lead, without references and lists.
func shapesAt(name string, keys []string) []*jsonschema.Schema {
	root := shapes()[name]
	if root == nil {
		return nil
	}
	var found []*jsonschema.Schema
	var take func(s *jsonschema.Schema, keys []string)
	take = func(s *jsonschema.Schema, keys []string) {
		switch {
		case s == nil || s == jsonschema.FalseSchema:
			return
		case s.Ref != "":
			take(root.Definitions[s.Ref[len("#/$defs/"):]], keys)
			return
		}
		for _, inner := range slices.Concat(s.AllOf, s.AnyOf, []*jsonschema.Schema{s.Items}) {
			take(inner, keys)
		}
		if len(keys) == 0 {
			if !slices.Contains(found, s) { // what is alone is a list of one
				found = append(found, s)
			}
			return
		}
		if s.Properties != nil {
			if value, ok := s.Properties.Get(keys[0]); ok {
				take(value, keys[1:])
				return
			}
		}
		take(s.AdditionalProperties, keys[1:])
	}
	take(root, keys)
	return found
}

// described is a key, or a choice, with what is said of it.
type described struct{ name, says string }

// keysAt are the keys that can stand in a place, in their struct's order.
func keysAt(name string, keys []string) (list []described) {
	for _, s := range shapesAt(name, keys) {
		if s.Properties != nil {
			for p := s.Properties.Oldest(); p != nil; p = p.Next() {
				list = append(list, described{p.Key, p.Value.Description})
			}
		}
	}
	return list
}

// choicesAt are the values that an author can choose from in a place.
func choicesAt(name string, keys []string) (list []described) {
	for _, s := range shapesAt(name, keys) {
		for _, value := range s.Enum {
			if text, ok := value.(string); ok {
				list = append(list, described{text, ""})
			}
		}
	}
	return list
}
