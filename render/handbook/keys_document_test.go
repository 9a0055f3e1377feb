package handbook

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"

	"benchleaf/render/source"
)

var update = flag.Bool("update", false, "write docs/keys.md anew")

const keysDocument = "../../docs/keys.md"

// TestKeysDocument holds docs/keys.md against what decodes an author's files and blocks.
func TestKeysDocument(t *testing.T) {
	want := keysText(t)
	if *update {
		if err := os.WriteFile(keysDocument, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(keysDocument); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what the types say (%v); go test -update writes it", keysDocument, err)
	}
}

// keysText lists the keys of each file and block, of what stands in several of them once.
func keysText(t *testing.T) []byte {
	var b bytes.Buffer
	b.WriteString("# Keys and blocks\n\n" +
		"What may stand in the files of a handbook, and in the blocks of its pages. [writing.md](writing.md) explains it, with examples. `benchleaf schema` writes\n" +
		"the same for programs. *Text by language* is one text, or a text for each language: `{en: Fuse, es: Fusible}`. *List* is a list, or a single value.\n" +
		"*By name* has an entry for each id: lower-case letters, digits and hyphens, a letter first.\n")
	told := map[string]bool{}
	b.WriteString("\n# Files\n")
	for _, f := range Schemas() {
		fmt.Fprintf(&b, "\n## %s\n\n%s.\n", f.Of, f.Schema.Title)
		structs(t, &b, f.Schema, told)
	}
	b.WriteString("\n# Blocks\n\nA block is a fenced block whose info string begins with one of these names. [References](writing.md#references) in the text of pages are links with a scheme.\n")
	blocks := Blocks()
	for _, name := range source.BlockNames {
		about := source.BlockAbout[name]
		if about == "" {
			t.Errorf("nothing is said of the block %s", name)
		}
		fmt.Fprintf(&b, "\n## `%s`\n\n%s\n", name, about)
		switch schema := blocks[name]; {
		case name == "calculator":
			b.WriteString("\nBeside a built-in's name: its inputs by their names, [as they are listed](calculators.md), and `title`, `limits`, `meters`, `examples`. Of the handbook's own:\n")
			fallthrough
		case schema != nil:
			structs(t, &b, schema, told)
		case name == "answers" || name == "self-check":
			fmt.Fprintf(&b, "\nIt holds a list, as [writing.md](writing.md#%s) has it.\n", name)
		default:
			b.WriteString("\nIt holds nothing.\n")
		}
	}
	return b.Bytes()
}

// structs writes a table for each struct that is not told yet, the outer before the inner.
func structs(t *testing.T, b *bytes.Buffer, schema *jsonschema.Schema, told map[string]bool) {
	if inner := refers(schema.AllOf[0]); !told[inner] && schema.AllOf[0].AdditionalProperties != nil {
		fmt.Fprintf(b, "\n%s.\n", capital(takes(schema.AllOf[0])))
	}
	for queue := []string{refers(schema.AllOf[0])}; len(queue) > 0; queue = queue[1:] {
		name := queue[0]
		if told[name] {
			continue
		}
		told[name] = true
		of := schema.Definitions[name]
		if !slices.Contains(source.BlockNames, name) { // those have a heading
			fmt.Fprintf(b, "\n<a id=\"%s\"></a>\n", name)
		}
		fmt.Fprintf(b, "\n| %s | | |\n|---|---|---|\n", name)
		for p := of.Properties.Oldest(); p != nil; p = p.Next() {
			value := p.Value
			says := value.Description
			if needed := neededText(of, p.Key); needed != "" {
				says = needed + " " + says
			}
			fmt.Fprintf(b, "| `%s` | %s | %s |\n", p.Key, takes(value), strings.ReplaceAll(says, "|", `\|`))
			if inner := refers(value); inner != "" && !slices.Contains(queue, inner) {
				queue = append(queue, inner)
			}
			if takes(value) == "" {
				t.Errorf("what `%s` of %s takes is not told", p.Key, name)
			}
		}
	}
}

// refers is the struct that stands in a value, or in each of several.
func refers(s *jsonschema.Schema) string {
	switch {
	case s == nil:
		return ""
	case s.Ref != "":
		return path.Base(s.Ref)
	}
	for _, inner := range slices.Concat(s.AllOf, s.AnyOf, []*jsonschema.Schema{s.AdditionalProperties, s.Items}) {
		if name := refers(inner); name != "" {
			return name
		}
	}
	return ""
}

// takes says in a few words what a value is.
func takes(s *jsonschema.Schema) string {
	types, _ := s.Extras["type"].([]string)
	switch {
	case s.Ref != "":
		return "[" + path.Base(s.Ref) + "](#" + path.Base(s.Ref) + ")"
	case len(s.Enum) > 0:
		var names []string
		for _, e := range s.Enum {
			if text, ok := e.(string); ok {
				names = append(names, "`"+text+"`")
			}
		}
		return strings.Join(names, " or ")
	case len(s.AllOf) > 0:
		if slices.Contains(s.AllOf, dayForm) {
			return "day"
		}
		return takes(s.AllOf[0])
	case len(s.AnyOf) == 2 && s.AnyOf[1].Items != nil && s.AnyOf[1].MaxItems == nil:
		return "list of " + takes(s.AnyOf[0])
	case len(s.AnyOf) == 2 && s.AnyOf[1].AdditionalProperties != nil && s.AnyOf[1].PropertyNames == languageForm:
		return "text by language"
	case len(s.AnyOf) > 0:
		var each []string
		for _, one := range s.AnyOf {
			if text := takes(one); !slices.Contains(each, text) {
				each = append(each, text)
			}
		}
		return strings.Join(each, ", or ")
	case s.PropertyNames == languageForm && s.PropertyNames != nil:
		return "by language: " + takes(s.AdditionalProperties)
	case s.AdditionalProperties != nil:
		return "by name: " + takes(s.AdditionalProperties)
	case s.Items != nil && s.MaxItems != nil && *s.MaxItems == 2:
		return "two: [" + takes(s.Items) + ", " + takes(s.Items) + "]"
	case s.Items != nil:
		return "list of " + takes(s.Items)
	case len(types) > 0 && types[0] == "number":
		return "number"
	case s.Pattern == " to ":
		return "`from to until`"
	}
	return "text"
}

// neededText says when the key has to be there.
func neededText(of *jsonschema.Schema, key string) string {
	if slices.Contains(of.Required, key) {
		return "Needed."
	}
	for _, rule := range of.AllOf {
		if len(rule.AnyOf) < 2 || rule.AnyOf[0].Required[0] != key {
			continue
		}
		var with, without []string
		for _, other := range rule.AnyOf[1:] {
			if other.Not != nil {
				with = append(with, "`"+other.Not.Required[0]+"`")
			} else {
				without = append(without, "`"+other.Required[0]+"`")
			}
		}
		text := "Needed"
		if with != nil {
			text += " with " + strings.Join(with, " or ")
		}
		if without != nil {
			text += " without " + strings.Join(without, " and ")
		}
		return text + "."
	}
	return ""
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
