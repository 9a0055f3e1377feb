package phone

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// entries are the calculator's fields: what stands in them, those that were typed with a star.
func (w *watcher) entries() string {
	w.Helper()
	eval[bool](w.tab, painted)
	return eval[string](w.tab, `["voltage", "ambient", "start"].map((name) => {
		const e = document.querySelector("form.calculator").elements[name];
		return e.value + (e.dataset.typed ? "*" : "");
	}).join(" ")`)
}

// TestTimingBeyondPicture: a mark that comes after what is drawn comes; one that never
// does leaves no limit standing.
func TestTimingBeyondPicture(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	w := d.watch(t, "en/procedures/choke-opens-early.html", "time")
	w.choose("medlar-245")
	w.press(d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(500)
	w.press("Lever at its stop")
	limit := w.section() + `.querySelector(".limit dd").textContent`
	// 13.85² V² / 8.2 Ω · 4.1 K/W = 95.91 K; 231 s · ln(95.91 / (95.91 − 87)) = 549 s at −25 °C, a quarter
	// of it 137 s; at −30 °C and 13 V it ends at 54 °C.
	w.enter(map[string]string{"voltage": "13.85", "ambient": "-25"})
	now := w.shown()
	w.expect("at −25 °C", now.Expected[1]+" "+now.Verdict, "549\u00a0s within")
	w.enter(map[string]string{"voltage": "13", "ambient": "-30"})
	now = w.shown()
	w.expect("never", now.Expected[1]+now.Verdict+now.Reached, d.words.Fill("timing.never", "time", "3600\u00a0s"))
	if got := eval[string](w.tab, limit); !strings.HasPrefix(got, "the expected time ± 25\u00a0%: – (") {
		t.Errorf("the limit stands: %s", got)
	}
}

// TestTimingKeepsEntries: what a time is judged by lasts as long as the time, over a page
// that is loaded anew and a browser that is closed, and is that machine's alone.
func TestTimingKeepsEntries(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	w := d.watch(t, "en/procedures/choke-opens-early.html", "time")
	w.choose("quince-150")
	eval[bool](w.tab, `(location.hash = "#confirm", true)`)
	w.wait(`document.querySelector("#confirm.current")`)
	for _, step := range [][2]string{{"confirm", "mark"}, {"mark", "ohms"}} {
		w.tap(fmt.Sprintf(`document.querySelector("#%s .answers a")`, step[0]))
		w.wait(fmt.Sprintf(`document.querySelector("#%s.current")`, step[1]))
	}
	w.tap(`document.querySelector("#ohms [data-outcome=high]")`)
	w.wait(`document.querySelector("#time.current")`)
	w.press(d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(217)
	w.press("Lever at its stop")
	// Nobody has said how cold it is: the sheet's 20 °C judge nothing, and are not to be confirmed.
	volts, air := "Voltage at the heater", "Temperature around the coil"
	now := w.shown()
	w.expect("nothing typed", now.Verdict+now.Follows+now.Says, d.words.Fill("verdict.enter", "input", volts+", "+air))
	w.press(d.words.Fill("timing.asEntered", "given", volts+" 13.85\u00a0V"))
	w.wait(w.section() + `.querySelector("output").textContent.includes(` + quoted(d.words.Fill("verdict.enter", "input", air)) + `)`)
	// The key to its field leads there from another card too.
	way := "The lever's way today"
	w.press(way)
	w.wait(`document.activeElement.name === "ambient"`)
	eval[bool](w.tab, `(location.hash = "#prove", true)`)
	w.wait(`document.querySelector("#prove.current")`)
	w.tap(`[...document.querySelectorAll("#prove .watch button")].find((b) => b.textContent === ` + quoted(way) + `)`)
	w.wait(`document.querySelector("#time.current") && document.activeElement.name === "ambient"`)
	w.enter(map[string]string{"ambient": "-5"})
	judged := func(when string) {
		t.Helper()
		w.expect(when, w.entries(), "13.85* -5* −5")
		now := w.shown()
		// 13.85² V² / 9.4 Ω · 4.6 K/W = 93.87 K above −5 °C; 168 s · ln(93.87 / (93.87 − 67)) = 210 s,
		// and 168 s · ln(93.87 / (93.87 − 49)) = 124 s to 44 °C, which is half of the way from 26 to 62 °C.
		w.expect(when, list(now.Expected)+" "+now.Verdict, "124\u00a0s | 210\u00a0s within")
	}
	judged("taken")
	w.goTo(d.address("index.html"))
	w.live()
	judged("loaded anew")
	w.swipedAway(60)
	w.wait(`document.querySelector(".plotted").curve`)
	judged("opened again")

	limit := func() string { return eval[string](w.tab, w.section()+`.querySelector(".limit dd").textContent`) }
	// A quarter of 210.1 s to either side.
	w.expect("limits", limit(), "the expected time ± 25\u00a0%: 158 to 263\u00a0s ("+volts+" 13.85\u00a0V, "+air+" −5\u00a0°C)")

	first := eval[string](w.tab, `document.body.dataset.job`)
	eval[bool](w.tab, `(document.querySelector("[data-do=other]").click(), true)`)
	w.wait(`document.querySelector("#confirm.current")`)
	w.expect("another machine", w.entries(), "13.85 20 20")
	w.enter(map[string]string{"ambient": "41 °F"})
	w.expect("before its first answer", w.entries(), "13.85 41 °F* 5")
	w.tap(`document.querySelector("#confirm .answers a")`)
	w.wait(`document.querySelector("#mark.current")`)
	w.wait(`document.body.dataset.job`)
	w.swipedAway(1)
	w.expect("its own", w.entries(), "13.85 41 °F* 5")
	w.job(first)
	w.expect("the first again", w.entries(), "13.85* -5* −5")
	w.job("")
	w.expect("a third", w.entries(), "13.85 20 20")
}

// TestTimingUndecided: an answer before anything says what is expected has the time that was taken, without a verdict.
func TestTimingUndecided(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	w := d.watch(t, "en/procedures/choke-opens-early.html", "time")
	w.choose("quince-150")
	w.press(d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(217)
	w.press("Lever at its stop")
	w.tap(`document.querySelector("#time [data-outcome=within]")`)
	w.wait(`!document.querySelector("#time.current")`)
	e := w.timed().Entries[0]
	r := e.Reading
	if r == nil || r.Value == nil || *r.Value != 217 || r.Text != "217 s" || r.Unit != "s" || r.Verdict != "" || r.Min != nil || r.Doubt == nil || math.Abs(*r.Doubt-handBound(217)) > 1e-9 {
		t.Errorf("the record has %+v", r)
	}
}
