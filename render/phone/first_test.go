package phone

import (
	"strings"
	"testing"
)

// lands opens a card by its address, as from a label, the search or a link.
func (m *mechanic) lands(path, card string) {
	m.Helper()
	m.goTo("about:blank")
	m.goTo(m.d.address(path) + "#" + card)
	m.waitLive()
	m.at(card)
}

func (m *mechanic) left() string {
	m.Helper()
	return strings.Join(m.record().Left, " ")
}

// TestRequiredIsAskedFor: who comes to a step by its address is told nothing of the machine
// that nobody has done; what the step requires is asked for, with the way to the
// step that does it, and stands on the list once the step is worked.
func TestRequiredIsAskedFor(t *testing.T) {
	t.Parallel()
	const asks = "First Fuse out: 2 Pull the fuse"
	m := newMechanic(t)
	m.lands(noHeat, "coil")
	m.expect("before the step", m.says(".current .before"), asks)
	m.expect("how the machine stands", m.says(".current .standing"), "")
	m.expect("above the bar", m.says(".bar .left"), "")
	m.tap(`document.querySelector(".current .before a")`)
	m.at("fuse")
	m.answers("Whole", "coil")
	m.expect("after the step that does it", m.says(".current .before"), "")
	m.expect("how the machine stands", m.says(".current .standing"), "The machine stands so: Fuse out.")

	m = newMechanic(t)
	m.lands(noHeat, "coil")
	m.choose("k210")
	m.reads("15")
	m.at("coil")
	m.expect("typed", m.left()+", "+m.says(".current .before")+"; "+m.says(".bar .left"), "fuse-out, "+asks+"; To put back: Fuse out")
	m.tap(`document.querySelector(".bar .left summary")`)
	m.tap(`document.querySelector(".bar .left button")`)
	m.at("coil")
	m.expect("put back", m.left()+", "+m.says(".current .before"), ", "+asks)
	m.reads("15.1")
	m.at("coil")
	m.expect("typed once more", m.left(), "")

	// The step puts it back itself; one that it does not is on the list of the cause.
	m = newMechanic(t)
	m.goTo("about:blank")
	m.goTo(m.d.address(noHeat) + "#coil")
	m.waitLive()
	m.at("coil")
	eval[bool](m.tab, `delete document.querySelector("#coil").dataset.restores`)
	m.choose("k210")
	m.reads("15")
	m.answers("High", "cause-coil-bad")
	m.expect("answered", m.left()+", "+m.says(".bar .left"), "fuse-out, To put back: Fuse out")
}

// TestStepLeft: what a step sets stands on the list once it is left by another way than
// its answers, for whoever takes over; who only looks at a step has done nothing.
func TestStepLeft(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.opens(noHeat)
	m.answers("Cold", "fuse")
	m.expect("while nobody has left", m.left()+m.says(".bar .left"), "")
	m.tap(`document.querySelector(".bar .job")`)
	m.wait(`document.body?.dataset.page === "jobs" && document.querySelector(".stands .left li")`)
	m.expect("on the jobs page", m.says(".stands .left li b"), "Fuse out")
	m.leave("history.back()")
	m.at("fuse")
	m.expect("left", m.left(), "fuse-out")
	m.tap(`document.querySelector(".bar .left summary")`)
	m.expect("on the card", m.says(".bar .left"), "To put back: Fuse out In this step: Fuse out Put the fuse back.")
	m.tap(`document.querySelector(".bar .left button")`)
	m.at("fuse")
	m.expect("put back in the step", m.left()+m.says(".bar .left"), "In this step: Fuse out ✓ Fuse out: put back Undo")

	// Who goes back to look at it does nothing.
	m.answers("Whole", "coil")
	m.tap(`document.querySelector("[data-do=back]")`)
	m.at("fuse")
	m.tap(`document.querySelector(".bar .left button")`)
	m.at("fuse")
	m.goTo("about:blank")
	m.goTo(m.d.address(noHeat))
	m.waitLive()
	m.at("fuse")
	m.expect("looked at", m.left(), "")
	// Neither who opens another one by its address.
	m.lands(noHeat, "move")
	m.goTo("about:blank")
	m.goTo(m.d.address(noHeat))
	m.waitLive()
	m.at("fuse")
	m.expect("visited", m.left(), "")
	m.expect("beside a visit", m.says(".bar .left"), "")

	// Another round counts what was begun in it.
	m.answers("Burnt", "cause-fuse-burnt")
	m.tap(`document.querySelector(".current .left button")`)
	m.at("cause-fuse-burnt")
	m.presses("Start again")
	m.at("touch")
	m.answers("Cold", "fuse")
	m.expect("in another round", m.left(), "")
	m.presses("Start again")
	m.at("touch")
	m.expect("begun in another round", m.left(), "fuse-out")

	// By each key that leads away.
	for _, key := range []string{"other", "again", "back"} {
		m = newMechanic(t)
		m.opens(noHeat)
		m.answers("Cold", "fuse")
		job := m.job()
		m.tap(`document.querySelector("[data-do=` + key + `]")`)
		m.at("touch")
		m.expect(key, strings.Join(m.stored(job).Left, " "), "fuse-out")
	}
}

// TestStartsOnWhatStands: a step that starts the engine, and puts back what its state does
// not allow, asks for that above all that it says.
func TestStartsOnWhatStands(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.opens(noHeat)
	m.answers("Cold", "fuse")
	m.answers("Whole", "coil")
	eval[bool](m.tab, `document.querySelector("#coil").dataset.restores = "", document.querySelector("#volts").dataset.restores = "fuse-out", true`)
	m.answers("Within limits", "volts")
	m.expect("above the step", m.says(".current .off"), "First, put back Fuse out Put the fuse back.")
}

// TestSameAddress: who comes to the step that is shown by its address once more, as
// with a label's code, goes on there with what was typed, and the way stays.
func TestSameAddress(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.lands(noHeat, "fuse")
	m.answers("Whole", "coil")
	m.choose("k210")
	m.goTo(m.d.address(noHeat) + "#coil")
	m.wait(`history.state !== null`)
	m.at("coil")
	m.reads("15")
	m.expect("typed", m.left(), "fuse-out")
	m.expect("the way", m.says(".way ol"), "2 Pull the fuse Whole")
}
