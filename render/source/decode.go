package source

import (
	"cmp"
	"reflect"
	"slices"
	"strconv"
	"strings"

	yamlast "github.com/goccy/go-yaml/ast"
	"github.com/invopop/jsonschema"

	"benchleaf/render/remark"
)

// Text is a scalar with its place.
type Text struct {
	Value string
	Place remark.Place
}

// Expression is a scalar whose parts have places of their own.
type Expression struct {
	Text
	at placer
}

// PlaceAt returns the place of a byte offset in the text.
func (e Expression) PlaceAt(offset int) remark.Place {
	if e.at == nil {
		return e.Place
	}
	return e.at(min(max(0, offset), len(e.Value)))
}

// Given tells whether the author wrote the key.
func (t Text) Given() bool { return t.Place.File != "" }

// Map is a YAML mapping in the author's order, from an id to an entry.
type Map[T any] []Entry[T]

// Entry is one entry of a Map.
type Entry[T any] struct {
	ID    Text
	Value T
}

// Node is a YAML node, for types that decode themselves.
type Node = yamlast.Node

// Value is a type that decodes itself.
type Value interface {
	// DecodeYAML takes its value from n, which is the value of the key named,
	// and remarks on what is wrong. It is not called for an empty value.
	DecodeYAML(d *Decoder, n Node, key string)
	// Schema says what DecodeYAML takes.
	Schema(s *Shapes) *jsonschema.Schema
}

// Decoder decodes one piece of YAML.
type Decoder struct {
	yaml    *YAML
	remarks *remark.List
	doubled bool // a key of the mapping that is read stands twice
}

// Decode fills the struct that into points to. A field takes the key of its
// tag: `yaml:"key"`, or `yaml:"key,needed"`, or where that hangs on another key
// of the struct `yaml:"key,needed unless other"`, `yaml:"key,needed with other"`, on
// two `yaml:"key,needed unless other or third"`, `yaml:"key,needed with other but third"`.
// What is needed says something, but for `yaml:"key,needed or blank"`.
// A struct's noun, for messages, is in the tag of the field that holds it:
// `noun:"a model"`. A field named
// Place of type remark.Place takes the place where the struct begins, and
// keeps what the struct's author wrote findable.
func Decode(y *YAML, into any, noun string, remarks *remark.List) {
	d := &Decoder{yaml: y, remarks: remarks}
	if y.Broken {
		return
	}
	v := reflect.ValueOf(into).Elem()
	if y.root == nil {
		d.missing(v, nil, y.Start(), noun)
		return
	}
	before := len(*remarks)
	d.value(y.root, v, noun, noun, y.Start())
	d.gatherLost(before)
}

// mostAstray is from how many on keys and values that do not belong where they stand are
// those of something else whose line is lost.
const mostAstray = 3

// gatherLost makes one remark of those that a lost line, with the name of what stands
// beneath it, leaves behind: the first of them.
func (d *Decoder) gatherLost(before int) {
	astray := func(r remark.Remark) bool {
		return r.ID == remark.ValueType.ID || r.ID == remark.KeyUnknown.ID && strings.HasPrefix(r.Mend, "Keys here")
	}
	added := (*d.remarks)[before:]
	count := 0
	for _, r := range added {
		if astray(r) {
			count++
		}
	}
	if count >= mostAstray {
		d.yaml.Torn = true
		first := slices.IndexFunc(added, astray)
		added[first] = added[first].Instead("Several keys from here on do not belong here: is the line with the name of what they belong to lost?")
		only := added[first]
		added = slices.DeleteFunc(added, func(r remark.Remark) bool { return r != only && (astray(r) || r.ID == remark.KeyMissing.ID) })
		*d.remarks = (*d.remarks)[:before+len(added)]
	}
}

// HasKey tells whether the YAML's top level has the key, be it empty or
// misspelt.
func (y *YAML) HasKey(key string) bool {
	for _, pair := range pairs(y.root) {
		if name := pair.Key.GetToken().Value; name == key || remark.Nearest(name, []string{key}) != "" {
			return true
		}
	}
	return false
}

// DecodeFields calls f for each key of the YAML's top level, for a block whose
// keys no struct can know.
func DecodeFields(y *YAML, noun string, remarks *remark.List, f func(d *Decoder, key Text, value Node)) {
	d := &Decoder{yaml: y, remarks: remarks}
	if y.root != nil && !y.Broken {
		d.Fields(y.root, noun, func(key Text, value Node) { f(d, key, value) })
	}
}

// Into fills what into points to from the value of a key.
func (d *Decoder) Into(n Node, into any, key, noun string) {
	d.value(n, reflect.ValueOf(into).Elem(), key, noun, d.Place(n))
}

// Place returns the place of a node.
func (d *Decoder) Place(n Node) remark.Place { return d.yaml.placeOf(n) }

// Remark adds a remark at a node.
func (d *Decoder) Remark(k *remark.Kind, n Node, args ...any) {
	d.remarks.Add(k, d.Place(n), args...)
}

// Remarks is the list that the decoder adds to.
func (d *Decoder) Remarks() *remark.List { return d.remarks }

// Scalar returns a scalar's text as its author typed it; false with a remark
// where n is no scalar.
func (d *Decoder) Scalar(n Node, key, wanted string) (string, bool) {
	switch n := n.(type) {
	case *yamlast.StringNode:
		return n.Value, true
	case *yamlast.LiteralNode:
		return n.Value.Value, true
	case *yamlast.IntegerNode, *yamlast.FloatNode, *yamlast.BoolNode:
		return n.GetToken().Value, true
	}
	d.wrongType(n, key, wanted)
	return "", false
}

// Texts lists the texts that stand in the file, each with its place.
func (y *YAML) Texts() (list []Text) {
	var walk func(n Node)
	walk = func(n Node) {
		if seq, ok := n.(*yamlast.SequenceNode); ok {
			for _, item := range seq.Values {
				walk(item)
			}
		}
		for _, pair := range pairs(n) {
			walk(pair.Value)
		}
		if IsScalar(n) {
			d := Decoder{yaml: y}
			text, _ := d.Scalar(n, "", "")
			list = append(list, Text{text, d.Place(n)})
		}
	}
	walk(y.root)
	return list
}

// IsScalar tells whether Scalar would return a text for n.
func IsScalar(n Node) bool {
	switch n.(type) {
	case *yamlast.StringNode, *yamlast.LiteralNode, *yamlast.IntegerNode, *yamlast.FloatNode, *yamlast.BoolNode:
		return true
	}
	return false
}

// IsMapping tells whether Fields would find keys in n.
func IsMapping(n Node) bool {
	switch n.(type) {
	case *yamlast.MappingNode, *yamlast.MappingValueNode:
		return true
	}
	return false
}

// Markdown returns a scalar as Markdown.
func (d *Decoder) Markdown(n Node, key string) (Markdown, bool) {
	s, ok := d.Scalar(n, key, "a text")
	if !ok {
		return Markdown{}, false
	}
	return parseMarkdown(markdown, s, d.yaml.scalarPlacer(n, s), d.remarks), true
}

// Expression returns a scalar with the places of its parts; false with a remark where n is no scalar.
func (d *Decoder) Expression(n Node, key, wanted string) (Expression, bool) {
	s, ok := d.Scalar(n, key, wanted)
	return Expression{Text{s, d.Place(n)}, d.yaml.scalarPlacer(n, s)}, ok
}

// Fields calls f for each key of a mapping; false with a remark where n is
// none. Empty values are remarked on and left out.
//
// A line that is doubled is one slip: the key that is empty and stands once more with its
// value has it. So is the line of a name that was lost: the keys of what it named then
// stand in what is before, most of them twice.
func (d *Decoder) Fields(n Node, key string, f func(key Text, value Node)) bool {
	if !IsMapping(n) {
		d.wrongType(n, key, "keys with values")
		return false
	}
	first, last := map[string]remark.Place{}, map[string]int{}
	for i, v := range pairs(n) {
		last[v.Key.GetToken().Value] = i
	}
	hollow := map[string]bool{} // the first is empty
	twice, told := 0, 0
	defer func(outer bool) { d.doubled = outer }(d.doubled)
	d.doubled = false
	for i, v := range pairs(n) {
		name := Text{v.Key.GetToken().Value, d.yaml.place(v.Key.GetToken().Position)}
		if at, ok := first[name.Value]; ok {
			d.doubled = true
			switch twice++; twice {
			case 1:
				told = len(*d.remarks)
				d.remarks.Add(remark.IDDuplicate, name.Place, name.Value, at)
			case 2:
				d.yaml.Torn = true
				(*d.remarks)[told] = (*d.remarks)[told].Instead("From here several keys of `%s` stand twice: the line with the name of what they belong to is missing.", key)
			}
			if hollow[name.Value] && !empty(v.Value) {
				hollow[name.Value] = false
				f(name, v.Value)
			}
			continue
		}
		first[name.Value] = name.Place
		if hollow[name.Value] = empty(v.Value); hollow[name.Value] {
			if last[name.Value] > i {
				continue
			}
			r := remark.ValueEmpty.At(name.Place, name.Value)
			if m, ok := n.(*yamlast.MappingNode); ok && m.IsFlowStyle && !IsID(name.Value) {
				r = r.Instead("If it belongs to the text before it, put that between quotes: inside braces a comma ends a text.")
			}
			*d.remarks = append(*d.remarks, r)
			continue
		}
		f(name, v.Value)
	}
	return true
}

// written lists the keys of a mapping.
func written(n Node) (keys []string) {
	for _, pair := range pairs(n) {
		keys = append(keys, pair.Key.GetToken().Value)
	}
	return keys
}

func pairs(n Node) []*yamlast.MappingValueNode {
	switch n := n.(type) {
	case *yamlast.MappingNode:
		return n.Values
	case *yamlast.MappingValueNode:
		return []*yamlast.MappingValueNode{n}
	}
	return nil
}

// Items calls f for each item of a list; a single value counts as a list of one.
func (d *Decoder) Items(n Node, key string, f func(item Node)) {
	list, ok := n.(*yamlast.SequenceNode)
	if !ok {
		f(n)
		return
	}
	for _, item := range list.Values {
		if empty(item) {
			d.Remark(remark.ValueEmpty, n, key)
			continue
		}
		f(item)
	}
}

func (d *Decoder) wrongType(n Node, key, wanted string) {
	if isAlias(n) {
		d.Remark(remark.YAMLAlias, n)
		return
	}
	is := "a text"
	switch n.(type) {
	case *yamlast.MappingNode, *yamlast.MappingValueNode:
		is = "keys with values"
	case *yamlast.SequenceNode:
		is = "a list"
	case *yamlast.NullNode:
		is = "empty"
	case *yamlast.InfinityNode, *yamlast.NanNode:
		is = "what YAML has for infinity or for no number"
	}
	d.Remark(remark.ValueType, n, key, wanted, is)
}

func isAlias(n Node) bool {
	switch n.(type) {
	case *yamlast.AnchorNode, *yamlast.AliasNode, *yamlast.TagNode, *yamlast.MergeKeyNode:
		return true
	}
	return false
}

// blank tells whether a value that must be given says nothing: "", [] or {}.
func blank(n Node) bool {
	switch n := n.(type) {
	case *yamlast.StringNode:
		return strings.TrimSpace(n.Value) == ""
	case *yamlast.LiteralNode:
		return strings.TrimSpace(n.Value.Value) == ""
	case *yamlast.SequenceNode:
		return len(n.Values) == 0
	case *yamlast.MappingNode:
		return len(n.Values) == 0
	}
	return false
}

func empty(n Node) bool {
	if n == nil {
		return true
	}
	_, null := n.(*yamlast.NullNode)
	return null
}

var placeType = reflect.TypeFor[remark.Place]()

// value decodes n into v. at is where the key stands, for v's Place.
func (d *Decoder) value(n Node, v reflect.Value, key, noun string, at remark.Place) {
	if own, ok := v.Addr().Interface().(Value); ok {
		own.DecodeYAML(d, n, key)
		return
	}
	if list, ok := v.Addr().Interface().(mapDecoder); ok {
		list.decodeMap(d, n, key, noun)
		return
	}
	switch target := v.Addr().Interface().(type) {
	case *Text:
		if s, ok := d.Scalar(n, key, "a text"); ok {
			*target = Text{s, d.Place(n)}
		}
		return
	case *Expression:
		if isAlias(n) { // *a or !a: YAML's own marks, an author's signs
			*d.remarks = append(*d.remarks, remark.YAMLAlias.At(d.Place(n)).Instead("If it is a text, put it between quotes."))
		} else if e, ok := d.Expression(n, key, "a text"); ok {
			*target = e
		}
		return
	case *Markdown:
		if m, ok := d.Markdown(n, key); ok {
			*target = m
		}
		return
	}
	switch v.Kind() {
	case reflect.String:
		if s, ok := d.Scalar(n, key, "a text"); ok {
			v.SetString(s)
		}
	case reflect.Float64:
		if s, ok := d.Scalar(n, key, "a number"); ok {
			f, err := strconv.ParseFloat(s, 64)
			if err != nil || f-f != 0 {
				d.Remark(remark.ValueText, n, s, "number", "2 or 0.5")
				return
			}
			v.SetFloat(f)
		}
	case reflect.Slice:
		d.Items(n, key, func(item Node) {
			element := reflect.New(v.Type().Elem()).Elem()
			d.value(item, element, key, noun, d.Place(item))
			v.Set(reflect.Append(v, element))
		})
	case reflect.Struct:
		d.structure(n, v, key, noun, at)
	default:
		panic("source: no way to decode " + v.Type().String())
	}
}

func (d *Decoder) structure(n Node, v reflect.Value, key, noun string, at remark.Place) {
	if f := v.FieldByName("Place"); f.IsValid() && f.Type() == placeType {
		f.Set(reflect.ValueOf(at))
	}
	var meant, absent []string // absent are the keys that the author has not written
	ok := d.Fields(n, key, func(key Text, value Node) {
		field, i := fieldFor(v.Type(), key.Value)
		if i < 0 && d.doubled { // what is doubled before has it
			d.yaml.Torn = true
			return
		}
		if i < 0 {
			keys := keysOf(v.Type())
			if absent == nil {
				there := written(n)
				absent = slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return slices.Contains(there, k) })
			}
			meant = append(meant, d.unknownKey(key, keys, absent, noun))
			return
		}
		// A key with nothing behind it says nothing, needed or not.
		if _, needed := tagOf(field); needed != "needed or blank" && blank(value) {
			d.remarks.Add(remark.ValueEmpty, key.Place, key.Value)
			return
		}
		inner := field.Tag.Get("noun")
		if inner == "" {
			inner = "`" + key.Value + "`"
		}
		d.value(value, v.Field(i), key.Value, inner, key.Place)
	})
	if ok {
		d.missing(v, append(meant, written(n)...), at, noun)
	}
}

// UnknownKey remarks on a key that is none of those known, and returns the one
// that was probably meant, or "".
func (d *Decoder) UnknownKey(key Text, keys []string, noun string) (meant string) {
	return d.unknownKey(key, keys, keys, noun)
}

// unknownKey takes a key that the author has not written for more probable than
// one that is there.
func (d *Decoder) unknownKey(key Text, keys, absent []string, noun string) (meant string) {
	r := remark.KeyUnknown.At(key.Place, key.Value, noun, strings.Join(keys, ", "))
	if meant = cmp.Or(remark.Nearest(key.Value, absent), remark.Nearest(key.Value, keys)); meant != "" {
		r = r.Instead("Did you mean `%s`?", meant)
	}
	*d.remarks = append(*d.remarks, r)
	return meant
}

// missing remarks on needed keys that are not there. One that is there but
// empty, or misspelt, has its remark already.
func (d *Decoder) missing(v reflect.Value, given []string, at remark.Place, noun string) {
	if v.Kind() != reflect.Struct {
		return
	}
	for i := range v.NumField() {
		key, needed := tagOf(v.Type().Field(i))
		others, unless := strings.CutPrefix(needed, "needed unless ")
		other, third, _ := strings.Cut(others, " or ")
		withs, only := strings.CutPrefix(needed, "needed with ")
		with, but, _ := strings.Cut(withs, " but ")
		switch {
		case needed == "", slices.Contains(given, key):
		case unless && (slices.Contains(given, other) || slices.Contains(given, third)):
		case only && (!slices.Contains(given, with) || slices.Contains(given, but)):
		default:
			d.remarks.Add(remark.KeyMissing, at, key, noun)
		}
	}
}

// tagOf returns a field's key and what its tag says of whether it is needed.
func tagOf(f reflect.StructField) (key, needed string) {
	key, needed, _ = strings.Cut(f.Tag.Get("yaml"), ",")
	return key, needed
}

func fieldFor(t reflect.Type, key string) (reflect.StructField, int) {
	for i := range t.NumField() {
		if k, _ := tagOf(t.Field(i)); k == key && k != "" {
			return t.Field(i), i
		}
	}
	return reflect.StructField{}, -1
}

func keysOf(t reflect.Type) []string {
	var keys []string
	for i := range t.NumField() {
		if k, _ := tagOf(t.Field(i)); k != "" {
			keys = append(keys, k)
		}
	}
	return keys
}

type mapDecoder interface {
	decodeMap(d *Decoder, n Node, key, noun string)
	schemaMap(s *Shapes) *jsonschema.Schema
}

func (m *Map[T]) decodeMap(d *Decoder, n Node, key, noun string) {
	d.Fields(n, key, func(id Text, value Node) {
		if !IsID(id.Value) {
			// The entry stays, so that what names it is no second mistake.
			d.remarks.Add(remark.ValueText, id.Place, id.Value, "id", "heater-coil: lower-case letters, digits and hyphens, a letter first")
		}
		e := Entry[T]{ID: id}
		d.value(value, reflect.ValueOf(&e.Value).Elem(), id.Value, noun, id.Place)
		*m = append(*m, e)
	})
}

// IsID tells whether s may be an id: lower-case letters, digits and hyphens,
// a letter first.
func IsID(s string) bool {
	for i, r := range s {
		switch {
		case r >= 'a' && r <= 'z':
		case i > 0 && (r >= '0' && r <= '9' || r == '-'):
		default:
			return false
		}
	}
	return s != ""
}
