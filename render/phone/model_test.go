package phone

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// serialCases are numbers on plates and the models that have them, worked by hand from the ranges of
// content/models.yaml (Q150-20400, M245-11250 and D175-03100, each and up): the figures count as they stand,
// and one more figure begins with 1.
var serialCases = []struct{ typed, models, alike string }{
	{"Q150-20400", "quince-150", ""},
	{"q150 20400", "quince-150", ""},
	{" q.150.99999 ", "quince-150", ""},
	{"Q150-20399", "", ""},
	{"Q150-100000", "quince-150", ""}, // beyond 99999
	{"Q150-020400", "", ""},           // no plate has a zero before it
	{"Q150-204", "", ""},
	{"M245-11250", "medlar-245", ""},
	{"M245 11249", "", ""},
	{"D175-03100", "damson-175", ""},
	{"D175-3100", "", "D17503100"}, // a figure is missing, and may be the zero
	{"d175 31OO", "", "D17503100"},
	{"D175-310", "", ""},
	{"D175", "", ""},
	{"D175-O3100", "", "D17503100"},
	{"QI50-20400", "", "Q15020400"},
	{"D175-03I00", "", "D17503100"},
	{"S/N Q150-20400", "quince-150", ""},
	{"sn: q150-20400", "quince-150", ""},
	{"No. M245-11250", "medlar-245", ""},
	{"Nº D175-03100", "damson-175", ""},
	{"Serial No. D175-03100", "damson-175", ""},
	{"serial number Q150-20400", "quince-150", ""},
	{"# Q150-20400", "quince-150", ""},
	{"Ｑ１５０－２０４００", "quince-150", ""},
	{"S/N D175-O3100", "", "D17503100"},
	{"S/N X1-100", "", ""},
	{"X Q150-20400", "", ""},
	{"X1-100", "", ""},
	{"quince", "", ""},
}

// TestSerials types numbers as technicians do.
func TestSerials(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("models.html"))
	for _, c := range serialCases {
		got := b.typeSerial(c.typed)
		if got.Model != c.models || strings.Join(got.Keys, " ") != c.alike && c.models == "" {
			t.Errorf("%q: %+v, want model %q, or like %q", c.typed, got, c.models, c.alike)
		}
		said := strings.TrimSpace(c.typed)
		if c.alike != "" {
			said = strings.TrimPrefix(said, "S/N ") // what stands before a number goes where that is like some model's
		}
		if c.models == "" && !strings.Contains(got.Said, said) {
			t.Errorf("%q: the page says %q", c.typed, got.Said)
		}
	}
	// What looks alike is taken by a tap.
	b.typeSerial("D175-O3100")
	b.tap(`document.querySelector(".keys button")`)
	b.wait(`document.querySelector("select[name=model]").value === "damson-175"`)
}

type foundModel struct {
	Model, Said, Job string
	Keys             []string
}

// typeSerial types a number and sends it off; the choice before it is that of no model.
func (b *tab) typeSerial(text string) foundModel {
	b.Helper()
	b.choose("")
	typed, _ := json.Marshal(text)
	eval[bool](b, `(document.querySelector("#_serial").value = `+string(typed)+`, true)`)
	b.tap(`document.querySelector("form.search button")`)
	return eval[foundModel](b, `({
		Model: document.querySelector("select[name=model]").value, Said: document.querySelector(".answer").textContent,
		Job: document.querySelector(".in-job").textContent, Keys: [...document.querySelectorAll("main .keys button")].map((e) => e.textContent)})`)
}

// TestModelsByArrows goes through the closed list of models with the arrows, past its end: the page stays, for the model that was met last.
// Who opens the list and takes the entry of the serial number gets its page.
func TestModelsByArrows(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, name := range []string{"en/theory/choke.html", "en/bench/joints.html", "en/procedures/choke-opens-late.html", "search.html"} {
		b.goLive(d.address(name))
		b.choose("")
		eval[bool](b, `(document.querySelector("select[name=model]").focus(), true)`)
		var met []string
		for range 5 {
			b.keys(kb.ArrowDown)
			met = append(met, eval[string](b, `document.querySelector("select[name=model]").value`))
		}
		if want := "quince-150 medlar-245 damson-175 damson-175 damson-175"; strings.Join(met, " ") != want {
			t.Errorf("%s: the arrows meet %q, want %s", name, met, want)
		}
		if at := eval[string](b, `document.body.dataset.sheet`); at == "models" {
			t.Errorf("%s: the arrows leave the page", name)
		}
		b.leave(`(() => {
			const list = document.querySelector("select[name=model]");
			list.selectedIndex = list.options.length - 1;
			list.dispatchEvent(new Event("change"));
		})()`)
		b.wait(`document.body.dataset.sheet === "models"`)
	}
}

// TestTwoModels has a handbook in which a number belongs to two models.
func TestTwoModels(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"handbook.yaml": "title: Test\npublisher: Example\nedition: \"1\"\nlanguages: [en]\n",
		"models.yaml": "a15: {title: A15, serial: {from: A15-020000, to: A15-029999}}\n" +
			"a150: {title: A150, serial: [{from: A150-20400, to: A150-30000}, {from: 77-1-B, to: 77-9-B}]}\n",
		"en/a.md": "# A\n",
	} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	d, err := compile(dir, "two-models")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	b.goLive(d.address("models.html"))
	for typed, want := range map[string]string{"A15-020399": "a15", "A15-030000": "a150", "77 1 b": "a150", "77-10-B": "", "77-1-C": ""} {
		if got := b.typeSerial(typed); got.Model != want {
			t.Errorf("%s: %+v, want %q", typed, got, want)
		}
	}
	if got := b.typeSerial("A15-020400"); got.Model != "" || strings.Join(got.Keys, " ") != "A15 A150" {
		t.Errorf("A15-020400: %+v, want two models to choose from", got)
	}
	b.tap(`document.querySelector("main .keys button:last-child")`)
	b.wait(`document.querySelector("select[name=model]").value === "a150"`)
}

// TestSerialOfAJob goes from a procedure to the page of models and back: by the bar's list in two taps, and
// with the job at hand, whose record takes the number in; where none is at hand the next one does.
func TestSerialOfAJob(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.opens(noHeat)
	first := eval[string](m.tab, `document.querySelector(".step.current").id`)
	m.chooseBySerial()
	if got := m.typeSerial("K340-10000"); got.Model != "" || got.Job != "" {
		t.Errorf("a number of no model: %+v", got)
	}
	if got := m.typeSerial("k210 0077"); got.Model != "k210" || got.Job != "" {
		t.Errorf("no job: %+v", got)
	}
	m.leave(`document.querySelector("main .keys button").click()`)
	m.wait("document.body.dataset.sheet === 'procedure'")
	m.waitLive()
	m.at(first)
	m.tap(`document.querySelector(".step.current .answers a")`)
	m.wait(fmt.Sprintf(`document.body.dataset.job && document.querySelector(".current").id !== %s`, quoted(first)))
	m.at(eval[string](m.tab, `document.querySelector(".current").id`))
	if r := m.record(); r.Machine.Serial != "k210 0077" || r.Machine.Model != "k210" {
		t.Errorf("the job begins with %+v", r.Machine)
	}
	m.chooseBySerial()
	if got := m.typeSerial("K340-0100"); got.Model != "k340" {
		t.Errorf("another machine: %+v", got)
	}
	m.wait(`document.querySelector(".in-job").textContent.includes("another machine")`)
	if r := m.record(); r.Machine.Serial != "k210 0077" {
		t.Errorf("another machine's number is in the record: %+v", r.Machine)
	}
	m.typeSerial("K210-0077")
	m.wait(`document.querySelector(".in-job").textContent.includes("K210-0077")`)
	if r := m.record(); r.Machine.Serial != "K210-0077" || r.Machine.Model != "k210" {
		t.Errorf("the number again: %+v", r.Machine)
	}
	// On the jobs page the number chooses the model, too.
	job := m.job()
	m.goTo(m.d.address("jobs.html") + "#" + job)
	m.wait(`document.querySelector("form.machine [name=serial]").value === "K210-0077"`)
	eval[bool](m.tab, `(() => {
		const e = document.querySelector("form.machine [name=serial]");
		e.value = "K340-0100";
		for (const kind of ["input", "change"]) e.dispatchEvent(new Event(kind, {bubbles: true}));
		return true;
	})()`)
	m.wait(`document.querySelector("form.machine [name=model]").value === "k340" && !` + pendingScript)
	if r := m.record(); r.Machine.Serial != "K340-0100" || r.Machine.Model != "k340" {
		t.Errorf("typed on the jobs page: %+v", r.Machine)
	}
	// It is the model at hand, also on a page without the script of jobs.
	m.goTo(m.d.address("index.html"))
	m.waitLive()
	m.expect("the model at hand", eval[string](m.tab, `document.querySelector("select[name=model]").value`), "k340")
}

// TestDeniedModel types numbers that no model has while one is chosen: its limits are not gone on with, but for
// a tap; nor in a job, unless its machine has a number of its own.
func TestDeniedModel(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	shown := func(what, model, said string) {
		t.Helper()
		m.expect(what, eval[string](m.tab, `document.querySelector("select[name=model]").value + ": " + document.querySelector(".answer").textContent`), model+": "+said)
	}
	types := func(serial string) {
		t.Helper()
		eval[bool](m.tab, `(document.querySelector("#_serial").value = `+quoted(serial)+`, true)`)
		m.tap(`document.querySelector("form.search button")`)
	}
	const none = "No model has the number K340-10000: look at the plate again."
	m.opens(noHeat)
	m.choose("k210")
	m.answers("Cold", "fuse")
	m.chooseBySerial()
	types("K340-10000")
	shown("denied", "", none+" K210 is no longer chosen: sheets show all models.")
	m.wait(storedScript + `.then((jobs) => Object.values(jobs).every((j) => !JSON.parse(j).machine.model))`)
	m.presses("Choose K210 again")
	shown("taken back", "k210", none)
	if left := m.says("main .keys"); left != "" {
		t.Errorf("left to choose: %s", left)
	}
	types("K210-0077")
	m.wait(`document.querySelector(".in-job").textContent.includes("K210-0077")`)
	types("K340-10000")
	m.wait(`document.querySelector(".in-job").textContent.includes("keeps it")`)
	shown("a machine with a number", "", none+" K210 is no longer chosen: sheets show all models.")
	if r := m.record(); r.Machine.Model != "k210" || r.Machine.Serial != "K210-0077" {
		t.Errorf("the job has %+v", r.Machine)
	}
}

// chooseBySerial chooses the last entry of the list of models.
func (b *tab) chooseBySerial() {
	b.Helper()
	b.leave(`(() => { const s = document.querySelector("select[name=model]"); s.selectedIndex = s.options.length - 1; s.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.wait("document.body.dataset.page === 'models'")
	b.waitLive()
}

// TestModelIsShown opens a page of each kind with a model chosen for which it does not hold, or holds: the bar
// shows the model, and what does not hold says so before all else, and goes on saying it further down.
func TestModelIsShown(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	pages := d.kinds()
	for _, p := range d.openedPages() {
		if len(p.Applicability) < len(d.book.Models) && p.FlowPath() != "" {
			pages = append(pages, p.Path, p.FlowPath())
		}
	}
	refused := 0
	for _, m := range d.book.Models {
		b.goLive(d.address("index.html"))
		b.choose(m.ID)
		for _, p := range pages {
			if p == "jobs.html" {
				continue // it chooses for each of its jobs
			}
			b.goLive(d.address(p))
			got := eval[struct {
				Model, First string
				Models       []string
				Stays        bool
			}](b, `(() => {
				const notice = document.querySelector(".not-applicable:not([hidden])"), main = document.querySelector("main");
				const first = [...main.children].find((e) => e.getClientRects().length);
				scrollTo(0, document.body.scrollHeight);
				const r = notice?.getBoundingClientRect();
				return {
					Model: document.querySelector(".bar select[name=model]").value, First: first.textContent,
					Models: document.body.dataset.models.split(" "), Stays: r?.height > 0 && r.top >= -1 && r.bottom <= innerHeight,
				};
			})()`)
			if got.Model != m.ID {
				t.Errorf("%s: the bar shows %q, chosen is %s", p, got.Model, m.ID)
			}
			holds := slices.Contains(got.Models, m.ID)
			var others []string
			for _, other := range d.book.Models {
				if slices.Contains(got.Models, other.ID) {
					others = append(others, other.Title.In("en"))
				}
			}
			want := fmt.Sprintf("This sheet does not hold for %s, but for %s.", m.Title.In("en"), strings.Join(others, ", "))
			if says := got.First == want; says == holds || got.Stays == holds {
				t.Errorf("%s, which holds for %s: %t, begins with %q, not %q; it stays in sight: %t", p, m.ID, holds, got.First, want, got.Stays)
			}
			if !holds {
				refused++
			}
		}
	}
	if refused == 0 {
		t.Error("every page holds for every model")
	}
}
