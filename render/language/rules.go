package language

import "strings"

// rule says what stands in a place of YAML.
type rule struct {
	kind    kind
	keys    []string // that lead there; * is any
	key     bool     // it is the last key itself, and not its value
	defines bool
}

// rules are those of data files, of front matter and of blocks.
var rules = map[string][]rule{
	"handbook.yaml": {
		defines("states/=", kindState), defines("settings/=", kindSetting), defines("hazards/=", kindHazard),
		names("states/*/from/=", kindState), names("settings/*/states", kindState), names("labels/pages/page", kindLink),
		names("remarks/=", kindRemark),
	},
	"models.yaml": {defines("=", kindModel)},
	"parts.yaml":  {defines("=", kindPart), names("*/models", kindModel)},
	"specs": {
		defines("=", kindSpec), names("*/models/=", kindModel), names("*/history/models/=", kindModel), names("*/history/bulletin", kindBulletin),
	},
	"circuits": {
		defines("points/=", kindPoint), defines("elements/=", kindElement), names("procedure", kindProcedure), names("ground", kindPoint), names("states", kindState),
		names("elements/*/between", kindPoint), names("elements/*/coil", kindElement), names("elements/*/opened-by", kindSetting),
		names("elements/*/closed-by", kindSetting), names("elements/*/closed-in", kindState),
		names("elements/*/volts/=", kindState), names("elements/*/ohms/=", kindState),
		names("shows/=", kindStep), names("faults/=", kindCause), names("faults/*/element", kindElement), names("faults/*/between", kindPoint),
		names("faults/*/shows/=", kindStep), names("faults/*/in", kindState),
	},
	"front": {
		names("applicability", kindModel), names("states", kindState), names("hazards", kindHazard), defines("causes/=", kindCause),
		names("causes/*/part", kindPart), names("causes/*/restores", kindSetting), names("causes/*/verification", kindStep),
		names("causes/*/remedy", kindMarkdown), names("ends/*/text", kindMarkdown), names("ends/*/restores", kindSetting),
		names("supersedes/spec", kindSpec), names("supersedes/procedure", kindProcedure), names("supersedes/models", kindModel),
		names("allow/=", kindRemark), names("translated/=", kindSection), names("translated/*", kindDigest),
	},
	"step": {
		names("state", kindState), names("needs", kindStep), names("detects/=", kindCause),
		names("requires", kindSetting), names("forbids", kindSetting), names("sets", kindSetting), names("restores", kindSetting),
	},
	"reading": append(ways, names("spec", kindSpec), names("at", kindPoint), names("with", kindSetting)),
	"timing": append(ways, names("spec", kindSpec), names("curve/calculator", kindCalculator),
		names("curve/over", kindInput), names("curve/show", kindResult)),
	"safety": {names("hazard", kindHazard), names("text", kindMarkdown)},
	"plot":   {names("over", kindInput), names("show", kindResult), names("limits", kindSpec)},
	"calculator": {
		defines("name", kindCalculator), defines("inputs/=", kindInput), defines("results/=", kindResult), names("results/*/limits", kindSpec),
		defines("constants/=", kindFigure), defines("values/=", kindFigure), names("inputs/*/from", kindCalculator), names("examples/given/=", kindInput), names("examples/gives/=", kindResult),
	},
	"built-in": {
		names("*/from", kindCalculator), names("limits/=", kindResult), names("limits/*", kindSpec), names("meters/=", kindInput),
		names("examples/given/=", kindInput), names("examples/gives/=", kindResult),
	},
	"picture": {},
}

var ways = []rule{names("low", kindWay), names("within", kindWay), names("high", kindWay), names("none", kindWay), names("unstable", kindWay)}

// names is the rule of a place where a name of a kind stands. at are the keys that lead there, with = at
// the end for the key itself.
func names(at string, k kind) rule {
	keys := strings.Split(at, "/")
	return rule{kind: k, keys: keys, key: keys[len(keys)-1] == "="}
}

// defines is the rule of a place that gives something its name.
func defines(at string, k kind) rule {
	r := names(at, k)
	r.defines = true
	return r
}

// matches tells whether the rule is for the place; key says that the last of keys is what
// is looked at.
func (r rule) matches(keys []string, key bool) bool {
	if len(r.keys) != len(keys) || r.key != key {
		return false
	}
	for i, want := range r.keys {
		if want != "*" && want != "=" && want != keys[i] {
			return false
		}
	}
	return true
}
