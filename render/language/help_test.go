package language_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Keys, and values that are among few, complete as the schemas have them; a key that is there is not offered again.
func TestCompletionOfKeys(t *testing.T) {
	c := start(t, folder(t))
	for _, e := range []struct{ name, old, typed, want string }{
		{"en/choke.md", "sheet: procedure", "sheet: ", "bulletin procedure reference theory"},
		{"en/choke.md", "sheet: procedure", "sheet: pro", "bulletin procedure reference theory"},
		{"en/choke.md", "sheet: procedure", "sheet:", "bulletin procedure reference theory"},
		{"en/choke.md", "state: warming\nverification: yes", "state: warming\nverification: ", "yes no"},
		{"en/choke.md", "hand-over: {restores: [fuse-out]}", "hand-over: {restores: [fuse-out], ", "text"},
		{"en/choke.md", "hand-over: {restores: [fuse-out]}", "hand-over: {te", "text restores"},
		{"en/choke.md", "title: Coil open, ", "title: Coil open, wh‸, ", "frequency remedy who emissions verification"},
		{"en/choke.md", "forbids: [fuse-out]\n", "forbids: [fuse-out]\nre", "needs detects again requires sets restores who emissions"},
		{"en/choke.md", "forbids: [fuse-out]", "forbids: [fuse-out]\n", "needs detects again requires sets restores who emissions"},
		{"en/choke.md", "states: [warming]\ncauses:", "supersedes:\n  - spec: feed\n    fr", "procedure from models serial"},
		{"en/choke.md", "states: [warming]\ncauses:", "allow: {order", "allow-block"},
		{"handbook.yaml", "edition: \"1\"", "units: ", "metric inch"},
		{"handbook.yaml", "edition: \"1\"", "labels:\n  every: [", "procedures models"},
		{"handbook.yaml", "edition: \"1\"", "labels:\n  every:\n    - ", "procedures models"},
		{"handbook.yaml", "edition: \"1\"", "remarks:\n  page-unlinked: ", "advice error off warning"},
		{"specs/heater.yaml", "  conditions: 20 °C", "  ", "conditions revised nominal tolerance possible history"},
		{"specs/heater.yaml", "min: 11.5}", "min: 11.5, ", "conditions source revised nominal max tolerance possible models history"},
		{"parts.yaml", "{title: Heater coil}", "{title: Heater coil, mo", "system number models"},
		{"en/notes.md", "See [how", "See <", "spec: part: cause: hazard: calculator: end: callout: id: minutes:"},
		{"en/notes.md", "See [how", "See <sp", "spec: part: cause: hazard: calculator: end: callout: id: minutes:"},
		{"en/notes.md", "See [how", "See `<sp", ""},
		{"en/notes.md", "See [how", "See <https", "spec: part: cause: hazard: calculator: end: callout: id: minutes:"},
		{"en/notes.md", "```yaml", "```", "answers calculator circuit glossary picture plot reading safety self-check step timing"},
	} {
		c.open(e.name)
		if !strings.Contains(e.typed, "‸") { // where it is asked
			e.typed += "‸"
		}
		c.replace(e.name, e.old, e.typed)
		text := c.texts[e.name]
		c.replace(e.name, "‸", "")
		got := c.labels(e.name, text[:strings.Index(text, "‸")])
		if got != e.want && !(e.want == "allow-block" && strings.HasPrefix(got, e.want)) {
			t.Errorf("%s: behind %q stand %q, want %q", e.name, e.typed, got, e.want)
		}
	}
	// A key comes with its colon, and with what is said of it; one that has a colon keeps that.
	c.open("en/choke.md")
	c.replace("en/choke.md", "state: stopped\n", "state: stopped\nag\nwh: technician\n")
	var list []item
	c.call("textDocument/completion", c.at("en/choke.md", "state: stopped\nag"), &list)
	if i := slices.IndexFunc(list, func(x item) bool { return x.Label == "again" }); i < 0 || list[i].TextEdit.NewText != "again: " || !strings.Contains(list[i].Detail, "a second time") && !strings.Contains(list[i].Detail, "done twice") {
		t.Errorf("%+v", list)
	}
	c.call("textDocument/completion", c.at("en/choke.md", "ag\nwh"), &list)
	if i := slices.IndexFunc(list, func(x item) bool { return x.Label == "who" }); i < 0 || list[i].TextEdit.NewText != "who" {
		t.Errorf("%+v", list)
	}
	c.end()
}

const calculators = "# Bench\n\n```calculator\nname: power\ntitle: Power\ninputs:\n  supply: {unit: V, range: 6 to 16, start: 12}\n  coil: {unit: Ω, range: 1 to 9, start: 5}\n" +
	"constants: {heat-loss: 1 W}\nvalues: {current: supply / coil}\nresults:\n  heat: {unit: W, formula: supply * current - he}\nexamples:\n  - given: {supply: 12 V}\n    gives: {heat: 1 W}\n```\n\n" +
	"```plot power\nover: coil\nshow: heat\n```\n\n```calculator voltage-drop\nload-current: {from: power.heat}\nsize: \n```\n"

// A calculator's names complete in its formulas and examples, in plots, and in chains.
func TestCompletionInCalculators(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md", calculators)
	for behind, want := range map[string]string{
		"supply * current - he": "coil supply current heat_loss heat",
		"values: {current: su":  "coil supply current heat_loss heat",
		"given: {sup":           "coil supply",
		"gives: {he":            "heat",
		"over: co":              "coil supply",
		"show: he":              "heat",
		"{from: po":             "power voltage-drop",
		"{from: power.he":       "heat",
		"limits: ":              "feed heater-ohms",
	} {
		name := "en/notes.md"
		if behind == "limits: " {
			c.replace(name, "name: power\n", "name: power\n\n")
			c.replace(name, "show: heat\n", "show: heat\nlimits: \n")
		}
		if got := c.labels(name, behind); got != want {
			t.Errorf("behind %q stand %q, want %q", behind, got, want)
		}
		if behind == "limits: " {
			c.replace(name, "limits: \n", "")
			c.replace(name, "name: power\n\n", "name: power\n")
		}
	}
	c.replace("en/notes.md", "size: \n", "ma\n")
	if got := c.labels("en/notes.md", "power.heat}\nma"); !strings.Contains(got, "title limits meters examples") || strings.Contains(got, "load-current") {
		t.Errorf("the keys of a built-in one are %q", got)
	}
	c.end()
}

// Names that are keys complete on a line of their own, too, and so does what is chosen among what the handbook or the
// program has: units, pages, pictures, answers, kinds of remarks.
func TestCompletionOnEmptyLines(t *testing.T) {
	dir := folder(t)
	write(t, dir, "pictures/coil.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"/>`)
	write(t, dir, "circuits/heater.yaml", trialCircuit)
	const pages = "en/choke.md en/index.md en/notes.md es/choke.md es/index.md"
	for _, e := range []struct{ name, old, typed, want string }{
		{"handbook.yaml", "edition: \"1\"", "labels:\n  pages:\n    - {page: ", pages},
		{"handbook.yaml", "edition: \"1\"", "labels:\n  pages:\n    - title: A\n      page: en/no", pages},
		{"handbook.yaml", "edition: \"1\"", "labels:\n  pages:\n    - {page: en/choke.md#", "coil fuse lever proof"},
		{"handbook.yaml", "edition: \"1\"", "remarks:\n  ", "allow-block…"},
		{"handbook.yaml", "edition: \"1\"", "remarks:\n  page-u", "allow-block…"},
		{"handbook.yaml", "edition: \"1\"", "meters:\n  - {unit: ", "%…"},
		{"specs/heater.yaml", "unit: Ω", "unit: ", "%…"},
		{"specs/heater.yaml", "unit: Ω", "unit: k", "%…"},
		{"specs/heater.yaml", "    k340: {nominal: 8.2, tolerance: 0.4}", "    ", "k210 k340"},
		{"specs/heater.yaml", "    k340: {nominal: 8.2, tolerance: 0.4}", "    k340: {min: 1}\n    ", "k210"},
		{"specs/heater.yaml", "    k340: {nominal", "    ‸: {nominal", "k210 k340"},
		{"en/choke.md", "states: [warming]\ncauses:", "allow:\n  ", "allow-block…"},
		{"en/choke.md", "needs: [fuse]", "detects:\n  ", "coil fuse"},
		{"en/notes.md", "See [how", "<!-- allow ‸ -->\nSee [how", "allow-block…"},
		{"en/notes.md", "See [how", "<!-- allow page-u‸: why -->\nSee [how", "allow-block…"},
		{"en/notes.md", "See [how", "![A coil](‸)\n[how", "../pictures/coil.svg"},
		{"en/notes.md", "See [how", "![A coil](../pict‸)\n[how", "../pictures/coil.svg"},
		{"en/notes.md", "```yaml", "```picture ", "../pictures/coil.svg"},
		{"en/notes.md", "```yaml\nspec: heater-ohms # a listing", "```calculator battery-charge\ntype: ", "flooded agm lithium"},
		{"en/notes.md", "```yaml\nspec: heater-ohms # a listing", "```calculator heater\nlimits:\n  ", "hot-resistance…"},
		{"circuits/heater.yaml", "shows: {fuse: Whole}", "shows:\n  ", "coil fuse lever proof"},
		{"circuits/heater.yaml", "shows: {fuse: Whole}", "shows:\n  fuse: ", "Burnt Whole"},
		{"circuits/heater.yaml", "shows: {fuse: Whole}", "shows: {fuse: Wh", "Burnt Whole"},
		{"circuits/heater.yaml", "shows: {fuse: Whole}", "shows: {coil: ", "low within high"},
		{"circuits/heater.yaml", "    - {element: coil, ohms: [open]}", "    - {element: coil, ohms: [open]}\n  ", "fuse"},
		{"circuits/heater.yaml", "ohms: [open]}", "ohms: [open], shows: {fuse: ", "Burnt Whole"},
	} {
		c := start(t, dir) // another one each, since what is typed at one place may take from another what it asks for
		c.open(e.name)
		if !strings.Contains(e.typed, "‸") {
			e.typed += "‸"
		}
		c.replace(e.name, e.old, e.typed)
		behind, _, _ := strings.Cut(c.texts[e.name], "‸")
		c.replace(e.name, "‸", "")
		got := c.labels(e.name, behind)
		if first, open := strings.CutSuffix(e.want, "…"); got != e.want && !(open && strings.HasPrefix(got, first+" ")) {
			t.Errorf("%s: behind %q stand %.200q, want %q", e.name, e.typed, got, e.want)
		}
		c.end()
	}
	c := start(t, dir)
	// What YAML would take for something else comes within quotes.
	c.open("specs/heater.yaml", "share: {title: Share, unit: , min: 1}\n")
	var list []item
	c.call("textDocument/completion", c.at("specs/heater.yaml", "unit: "), &list)
	if len(list) == 0 || list[0].TextEdit.NewText != `"%"` {
		t.Errorf("%.200v", list)
	}
	c.end()
}

// trialCircuit is a circuit of the trial handbook. Its figures are examples.
const trialCircuit = "title: The heater\nprocedure: choke\nground: G\nstates: [warming]\npoints:\n  B: {title: Battery}\n  G: {title: Ground}\n" +
	"elements:\n  source: {title: Battery, between: [B, G], volts: 12 V, ohms: 1 Ω}\n  coil: {title: Coil, between: [B, G], ohms: 5 Ω}\n" +
	"shows: {fuse: Whole}\nfaults:\n  coil:\n    - {element: coil, ohms: [open]}\n"

// What stands behind a key is said when the pointer rests on it.
func TestHoverOnKeys(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/choke.md")
	c.open("specs/heater.yaml")
	for _, e := range []struct{ name, behind, want string }{
		{"en/choke.md", "sympt", "`symptom`: What the customer observes; of a procedure."},
		{"en/choke.md", "coil: {title: Coil open, pa", "`part`: The part that is replaced, by its name in parts.yaml."},
		{"en/choke.md", "needs: [fuse]\nreq", "`requires`: Settings that must stand when the step begins."},
		{"en/choke.md", "cause:coil\nwith", "`within`: Where a reading within the limits leads: a step, a cause or an end."},
		{"specs/heater.yaml", "{nominal: 8.2, tol", "`tolerance`: To either side of the nominal value, for this model."},
	} {
		var h hovered
		if c.call("textDocument/hover", c.at(e.name, e.behind), &h); h.Contents.Value != e.want {
			t.Errorf("behind %q: %q", e.behind, h.Contents.Value)
		}
	}
	c.end()
}

func TestReferences(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/choke.md")
	c.open("en/notes.md")
	for _, e := range []struct {
		behind      string
		declaration bool
		want        map[string]int
	}{
		{"spec: heater-o", false, map[string]int{"en/choke.md": 2, "en/notes.md": 1}},
		{"spec: heater-o", true, map[string]int{"en/choke.md": 2, "en/notes.md": 1, "specs/heater.yaml": 1}},
		{"needs: [fu", true, map[string]int{"en/choke.md": 4, "es/choke.md": 2}},
		{"(cause:fu", false, map[string]int{"en/choke.md": 1, "es/choke.md": 1}},
	} {
		params := c.at("en/choke.md", e.behind)
		params["context"] = map[string]any{"includeDeclaration": e.declaration}
		var list []location
		c.call("textDocument/references", params, &list)
		got := map[string]int{}
		for _, l := range list {
			got[strings.TrimPrefix(l.URI, c.uri("")+"/")]++
		}
		if fmt.Sprint(got) != fmt.Sprint(e.want) {
			t.Errorf("behind %q: %v, want %v", e.behind, got, e.want)
		}
	}
	c.end()
}

func TestSymbols(t *testing.T) {
	type symbol struct {
		Name          string
		Detail        string
		ContainerName string
		Location      location
	}
	c := start(t, folder(t))
	c.open("en/choke.md")
	says := func(list []symbol) string {
		var all []string
		for _, x := range list {
			all = append(all, x.Name+" ("+x.Detail+x.ContainerName+")")
		}
		return strings.Join(all, ", ")
	}
	var list []symbol
	c.call("textDocument/documentSymbol", map[string]any{"textDocument": map[string]any{"uri": c.uri("en/choke.md")}}, &list)
	want := "Fuse burnt (cause fuse), Coil open (cause coil), Watch the lever (step lever), Pull the fuse (step fuse), Measure the coil (step coil), Start it cold again (step proof)"
	if says(list) != want {
		t.Errorf("%s", says(list))
	}
	list = nil
	c.call("workspace/symbol", map[string]any{"query": "heater RES"}, &list)
	if says(list) != "Resistance of the heater (specification heater-ohms)" || list[0].Location.URI != c.uri("specs/heater.yaml") {
		t.Errorf("%s", says(list))
	}
	if c.call("workspace/symbol", map[string]any{"query": "nothing has this"}, &list); len(list) != 0 {
		t.Errorf("%s", says(list))
	}
	c.end()
}

// Pages and circuits that are named by their files complete, are found, and say their titles.
func TestNamesOfFiles(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/bulletins/coil.md", "---\nsheet: bulletin\ntitle: Another coil\nsupersedes:\n  - procedure: choke\n    from: 2026-11-01\n  - {spec: heater-ohms, from: 2026-11-01}\n---\n\n# Coil\n\n```circuit heater\n```\n")
	c.open("specs/old.yaml", "old:\n  title: Old\n  unit: V\n  min: 1\n  history:\n    - until: 2026-11-01\n      bulletin: bulletins/coil\n      models: {k210: {min: 2}}\n")
	c.open("circuits/heater.yaml", trialCircuit)
	c.open("en/choke.md")
	c.replace("en/choke.md", "spec: heater-ohms\nmeter", "spec: heater-ohms\nat: [B, G]\nmeter")
	c.open("es/choke.md")
	c.replace("es/choke.md", "## El fusible", "```reading\nat: [B, G]\n```\n\n## El fusible")
	c.remarks("circuits/heater.yaml")
	for _, e := range []struct{ name, behind, labels, file, says string }{
		{"en/bulletins/coil.md", "procedure: cho", "choke", "en/choke.md es/choke.md", "procedure `choke`: The choke stays shut"},
		{"en/bulletins/coil.md", "{spec: hea", "feed heater-ohms old", "specs/heater.yaml", "Resistance of the heater"},
		{"en/bulletins/coil.md", "```circuit hea", "heater", "circuits/heater.yaml", "circuit `heater`: The heater"},
		{"specs/old.yaml", "bulletin: bull", "bulletins/coil", "en/bulletins/coil.md", "bulletin `bulletins/coil`: Another coil"},
		{"specs/old.yaml", "models: {k2", "k210 k340", "models.yaml", "model `k210`: K210"},
		{"circuits/heater.yaml", "procedure: cho", "choke", "en/choke.md es/choke.md", "procedure `choke`: The choke stays shut"},
		{"circuits/heater.yaml", "ground: ", "B G", "circuits/heater.yaml", "point `G`: Ground"},
		{"en/choke.md", "at: [B", "B G", "circuits/heater.yaml", "point `B`: Battery"},
		{"es/choke.md", "at: [B, G", "B G", "circuits/heater.yaml", "point `G`: Ground"},
		{"circuits/heater.yaml", "{element: co", "coil source", "circuits/heater.yaml", "element `coil`: Coil"},
	} {
		if got := c.labels(e.name, e.behind); got != e.labels {
			t.Errorf("behind %q stand %q, want %q", e.behind, got, e.labels)
		}
		var list []location
		c.call("textDocument/definition", c.at(e.name, e.behind), &list)
		var files []string
		for _, l := range list {
			files = append(files, strings.TrimPrefix(l.URI, c.uri("")+"/"))
		}
		if got := strings.Join(files, " "); got != e.file {
			t.Errorf("%q leads to %q, want %q", e.behind, got, e.file)
		}
		var h hovered
		if c.call("textDocument/hover", c.at(e.name, e.behind), &h); !strings.Contains(h.Contents.Value, e.says) {
			t.Errorf("%q is %q, want %q", e.behind, h.Contents.Value, e.says)
		}
	}
	c.end()
}

// TestHoverOfPast: of a value that was another one is said for which machines that still holds, and until when what
// held, by which bulletin.
func TestHoverOfPast(t *testing.T) {
	c := start(t, folder(t))
	c.open("models.yaml", "k210: {title: K210, serial: {from: K210-1000, to: K210-9999}}\nk340: {title: K340}\n")
	c.open("specs/old.yaml", `gap:
  title: Gap
  unit: mm
  min: 0.3
  max: 0.4
  models:
    k340: {nominal: 0.6}
  history:
    - {until: 2026-05-01, bulletin: bulletins/coil, min: 0.2, max: 0.3}
    - {serial: {from: K210-1000, to: K210-1999}, bulletin: bulletins/coil, min: 0.5}
`)
	c.open("en/bulletins/coil.md", "---\nsheet: bulletin\ntitle: Gap\nsupersedes:\n  - {spec: gap, from: 2026-05-01}\n---\n\n# Gap\n")
	c.open("en/notes.md", "# Notes\n\nSee <spec:gap>.\n")
	// All that was opened before is in the judgement of what was opened last.
	for _, d := range c.remarks("en/notes.md") {
		if d.Severity == 1 {
			t.Error(d.Message)
		}
	}
	var h hovered
	c.call("textDocument/hover", c.at("en/notes.md", "<spec:ga"), &h)
	want := "**Gap** `gap`\n\n" +
		"- K210: 0.3 to 0.4 mm, all other machines\n" +
		"  - until 2026-05-01, superseded, bulletin `bulletins/coil`: 0.2 to 0.3 mm\n" +
		"  - K210-1000 to K210-1999, bulletin `bulletins/coil`: at least 0.5 mm\n" +
		"- K340: 0.6 mm\n" +
		"  - until 2026-05-01, superseded, bulletin `bulletins/coil`: 0.2 to 0.3 mm\n"
	if h.Contents.Value != want {
		t.Errorf("got\n%s\nwant\n%s", h.Contents.Value, want)
	}
	c.end()
}

// TestCompletionOfHeadings: in a link stand the headings of this page, not those that it has in another language.
func TestCompletionOfHeadings(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/pull.md", "# Pull\n\n## The hand pump\n\nSee [there](#).\n")
	c.open("es/pull.md", "# Tirador\n\n## La bomba de mano\n\nVéase [allí](#).\n")
	c.remarks("es/pull.md")
	for name, want := range map[string]string{"en/pull.md": "pull the-hand-pump", "es/pull.md": "la-bomba-de-mano tirador"} {
		if got := c.labels(name, "](#"); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	c.end()
}
