package language

import (
	"maps"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"
)

// places are those of a schema where a text stands: keys that lead there with / between, and = at the end where the
// text is itself a key that the author chooses.
func places(name string) []string {
	found := map[string]bool{}
	var walk func(keys []string, depth int)
	walk = func(keys []string, depth int) {
		if depth > 8 {
			return
		}
		at := strings.Join(keys, "/")
		for _, s := range shapesAt(name, keys) {
			if s.Extras["type"] != nil { // a scalar
				found[at] = true
			}
			if s.Properties != nil {
				for p := s.Properties.Oldest(); p != nil; p = p.Next() {
					walk(append(keys[:len(keys):len(keys)], p.Key), depth+1)
				}
			}
			if s.AdditionalProperties != nil && s.AdditionalProperties != jsonschema.FalseSchema {
				found[strings.Trim(at+"/=", "/")] = true
				walk(append(keys[:len(keys):len(keys)], "*"), depth+1)
			}
		}
	}
	walk(nil, 0)
	return slices.Sorted(maps.Keys(found))
}

// plain are keys behind which no name stands: texts, also by language, figures, days, units and what is chosen among few.
var plain = strings.Fields(`
	about address again black callouts check-by columns conditions constants date digits drops-out edition emissions every formula frequency from fuse gap
	gives given glossary height instead-of intermittent label languages level log marks max meaning measure meter min minutes nominal notice number ohms
	paper percent possible publisher pulls-in purpose range red remarks resolution restore revised rows sheet shows source start support-equipment symptom
	synonyms system term text title to tolerance unit units until values volts who width wire
	at:timing allow:front detects:step verification:step`)

// Each place where an author writes something has a rule, which says of which kind the name there is, or is known to
// hold none: a key that is new must be told apart before it can be forgotten.
func TestEachKeyHasARule(t *testing.T) {
	used := map[string]bool{}
	isPlain := func(name, at string) bool {
		last := path.Base(strings.TrimSuffix(strings.TrimSuffix(at, "/*"), "/="))
		for _, key := range []string{last, last + ":" + name} {
			if slices.Contains(plain, key) {
				used[key] = true
				return true
			}
		}
		return false
	}
	for name := range shapes() {
		all := places(name)
		ruled := func(at string) bool {
			keys := strings.Split(at, "/")
			return slices.ContainsFunc(rules[name], func(r rule) bool { return r.matches(keys, keys[len(keys)-1] == "=") })
		}
		for _, at := range all {
			if !ruled(at) && !isPlain(name, at) {
				t.Errorf("%s: `%s` has no rule: what stands there?", name, at)
			}
		}
		for _, r := range rules[name] {
			if !slices.ContainsFunc(all, func(at string) bool { return r.matches(strings.Split(at, "/"), path.Base(at) == "=") }) {
				t.Errorf("%s: there is a rule of `%s`, which is no place", name, strings.Join(r.keys, "/"))
			}
		}
	}
	for _, key := range plain {
		if !used[key] {
			t.Errorf("`%s` is no plain key", key)
		}
	}
}
