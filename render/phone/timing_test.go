package phone

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/page"

	"benchleaf/render/handbook"
	"benchleaf/render/record"
)

var timingOnce = sync.OnceValues(func() (*demo, error) { return compile(filepath.Join("testdata", "timing"), "timing") })

// fullTravel is how long the plate of testdata/timing takes, by its calculator's
// formula written out: 90 s at 12 V and 25 °C, as the square of 12 V by the
// voltage, and a hundredth more for each K below 25 °C.
func fullTravel(volts, ambient float64) float64 {
	return 90 * (12 / volts) * (12 / volts) * (1 + 0.01*(25-ambient))
}

// handBound is what two presses and the stopwatch leave open, as the bound of a
// meter, √3 of the standard uncertainty. A press: 0.11 s late, 0.07 s its standard
// deviation (American Journal of Physics 87, 110, 2019), the lateness counted in
// full. The phone's own watch: 0.01 % and the tenth of a second that it shows.
func handBound(seconds float64) float64 {
	press := math.Hypot(0.11, 0.07)
	watch := (0.0001*seconds + 0.1) / math.Sqrt(3)
	return math.Sqrt(3) * math.Sqrt(press*press+press*press+watch*watch)
}

// watcher holds a stopwatch of a page whose clock stands until the test sets it.
type watcher struct {
	*tab
	phone *tab // another tab of which the page is in
	d     *demo
	sheet string
	step  string
}

// clocks takes the place of the clocks of a page: both stand in the phone's store.
const clocks = `{
	const at = (name) => Number(localStorage.getItem(name) ?? 0);
	Date.now = () => at("test clock");
	performance.now = () => at("test count");
}`

func (w *watcher) live() {
	w.Helper()
	call(w.tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: clocks})
	w.goTo(w.d.address(w.sheet) + "#" + w.step)
	w.waitLive()
	w.wait(w.section() + `.querySelector(".clock")`)
}

// pass lets so many seconds pass on both clocks.
func (w *watcher) pass(seconds float64) {
	w.Helper()
	w.set("clock", seconds)
	w.set("count", seconds)
}

func (w *watcher) set(clock string, by float64) {
	w.Helper()
	name := quoted("test " + clock)
	eval[bool](w.tab, fmt.Sprintf(`(localStorage.setItem(%[1]s, Number(localStorage.getItem(%[1]s)) + %[2]s), true)`, name, strconv.FormatFloat(1000*seconds(by), 'f', 0, 64)))
}

// seconds is a time to the thousandth, which is what clocks of a page have.
func seconds(v float64) float64 { return math.Round(1000*v) / 1000 }

func (w *watcher) section() string {
	return "document.querySelector(" + quoted("#"+w.step+" .timing") + ")"
}

// button is the button with a text, among those that can be seen.
func (w *watcher) button(text string) string {
	return fmt.Sprintf(`[...%s.querySelectorAll("button")].find((b) => b.getClientRects().length && b.textContent === %s)`, w.section(), quoted(text))
}

func (w *watcher) press(text string) {
	w.Helper()
	w.tap(w.button(text))
}

// shownWatch is what a stopwatch shows.
type shownWatch struct {
	Clock, Says, Status, Verdict, Own, Follows string
	Hidden                                     bool
	Buttons, Expected, Taken, Said             []string
	Marks                                      []struct{ Name, Title, At string }
	Reached                                    string
}

// shown is what it shows once a card is painted: then it has what is the job's.
func (w *watcher) shown() shownWatch {
	w.Helper()
	eval[bool](w.tab, painted)
	return eval[shownWatch](w.tab, fmt.Sprintf(`((s) => {
		const output = s.querySelector("output[name=verdict]"), rows = [...s.querySelectorAll("[data-mark]")];
		return {
			Clock: s.querySelector(".clock").textContent, Status: s.querySelector("[role=status]").textContent,
			Says: output.textContent.trim(), Verdict: output.dataset.verdict, Own: s.dataset.verdict, Hidden: output.hidden,
			Follows: [...s.querySelectorAll("[data-follows]")].map((a) => a.dataset.outcome).join(),
			Buttons: [...s.querySelectorAll("button")].filter((b) => b.getClientRects().length).map((b) => b.textContent),
			Expected: rows.map((r) => r.children.length > 2 ? r.children[1].textContent : ""),
			Taken: rows.map((r) => r.lastElementChild.textContent),
			Said: [...s.querySelectorAll("[data-outcome]")].map((a) => a.dataset.said),
			Marks: JSON.parse(s.dataset.marks || "[]").map((m) => ({Name: m.name, Title: m.title, At: m.at})),
			Reached: s.dataset.expected ?? "",
		};
	})(%s)`, w.section()))
}

// expect compares what is shown, list by list, with what should be.
func (w *watcher) expect(what, got, want string) {
	w.Helper()
	if got != want {
		w.Errorf("%s: %q, want %q", what, got, want)
	}
}

func list(texts []string) string { return strings.Join(texts, " | ") }

// enter types into the calculator of the curve, and waits until it is drawn.
func (w *watcher) enter(values map[string]string) {
	w.Helper()
	eval[bool](w.tab, fmt.Sprintf(`new Promise((done) => {
		for (const [name, text] of Object.entries(%s)) {
			const e = document.querySelector("form.calculator").elements[name];
			e.value = text;
			e.dispatchEvent(new Event("input", {bubbles: true}));
		}
		requestAnimationFrame(() => setTimeout(() => done(true)));
	})`, quoted(values)))
}

func newWatcher(t *testing.T, step string) *watcher {
	d, err := timingOnce()
	if err != nil {
		t.Fatal(err)
	}
	return d.watch(t, "en/procedures/opens-late.html", step)
}

func (d *demo) watch(t *testing.T, sheet, step string) *watcher {
	phone := open(t, "")
	w := &watcher{tab: phone.another(), phone: phone, d: d, sheet: sheet, step: step}
	w.live()
	w.pass(1_700_000_000)
	return w
}

// TestTiming takes times, with the tab closed while the watch runs.
func TestTiming(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	words := w.d.words
	start := words.Fill("timing.start", "mark", "First fire")
	undo, clearing := words.Word("timing.undo"), words.Word("timing.clear")
	third, look, fully := "Plate a third open", "Smoke gone", "Fully open"

	now := w.shown()
	entries := "Travel of the plate" // the key to what is to be entered first
	w.expect("at first", list(now.Buttons), list([]string{start, entries}))
	w.expect("at first", now.Clock, "0.0\u00a0s")
	// 33 % and 100 % of 90 s.
	w.expect("expected", list(now.Expected), "29.7\u00a0s |  | 90.0\u00a0s")
	w.press(start)
	w.pass(0.4)
	w.press(third) // a finger that bounces
	w.pass(30.9)
	w.press(third)
	w.pass(3)
	w.press(look)
	now = w.shown()
	w.expect("two marks", list(now.Taken), "31.3 | 34.3 | ")
	w.expect("two marks", now.Status, "Smoke gone: 34.3\u00a0s")
	w.expect("two marks", list(now.Buttons), list([]string{fully, undo, clearing, entries}))
	w.press(undo)
	w.expect("one taken back", list(w.shown().Taken), "31.3 |  | ")
	w.expect("before the air is read", now.Reached, "")
	if now.Verdict != "" || !now.Hidden || list(now.Said) != list(make([]string, 5)) {
		t.Errorf("a verdict before the end: %+v", now)
	}

	w.swipedAway(60)
	now = w.shown()
	w.expect("opened again", now.Clock, "94.3\u00a0s")
	w.expect("opened again", list(now.Taken), "31.3 |  | ")
	if before, _, _ := strings.Cut(words.Word("timing.runs"), "{"); !strings.HasPrefix(now.Status, before) {
		t.Errorf("opened again, it says %q", now.Status)
	}
	w.pass(5.7)
	w.wait(w.section() + `.querySelector(".clock").textContent === "100.0\u00a0s"`)
	if got := w.shown().Status; got != now.Status {
		t.Errorf("the running time is read out: %q", got)
	}
	w.press(fully)
	now = w.shown()
	w.expect("at the end", list(now.Buttons), list([]string{undo, clearing, entries}))
	w.expect("at the end", now.Clock, "100.0\u00a0s")
	w.expect("with the sheet's example", now.Says, words.Fill("verdict.enter", "input", "Supply voltage, Air"))
	w.enter(map[string]string{"voltage": "12", "ambient": "25"})
	now = w.shown()
	w.expect("judged", now.Verdict+now.Own+now.Follows, "withinwithinwithin")
	w.expect("judged", list(now.Said), "Too soon: 100.0\u00a0s (Within limits) | Within limits: 100.0\u00a0s | Too late: 100.0\u00a0s (Within limits) | "+
		"It never comes: 100.0\u00a0s (Within limits) | It differs each time: 100.0\u00a0s (Within limits)")
	names := ""
	for _, m := range now.Marks {
		names += m.Name + " " + m.Title + "; "
	}
	w.expect("the marks", names, "start First fire; third Plate a third open; open Fully open; ")
	w.expect("the marks", now.Marks[0].At, "2023-11-14T22:13:20.000Z") // 1.7e9 s after 1970 began
	w.expect("the marks", now.Marks[2].At, "2023-11-14T22:15:00.000Z")
	w.expect("expected", now.Reached, "90")
	w.expect("after the end", w.shown().Clock, "100.0\u00a0s")
	w.pass(1000)
	w.expect("after the end", w.shown().Clock, "100.0\u00a0s")

	w.press(clearing)
	now = w.shown()
	w.expect("cleared", list(now.Taken)+now.Verdict, " |  | ")
	back := words.Word("timing.back")
	w.expect("cleared", list(now.Buttons), list([]string{start, back}))
	w.press(back)
	w.expect("brought back", list(w.shown().Taken), "31.3 |  | 100.0")
}

// swipedAway closes the tab, lets so many seconds pass, and opens another one.
func (w *watcher) swipedAway(pause float64) {
	w.Helper()
	w.close()
	unkept := w.unkept
	w.tab = w.phone.another()
	w.unkept = unkept
	w.goTo(w.d.address("index.html"))
	eval[bool](w.tab, `(localStorage.setItem("test count", 0), true)`) // a page counts from its own beginning
	w.set("clock", pause)
	w.live()
}

// TestTimingVerdict takes times at and around the limits, at the volts and the
// air of several days.
func TestTimingVerdict(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	start, clearing := w.d.words.Fill("timing.start", "mark", "First fire"), w.d.words.Word("timing.clear")
	verdicts := map[string]int{}
	for _, day := range []struct{ volts, ambient float64 }{{12, 25}, {13.8, -5}, {11, 40}} {
		text := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
		w.enter(map[string]string{"voltage": text(day.volts), "ambient": text(day.ambient)})
		full := fullTravel(day.volts, day.ambient)
		if got, err := strconv.ParseFloat(w.shown().Reached, 64); err != nil || math.Abs(got-full) > 0.006 {
			t.Errorf("at %v the plate should take %v s, shown is %v", day, full, got)
		}
		for _, limit := range []float64{full / 2, full * 3 / 2} {
			for _, off := range []float64{-5, -0.34, -0.28, 0, 0.28, 0.34, 5} {
				took := seconds(limit + off)
				w.press(start)
				w.pass(took)
				w.press("Fully open")
				want, side := judge(took, &handbook.Limit{Min: &handbook.Number{Value: full / 2}, Max: &handbook.Number{Value: full * 3 / 2}}, handBound(took))
				if want == "within" {
					side = "within"
				}
				verdicts[want]++
				now := w.shown()
				if now.Verdict != want || now.Own != want || now.Follows != side {
					t.Errorf("at %v, %v s of %v s is %q and leads to %q, want %q, %q", day, took, full, now.Verdict, now.Follows, want, side)
				}
				w.press(clearing)
			}
		}
	}
	if verdicts["within"] == 0 || verdicts["close"] == 0 || verdicts["outside"] == 0 {
		t.Error(verdicts)
	}
	t.Log(verdicts)

	// At 9 V the plate stays at 90 %.
	w.enter(map[string]string{"voltage": "9", "ambient": "25"})
	w.press(start)
	w.pass(100)
	w.press("Fully open")
	now := w.shown()
	// 33 % of 90 s · (12/9)² is 52.8 s.
	w.expect("at 9 V", list(now.Expected), "52.8\u00a0s |  | "+w.d.words.Fill("timing.never", "time", "300\u00a0s"))
	w.expect("at 9 V", now.Verdict+now.Reached+now.Says, w.d.words.Fill("timing.noCurve", "mark", "Fully open", "time", "300\u00a0s"))
}

// TestTimingLimits: limits from a specification are those of the chosen model.
func TestTimingLimits(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "lever")
	words := w.d.words
	w.press(words.Fill("timing.start", "mark", "Key on"))
	w.pass(110)
	w.press("Lever at its stop")
	for model, want := range map[string]string{
		"":     " " + words.Word("verdict.model"),
		"k210": "within within " + words.Word("verdict.within") + " " + words.Word("verdict.withinNext"), // 60 to 120 s
		"k340": "outside high " + words.Word("timing.late") + " " + words.Word("verdict.outsideNext"),    // at most 100 s
	} {
		w.choose(model)
		now := w.shown()
		w.expect("model "+model, strings.TrimPrefix(now.Verdict+" "+now.Follows+" "+now.Says, " "), want)
	}
}

// TestTimingMinutes: a time whose limits are in minutes is shown as hours, minutes and
// seconds, and kept in minutes.
func TestTimingMinutes(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "hold")
	words := w.d.words
	start := words.Fill("timing.start", "mark", "Load on")
	w.press(start)
	w.pass(3600.4)
	w.wait(w.section() + `.querySelector(".clock").textContent === "1\u00a0h 0\u00a0s"`)
	w.press(words.Word("timing.clear"))
	w.press(start)
	w.pass(56*60 + 0.2) // less than presses and watch leave open
	w.press("10.5 V reached")
	now := w.shown()
	w.expect("0.2 s above the limit", now.Verdict+" "+now.Says, "close "+words.Word("verdict.close")+" "+words.Fill("timing.closeNext", "bound", fmt.Sprintf("%.2f\u00a0s", 0.95*handBound(56*60+0.2))))
	w.press(words.Word("timing.clear"))
	w.press(start)
	w.pass(3003.6) // 50.06 min
	w.press("10.5 V reached")
	now = w.shown()
	w.expect("too soon", now.Clock+list(now.Taken)+" "+now.Verdict+now.Follows, "50\u00a0min 3\u00a0s50\u00a0min 3\u00a0s outsidelow")
	w.expect("too soon", now.Said[0], "Too soon: 50\u00a0min 3\u00a0s")
	if !eval[bool](w.tab, `((s) => {
		const bar = document.querySelector(".bar").getBoundingClientRect().top;
		return [s.querySelector(".clock"), s.querySelector("output"), s.querySelector("[data-follows]")].every((e) => {
			const r = e.getBoundingClientRect();
			return r.top >= 0 && r.bottom <= bar;
		});
	})(`+w.section()+`)`) {
		t.Error("time, verdict and the answer that follows are not in view together")
	}
	w.tap(w.section() + `.querySelector("[data-outcome=low]")`)
	w.wait(`document.querySelector("#cause-feed.current")`)
	r := w.timed().Entries[0].Reading
	if r == nil || r.Value == nil || *r.Value != 50.06 || r.Unit != "min" || r.Text != "50\u00a0min 3\u00a0s" || r.Min == nil || *r.Min != 56 || r.Verdict != "low" {
		t.Fatalf("%+v", r)
	}
	w.wait(`document.querySelector("#cause-feed .gate, #cause-feed .of-job")`)
	if said := eval[string](w.tab, `document.querySelector("#cause-feed").textContent`); !strings.Contains(said, "50\u00a0min 3\u00a0s (") || strings.Contains(said, "50.06") {
		t.Errorf("the card says %q", said)
	}
	if want := handBound(3003.6) / 60; r.Doubt == nil || math.Abs(*r.Doubt-want) > 1e-9 {
		t.Errorf("the bound is %v min, want %v", r.Doubt, want)
	}
	if text := eval[string](w.tab, `document.querySelector(".rejudged")?.textContent ?? ""`); text != "" {
		t.Errorf("judged again: %q", text)
	}
}

// timed is the record of the job, once a time is in it.
func (w *watcher) timed() *record.Record {
	w.Helper()
	return w.stored(eval[string](w.tab, `(async () => {
		for (;;) {
			for (const [id, text] of Object.entries(await `+storedScript+`)) if (text.includes('"timing"')) return id;
			await new Promise((done) => setTimeout(done, 5));
		}
	})()`))
}

// TestTimingAgainst: an answer against the watch leads on only when it is asked for
// once more.
func TestTimingAgainst(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	w.enter(map[string]string{"voltage": "12", "ambient": "25"})
	w.press(w.d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(140.3) // 90 s and half of it are 135 s
	w.press("Fully open")
	answer := func(outcome string) { w.tap(w.section() + `.querySelector("[data-outcome=` + outcome + `]")`) }
	asked := func(said string) {
		t.Helper()
		want := ""
		if said != "" {
			want = w.d.words.Word("job.against") + " " + w.d.words.Fill("job.allTheSame", "said", said)
		}
		w.expect("asked", eval[string](w.tab, `[...document.querySelectorAll(".current .answers:not(.watch > ul:first-of-type) button")].filter((b) => b.getClientRects().length).map((b) => b.textContent).join()`), want)
	}
	answer("none")
	asked("It never comes: 140.3\u00a0s (Outside: too late)")
	answer("within")
	asked("Within limits: 140.3\u00a0s (Outside: too late)")
	w.press(w.d.words.Word("timing.undo"))
	asked("")
	w.press("Fully open")
	answer("within")
	w.press(w.d.words.Word("job.against") + " " + w.d.words.Fill("job.allTheSame", "said", "Within limits: 140.3\u00a0s (Outside: too late)"))
	w.wait(`document.querySelector("#end-not-reproduced.current")`)
	e := w.timed().Entries
	if len(e) != 1 || e[0].Outcome != "within" || e[0].Reading.Verdict != "high" {
		t.Errorf("%+v", e)
	}
}

// TestTimingClock: a wall clock that is set back gives no time.
func TestTimingClock(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "lever")
	setBack := w.d.words.Word("timing.setBack")
	start, stop := w.d.words.Fill("timing.start", "mark", "Key on"), "Lever at its stop"
	refused := func(what string) {
		t.Helper()
		w.press(stop)
		now := w.shown()
		w.expect(what, now.Status+list(now.Taken), setBack)
		w.press(w.d.words.Word("timing.clear"))
	}
	w.press(start)
	w.pass(10)
	w.set("clock", -3600)
	w.wait(w.section() + `.querySelector(".clock").textContent === "–"`)
	refused("an hour back")

	// Back by less than what has passed: the page has counted more.
	w.press(start)
	w.pass(60)
	w.set("clock", -20)
	refused("20 s back")

	// A page that was opened again has not counted: the mark would come before the start.
	w.press(start)
	w.swipedAway(10)
	w.set("clock", -3600)
	refused("an hour back, opened again")

	// A sleeping phone may stop the page's count; the wall clock holds.
	w.press(start)
	w.set("clock", 90)
	w.press(stop)
	w.expect("after a sleep", list(w.shown().Taken), "90.0")
}

// current puts a job in hand as the scripts of the page do it: its id into the store.
func (w *watcher) current(id string) {
	w.Helper()
	eval[bool](w.tab, fmt.Sprintf(`(() => {
		const key = Object.keys(localStorage).find((k) => k.includes(" timing ")).replace(/ timing .*/, " job");
		localStorage.setItem(key, JSON.stringify(%s));
		return true;
	})()`, quoted(id)))
}

// job puts a job in hand, of which the script of jobs tells.
func (w *watcher) job(id string) {
	w.Helper()
	w.unkept = true
	w.current(id)
	eval[bool](w.tab, `document.dispatchEvent(new Event("benchleaf-job"))`)
	eval[bool](w.tab, painted)
}

// TestTimingJobs: each job has its times; what was begun before the first job
// goes over into it, and starting again clears them.
func TestTimingJobs(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	start := w.d.words.Fill("timing.start", "mark", "First fire")
	job := w.job
	taken := func() string { return list(w.shown().Taken) }
	w.press(start)
	w.pass(20)
	w.press("Plate a third open")
	job("aa")
	w.expect("the first job", taken(), "20.0 |  | ")
	job("bb")
	w.expect("another machine", taken(), " |  | ")
	w.press(start)
	w.pass(7)
	w.press("Smoke gone")
	job("aa")
	w.expect("the first job again", taken(), "20.0 |  | ")
	w.swipedAway(1)
	w.expect("the first job, opened again", taken(), "20.0 |  | ")
	job("bb")
	w.expect("the second job again", taken(), " | 7.0 | ")

	// Whoever begins without a job after a night has another machine.
	job("")
	w.press(start)
	w.swipedAway(11 * 3600)
	w.expect("the same day", w.shown().Clock, "39600.0\u00a0s")
	w.swipedAway(2 * 3600)
	w.expect("the next day", w.shown().Clock, "0.0\u00a0s")
	// A job that has times of its own keeps them, and one that was begun elsewhere
	// takes none over.
	w.press(start)
	job("cc")
	w.pass(50)
	job("")
	w.press(start)
	job("cc")
	w.expect("its own", w.shown().Clock, "50.0\u00a0s")
	job("")
	w.press(start)
	w.current("dd")
	w.swipedAway(1)
	w.expect("begun elsewhere", w.shown().Clock, "0.0\u00a0s")

	job("bb")
	w.press(w.d.words.Word("timing.undo"))
	eval[bool](w.tab, `(document.querySelector("[data-do=again]").click(), true)`)
	w.expect("started again", taken(), " |  | ")
	job("aa")
	eval[bool](w.tab, `(document.querySelector("[data-do=other]").click(), true)`)
	w.expect("another machine", taken(), " |  | ")
	job("aa")
	w.expect("the first job once more", taken(), "20.0 |  | ")
}

// TestTimingPicture: the diamonds stand where the marks are expected, and then
// where they were taken; targets are large enough for gloves.
func TestTimingPicture(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	w.enter(map[string]string{"voltage": "12", "ambient": "25"})
	spots := func() []string {
		return eval[[]string](w.tab, `[...document.querySelectorAll(".plot-spot")].map((e) => {
			const svg = e.closest("svg"), [left, top, width, height] = svg.dataset.box.split(" ").map(Number), [x0, x1, y0, y1] = svg.dataset.range.split(" ").map(Number);
			const [x, y] = e.getAttribute("transform").match(/[\d.]+/g).map(Number);
			const seen = e.getClientRects().length > 0;
			return seen ? (x0 + (x - left) / width * (x1 - x0)).toFixed(0) + " s " + (y1 - (y - top) / height * (y1 - y0)).toFixed(0) + " % " + e.getAttribute("fill") : "";
		})`)
	}
	w.expect("at first", list(spots()), "30 s 33 % none | 90 s 100 % none")
	start := w.d.words.Fill("timing.start", "mark", "First fire")
	sizes := func(texts ...string) {
		t.Helper()
		for _, text := range texts {
			if h := eval[float64](w.tab, w.button(text)+".getBoundingClientRect().height"); h < 56 {
				t.Errorf("%q is %v px high", text, h)
			}
		}
	}
	sizes(start)
	w.press(start)
	sizes("Plate a third open", "Smoke gone", "Fully open")
	w.pass(60)
	w.press("Plate a third open")
	w.pass(200)
	w.press("Fully open")
	w.expect("taken", list(spots()), "60 s 33 % currentColor | ") // 260 s are beyond the picture
	w.wait("document.activeElement === " + w.section() + `.querySelector("h3")`)
	eval[bool](w.tab, axeScript(t))
	w.axe("a stopwatch that has run")
}

// TestTimingRecord: the record of a job holds the marks, what was expected, and
// the time as a reading.
func TestTimingRecord(t *testing.T) {
	t.Parallel()
	w := newWatcher(t, "plate")
	w.enter(map[string]string{"voltage": "12", "ambient": "25"})
	w.press(w.d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(40.3)
	w.press("Plate a third open")
	w.pass(100)
	w.press("Fully open")
	w.pass(2)
	w.tap(w.section() + `.querySelector("[data-outcome=high]")`)
	w.wait(`document.querySelector("#cause-feed.current")`)
	e := w.timed().Entries[0]
	if e.Reading == nil || e.Timing == nil || len(e.Timing.Marks) != 3 || e.Timing.Expected == nil || *e.Timing.Expected != 90 {
		t.Fatalf("%+v", e)
	}
	if r := e.Reading; r.Spec != "travel" || r.Verdict != "high" || r.Value == nil || *r.Value != 140.3 || r.Unit != "s" {
		t.Errorf("%+v", *r)
	}
	// Half of 90 s to either side, and what 90 s hold for: whoever has the record can judge the time again.
	if r := e.Reading; r.Min == nil || *r.Min != 45 || r.Max == nil || *r.Max != 135 || r.Doubt == nil || math.Abs(*r.Doubt-handBound(140.3)) > 1e-9 {
		t.Errorf("limits %v to %v, bound %v", r.Min, r.Max, r.Doubt)
	}
	given := []record.Given{{Title: "Supply voltage", Value: 12, Unit: "V"}, {Title: "Air", Value: 25, Unit: "°C"}}
	if tolerance := e.Timing.Tolerance; tolerance == nil || *tolerance != 0.5 || !slices.Equal(e.Timing.Given, given) {
		t.Errorf("tolerance %v, given %+v", tolerance, e.Timing.Given)
	}
	if m := e.Timing.Marks[1]; m.Name != "third" || m.Title != "Plate a third open" {
		t.Errorf("%+v", m)
	}
}
