package phone

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/circuit"
	"benchleaf/render/handbook"
)

// practised returns the demo's procedures that have a circuit with faults.
func (d *demo) practised(t *testing.T) []*handbook.Page {
	t.Helper()
	var list []*handbook.Page
	for _, p := range d.procedures() {
		if p.PracticePath() != "" {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		t.Fatal("the demo has no planted faults")
	}
	return list
}

// heaterPractice is the one of them whose circuit has faults that come and go, and steps of
// every kind.
func (d *demo) heaterPractice(t *testing.T) *handbook.Page {
	t.Helper()
	list := d.practised(t)
	i := slices.IndexFunc(list, func(p *handbook.Page) bool { return p.Key == "procedures/choke-opens-late" })
	if i < 0 {
		t.Fatal("the heater's circuit has no planted faults")
	}
	return list[i]
}

// practise opens a procedure with a planted fault.
func (b *tab) practise(d *demo, p *handbook.Page, code string) {
	b.Helper()
	b.goLive(d.address(p.Path) + "?practice=" + code)
	b.wait(`document.querySelector(".current .practice") || document.querySelector(".practice-mark + .skip")`)
}

// circuitData is the circuit as the phone gets it.
func (d *demo) circuitData(t *testing.T, p *handbook.Page) string {
	t.Helper()
	text := strings.TrimSpace(string(d.read(t, p.PracticeDataPath())))
	text, ok := strings.CutPrefix(text, "self.benchleafPractice&&benchleafPractice(")
	if !ok || !json.Valid([]byte(strings.TrimSuffix(text, ")"))) {
		t.Fatalf("%s is no data", p.PracticeDataPath())
	}
	return strings.TrimSuffix(text, ")")
}

// measurement is one that both sides make.
type measurement struct {
	Fault    int  // -1 for a sound machine
	Away     bool // it comes and goes, and is not there
	Model    string
	State    int
	Standing []string
	Function circuit.Function
	Red      int
	Black    int
}

// The phone's meter shows what the build computes: every fault, every pair of points,
// every function, and the rest of what differs by chance.
func TestPracticeReadsAsTheBuild(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	random := rand.New(rand.NewPCG(21, 22))
	seen := map[string]int{}
	for _, p := range d.practised(t) {
		c := p.Circuit
		planted := c.Planted()
		var settings []*handbook.Setting
		for _, e := range c.Elements {
			for _, s := range slices.Concat(e.OpenedBy, e.ClosedBy) {
				if !slices.Contains(settings, s) {
					settings = append(settings, s)
				}
			}
		}
		var list []measurement
		for fault := -1; fault < len(planted); fault++ {
			for red := range c.Points {
				for black := range c.Points {
					for _, f := range []circuit.Function{circuit.Volts, circuit.Ohms, circuit.Amps} {
						away := fault >= 0 && planted[fault].Intermittent && random.IntN(2) == 0
						m := measurement{Fault: fault, Away: away, Model: p.Applicability[random.IntN(len(p.Applicability))].ID, State: random.IntN(len(c.States)), Function: f, Red: red, Black: black, Standing: []string{}}
						for _, s := range settings {
							if random.IntN(4) == 0 {
								m.Standing = append(m.Standing, s.ID)
							}
						}
						list = append(list, m)
					}
				}
			}
		}
		b := open(t, "")
		b.practise(d, p, planted[0].Code)
		eval[bool](b, "(window.tested = "+d.circuitData(t, p)+", true)")
		for part := range slices.Chunk(list, 2000) {
			got := eval[[]any](b, quoted(part)+`.map((m) => benchleafPractice.measure(tested, {model: m.Model, state: m.State, standing: m.Standing,
				fault: tested.faults[m.Fault], away: m.Away}, m.Function, m.Red, m.Black))`)
			for i, m := range part {
				compareMeasured(t, d, p, planted, m, got[i], seen)
			}
		}
		t.Logf("%s: %d measurements", p.Path, len(list))
	}
	for _, kind := range []string{"volts", "ohms", "amps", "ohms over", "ohms unsafe", "amps unsafe", "away"} {
		if seen[kind] == 0 {
			t.Errorf("no measurement gave %s: %v", kind, seen)
		}
	}
	t.Log(seen)
}

func compareMeasured(t *testing.T, d *demo, p *handbook.Page, planted []handbook.Planted, m measurement, got any, seen map[string]int) {
	t.Helper()
	var model *handbook.Model
	for _, x := range d.book.Models {
		if x.ID == m.Model {
			model = x
		}
	}
	var standing []*handbook.Setting
	for _, s := range d.book.Settings {
		if slices.Contains(m.Standing, s.ID) {
			standing = append(standing, s)
		}
	}
	var fault *handbook.Planted
	if m.Fault >= 0 {
		fault = &planted[m.Fault]
	}
	network := p.Circuit.Network
	if m.Away {
		network = p.Circuit.Away
		seen["away"]++
	}
	r, err := network(model, p.Circuit.States[m.State], standing, fault).Read(m.Function, m.Red, m.Black)
	kind := string(m.Function)
	var want any = r.Value
	switch {
	case err != nil:
		want, kind = nil, "error"
	case r.Over:
		want, kind = "over", kind+" over"
	case r.Unsafe:
		want, kind = "unsafe", kind+" unsafe"
	}
	seen[kind]++
	v, number := got.(float64)
	if !number || want != any(r.Value) {
		if got != want {
			t.Errorf("%+v: the phone has %v, the build %v", m, got, want)
		}
		return
	}
	// What is nothing to a meter may differ by what rounding leaves of it.
	if math.Abs(v-r.Value) > 1e-9*max(1e-3, math.Abs(r.Value)) {
		t.Errorf("%+v: the phone has %v, the build %v", m, v, r.Value)
	}
}

// followStep does what the step says and gives the answer that follows from it.
const followStep = `(() => {
	const card = document.querySelector(".current");
	if (card.matches(".end")) return "";
	card.querySelector(".practice > button").click();
	const seen = card.querySelector(".practice [role=status]").textContent;
	const jumps = card.querySelector(".display").textContent.includes("↔");
	const answer = card.querySelector(jumps ? "[data-outcome=unstable]" : "[data-follows]") ??
		[...card.querySelectorAll(".answers a")].find((a) => seen.endsWith(": " + a.firstChild.textContent.trim()));
	if (!answer) return card.id + ": no answer follows from " + (seen || card.querySelector(".display").textContent);
	answer.click();
	return card.id;
})()`

// recordsKept counts what lies in the database of jobs.
const recordsKept = `new Promise((done) => {
	const asked = indexedDB.open("benchleaf");
	asked.onsuccess = () => {
		const db = asked.result, stores = [...db.objectStoreNames];
		if (!stores.length) return done(0);
		const all = db.transaction(stores);
		let kept = 0;
		for (const s of stores) all.objectStore(s).count().onsuccess = (e) => (kept += e.target.result);
		all.oncomplete = () => done(kept);
	};
})`

// followSteps does what each step of a practice says, and answers what it shows. It
// returns the steps.
func (b *tab) followSteps(code string) (way []string) {
	b.Helper()
	for len(way) < 40 {
		step := eval[string](b, followStep)
		if step == "" {
			break
		}
		if strings.Contains(step, ":") {
			b.Fatalf("%s: %s", code, step)
		}
		way = append(way, step)
		b.wait(fmt.Sprintf(`document.querySelector(".current").id !== %s`, quoted(step)))
	}
	return way
}

// Whoever does what each step says, and answers what it shows, finds every planted
// fault in the minutes of the shortest way, and is blamed for nothing: a third of the faults of each
// procedure, and all that come and go, or with -every all.
func TestPracticeFindsEveryFault(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, p := range d.practised(t) {
		b := open(t, "")
		for i, f := range p.Circuit.Planted() {
			if i%3 != 0 && !f.Intermittent && !*every {
				continue // the build has found its way
			}
			b.practise(d, p, f.Code)
			b.choose(p.Applicability[i%len(p.Applicability)].ID)
			eval[bool](b, `document.querySelector(".practice-mark").textContent.includes("PRACTICE") && document.title.startsWith("PRACTICE")`)
			way := b.followSteps(f.Code)
			at := eval[string](b, `document.querySelector(".current").id`)
			result := eval[string](b, `document.querySelector(".current .practice-result")?.innerText ?? ""`)
			if at != handbook.CauseAnchor(f.Cause) {
				t.Errorf("%s (%s %s): the way %v leads to %s", f.Code, f.Cause, f.Text, way, at)
				continue
			}
			proofs := eval[[]string](b, `[...new Set([...document.querySelectorAll(".current .proofs a")].filter((a) => a.getClientRects().length).map((a) => a.hash.slice(1)))]`)
			if len(proofs) != 1 || proofs[0] != way[len(way)-1] {
				t.Errorf("%s: the way %v is said to be proved by %v", f.Code, way, proofs)
			}
			none := d.words.Word("practice.none")
			if !strings.Contains(result, d.words.Word("practice.right")) || strings.Count(result, "\n"+none) != 5 {
				t.Errorf("%s (%s %s): %s", f.Code, f.Cause, f.Text, result)
			}
			var minutes, least int
			for line := range strings.Lines(result) {
				_, _ = fmt.Sscanf(line, "%d minutes; the shortest way takes %d.", &minutes, &least)
			}
			if minutes == 0 || minutes != least {
				t.Errorf("%s: %d minutes, %d at least", f.Code, minutes, least)
			}
		}
		if kept := eval[int](b, recordsKept); kept != 0 {
			t.Errorf("%d records were kept of practices", kept)
		}
	}
}

// TestPracticeTimes: a time that a fault makes too late has its seconds, beyond the limit of the model.
func TestPracticeTimes(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.heaterPractice(t)
	i := slices.IndexFunc(p.Procedure.Steps, func(s *handbook.Step) bool { return s.Reading != nil && s.Reading.Timing != nil })
	step := p.Procedure.Steps[i]
	b := open(t, "")
	b.practise(d, p, p.Circuit.Planted()[0].Code)
	eval[bool](b, fmt.Sprintf(`(location.hash = %s, true)`, quoted("#"+step.ID)))
	b.wait(fmt.Sprintf(`document.querySelector(".current").id === %s && document.querySelector(".current .practice")`, quoted(step.ID)))
	for _, m := range p.Applicability {
		b.choose(m.ID)
		b.tap(`document.querySelector(".practice > button")`)
		seen := eval[string](b, `document.querySelector(".practice [role=status]").textContent`)
		most := step.Reading.Spec.For(m).Max.Value
		// Half as much again as the limit allows.
		if want := d.words.Fill("practice.seen", "answer", fmt.Sprintf("%.0f\u00a0s: %s", math.Round(1.5*most), d.words.Word("timing.high"))); seen != want {
			t.Errorf("%s: %q, want %q", m.ID, seen, want)
		}
	}
}

// A trainee who guesses and does not care is told so.
func TestPracticeTellsOfMistakes(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.heaterPractice(t)
	var code string
	for _, f := range p.Circuit.Planted() {
		if f.Cause == "ground-joint" {
			code = f.Code
		}
	}
	b := open(t, "")
	b.practise(d, p, code)
	set := func(label string, option string) {
		t.Helper()
		if !eval[bool](b, fmt.Sprintf(`(() => {
			const label = [...document.querySelectorAll(".practice label")].find((l) => l.textContent.startsWith(%s));
			const s = label.querySelector("select"), o = [...s.options].find((o) => o.text.startsWith(%s));
			s.value = o.value;
			s.dispatchEvent(new Event("change"));
			return true;
		})()`, quoted(label), quoted(option))) {
			t.Fatal(label)
		}
	}
	press := func(text string) {
		t.Helper()
		b.tap(fmt.Sprintf(`[...document.querySelectorAll(".practice button, .current .answers a")].find((e) => e.textContent.startsWith(%s))`, quoted(text)))
	}
	word := d.words.Word
	// Ohms and amperes across the battery.
	set(word("practice.function"), word("practice.ohms"))
	set(word("reading.red"), "A –")
	press(word("practice.read"))
	if seen := eval[string](b, `document.querySelector(".practice [role=status]").textContent`); seen != word("practice.live") {
		t.Errorf("ohms across the battery: %q", seen)
	}
	set(word("practice.function"), word("practice.amps"))
	press(word("practice.read"))
	if seen := eval[string](b, `document.querySelector(".practice [role=status]").textContent`); seen != word("practice.source") {
		t.Errorf("amperes across the battery: %q", seen)
	}
	// A reading on no use, then the engine is started with the fuse out.
	set(word("practice.function"), word("practice.volts"))
	press(word("practice.read"))
	press(word("practice.read"))
	b.tap(`[...document.querySelectorAll(".practice label")].find((l) => l.textContent.includes("Fuse F2 out")).querySelector("input")`)
	set(word("practice.engine"), "Warming up")
	// And a part is condemned on a guess.
	press("Shut now")
	b.wait(`document.querySelector(".current").id === "fuse"`)
	press("Green, burnt or loose")
	b.wait(`document.querySelector(".current").matches(".end")`)
	result := eval[string](b, `document.querySelector(".current .practice-result").innerText`)
	for _, want := range []string{
		word("practice.live") + " Ohms, A – F", word("practice.source") + " Amperes, A – F", "Warming up: Fuse F2 out", "1: Volts, A – F",
	} {
		if !strings.Contains(result, want) {
			t.Errorf("nothing of %q in\n%s", want, result)
		}
	}
	if strings.Contains(result, word("practice.right")) || strings.Count(result, "\n"+word("practice.none")) != 1 {
		t.Errorf("too kind:\n%s", result)
	}
	// The reload of a closed page keeps what was done; another code does not.
	b.goTo(d.address(p.Path) + "?practice=" + code)
	b.waitLive()
	b.wait(`document.querySelector(".practice-result")?.innerText.includes("Fuse F2 out") || document.querySelector(".current .practice")`)
	// A code that is none is told, and random leads to one that is.
	b.goTo(d.address(p.Path) + "?practice=none")
	b.waitLive()
	b.wait(`document.querySelector(".practice-mark")?.textContent.includes("none")`)
	b.goTo(d.address(p.Path) + "?practice=random")
	b.wait(`document.querySelector(".current .practice") && /\?practice=[A-Z2-9]{4}$/.test(location.search)`)
}

// debrief is what the end of a practice says, by heading.
const debrief = `Object.fromEntries([...document.querySelectorAll(".current .practice-result h4")].map((h) => [h.textContent, [...h.nextElementSibling.children].map((li) => li.textContent)]))`

// Who answers against the reading, and then without one, is told each time, and
// no part is condemned by such answers. The bar says nothing of a real job. A third of the faults, and all that
// come and go, or with -every all.
func TestPracticeWeighsAnswers(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.heaterPractice(t)
	word := d.words.Word
	b := open(t, "")
	b.goLive(d.address(p.Path))
	b.follow(1) // a job is at hand
	contrary, guessed, condemned := 0, 0, 0
	for i, f := range p.Circuit.Planted() {
		if i%3 != 0 && !f.Intermittent && !*every {
			continue // what is told hangs on the answers, and not on the fault
		}
		b.practise(d, p, f.Code)
		b.choose(p.Applicability[0].ID)
		if seen := eval[string](b, `[...document.querySelectorAll(".bar .job, .bar [data-do=other], .bar p")].filter((e) => e.checkVisibility({checkVisibilityCSS: true})).map((e) => e.outerHTML).join()`); seen != "" {
			t.Fatalf("the bar of a practice shows %s", seen)
		}
		against, unread, last := "", []string{}, ""
		for range 40 {
			at := eval[[]string](b, fmt.Sprintf(`(() => {
				const card = document.querySelector(".current"), title = card.querySelector("h2").textContent.trim();
				const goes = (a) => document.getElementById(a.hash.slice(1));
				if (card.matches(".end")) return [];
				let kind = "", answer;
				if (%q) { // the rest is guessed, a part if there is one
					const ways = [...card.querySelectorAll(".answers a")].filter(goes);
					answer = ways.find((a) => goes(a).dataset.part) ?? ways[0];
					kind = card.querySelector("[data-outcome]") ? "guessed" : "";
				} else {
					card.querySelector(".practice > button").click();
					const seen = card.querySelector(".practice [role=status]").textContent, jumps = card.querySelector(".display").textContent.includes("↔");
					const follows = card.querySelector(jumps ? "[data-outcome=unstable]" : "[data-follows]");
					const other = follows && follows.dataset.outcome !== "within" && card.querySelector('[data-outcome="within"]');
					answer = other || follows || [...card.querySelectorAll(".answers a")].find((a) => seen.endsWith(": " + a.firstChild.textContent.trim()));
					kind = other ? "contrary" : "";
				}
				answer.click();
				return [card.id, kind, title];
			})()`, against))
			if len(at) == 0 {
				break
			}
			switch at[1] {
			case "contrary":
				against = at[2]
			case "guessed":
				unread = append(unread, at[2])
			}
			last = at[1]
			b.wait("document.querySelector('.current').id !== " + quoted(at[0]))
		}
		for line := range strings.Lines(eval[string](b, `document.querySelector(".current .practice-result").innerText`)) {
			var minutes, least int
			if n, _ := fmt.Sscanf(line, "%d minutes; the shortest way takes %d.", &minutes, &least); n == 2 && minutes < least {
				t.Errorf("%s: who guesses is told of %d minutes where the shortest way takes %d", f.Code, minutes, least)
			}
		}
		said := eval[map[string][]string](b, debrief)
		if list := said[word("practice.against")]; against != "" {
			contrary++
			if len(list) != 1 || !strings.HasPrefix(list[0], against+": ") {
				t.Errorf("%s: %q was answered against its reading; told is %q", f.Code, against, list)
			}
		}
		list := strings.Join(said[word("practice.unread")], "\n")
		for _, title := range unread {
			guessed++
			if !strings.Contains(list, title+": ") {
				t.Errorf("%s: %q was answered without a reading; told is %q", f.Code, title, list)
			}
		}
		if part := eval[bool](b, `!!document.querySelector(".current").dataset.part`); part && last != "" {
			condemned++
			if none := said[word("practice.condemned")]; none[0] == word("practice.none") {
				t.Errorf("%s: a part is condemned by a guess, and nothing is told of it", f.Code)
			}
		}
	}
	t.Logf("%d against, %d guessed, %d condemned", contrary, guessed, condemned)
	if contrary == 0 || guessed == 0 || condemned == 0 {
		t.Error("nothing was tried")
	}
}

// The bench is fit for all hands and eyes: what axe-core finds on the page of codes,
// in the card of a step and at the end; nothing to press is too small.
func TestPracticeAccessibility(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.heaterPractice(t)
	axe := axeScript(t)
	for _, scheme := range []string{"light", "dark"} {
		b := open(t, "")
		b.prefer("prefers-color-scheme", scheme)
		b.goLive(d.address(p.PracticePath()))
		eval[bool](b, `(document.querySelector("details").open = true)`)
		eval[bool](b, axe)
		b.axe("codes, " + scheme)
		for _, small := range eval[[]string](b, `[...document.querySelectorAll("main a, summary")].filter((e) => { const r = e.getBoundingClientRect(); return r.height < 44 || r.width < 44; }).map((e) => e.outerHTML)`) {
			t.Errorf("too small: %s", small)
		}
		if !eval[bool](b, `(() => {
			const places = [...document.querySelectorAll(".codes a")].map((e) => e.getBoundingClientRect());
			const count = (side) => new Set(places.map((r) => r[side])).size;
			return count("left") > 2 && count("top") === Math.ceil(places.length / count("left"));
		})()`) {
			t.Error("the codes stand in no rows and columns")
		}
		b.size(phoneWidth, 4*phoneHeight) // nothing lies below the bars
		b.practise(d, p, p.Circuit.Planted()[0].Code)
		b.choose(p.Applicability[0].ID)
		eval[bool](b, axe)
		looked := map[string]bool{}
		for {
			kind := eval[string](b, `(() => {
				const card = document.querySelector(".current");
				return card.matches(".end") ? "end" : card.querySelector(".reading") ? "reading" : "answers";
			})()`)
			if !looked[kind] {
				looked[kind] = true
				b.axe(kind + ", " + scheme)
			}
			for _, small := range eval[[]string](b, `[...document.querySelectorAll(".practice button, .practice select, .practice label, .practice-result a")]
				.filter((e) => e.getBoundingClientRect().height < 44).map((e) => e.outerHTML)`) {
				t.Errorf("%s: too small: %s", kind, small)
			}
			if wide := eval[float64](b, `document.documentElement.scrollWidth`); wide > phoneWidth {
				t.Errorf("%s: the page is %v wide", kind, wide)
			}
			step := eval[string](b, followStep)
			if step == "" {
				break
			}
			if strings.Contains(step, ":") {
				t.Fatal(step)
			}
			b.wait(fmt.Sprintf(`document.querySelector(".current").id !== %s`, quoted(step)))
		}
		if len(looked) != 3 {
			t.Errorf("only %v were looked at", looked)
		}
	}
}
