package language

import (
	"bytes"
	"context"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Kinds of items, as the protocol numbers them.
const (
	itemProperty  = 10
	itemKeyword   = 14
	itemReference = 18
	itemValue     = 20 // one of an enumeration
)

// completion names what may stand at a place.
func (s *server) completion(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	name, t, offset, at := s.at(v, params)
	items := []completionItem{}
	switch {
	case t == nil || at != nil && (at.made || at.defines):
		return items, nil
	case at == nil || at.formula: // where a name of any kind of the calculator may stand
		if items = s.schemeItems(t, offset); len(items) == 0 {
			items = s.spotItems(v, name, t, offset)
		}
		return items, nil
	}
	around := t.span(at.start, at.end, s.encoding)
	before := ""
	if at.tight {
		before = " "
	}
	for _, c := range s.candidates(v, name, *at) {
		text := c.label
		if slices.Contains([]kind{kindWay, kindAnswer, kindUnit}, at.kind) && t.data[max(0, at.start-1)] != '"' && t.data[max(0, at.start-1)] != '\'' {
			text = scalar(text)
		}
		items = append(items, completionItem{c.label, itemReference, c.detail, textEdit{around, before + text}})
	}
	return items, nil
}

// scalar is a text as YAML takes it: within quotes where it would be more than a text.
func scalar(text string) string {
	if strings.HasPrefix(text, "%") || strings.ContainsAny(text, "#,[]{}\"") || strings.Contains(text, ": ") {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
	}
	return text
}

// candidate is a name that may stand somewhere.
type candidate struct{ label, detail string }

func (s *server) candidates(v *view, file string, at site) (list []candidate) {
	add := func(label, detail string) { list = append(list, candidate{label, detail}) }
	switch at.kind {
	case kindEnd:
		for _, end := range handbook.Ends {
			add(end, "")
		}
		return list
	case kindBuiltIn:
		for _, c := range calc.All() {
			add(c.Name, "")
		}
		return list
	case kindBlock:
		for _, name := range source.BlockNames {
			add(name, source.BlockAbout[name])
		}
		return list
	case kindRemark:
		for _, k := range remark.All() {
			if k.Severity != remark.Error { // those are nobody's to set
				add(k.ID, k.MessageText())
			}
		}
		return list
	case kindUnit:
		symbols := map[string]bool{}
		for _, u := range unit.Spellings() {
			symbols[u.Symbol] = u.Symbol != ""
		}
		for _, symbol := range slices.Sorted(maps.Keys(symbols)) {
			if symbols[symbol] {
				add(symbol, "")
			}
		}
		return list
	case kindPicture:
		for _, name := range v.Pictures {
			if to, err := filepath.Rel(path.Dir(file), name); err == nil {
				add(filepath.ToSlash(to), "")
			}
		}
		return list
	case kindPage:
		for _, p := range v.Book.Pages {
			add(p.Source.Path, p.Title)
		}
		return list
	case kindAnswer:
		return answersOf(v.Book, at.scope)
	case kindCircuit:
		for _, c := range v.Book.Circuits {
			add(c.ID, c.Title.In(top(file)))
		}
		return list
	case kindProcedure, kindBulletin:
		titles := map[string]string{}
		for _, p := range v.Book.Pages {
			if (at.kind == kindBulletin && p.Sheet == "bulletin" || at.kind == kindProcedure && p.Procedure != nil) && titles[p.Key] == "" {
				titles[p.Key] = p.Title
			}
		}
		for _, key := range slices.Sorted(maps.Keys(titles)) {
			add(key, titles[key])
		}
		return list
	}
	if at.kind == kindWay || at.kind == kindLink {
		key := keyOf(file, v.Book.Languages)
		for _, c := range s.names(v, file, kindStep, key) {
			list = append(list, candidate{"#" + c.label, c.detail})
		}
		for _, c := range s.names(v, file, kindCause, key) {
			list = append(list, candidate{"cause:" + c.label, c.detail})
		}
		for _, end := range handbook.Ends {
			add("end:"+end, "")
		}
		for _, p := range v.Book.Pages {
			if to, err := filepath.Rel(path.Dir(file), p.Source.Path); err == nil && p.Source.Path != file && top(file) == top(p.Source.Path) {
				list = append(list, candidate{filepath.ToSlash(to), p.Title})
			}
		}
		return list
	}
	list = s.names(v, file, at.kind, at.scope)
	if c, ok := calc.Find(path.Base(at.scope)); ok && len(list) == 0 { // a built-in one says nothing of its numbers on the page
		of := c.Inputs
		if at.kind == kindResult {
			of = c.Results
		}
		for _, q := range of {
			add(q.Name, q.Unit.Symbol)
		}
	}
	return list
}

// answersOf are what a step can show, in the source language: its answers, or the outcomes of its reading.
func answersOf(book *handbook.Handbook, scope string) (list []candidate) {
	key, id, _ := strings.Cut(scope, "#")
	for _, p := range book.Pages {
		if p.Key != key || p.Lang != book.Languages[0] || p.Procedure == nil {
			continue
		}
		for _, step := range p.Procedure.Steps {
			if step.ID != id {
				continue
			}
			for _, a := range step.Answers {
				list = append(list, candidate{a.Text, ""})
			}
			if step.Reading != nil {
				for _, o := range step.Reading.Outcomes {
					list = append(list, candidate{o.Kind, ""})
				}
			}
		}
	}
	return list
}

// openings are what a reference, or a mark of a heading, may begin with.
var openings = []string{"spec:", "part:", "cause:", "hazard:", "calculator:", "end:", "callout:", "id:", "minutes:"}

// schemeItems complete what follows a `<` in a text.
func (s *server) schemeItems(t *text, offset int) (items []completionItem) {
	start := offset
	for start > 0 && t.data[start-1] >= 'a' && t.data[start-1] <= 'z' {
		start--
	}
	line := t.data[bytes.LastIndexByte(t.data[:start], '\n')+1 : start]
	if !bytes.HasSuffix(line, []byte("<")) || bytes.Count(line, []byte("`"))%2 == 1 {
		return nil
	}
	for _, scheme := range openings {
		items = append(items, completionItem{scheme, itemKeyword, "", textEdit{t.span(start, offset, s.encoding), scheme}})
	}
	return items
}

// spotItems complete keys of YAML, values that are among few, and what a formula can name.
func (s *server) spotItems(v *view, name string, t *text, offset int) []completionItem {
	items := []completionItem{}
	p := spotAt(name, t.data, v.Book.Languages, offset)
	if p == nil {
		return items
	}
	if p.value && p.rules == "calculator" && len(p.keys) > 0 && (p.keys[0] == "values" || p.keys[len(p.keys)-1] == "formula") {
		return s.formulaItems(v, name, t, offset, p)
	}
	before, behind := "", ""
	if p.start > 0 && t.data[p.start-1] == ':' {
		before = " "
	}
	if !bytes.HasPrefix(bytes.TrimLeft(t.data[p.end:], " \t"), []byte(":")) {
		behind = ": "
	}
	around := t.span(p.start, p.end, s.encoding)
	if p.value {
		for _, c := range p.choices() {
			items = append(items, completionItem{c.name, itemValue, c.says, textEdit{around, before + c.name}})
		}
	}
	if p.key {
		for _, k := range p.freeKeys(string(t.data[p.start:p.end])) {
			items = append(items, completionItem{k.name, itemProperty, k.says, textEdit{around, k.name + behind}})
		}
	}
	if p.name != nil {
		for _, c := range s.candidates(v, name, *p.name) {
			if !slices.Contains(p.keysOf[p.mapping], c.label) {
				items = append(items, completionItem{c.label, itemReference, c.detail, textEdit{around, c.label + behind}})
			}
		}
	}
	return items
}

// choices are the values that an author can choose from in a spot.
func (p *spot) choices() []described {
	list := choicesAt(p.rules, p.keys)
	if c, ok := calc.Find(p.form); ok && p.rules == "built-in" && len(p.keys) == 1 {
		for _, q := range c.Inputs {
			for _, option := range q.Options {
				if q.Name == p.keys[0] {
					list = append(list, described{option, ""})
				}
			}
		}
	}
	return list
}

// freeKeys are the keys that can stand in a spot and do not yet, besides the one that is there.
func (p *spot) freeKeys(there string) []described {
	keys := keysAt(p.rules, p.keys)
	if c, ok := calc.Find(p.form); ok && p.rules == "built-in" && len(p.keys) == 0 {
		for _, q := range c.Inputs {
			keys = append(keys, described{q.Name, q.Unit.Symbol})
		}
		for _, key := range handbook.CalculatorKeys {
			keys = append(keys, described{key, ""})
		}
	}
	return slices.DeleteFunc(keys, func(k described) bool { return k.name != there && slices.Contains(p.keysOf[p.mapping], k.name) })
}

// inFormula is a name as a formula writes it, in which a hyphen takes away.
func inFormula(name string) string { return strings.ReplaceAll(name, "-", "_") }

// formulaItems complete a name in a formula: inputs and figures of the calculator, and its results.
func (s *server) formulaItems(v *view, name string, t *text, offset int, p *spot) []completionItem {
	inName := func(c byte) bool { return c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_' }
	start, end := offset, offset
	for start > p.start && inName(t.data[start-1]) {
		start--
	}
	for end < p.end && inName(t.data[end]) {
		end++
	}
	items, scope := []completionItem{}, keyOf(name, v.Book.Languages)+"/"+p.form
	for _, k := range []kind{kindInput, kindFigure, kindResult} {
		for _, c := range s.names(v, name, k, scope) {
			label := inFormula(c.label)
			items = append(items, completionItem{label, itemReference, string(k), textEdit{t.span(start, end, s.encoding), label}})
		}
	}
	return items
}

// names are those of a kind in a scope, each once, with titles of the file's language. What a heading is called by
// its words it is in one language alone: where the page stands in the file's, that one counts.
func (s *server) names(v *view, file string, k kind, scope string) (list []candidate) {
	found, foreign, own := map[string]string{}, map[string]string{}, false
	s.every(v, func(other string, x site) {
		if x.defines && x.kind == k && x.scope == scope && x.name != "" {
			into := found
			if same := top(other) == top(file); x.made && !same {
				into = foreign
			} else {
				own = own || same
			}
			if _, known := into[x.name]; !known || other == file {
				into[x.name] = x.title
			}
		}
	})
	if !own {
		maps.Copy(found, foreign)
	}
	for _, name := range slices.Sorted(maps.Keys(found)) {
		list = append(list, candidate{name, found[name]})
	}
	return list
}
