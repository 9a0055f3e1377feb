package compare

import (
	"maps"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// The fields of a circuit: one for each point and each element, before its name.
const (
	FieldPoint   = "point "
	FieldElement = "element "
	fieldWorked  = "worked " // what opens and closes an element
)

// circuitOf is a circuit without its faults, which are facts of the procedure that finds them.
func circuitOf(c *handbook.Circuit, lang string) Item {
	item := newItem(c.ID, c.Title, lang)
	item.say("procedure", c.Key)
	item.say("states", stateIDs(c.States)...)
	for i, p := range c.Points {
		item.say(FieldPoint+p.Name, inLanguages(lang, func(lang string) (parts []string) {
			parts = append(parts, p.Title.In(lang), p.Wire.In(lang))
			if i == c.Ground {
				parts = append(parts, "0 V")
			}
			return parts
		}, p.Title, p.Wire)...)
	}
	for _, e := range c.Elements {
		item.say(FieldElement+e.ID, inLanguages(lang, func(lang string) []string {
			parts := []string{e.Title.In(lang), c.Points[e.From].Name + " – " + c.Points[e.To].Name}
			if e.Source() {
				parts = append(parts, amountText(e.Volts, "V", c.States, lang))
			}
			parts = append(parts, amountText(e.Ohms, "Ω", c.States, lang))
			if e.Fuse > 0 {
				parts = append(parts, quantity(e.Fuse, "A", lang))
			}
			return parts
		}, e.Title)...)
		var worked []string
		say := func(how string, by ...string) {
			if text := strings.Join(by, " "); text != "" {
				worked = append(worked, how+" "+text)
			}
		}
		setting := func(s *handbook.Setting) string { return s.ID }
		say("opened by", idsOf(e.OpenedBy, setting)...)
		say("closed by", idsOf(e.ClosedBy, setting)...)
		say("closed in", stateIDs(e.ClosedIn)...)
		if e.Pull > 0 && e.Coil < len(c.Elements) {
			say("coil", c.Elements[e.Coil].ID, quantity(e.Pull, "V", ""), quantity(e.Drop, "V", ""))
		}
		item.say(fieldWorked+e.ID, worked...)
	}
	return item
}

// inLanguages are lines made of several parts in each language that some words are in.
func inLanguages(source string, parts func(lang string) []string, words ...handbook.Words) []string {
	all := handbook.Words{}
	for _, w := range words {
		maps.Copy(all, w)
	}
	if len(all) > 1 {
		delete(all, "") // each language has what is for all of them
	}
	for lang := range all {
		said := slices.DeleteFunc(parts(lang), func(s string) bool { return s == "" })
		all[lang] = strings.Join(said, ", ")
	}
	return wordLines(all, source)
}

func amountText(a handbook.Amount, symbol string, states []*handbook.State, lang string) string {
	switch {
	case a.Spec != nil:
		return a.Spec.Title.In(lang)
	case a.ByState != nil:
		var list []string
		for _, s := range states {
			list = append(list, s.Title.In(lang)+" "+quantity(a.ByState[s], symbol, lang))
		}
		return strings.Join(list, ", ")
	}
	return quantity(a.All, symbol, lang)
}

func quantity(v float64, symbol, lang string) string {
	return strings.Replace(figure(v), ".", string(rune(unit.DecimalSign(lang))), 1) + " " + symbol
}
