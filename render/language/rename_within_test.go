package language_test

import (
	"strings"
	"testing"
)

// TestRenameWithin: what is of a calculator of one's own has another name in its formulas, its examples, its plots and in
// both languages; a point and an element of a circuit in what lies between, in the ground, in faults and in readings.
func TestRenameWithin(t *testing.T) {
	c := start(t, folder(t))
	const own = "```calculator\nname: heat\ntitle: T\nabout: It tells.\ninputs:\n  supply: {label: Supply, unit: V, range: 0 to 20, start: 12}\n  coil: {label: Coil, unit: Ω, range: 1 to 20, start: 5}\n" +
		"constants: {heat-loss: 1 W}\nvalues: {flow: supply / coil}\nresults:\n  heat: {label: Heat, unit: W, formula: supply * flow - heat_loss, digits: 3}\n  rest: {label: Rest, unit: W, formula: \"heat + max(heat, heat_loss)\", digits: 3}\nsource: [By hand]\nexamples:\n  - given: {supply: 10 V}\n    gives: {heat: 19 W}\n```\n\n" +
		"```plot heat\ntitle: P\nover: supply\nshow: heat\nrange: 5 to 15 V\n```\n"
	c.open("en/own.md", "# Own\n\nThe supply and the heat.\n\n"+own)
	c.open("es/own.md", "---\ntranslated: {own: bbbbbb}\n---\n# Propio <id:own>\n\n"+own)
	c.open("circuits/heater.yaml", trialCircuit)
	c.open("en/choke.md")
	c.replace("en/choke.md", "spec: heater-ohms\nmeter: Ohms\nred: X3 pin 1\nblack: X3 pin 2\n", "spec: heater-ohms\nmeter: Ohms\nat: [B, G]\n")
	c.remarks("en/choke.md")
	for _, e := range []struct {
		name, behind, to string
		left             map[string]string // what stands in its place, by file
	}{
		{"en/own.md", "plot heat\ntitle: P\nover: sup", "feed", map[string]string{
			"en/own.md": "  feed: {label: Supply|values: {flow: feed / coil}|formula: feed * flow - heat_loss|given: {feed: 10 V}|over: feed|The supply and", "es/own.md": "formula: feed * flow - heat_loss|over: feed"}},
		{"es/own.md", "supply * flow - heat_lo", "lost", map[string]string{"en/own.md": "constants: {lost: 1 W}|flow - lost,|max(heat, lost)", "es/own.md": "constants: {lost: 1 W}"}},
		{"en/own.md", "constants: {heat-lo", "lost-power", map[string]string{"en/own.md": "constants: {lost-power: 1 W}|flow - lost_power,|max(heat, lost_power)", "es/own.md": "flow - lost_power,"}},
		{"en/own.md", "gives: {he", "warmth", map[string]string{"en/own.md": "  warmth: {label: Heat|formula: \"warmth + max(warmth, heat_loss)\"|gives: {warmth: 19|show: warmth|name: heat\n|plot heat", "es/own.md": "show: warmth"}},
		{"en/choke.md", "at: [B, G", "G31", map[string]string{"circuits/heater.yaml": "ground: G31|  G31: {title: Ground}|volts: 12 V, ohms: 1 Ω}|between: [B, G31], volts", "en/choke.md": "at: [B, G31]"}},
		{"circuits/heater.yaml", "{element: co", "winding", map[string]string{"circuits/heater.yaml": "  winding: {title: Coil|{element: winding, ohms|faults:\n  coil:"}},
	} {
		var x workspaceEdit
		c.call("textDocument/rename", c.at(e.name, e.behind, e.to), &x)
		texts := map[string]string{}
		for name, text := range c.texts {
			texts[name] = text
		}
		c.applied(x, texts)
		for name, list := range e.left {
			for want := range strings.SplitSeq(list, "|") {
				if !strings.Contains(texts[name], want) {
					t.Errorf("%s behind %q to %s: %s lacks %q:\n%s", e.name, e.behind, e.to, name, want, texts[name])
				}
			}
		}
	}
	for _, e := range []struct{ name, behind, to, why string }{
		{"en/own.md", "plot heat\ntitle: P\nover: sup", "coil", "Another input is called `coil` already"},
		{"en/own.md", "plot heat\ntitle: P\nover: sup", "heat-loss", "would have a mistake"},
		{"en/choke.md", "at: [B, G", "B", "Another point is called `B` already"},
		{"en/choke.md", "at: [B, G", "a b", "is no name: letters"},
	} {
		if _, why := c.refused("textDocument/rename", c.at(e.name, e.behind, e.to)); !strings.Contains(why, e.why) {
			t.Errorf("%s behind %q to %s: %s", e.name, e.behind, e.to, why)
		}
	}
	c.end()
}
