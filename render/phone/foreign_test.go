package phone

import (
	"fmt"
	"strings"
	"testing"
)

// generator holds for the Damson 175 alone.
const generator = "en/procedures/generator-dead.html"

// opensAt opens a page afresh at a place of it, as a link from elsewhere does.
func (m *mechanic) opensAt(path, place string) {
	m.Helper()
	m.goTo("about:blank")
	m.goTo(m.d.address(path) + place)
	m.waitLive()
}

// TestForeignModel: a sheet that does not hold for the machine keeps what is typed and timed on it,
// and judges nothing.
func TestForeignModel(t *testing.T) {
	t.Parallel()
	phone, d := open(t, ""), compiled(t)
	m := &mechanic{phone.another(), phone, d}
	none := d.words.Fill("verdict.noLimit", "model", "Quince 150")
	judges := func(step, want, follows string) {
		t.Helper()
		m.expect(step, m.says("#"+step+" output"), want)
		m.expect(step+" leads on", eval[string](m.tab, `[...document.querySelectorAll(".current [data-follows]")].map((a) => a.dataset.outcome).join()`), follows)
	}
	m.opensAt(generator, "#winding")
	m.choose("quince-150")
	m.reads("OL")
	judges("winding", none, "")
	m.reads("9.9")
	judges("winding", none, "")
	m.reads("no figure") // is an entry that says nothing
	judges("winding", none, "")
	m.choose("damson-175")
	m.reads("OL")
	judges("winding", d.words.Word("verdict.nothing")+" "+d.words.Word("verdict.outsideNext"), "none")
	m.choose("quince-150")
	judges("winding", none, "")
	m.answers("No reading at all", "cause-winding")
	if gate := m.says(".current .gate"); !strings.HasPrefix(gate, d.words.Word("job.notCondemned")) {
		t.Errorf("the part is said to be %q", gate)
	}
	r := m.record()
	if got := r.Entries[0].Reading; got == nil || got.Verdict != "" || got.Min != nil || got.Max != nil || got.Text != "OL" {
		t.Errorf("reading %+v", got)
	}
	if r.Findings[0].CondemnedBy != nil {
		t.Error("the record has the part condemned")
	}
	// For the machine that the sheet holds for, the same reading condemns.
	m.choose("damson-175")
	m.tap(`document.querySelector("[data-do=back]")`)
	m.at("winding")
	m.answers("No reading at all", "cause-winding")
	if gate := m.says(".current .gate"); !strings.HasPrefix(gate, d.words.Word("job.condemned")) {
		t.Errorf("the part is said to be %q", gate)
	}

	w := d.watch(t, generator, "build-up")
	w.choose("quince-150")
	w.press(d.words.Fill("timing.start", "mark", "First fire"))
	w.pass(60)
	w.press("225 V")
	now := w.shown()
	w.expect("a time", now.Verdict+now.Follows+now.Says, none)
	w.choose("damson-175")
	w.expect("a time of its own", w.shown().Verdict, "outside")
}

// TestShownPart: a reading within its limits may show a part, by what it leaves; it condemns none.
func TestShownPart(t *testing.T) {
	t.Parallel()
	phone, d := open(t, ""), compiled(t)
	m := &mechanic{phone.another(), phone, d}
	for reading, want := range map[string]string{
		"":    d.words.Word("job.notCondemned"),
		"2.4": d.words.Fill("job.shown", "number", "10", "said", "Within limits: 2.4 Ω") + " " + d.words.Word("end.unread"),
	} {
		m.opensAt(generator, "#winding")
		m.choose("damson-175")
		m.reads(reading)
		m.answers("Within limits", "cause-rotor")
		m.expect(fmt.Sprintf("by %q", reading), m.says(".current .gate"), strings.ReplaceAll(want, "\u00a0", " "))
		m.presses("Other machine")
		m.at("confirm")
	}
}

// TestClearOfEdges: neither the notice of another machine nor the bar lies over the heading of a card, or
// over the verdict on what is typed; with something to put back the bar leaves four fifths of a small screen.
func TestClearOfEdges(t *testing.T) {
	t.Parallel()
	phone, d := open(t, ""), compiled(t)
	m := &mechanic{phone.another(), phone, d}
	const clear = `((e) => {
		const r = e.getBoundingClientRect(), notice = document.querySelector(".not-applicable:not([hidden])")?.getBoundingClientRect();
		return r.height > 0 && r.top >= Math.max(0, notice?.bottom ?? 0) && r.bottom <= document.querySelector(".bar").getBoundingClientRect().top;
	})(document.querySelector(%s))`
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		m.size(size[0], size[1])
		sees := func(what, selector string) {
			t.Helper()
			m.wait(painted)
			if !eval[bool](m.tab, fmt.Sprintf(clear, quoted(selector))) {
				t.Errorf("%v: %s is not in sight", size, what)
			}
		}
		m.opensAt(generator, "#tacho")
		m.choose("damson-175")
		for _, height := range []int64{size[1], 460} { // under which the keyboard is
			m.size(size[0], height)
			m.reads("3120")
			sees("the verdict", ".current output")
			sees("the marked answer", ".current [data-follows]")
		}
		m.size(size[0], size[1])
		m.choose("quince-150")
		sees("the verdict of another model", ".current output")
		m.opensAt(generator, "#tacho")
		sees("the heading of the address", ".current h2")
		m.answers("Low", "cause-speed")
		sees("the heading of a card that is come to", ".current h2")
		m.presses("Other machine")
		m.at("confirm")

		// The first reading has the bar say what now stands on the machine.
		m.opensAt("en/procedures/choke-opens-late.html", "#ground")
		m.choose("quince-150")
		m.reads("0.31")
		sees("the verdict above a bar that has grown", ".current output")
		sees("the marked answer above a bar that has grown", ".current [data-follows]")
		m.presses("Other machine")
		m.at("confirm")

		m.opensAt(generator, "#open")
		m.choose("damson-175")
		m.answers("Below 1 Ω on line and neutral", "capacitor")
		m.expect("what stands", m.says(".bar .left"), d.words.Word("job.left")+": Terminal box open, Plug lead off")
		if size[0] == 320 {
			if high := eval[float64](m.tab, `document.querySelector(".bar").offsetHeight`); high > 640/5 {
				t.Errorf("the bar takes %v of 640", high)
			}
		}
		eval[bool](m.tab, `(document.querySelector(".bar .job").textContent = "Job: D175-20417-AB", true)`)
		if cut := eval[bool](m.tab, `((e) => e.scrollWidth > e.clientWidth || e.scrollHeight > e.clientHeight)(document.querySelector(".bar .job"))`); cut {
			t.Errorf("%v: the serial number in the bar is cut", size)
		}
		// Letters twice as large leave half of the screen to the card.
		eval[bool](m.tab, `(document.documentElement.style.fontSize = "200%", true)`)
		m.wait(`document.querySelector(".bar").classList.contains("tall")`)
		if share := eval[float64](m.tab, `document.querySelector(".bar").offsetHeight / innerHeight`); share > 0.5 {
			t.Errorf("%v: with large letters the bar takes %v of the screen", size, share)
		}
		m.presses("Other machine")
		m.at("confirm")
	}
}
