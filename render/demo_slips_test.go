package render_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"benchleaf/render"
)

// Pages of the demo, shorter.
const (
	flat   = "en/procedures/battery-flat.md"
	slow   = "en/procedures/starter-slow.md"
	late   = "en/procedures/choke-opens-late.md"
	early  = "en/procedures/choke-opens-early.md"
	dead   = "en/procedures/generator-dead.md"
	sags   = "en/procedures/sags-under-load.md"
	dies   = "en/procedures/dies-after-start.md"
	smoke  = "en/procedures/black-smoke.md"
	hunts  = "en/procedures/speed-hunts.md"
	idle   = "en/procedures/idle-wrong.md"
	nofire = "en/procedures/cranks-no-fire-cold.md"
	hot    = "en/procedures/hard-restart-hot.md"
	wires  = "en/bench/wires.md"
	joints = "en/bench/joints.md"
	choke  = "en/theory/choke.md"
	front  = "handbook.yaml"
)

// demoSlips are slips of a trainer in the demo, of style and of substance. The remark
// stands in the line in which the new text begins to differ, or in that of the mark, or
// where want says: so many lines after it, or a file and a line.
var demoSlips = []mistake{
	// How steps are written.
	{flat, "Read the label first, then the posts.", "Read the label, clean the posts, measure them.", "instructions-several"},
	{slow, "Bare metal of the starter, no paint.", "Clean the starter, scrape the paint, hold the lead and read.", "instructions-several"},
	{dies, "## Bend and pull the pull-off hose at both ends", "## Stop, pull the hose, bend it, look at both ends", "instructions-several"},
	{idle, "## Push the plug lead on ", "## Push the plug lead on, turn the screw and start ", "instructions-several"},
	{smoke, "Swing the outer lever open, let go, do it five times.", "The outer lever is moved by hand.", "instruction-passive"},
	{dies, "Hose off at the diaphragm, hand pump on.", "The hose must be removed at the diaphragm, hand pump on.", "instruction-passive"},
	{hunts, "Tap open. Shut the drain again.", "Tap open. The drain is closed again.", "instruction-passive"},
	{early, "Zero the leads, then read.", "The leads should be connected first.", "instruction-passive"},
	{slow, "Full battery voltage: it does not close.", "It does not close if the full voltage of the battery can be read here from the one stud to the other for as long as somebody in the seat holds the key.", "sentence-long"},
	{late, "Zero the leads, read.", "Hold the two tips of the meter's leads together as hard as you can until the figure stands still and take that away from all that you will read after it.", "sentence-long"},
	{nofire, "Tester off, key out", "When the tester is off and the key is out and nobody stands near the flywheel and the tap is shut you may look at what the plug looks like, key out", "sentence-long"},
	{slow, "On the posts themselves, not on the clamps.", "It must be normal on the posts.", "limit-vague"},
	{flat, "Run it for half an hour before the night.", "An OK battery passes.", "limit-vague"},
	{early, "A coil that is open makes no choke open too soon", "A proper coil makes no choke open too soon", "limit-vague"},
	{sags, "Everything unplugged. Plus some five", "Gap <spec:governed-idle>, or ▸2050 rpm. Everything unplugged. Plus some five", "value-typed"},
	{slow, "Flooded battery only, <spec:battery-rested> first", "▸12.45 V after <spec:battery-rested> first", "value-typed"},
	{wires, "Work it out, then measure.", "Allow it 0.012 in. Work it out, then measure.", "units-mixed"},
	{dead, "Nothing plugged in. Strip of tape", "Warm it to 140 °F. Strip of tape", "units-mixed"},
	{slow, "Over compression it is stiff", "Turn it with 10 lbf·ft. Over compression it is stiff", "units-mixed"},
	{late, "A dead heater reads 0 V: within.", "A dead heater reads 480 mV less.", "units-mixed"},
	{smoke, "The cover of the spiral has one notch", "Look. Caution: the cover is hot. The cover of the spiral has one notch", "caution-late"},
	{dies, "Key out. Ohms, kill wire to block", "Ohms, kill wire to block. Before that: key out", "caution-late"},
	{wires, "Example figures. The maker's table of wires comes first.", "1. Push the wire in.\n2. Press the key.\n\n```▸safety\nlevel: caution\nhazard: hot-surfaces\ntext: The wire is hot.\n```", "caution-late"},
	{smoke, "Air cleaner fitted. Swing", "Air filters fitted. Swing", "term-avoided"},
	{nofire, "## Pull the relay, measure socket 86", "## Pull the choke-flap, measure socket 86", "term-avoided"},
	{"en/theory/terms.md", "```glossary\n```\n", "", "handbook.yaml:342 glossary-unshown"},
	{front, "[petcock, fuel valve]\n    - term: air", "[petcock, fuel valve, ▸air filter]\n    - term: air", "+3 id-duplicate"},
	// Steps: what they say of themselves.
	{slow, "conditions: Key at START 3 s\n", "", "en/procedures/starter-slow.md:347 conditions-unsaid"},
	{flat, "conditions: Engine stopped, key out, relay pulled\n", "", "en/procedures/battery-flat.md:210 conditions-unsaid"},
	{flat, "## Start, and measure the charging voltage <id:charge> <minutes:4> <hazard:moving-parts>", "## Start, and measure the charging voltage <id:charge> <minutes:4>", "hazard-unnamed"},
	{late, "## Measure the voltage across the heater <id:volts> <minutes:2> <hazard:moving-parts> <hazard:carbon-monoxide>", "▸## Measure the voltage across the heater <id:volts> <minutes:2> <hazard:moving-parts>", "hazard-unnamed"},
	{smoke, "<id:exhaust> <minutes:2> <hazard:hot-surfaces> <hazard:moving-parts> <hazard:carbon-monoxide>", "<id:exhaust> <minutes:2> <hazard:hot-surfaces> <hazard:moving-parts>", "hazard-unnamed"},
	{smoke, "<id:exhaust> <minutes:2> <hazard:hot-surfaces> <hazard:moving-parts> <hazard:carbon-monoxide>", "<id:exhaust> <minutes:2> <hazard:hot-surfaces> <hazard:moving-parts> <hazard:carbon-monoxid>", "reference-unknown"},
	{dead, "needs: [capacitor]\nrequires: [plug-lead-off, box-open]\nwho: electrician\n", "needs: [capacitor]\nrequires: [plug-lead-off, box-open]\n", "en/procedures/generator-dead.md:314 who-unsaid"},
	{dead, "part: generator-stator\n    who: electrician\n", "part: generator-stator\n", "en/procedures/generator-dead.md:53 who-unsaid"},
	{dead, "needs: [capacitor]\nrequires: [plug-lead-off, box-open]\nwho: electrician\n", "needs: [capacitor]\nrequires: [plug-lead-off, box-open]\nwho: ▸electricin\n", "value-choice"},
	{dead, "needs: [open]\nrequires: [plug-lead-off, box-open]\nwho: electrician\n", "needs: [open]\nrequires: [plug-lead-off, box-open]\nwho: operator\n", "en/procedures/generator-dead.md:292 who-unsaid"},
	{dead, "needs: [licence]\nwho: electrician\n", "needs: [licence]\n", "en/procedures/generator-dead.md:258 who-unsaid"},
	{slow, "## Load the battery for 15 seconds <id:load> <minutes:8> <hazard:battery-gas>", "## Load the battery for 15 seconds <id:load> <minutes:8>", "hazard-unnamed"},
	{dead, "level: danger\nhazard: mains-voltage\n", "level: caution\n▸hazard: mains-voltage\n", "hazard-notice"},
	{slow, "text: Goggles and gloves. No flame, no spark near the battery.\n", "text: \"-\"\n", "value-empty"},
	{hunts, "text: Key out, plug lead off and clipped clear of the plug.\n", "text:\n", "value-empty"},
	{early, "remedy: Key out. Fit the coil of this model by its number, cover mark on the index mark, X3 mated.", "▸remedy: \"\"", "value-empty"},
	{sags, "purpose: ", "purpose: \" \" # ", "value-empty"},
	{"parts.yaml", "number: CH-1104", "▸number: \"\"", "value-empty"},
	{dies, "<minutes:2> <hazard:unintended-start>\n", "<hazard:unintended-start>\n", "minutes-missing"},
	{idle, "<minutes:", "<minuts:", "link-unsafe"},
	// Ways.
	{dead, "```timing\nmeasure: Time until the voltage stands\nspec: build-up-time\nstart: First fire\nmarks:\n  volts: {title: \"225 V\"}\nconditions: Warm, lever at fast, nothing connected\nwithin: \"#test-key\"", "```reading\nmeasure: The same voltage\nspec: outlet-volts\nmeter: AC volts, category III leads in the outlet\nred: Line\nblack: Neutral\nconditions: Warm, right speed, nothing connected\nlow: \"#licence\"\nwithin: \"#test-key\"", "en/procedures/generator-dead.md:185 reading-known"},
	{"circuits/charging.yaml", "{winding: low}", "{winding: within}", "fault-astray"},
	{late, "high: cause:ground-joint\nunstable: \"#wiggle\"", "high: cause:ground-joint\nunstable: \"#volts\"", "unstable-within"},
	{flat, "low: cause:battery\nwithin: \"#cables\"\nnone: cause:battery", "low: cause:battery\nwithin: \"#cables\"\nnone: \"#cables\"", "none-within"},
	{dead, "- [Open, or 1 Ω and more, on one of them](cause:breaker)\n", "", "en/procedures/generator-dead.md:31 cause-unreached"},
	{sags, "- [More than 2 kW](cause:overload)", "- [More than 2 kW](cause:overlaod)", "reference-unknown"},
	{dies, "- [Open all the time](#kill-on)", "- [Open all the time](#kil-on)", "link-nowhere"},
	{hunts, "- [No change](cause:fuel-tap)", "- [Now it runs steadily](cause:fuel-tap)", "en/procedures/speed-hunts.md:41 causes-alike"},
	{smoke, "- [The marks meet](#air)", "- [The marks meet](black-smoke.md)", "answer-own"},
	{early, "verification: no\n", "verification: yes\n", "reference-unknown"},
	{idle, "conditions: Warm, no load, lever at slow\nlow: \"#warm\"\nwithin: \"#prove-top\"\nhigh: \"#warm\"\nunstable: speed-hunts.md", "conditions: Warm, no load, lever at slow\nlow: \"#warm\"\nwithin: \"#prove-top\"\nhigh: \"#warm\"\nunstable: ▸end:repaired", "check-outside"},
	{dead, "- Nobody licensed is here -> [hand over](end:hand-over)", "- Nobody licensed is here -> ▸[hand over](#open)", "reading-undecided"},
	{hot, "within: end:repaired", "within: end:repared", "reference-unknown"},
	{early, "[Speed hunts without load](speed-hunts.md)", "[wires](../bench/wires.md)", "en/procedures/choke-opens-early.md:37 check-elsewhere"},
	{early, "[Speed hunts without load](speed-hunts.md)", "speed", "en/procedures/choke-opens-early.md:37 check-elsewhere"},
	{late, "Go to [Battery goes flat](battery-flat.md), then prove it here.", "Go to [Battery goes flat](choke-opens-late.md), then prove it here.", "en/procedures/choke-opens-late.md:65 remedy-own"},
	{early, "meters: {ambient: yes, resistance: no}", "meters: {ambient: no, voltage: no, resistance: no}", "en/procedures/choke-opens-early.md:132 timing-unread"},
	// Readings and limits.
	{"specs/starting-charging.yaml", "  min: 9.0\n", "  min: ▸9.0 V\n", "value-text"},
	{"specs/ignition-speed.yaml", "quince-150: {nominal: 3750, tolerance: 100}", "quince-150: {nominal: ▸-3750, tolerance: 100}", "limit-negative"},
	{"specs/choke.yaml", "quince-150: {nominal: 9.4, tolerance: 0.4}", "quince-150: {nominal: 9.4, min: ▸-9, max: 9.8}", "limit-negative"},
	{"specs/ignition-speed.yaml", "  max: 75\n", "  max: ▸-75\n", "limit-negative"},
	{"specs/choke.yaml", "  min: 13.1\n  max: 14.6", "  min: ▸14.6\n  max: 13.1", "limit-order"},
	{"specs/ignition-speed.yaml", "  unit: rpm\n", "  unit: ▸rmp\n", "unit-unknown"},
	{slow, "spec: supply-cranking", "spec: ▸supply-crank", "reference-unknown"},
	{slow, "meter: DC volts, 20 V range, minimum record", "meter: Ohms, lowest range", "en/procedures/starter-slow.md:183 meter-unfit"},
	{dies, "low: cause:diaphragm\nwithin: \"#travel\"\n", "within: \"#travel\"\n", "en/procedures/dies-after-start.md:189 reading-outcome"},
	{dead, "red: Line\nblack: Neutral\nconditions: Warm, right speed", "red: Line\nblack: Line\nconditions: Warm, right speed", "en/procedures/generator-dead.md:179 probe-same"},
	{dead, "red: Line wire of the winding\n", "", "en/procedures/generator-dead.md:337 probe-missing"},
	{sags, "meter: Hz, category III leads in the outlet\n", "", "en/procedures/sags-under-load.md:207 probe-missing"},
	{wires, "current: 8 A", "current: ▸8 V", "quantity-wrong"},
	{wires, "supply: spec:charging-voltage", "supply: ▸spec:chargin-voltage", "reference-unknown"},
	{wires, "drop: 0.067 V", "drop: ▸0.076 V", "example-wrong"},
	{early, "range: 0 to 400 s}", "range: 0 to ▸400 V}", "quantity-wrong"},
	{early, "tolerance: 25 %", "tolerance: ▸250 %", "value-text"},
	{idle, "accuracy: 2 rpm", "accurcy: 2 rpm", "key-unknown"},
	// Front matter.
	{sags, "hazards: [mains-voltage, unintended-start, ", "hazards: [mains-voltage, ", "en/procedures/sags-under-load.md:107 hazard-unlisted"},
	{hunts, "frequency: 18", "frequency: ▸-18", "value-text"},
	{smoke, "    frequency: 26\n", "", "en/procedures/black-smoke.md:11 frequency-missing"},
	{idle, "symptom: Idles too fast or too slow, or stalls when load comes on", "symptom: Speed swings up and down, warm, no load", "en/procedures/speed-hunts.md:6 symptom-twice"},
	{smoke, "title: Choke cover turned to rich", "title: Choke plate or link binds", "en/procedures/black-smoke.md:48 cause-twice"},
	{hunts, "part: intake-gasket", "part: ▸intake-gaskt", "reference-unknown"},
	{hot, "revised: 2026-11-25", "revised: ▸2027-11-25", "revised-later"},
	{dead, "applicability: [damson-175]", "applicability: [▸damson-157]", "reference-unknown"},
	{dies, "    log: [Air temperature, Hours since the last stop, Seconds until it died before, Fuel and its age]\n", "", "en/procedures/dies-after-start.md:81 end-unlogged"},
	{nofire, "sheet: procedure", "sheet: ▸procedur", "value-choice"},
	{smoke, "states: [warming, idling]", "states: [▸warm, idling]", "reference-unknown"},
	{hunts, "who: operator\n", "who: ▸opertor\n", "value-choice"},
	// What stands on the machine.
	{dies, "restores: [air-off, hose-off, plug-lead-off]", "restores: [air-off, hose-off]", "en/procedures/dies-after-start.md:245 setting-state"},
	{early, "sets: [x3-open]\n", "", "en/procedures/choke-opens-early.md:22 setting-idle"},
	{slow, "sets: [plug-lead-off, negative-off]", "sets: [plug-lead-off, negativ-off]", "reference-unknown"},
	{sags, "restores: [air-off, plug-lead-off]\n", "", "en/procedures/sags-under-load.md:102 setting-state"},
	// Links, pictures, blocks.
	{choke, "](../../pictures/choke-cold.svg)", "](../../pictures/choke-cld.svg)", "link-nowhere"},
	{late, "![Heater circuit with test points A to F]", "![]", "picture-text"},
	{dies, "../theory/pull-off.md", "../theory/pulloff.md", "link-nowhere"},
	{flat, "../bench/charging.md#voltage", "../bench/charging.md#volts", "en/procedures/battery-flat.md:362 link-nowhere"},
	{hot, "```answers", "```anwsers", "block-unknown"},
	{joints, "```plot ", "```plt ", "block-unknown"},
	{joints, "revised: 2026", "▸revisd: 2026", "key-unknown"},
	{sags, "**Do not raise the top speed**", "<b>Do not raise the top speed</b>", "raw-html"},
	{smoke, "(../bench/fuel.md#rate)", "(../bench/fuel.md#rates)", "link-nowhere"},
	{hot, "state: heat-soaked", "state: heat-soakd", "reference-unknown"},
	{nofire, "cause:kill-grounded", "cause:kill-ground", "reference-unknown"},
	{sags, "none: generator-dead.md", "none: generator-ded.md", "link-nowhere"},
	{hunts, "pulses: 1\n", "pulses: one\n", "quantity-wrong"},
	{idle, "verification: prove-return", "verification: prove-retrun", "reference-unknown"},
	{dies, "detects: {diaphragm: 0.75}", "detects: {diaphragm: 75}", "value-text"},
	{hot, "emissions: yes", "emissions: maybe", "value-choice"},
	{slow, "<spec:starter-current>", "<spec:starter-curent>", "reference-unknown"},
	{late, "<id:coil>", "<id:Coil>", "value-text"},
	// Data files. A line that is lost or doubled is one slip.
	{front, "  cold:\n", "  cold:\n  cold:\n", "id-duplicate"},
	{front, "settings:\n", "settings:\nsettings:\n", "id-duplicate"},
	{front, "settings:\n", "", "+2 key-unknown"},
	{front, "hazards:\n", "", "key-unknown"},
	{front, "  warming:\n", "", "id-duplicate"},
	{front, "  meter-in:\n", "", "id-duplicate"},
	{"models.yaml", "medlar-245:\n", "", "models.yaml:5 id-duplicate"},
	{"specs/choke.yaml", "heater-volts:\n", "", "specs/choke.yaml:15 id-duplicate"},
	{"specs/choke.yaml", "  models:\n", "", "specs/choke.yaml:10 yaml-syntax"},
	{"circuits/heater.yaml", "elements:\n", "", "+2 key-unknown"},
	{"circuits/heater.yaml", "shows:\n", "", "value-type"},
	{"circuits/heater.yaml", "  feed-shorted:\n    - {title: {en: Grey wire rubbed through to the frame, es: Cable gris rozado hasta el bastidor}, between: [C, S], ohms: [50 mΩ, 0.5 Ω], shows: {fuse: Blown, shorted: Under 100 Ω at B or C}}\n", "", "en/procedures/choke-opens-late.md:33 cause-unplanted"},
	{"circuits/heater.yaml", "  ground-joint:\n", "", "fault-astray"},
	{late, "causes:\n", "", "en/procedures/choke-opens-late.md:10 yaml-syntax"},
	{late, "  not-reproduced:\n", "", "en/procedures/choke-opens-late.md:85 id-duplicate"},
	{flat, "  cables:\n", "", "en/procedures/battery-flat.md:17 id-duplicate"},
	{front, "  idling:\n", "  parked:\n    title: Parked\n  idling:\n", "state-unserved"},
	{front, "  box-open:\n", "  belt-off: {title: Belt off, restore: Belt on.}\n  box-open:\n", "setting-unused"},
	{"parts.yaml", "choke-link: {", "choke-knob: {title: Choke knob, system: choke}\nchoke-link: {", "part-unexamined"},
	{front, "[choke plate, choke butterfly, choke flap]", "[choke plate]", "synonym-alone"},
	{"parts.yaml", "number: EL-2204", "number: ▸EL-2210", "name-twice"},
	{"models.yaml", "title: Medlar 245", "title: Quince 150", "models.yaml:5 name-twice"},
	{front, "range: 0 to 5000}", "range: 0 to 50}", "reading-range"},
	{front, "  page-unlinked: advice", "  page-unlinkd: advice", "reference-unknown"},
	{front, "columns: 3", "columns: 5", "label-sheet"},
}

var every = flag.Bool("every", false, "make every slip in the demo, and more of those that are made at random")

// TestDemoSlips makes each slip alone in its file: one remark, in its line, and none that
// only follows. Slips of pages are made together, one in each page; those of data files,
// on which all pages hang, by themselves. Of those that are made alone it makes every second, or with -every all.
func TestDemoSlips(t *testing.T) {
	if testing.Short() {
		t.Skip("-short")
	}
	if len(demoSlips) < 100 {
		t.Fatalf("%d slips", len(demoSlips))
	}
	whole := t.TempDir()
	if err := os.CopyFS(whole, os.DirFS("../content")); err != nil {
		t.Fatal(err)
	}
	if got := audited(t, whole); len(got) > 0 {
		t.Fatalf("without a slip: %v", got)
	}
	var batches [][]mistake
	for _, m := range demoSlips {
		fits := func(batch []mistake) bool {
			return strings.HasSuffix(m.file, ".md") && !slices.ContainsFunc(batch, func(other mistake) bool {
				return other.file == m.file || !strings.HasSuffix(other.file, ".md")
			})
		}
		if i := slices.IndexFunc(batches, fits); i >= 0 {
			batches[i] = append(batches[i], m)
		} else {
			batches = append(batches, []mistake{m})
		}
	}
	alone := 0
	for _, batch := range batches {
		if len(batch) == 1 {
			if alone++; alone%2 == 0 && !*every {
				continue
			}
		}
		var want []string
		before := map[string][]byte{}
		for _, m := range batch {
			name := filepath.Join(whole, filepath.FromSlash(m.file))
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			before[name] = text
			changed := m.apply(string(text))
			if changed == string(text) {
				t.Fatalf("%s has no %q", m.file, m.old)
			}
			want = append(want, m.inLine(string(text)))
			put(t, whole, m.file, changed)
		}
		got := audited(t, whole)
		for _, m := range batch {
			if w := m.inLine(string(before[filepath.Join(whole, filepath.FromSlash(m.file))])); !slices.Contains(got, w) {
				t.Errorf("%q for %q: no %s", m.new, m.old, w)
			}
		}
		for _, g := range got {
			if strings.HasPrefix(g, "es/") && strings.HasSuffix(batch[0].file, ".md") {
				continue // a translation is held against its source, slips and all
			}
			if !slices.Contains(want, g) || slices.Index(got, g) != len(got)-1 && strings.Count(strings.Join(got, "\n"), g) > 1 {
				t.Errorf("nobody expects %s (%s)", g, batch[0].old)
			}
		}
		for name, text := range before {
			if err := os.WriteFile(name, text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// inLine returns file, line and id of the remark, for the file's text.
func (m mistake) inLine(text string) string {
	id, after := m.want, 0
	if n, _ := fmt.Sscanf(m.want, "+%d %s", &after, &id); n == 0 && strings.Contains(m.want, " ") {
		return m.want
	}
	from := strings.Index(text, m.old)
	in, _, marked := strings.Cut(m.new, placeMark)
	if !marked {
		in = in[:same(m.old, m.new)]
	}
	return fmt.Sprintf("%s:%d %s", m.file, strings.Count(text[:from]+in, "\n")+1+after, id)
}

// same is how many bytes two texts have in common at their beginning.
func same(a, b string) (n int) {
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

// audited returns file, line and id of the remarks on a folder.
func audited(t *testing.T, dir string) (got []string) {
	t.Helper()
	result, err := render.Audit(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range result.Remarks {
		got = append(got, fmt.Sprintf("%s:%d %s", r.Place.File, r.Place.Line, r.ID))
	}
	return got
}
