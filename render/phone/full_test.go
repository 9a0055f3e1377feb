package phone

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
)

// old are the ways of other jobs, and what else is kept of them, as a year leaves them on a phone.
const old = 300

// fills fills the browser's local store to its brim. What is kept of old jobs is all that
// could be given up, beside what another program keeps.
func (m *mechanic) fills() {
	m.Helper()
	eval[bool](m.phone, fmt.Sprintf(`(() => {
		const here = %s;
		for (let i = 0; i < %d; i++) {
			const id = i.toString(16).padStart(32, "0");
			localStorage.setItem("benchleaf " + here + " way " + id + " procedures/no-heat", JSON.stringify("x".repeat(1500)));
			localStorage.setItem("benchleaf " + here + " timing " + id + " procedures/no-heat touch", "[]");
			localStorage.setItem("benchleaf " + here + " bar " + id, '["a job","","",true]');
			localStorage.setItem("benchleaf " + here + " saved " + id, '"2026-01-01T00:00:00.000Z"');
		}
		for (let n = 1 << 20, i = 0; n; ) try { localStorage.setItem("other " + i++, "x".repeat(n)); } catch { n >>= 1; }
		return true;
	})()`, quoted(m.d.address("")+"/"), old))
}

// kept says how many keys of the local store have a word in them.
func (m *mechanic) kept(word string) int {
	m.Helper()
	return eval[int](m.phone, fmt.Sprintf(`Object.keys(localStorage).filter((k) => k.startsWith("benchleaf") && k.includes(%s)).length`, quoted(word)))
}

// TestFullStore answers where the local store is full, the tab closed at once while the
// database has no time: the answer is there, and what old jobs left has made room.
func TestFullStore(t *testing.T) {
	t.Parallel()
	for _, begun := range []bool{true, false} {
		t.Run(fmt.Sprintf("begun %v", begun), func(t *testing.T) {
			t.Parallel()
			m := newMechanic(t)
			m.phone.goLive(m.d.address("index.html"))
			m.opens(noHeat)
			m.choose("k210")
			want := "touch: Cold"
			answer, at := "Cold", "fuse"
			if begun {
				m.answers("Cold", "fuse")
				want, answer, at = "touch: Cold | fuse: Whole", "Whole", "coil"
			}
			m.fills()
			m.holds()
			m.tap(fmt.Sprintf(`[...document.querySelectorAll(".current .answers a")].find((a) => a.firstChild.textContent.trim() === %s)`, quoted(answer)))
			m.wait(fmt.Sprintf(`document.querySelector(".current").id === %s`, quoted(at)))
			id := m.job()
			m.close()
			m.lets()
			m.tab = m.phone.another()
			m.opens(noHeat)
			m.at(at)
			r := m.record()
			m.expect("the job at hand", r.ID, id)
			m.expect("steps", steps(r), want)
			m.expect("the model", r.Machine.Model+eval[string](m.tab, `document.querySelector("[name=model]").value`), "k210k210")
			// One way, one line in the bar: those of the job at hand. What was saved stays known.
			got := []int{m.kept(" way "), m.kept(" timing "), m.kept(" bar "), m.kept(" saved ")}
			m.expect("what is kept", fmt.Sprint(got), fmt.Sprint([]int{1, 0, 1, old}))
		})
	}
}

// TestDeletedJobLeavesNothing: what was kept of a job goes with it, and comes back with it.
func TestDeletedJobLeavesNothing(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.phone.goLive(m.d.address("index.html"))
	m.opens(noHeat)
	m.answers("Cold", "fuse")
	m.answers("Whole", "coil")
	id := m.job()
	before := m.kept(id)
	if before < 2 {
		t.Errorf("%d keys of the job, want a way and a line in the bar", before)
	}
	m.goTo("about:blank")
	m.jobs(m.d, "#"+id)
	word := m.d.words.Word
	m.presses(word("jobs.delete"))
	m.presses(word("jobs.deleteYes"))
	m.wait(`document.querySelector(".jobs-list:not([hidden]) .jobs li > button")`)
	m.expect("what is left of it", fmt.Sprintf("%d %s", m.kept(id), m.job()), "0 ")
	m.presses(word("job.undo"))
	m.wait(`document.querySelector(".jobs li > a")`)
	m.expect("what came back", fmt.Sprint(m.kept(id)), fmt.Sprint(before))
	m.expect("steps", steps(m.stored(id)), "touch: Cold | fuse: Whole")
}

// refuses has the database take no more records, as a full one, until the phone's key "takes" says so.
const refuses = `const put = IDBObjectStore.prototype.put;
	IDBObjectStore.prototype.put = function (...args) {
		if (localStorage.getItem("refuses")) throw new DOMException("full", "QuotaExceededError");
		return put.apply(this, args);
	};`

// forgives forgets the faults that come of a refusal which the test has made.
func (b *tab) forgives() {
	b.mu.Lock()
	defer b.mu.Unlock()
	var others []string
	for _, f := range b.faults {
		if !strings.Contains(f, "QuotaExceededError") {
			others = append(others, f)
		}
	}
	b.faults = others
}

// TestFullDatabase: what the database does not take is kept beside it, counts everywhere,
// and goes back to it.
func TestFullDatabase(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.phone.goLive(m.d.address("index.html"))
	call(m.tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: refuses})
	refuse := func(yes bool) {
		t.Helper()
		eval[bool](m.phone, fmt.Sprintf(`(%v ? localStorage.setItem("refuses", 1) : localStorage.removeItem("refuses"), true)`, yes))
	}
	m.opens(noHeat)
	m.choose("k210")
	m.answers("Cold", "fuse")
	m.answers("Whole", "coil")
	id := m.job()
	refuse(true)
	m.reads("9.4")
	m.tap(`document.querySelector(".current [data-outcome=within]")`)
	m.at("volts")
	m.reads("13.3")
	const three, four = "touch: Cold | fuse: Whole | coil: Within limits: 9.4 Ω", " | volts: Within limits: 13.3 V"
	for range 2 {
		m.opens(noHeat)
		m.at("volts")
		m.expect("what was typed", eval[string](m.tab, `document.querySelector(".current input").value`), "13.3")
		m.expect("the way", m.says(".way li span"), "Cold Whole Within limits: 9.4 Ω")
	}
	m.expect("what the database has", steps(m.stored(id)), "touch: Cold | fuse: Whole")
	m.jobs(m.d, "")
	if text := m.says(".jobs li"); !strings.Contains(text, "4") {
		t.Errorf("the list of jobs says %q", text)
	}
	m.expect("how long it is kept", fmt.Sprint(strings.Contains(m.says(".kept"), m.d.words.Word("jobs.keptMemory"))), "false")
	m.jobs(m.d, "#"+id)
	for _, want := range []string{"9.4 Ω", "13.3 V"} {
		if text := m.says(".record"); !strings.Contains(text, want) {
			t.Errorf("the record lacks %s: %q", want, text)
		}
	}

	m.opens(noHeat)
	m.at("volts")
	refuse(false)
	m.tap(`document.querySelector(".current [data-outcome=within]")`)
	m.at("move")
	m.expect("what the database has now", steps(m.stored(id)), three+four)
	m.expect("what is held beside it", eval[string](m.tab, `localStorage.getItem(Object.keys(localStorage).find((k) => k.endsWith(" records")))`), "{}")
	m.opens(noHeat)
	m.at("move")
	m.forgives()
}

// TestFullPhone: where the local store takes nothing either, the list of jobs says that
// nothing is kept for good.
func TestFullPhone(t *testing.T) {
	t.Parallel()
	m := newMechanic(t)
	m.phone.goLive(m.d.address("index.html"))
	call(m.tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: refuses})
	m.opens(noHeat)
	m.answers("Cold", "fuse")
	eval[bool](m.phone, `(localStorage.setItem("refuses", 1), true)`)
	eval[bool](m.phone, `(() => { for (let n = 1 << 20, i = 0; n; ) try { localStorage.setItem("other " + i++, "x".repeat(n)); } catch { n >>= 1; } return true; })()`)
	m.jobs(m.d, "")
	m.wait(`document.querySelector(".kept").textContent === ` + quoted(m.d.words.Word("jobs.keptMemory")))
	m.forgives()
}
