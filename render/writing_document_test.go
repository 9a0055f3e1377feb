package render_test

import (
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/formula"
	"benchleaf/render"
	"benchleaf/render/source"
)

// guide gives out the examples of docs/writing.md, and knows which nobody has taken.
type guide struct {
	t        *testing.T
	examples []string
	taken    []bool
}

func openGuide(t *testing.T, text string) *guide {
	g := &guide{t: t}
	fences := regexp.MustCompile("(?ms)^````markdown\n(.*?)^````$|^```yaml\n(.*?)^```$|\n\n((?:    [^\n]*\n)(?:    [^\n]*\n|\n)*)")
	for _, m := range fences.FindAllStringSubmatch(text, -1) {
		example := m[1] + m[2]
		if example == "" {
			example = strings.TrimRight(regexp.MustCompile("(?m)^    ").ReplaceAllString(m[3], ""), "\n") + "\n"
		}
		if !strings.HasPrefix(example, "benchleaf ") && !strings.HasPrefix(example, "content/\n") {
			g.examples = append(g.examples, example)
		}
	}
	g.taken = make([]bool, len(g.examples))
	return g
}

// take returns the next example that begins so.
func (g *guide) take(begins string) string {
	g.t.Helper()
	for i, e := range g.examples {
		if !g.taken[i] && strings.HasPrefix(e, begins) {
			g.taken[i] = true
			return e
		}
	}
	g.t.Fatalf("the guide has no example that begins %q", begins)
	return ""
}

// TestWriting holds docs/writing.md: handbooks that are made of its examples, each with what it
// names and the guide does not define, have no error, and no example is left out.
func TestWriting(t *testing.T) {
	text, err := os.ReadFile("../docs/writing.md")
	if err != nil {
		t.Fatal(err)
	}
	g, dir := openGuide(t, string(text)), t.TempDir()
	step := func(id, answers string) string {
		return "\n## Step " + id + " <id:" + id + ">\n\n```answers\n" + answers + "\n```\n"
	}
	procedure := func(front string) string {
		return "---\nsheet: procedure\ntitle: T\nsymptom: S\nstates: [warming]\n" + front + "---\n"
	}

	put(t, dir, "handbook.yaml", strings.NewReplacer(
		"hazards:  ", "hazards:\n  hot-surface: {title: Hot surface}\n  moving-parts: {title: Moving parts}\n  #",
		"settings:  ", "settings:\n  lamp-fitted: {title: Lamp fitted, restore: Take it off.}\n  lead-off: {title: Lead off, restore: Put it on.}\n  #",
		"states:  ", "states:\n  idling: {title: Idling}\n  #",
	).Replace(g.take("title: Orchard"))+g.take("remarks:"))
	put(t, dir, "models.yaml", strings.TrimPrefix(g.take("# models.yaml"), "# models.yaml\n"))
	put(t, dir, "parts.yaml", g.take("# parts.yaml")+"heater-relay: {title: Relay}\n")
	put(t, dir, "specs/choke.yaml", g.take("# specs/choke.yaml"))
	put(t, dir, "specs/coil.yaml", g.take("coil:\n  title:"))
	put(t, dir, "specs/named.yaml", `
supply-running: {title: Supply, unit: V, nominal: 12.6}
heater-feed-drop: {title: Drop, unit: V, max: 0.5}
coil-power: {title: Power, unit: W, min: 18, max: 30}
heater-resistance: {title: Coil, unit: Ω, min: 4, max: 6}
idle-speed: {title: Idle, unit: rpm, min: 1700, max: 1800}
`)
	put(t, dir, "circuits/choke.yaml", g.take("# circuits/choke.yaml"))
	put(t, dir, "en/procedures/choke-shut.md", g.take("---\nsheet: procedure\ntitle: The choke stays shut"))
	put(t, dir, "pictures/coil.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text class="callout" x="1" y="4">1</text><text class="callout" x="5" y="4">2</text></svg>`)
	photograph, err := os.Create(filepath.Join(dir, "pictures/coil.jpg"))
	if err != nil || jpeg.Encode(photograph, image.NewGray(image.Rect(0, 0, 800, 600)), nil) != nil {
		t.Fatal(err)
	}
	photograph.Close()
	put(t, dir, "es/index.md", "# Inicio\n")

	// Pages of theory, one after the other.
	theory := "# Calculators\n"
	for _, begins := range []string{"```calculator voltage-drop", "```calculator\nname: coil-power", "```calculator\nname: warm-coil", "```calculator\nname: coil-heat"} {
		theory += "\n" + g.take(begins)
	}
	put(t, dir, "en/calculators.md", theory+"\n"+g.take("```plot"))
	put(t, dir, "en/pictures.md", "# Pictures\n\n## Measure <id:measure>\n\n"+g.take("![The coil"))
	put(t, dir, "en/words.md", "# Words\n\n"+g.take("```glossary")+"\n"+g.take("```circuit")+"\n"+g.take("```self-check"))
	allowed, front, _ := strings.Cut(g.take("<!-- allow raw-html"), "\n\n")
	put(t, dir, "en/allowed.md", "---\n"+front+"---\n\n# Allowed\n\n"+allowed+"\n\nThe tag <b>OFF</b>.\n")
	put(t, dir, "en/theory/battery.md", "# Battery\n\nA.\n\n## Test <id:test>\n\nB.\n")
	put(t, dir, "es/theory/battery.md", "---\ntitle: Batería\n"+g.take("translated:")+"---\n\nA.\n\n## Prueba <id:test>\n\nB.\n")
	put(t, dir, "en/bulletins/coil.md", "---\ntitle: Coil\n"+g.take("sheet: bulletin")+"---\n\nText.\n")

	// Procedures, around each example what it needs.
	put(t, dir, "en/procedures/no-spark.md", strings.TrimSuffix(g.take("---\nsheet: procedure  "), "---\n")+g.take("symptom: Cranks")+"---\n"+
		"\n## Crank <id:crank> <hazard:moving-parts> <hazard:fuel-vapour>\n\n"+g.take("```safety")+"\n```safety\nlevel: warning\nhazard: moving-parts\ntext: Keep clear.\n```\n"+
		"\n```answers\n- [No](cause:no-feed)\n- [Yes](end:not-reproduced)\n```\n")
	put(t, dir, "en/procedures/answers.md", procedure("causes: {stuck-link: {title: Link}}\n")+"\n"+g.take("## Free the link")+
		"\n```safety\nlevel: caution\nhazard: hot-surface\ntext: Let it cool.\n```\n\n"+g.take("```answers")+step("coil", "- [Good](end:hand-over)"))
	put(t, dir, "en/procedures/order.md", procedure("causes: {stuck-link: {title: Link}}\n")+step("battery", "- [Good](#link)")+step("link", "- [Good](#again)")+
		step("again", "- [Bad](cause:stuck-link)\n- [Good](end:hand-over)")+"\n"+g.take("```step\nstate: idling"))
	put(t, dir, "en/procedures/timing.md", procedure("causes: {coil-too-strong: {title: Coil}, stuck-link: {title: Link}}\n")+"\n## Time it\n\n"+g.take("```timing")+
		step("feed", "- [Bad](end:hand-over)")+"\n```calculator\nname: choke-travel\ntitle: Travel\ninputs:\n  time: {label: Time, unit: s, start: 0, range: 0 to 300}\n"+
		"constants:\n  full: 90 s\nresults:\n  opening: {label: Opening, unit: \"%\", formula: time / full}\n```\n")
	put(t, dir, "en/procedures/settings.md", procedure(g.take("ends:"))+step("confirm", "- [It shows](#pull)\n- [It does not](end:not-reproduced)")+
		step("pull", "- [Next](#look)\n- [It does not show](end:not-reproduced)")+"\n```step\nstate: stopped\nsets: [fuse-out]\n```\n"+
		step("look", "- [Nothing](end:hand-over)")+"\n"+g.take("```step\nrequires"))
	put(t, dir, "en/procedures/repair.md", procedure(g.take("causes:"))+step("look", "- [Burnt](cause:fuse)\n- [Flat](cause:battery)")+
		step("proof", "- [It is gone](end:repaired)\n- [It shows](end:hand-over)")+"\n```step\nverification: yes\n```\n")
	references := "# References\n\n"
	for _, m := range regexp.MustCompile("(?m)^\\| `([<\\[][^`]*)` \\|").FindAllStringSubmatch(string(text), -1) {
		references += "- " + m[1] + "\n"
	}
	put(t, dir, "en/procedures/references.md", procedure("causes: {no-feed: {title: Feed}}\nhazards: [hot-surface]\napplicability: [k210]\n")+
		"\n## Step <id:link>\n\n```safety\nlevel: caution\nhazard: hot-surface\ntext: Let it cool.\n```\n\n"+references+
		"\n![Coil](../../pictures/coil.svg)\n\n1. Coil\n2. Feed\n\n```calculator voltage-drop\n```\n\n```answers\n- [Bad](cause:no-feed)\n```\n")
	put(t, dir, "en/procedures/theory/choke.md", "# Choke\n\n## Cold <id:cold>\n")

	result, err := render.Audit(dir)
	if err != nil || result.Failed() {
		t.Errorf("%v\n%s", err, remarksText(result.Remarks))
	}
	for _, r := range result.Remarks {
		if r.Place.File == "en/procedures/choke-shut.md" || strings.HasPrefix(r.Place.File, "circuits/") {
			t.Errorf("%v", r)
		}
	}

	// What stands in the place of other lines of the same files.
	other := t.TempDir()
	put(t, other, "handbook.yaml", "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\nglossary:\n  en:\n"+
		regexp.MustCompile("(?m)^").ReplaceAllString(strings.TrimSpace(g.take("# allow value-superseded")), "    ")+"\n"+g.take("states:"))
	put(t, other, "en/a.md", "# A\n")
	put(t, other, "circuits/choke.yaml", strings.Replace(string(mustRead(t, filepath.Join(dir, "circuits/choke.yaml"))), "  fuse:\n    - {title", "  "+strings.ReplaceAll(g.take("fuse-joint:"), "\n", "\n  ")+"fuse:\n    - {title", 1))
	put(t, other, "handbook.yaml", string(mustRead(t, filepath.Join(other, "handbook.yaml")))+"  stopped: {title: Stopped}\n  warming: {title: Warming}\nsettings: {fuse-out: {title: Out, restore: In.}}\n")
	put(t, other, "en/procedures/choke-shut.md", strings.NewReplacer("applicability: [k210]\n", "", "    part: heater-coil\n", "", "causes:\n", "causes:\n  fuse-joint: {title: Joint}\n",
		"[It stays shut](#fuse)", "[It stays shut](#volts)",
		"\n## Stop the engine", "\n## Measure the feed <id:volts>\n\n```reading\nmeasure: Voltage\nspec: heater-volts\nat: [B, F]\nlow: \"#fuse\"\nwithin: \"#fuse\"\nhigh: end:hand-over\nunstable: \"#wiggle\"\n```\n\n## Stop the engine",
		"\n## Start it after", step("wiggle", "- [It drops at F2](cause:fuse-joint)\n- [It holds](end:hand-over)")+"\n## Start it after").Replace(string(mustRead(t, filepath.Join(dir, "en/procedures/choke-shut.md")))))
	put(t, other, "specs/named.yaml", "heater-resistance: {title: Coil, unit: Ω, min: 4, max: 6}\nheater-volts: {title: Feed, unit: V, min: 13, max: 15}\n")
	put(t, other, "en/procedures/reading.md", procedure("causes: {overcharge: {title: Regulator}}\n")+"\n## Measure\n\n"+g.take("```reading")+
		step("feed", "- [Bad](end:hand-over)")+step("coil", "- [Bad](end:hand-over)")+step("open-feed", "- [Bad](end:hand-over)")+step("wiggle", "- [Bad](end:hand-over)"))
	for _, same := range []string{"models.yaml", "specs/choke.yaml"} {
		put(t, other, same, string(mustRead(t, filepath.Join(dir, same))))
	}
	if result, err = render.Audit(other); err != nil || result.Failed() {
		t.Errorf("%v\n%s", err, remarksText(result.Remarks))
	}
	for i, e := range g.examples {
		if !g.taken[i] {
			t.Errorf("nobody compiles the example\n%s", e)
		}
	}
}

// TestWritingLists holds what docs/writing.md lists against the code: functions, blocks.
func TestWritingLists(t *testing.T) {
	text := string(mustRead(t, "../docs/writing.md"))
	var listed []string
	table := regexp.MustCompile(`(?m)^\| function \|.*\n((?:\|.*\n)*)`).FindStringSubmatch(text)[1]
	for row := range strings.Lines(table) {
		first, _, _ := strings.Cut(strings.TrimPrefix(row, "|"), "|")
		for _, m := range regexp.MustCompile("`([a-z0-9]+)\\(").FindAllStringSubmatch(first, -1) {
			listed = append(listed, m[1])
		}
	}
	slices.Sort(listed)
	if want := formula.Functions(); !slices.Equal(listed, want) {
		t.Errorf("the guide lists %v, a formula may call %v", listed, want)
	}
	for _, name := range source.BlockNames {
		if !strings.Contains(text, "\n    ```"+name) {
			t.Errorf("the guide has no block %s", name)
		}
	}
}
