package phone

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"benchleaf/render"
	"benchleaf/render/desk"
)

// deskOf is a handbook on the desk.
type deskOf struct {
	testing.TB
	dir     string // of the handbook
	address string // with the slash
	phone   string // for phones, "" for none
	stop    func()
}

// onDesk puts a copy of the demo on the desk.
func onDesk(t testing.TB, phone bool) *deskOf {
	t.Helper()
	d := copied(t)
	d.listen(phone)
	return d
}

// copied is a copy of the demo without its translations: a change to a page is a remark on these too.
func copied(t testing.TB) *deskOf {
	t.Helper()
	d := &deskOf{TB: t, dir: filepath.Join(t.TempDir(), "book")}
	d.do(os.CopyFS(d.dir, os.DirFS(filepath.Join("..", "..", "content"))))
	d.do(os.RemoveAll(d.path("es")))
	d.edit("handbook.yaml", "\nremarks:\n", "\nremarks:\n  page-untranslated: off\n  language-empty: off\n  synonym-idle: off\n  glossary-unshown: off\n")
	return d
}

// listen puts a handbook on the desk.
func (d *deskOf) listen(phone bool) {
	d.Helper()
	on, err := desk.Listen(0)
	d.do(err)
	d.address = on.Address()
	if phone {
		on.Phone, err = net.Listen("tcp", "127.0.0.1:0")
		d.do(err)
		d.phone = "http://" + on.Phone.Addr().String() + "/"
	}
	d.serve(on)
}

// serve serves until the test ends, or stop is called.
func (d *deskOf) serve(on desk.Listeners) {
	d.Helper()
	live, err := render.Open(d.dir)
	d.do(err)
	shown := &desk.Desk{Dir: d.dir, Builder: live, Theme: live.Theme(), Tell: func(_ *desk.Built, _ []string, _ time.Duration, err error) {
		if err != nil {
			d.Error(err)
		}
	}}
	ctx, stop := context.WithCancel(context.Background())
	ready, done := make(chan struct{}), make(chan error, 1)
	go func() { done <- shown.Serve(ctx, on, func() { close(ready) }) }()
	<-ready
	d.stop = func() {
		stop()
		if err := <-done; err != nil {
			d.Error(err)
		}
		d.stop = func() {}
	}
	d.Cleanup(func() { d.stop() })
}

func (d *deskOf) do(err error) {
	d.Helper()
	if err != nil {
		d.Fatal(err)
	}
}

func (d *deskOf) path(name string) string { return filepath.Join(d.dir, filepath.FromSlash(name)) }

// edit replaces texts that stand in a file once, pair by pair, as an editor does: a
// second file takes the place of the first.
func (d *deskOf) edit(name string, pairs ...string) {
	d.Helper()
	data, err := os.ReadFile(d.path(name))
	d.do(err)
	text := string(data)
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(text, pairs[i]) != 1 {
			d.Fatalf("%s has %q %d times", name, pairs[i], strings.Count(text, pairs[i]))
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	aside := d.path(filepath.Dir(name) + "/.aside")
	d.do(os.WriteFile(aside, []byte(text), 0o666))
	d.do(os.Rename(aside, d.path(name)))
}

// open opens a page of the desk and marks its document, to know it again.
func (d *deskOf) open(page string) *tab {
	d.Helper()
	b := open(d.TB, d.address)
	b.goTo(d.address + page)
	b.waitLive()
	b.wait(`document.querySelector(".desk summary").textContent`)
	b.wait(`self.marked = true`)
	return b
}

// forget leaves out what the browser complained of, where that is meant.
func (b *tab) forget() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = nil
}

const (
	smoke     = "en/procedures/black-smoke.md"
	smokePage = "en/procedures/black-smoke.html"
	// reading is the field of the heater's resistance.
	reading = `document.querySelector("#ohms .reading input")`
)

func (b *tab) enterReading(text string) {
	b.Helper()
	b.wait(reading)
	eval[bool](b, reading+`.focus() === undefined`)
	b.keys(text)
}

// TestDeskEdits changes a page while somebody is at a step of it: what changed is there,
// in the same document, and everything else is as it was.
func TestDeskEdits(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open(smokePage + "#ohms")
	b.enterReading("8.55")
	b.wait(`document.querySelector("#ohms output").textContent`)
	verdict := eval[string](b, `document.querySelector("#ohms output").textContent`)
	same := func(what string) {
		t.Helper()
		if !eval[bool](b, `self.marked === true`) {
			t.Errorf("%s: the page was loaded anew", what)
		}
		got := eval[[]string](b, `[document.querySelector(".current").id, `+reading+`.value, document.activeElement === `+reading+` ? "focus" : "", document.querySelector("#ohms output").textContent]`)
		if want := []string{"ohms", "8.55", "focus", verdict}; !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
	}
	d.edit(smoke, "Touch the leads together and zero the meter, then read.", "Zero the meter *first*.")
	b.wait(`document.querySelector("#ohms em")?.textContent === "first"`)
	same("a paragraph of the step")
	d.edit(smoke, "## Compare the cover mark", "## Hold the cover mark")
	b.wait(`document.querySelector("#index h2").textContent.includes("Hold the cover mark")`)
	same("the title of another step")
	d.edit(smoke, "Begin with the engine cold.", "One more paragraph.\n\n- A list\n- of two\n\nBegin with the engine cold.")
	b.wait(`document.querySelectorAll(".intro li").length === 2`)
	same("more paragraphs")
	d.edit(smoke, "- [The marks meet](#air)\n- [The notch stands toward R](cause:cover-turned)", "- [The notch stands toward R](cause:cover-turned)\n- [Both marks meet](#air)")
	b.wait(`document.querySelectorAll("#index .answers a")[1].textContent === "Both marks meet"`)
	same("answers in another order")
	d.edit(smoke, "title: Black smoke goes on after warm-up", "title: Black smoke after warm-up")
	b.wait(`document.title.startsWith("Black smoke after warm-up") && document.querySelector("h1").textContent === "Black smoke after warm-up"`)
	same("the title")
	if text := eval[string](b, `document.querySelector(".desk summary").textContent`); text != "Nothing wrong" {
		t.Errorf("the strip says %q", text)
	}
}

// TestDeskScroll changes what stands above what is read: that does not move.
func TestDeskScroll(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open("en/theory/choke.html")
	const place = `document.querySelector("#states").getBoundingClientRect().top`
	eval[bool](b, `(document.querySelector("#states").scrollIntoView(), true)`)
	was := eval[float64](b, place)
	d.edit("en/theory/choke.md", "A cold engine needs", "A first paragraph.\n\nA second paragraph.\n\nA cold engine needs")
	b.wait(`document.body.textContent.includes("A second paragraph.")`)
	if now := eval[float64](b, place); now < was-1 || now > was+1 {
		t.Errorf("what was read moved from %v to %v", was, now)
	}
	if !eval[bool](b, `self.marked === true`) {
		t.Error("the page was loaded anew")
	}
}

// TestDeskScripts changes what the page's scripts know since they began: limits, steps and
// their order. They know it anew, in the same document.
func TestDeskScripts(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open(smokePage)
	b.choose("medlar-245")
	for _, to := range []string{"lever", "index", "air", "ohms"} {
		b.tap(`document.querySelector(".current .answers a")`)
		b.wait(`document.querySelector(".current").id === ` + quoted(to))
	}
	b.enterReading("8.1")
	same := func(what, verdict, way string) {
		t.Helper()
		b.wait(`document.querySelector("#ohms output").dataset.verdict === ` + quoted(verdict))
		got := eval[[]string](b, `[document.querySelector(".current").id, document.querySelector("select[name=model]").value, document.activeElement === `+reading+` ? "focus" : "", `+
			reading+`.value, [...document.querySelectorAll(".way li > :first-child")].map((e) => e.textContent.trim().split(" ")[0]).join(), document.title.split(" · ")[1], self.marked ? "" : "loaded anew"]`)
		if want := []string{"ohms", "medlar-245", "focus", "8.1", way, "Medlar 245", ""}; !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
	}
	// 8.1 ± (0.8 % + 0.2) Ω lies within 7.8 to 8.6 Ω, and below 8.5 to 9.3 Ω.
	same("before", "within", "1,2,3,4")
	d.edit("specs/choke.yaml", "medlar-245: {nominal: 8.2, tolerance: 0.4}", "medlar-245: {nominal: 8.9, tolerance: 0.4}")
	b.wait(`[...document.querySelectorAll("#ohms [data-model~=medlar-245]")].some((e) => e.textContent.includes("8.9"))`)
	same("a specified value", "outside", "1,2,3,4")
	if eval[bool](b, `[...document.querySelectorAll("#ohms [data-model=quince-150]")].some((e) => !e.hidden)`) {
		t.Error("limits of another model are shown")
	}
	d.edit(smoke, `within: "#start"`, `within: "#another"`, "## Start, and time the choke lever", "## Another step <id:another>\n\nLook.\n\n```answers\n- [Go on](#start)\n```\n\n## Start, and time the choke lever")
	b.wait(`document.querySelector("#another")`)
	same("a step more", "outside", "1,2,3,4")
	data, err := os.ReadFile(d.path(smoke))
	d.do(err)
	steps := strings.Split(string(data), "\n## ")
	steps[2], steps[3] = steps[3], steps[2]
	d.do(os.WriteFile(d.path(smoke), []byte(strings.Join(steps, "\n## ")), 0o666))
	b.wait(`document.querySelector("#index").nextElementSibling.id === "lever" && document.querySelector("#index .number").textContent === "2"`)
	same("two steps that change places", "outside", "1,3,2,4")
	// The limits as they were, and the new step is walked.
	d.edit("specs/choke.yaml", "medlar-245: {nominal: 8.9, tolerance: 0.4}", "medlar-245: {nominal: 8.2, tolerance: 0.4}")
	same("the value as it was", "within", "1,3,2,4")
	b.tap(`document.querySelector("#ohms [data-outcome=within]")`)
	b.wait(`document.querySelector("#another.current") && getComputedStyle(document.querySelector("#another")).display !== "none"`)
}

// TestDeskCalculators keeps what was typed in a calculator, whether the page changes in place or
// is loaded anew.
func TestDeskCalculators(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open("en/bench/air.html")
	field := `document.querySelector("form.calculator input:not([value='']):not(:disabled)")`
	name := eval[string](b, field+`.id`)
	entry := `document.getElementById(` + quoted(name) + `).value`
	eval[bool](b, field+`.select() === undefined`)
	eval[bool](b, field+`.focus() === undefined`)
	b.keys("1234")
	typed := eval[string](b, entry)
	results := eval[string](b, `[...document.querySelectorAll("form.calculator output")].map((o) => o.textContent).join()`)
	same := func(what string) {
		t.Helper()
		b.wait(`[...document.querySelectorAll("form.calculator output")].map((o) => o.textContent).join() === ` + quoted(results))
		if got := eval[string](b, entry); got != typed {
			t.Errorf("%s: %q, want %q", what, got, typed)
		}
	}
	d.edit("en/bench/air.md", "Leave the barometer empty and give the height.", "Give the height.")
	b.wait(`!document.body.textContent.includes("Leave the barometer empty")`)
	same("a paragraph")
	if !eval[bool](b, `self.marked === true`) {
		t.Error("the page was loaded anew")
	}
	d.edit("en/bench/air.md", "title: Air at the height of the farm", "title: Air at the height of the place")
	b.wait(`document.body.textContent.includes("Air at the height of the place")`)
	same("its title")
	if !eval[bool](b, `self.marked === true`) {
		t.Error("the page was loaded anew for a title")
	}
	d.edit("en/bench/air.md", "range: 0 to 3000 m", "range: 0 to 3500 m")
	b.wait(`!self.marked && document.querySelector(".desk summary")?.textContent`)
	b.waitLive()
	same("a plot")
}

// TestDeskRemarks makes mistakes: the remark stands where the mistake is, the page as it
// was before it, and a list of it on every page.
func TestDeskRemarks(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open(smokePage)
	note := `document.querySelector("main .desk-note")`
	d.edit(smoke, "(#index)\n- [It rubs", "(#indexx)\n- [It rubs")
	b.wait(note)
	if got := eval[string](b, note+`.previousElementSibling.closest("#lever .answers") ? `+note+`.textContent : "elsewhere"`); !strings.Contains(got, smoke+":111:3") || !strings.Contains(got, "#indexx leads nowhere") || !strings.Contains(got, "Did you mean #index?") {
		t.Errorf("the remark is %q", got)
	}
	if got := eval[string](b, `document.querySelector(".desk").textContent`); !strings.Contains(got, "1 error") || !strings.Contains(got, "The page stands as it was") {
		t.Errorf("the strip says %q", got)
	}
	if !eval[bool](b, `document.querySelector("#lever .answers a").hash === "#index"`) {
		t.Error("the page is not in its last good form")
	}
	// Another page shows it in its list, and follows its own changes meanwhile.
	other := b.another()
	other.goTo(d.address + "en/theory/choke.html")
	other.wait(`document.querySelector(".desk summary").textContent === "1 error elsewhere"`)
	other.wait(`document.querySelector(".desk-list a[href$='black-smoke.html']")`)
	d.edit("en/theory/choke.md", "A cold engine needs", "A very cold engine needs")
	other.wait(`document.querySelector("main").textContent.includes("A very cold engine needs")`)
	other.close()
	d.edit(smoke, "(#indexx)", "(#index)")
	b.wait(`!` + note)
	// Front matter is the page's head; what no page shows is in the list alone.
	d.edit(smoke, "purpose: ", "porpoise: ")
	b.wait(note + `?.closest(".head")`)
	d.edit(smoke, "porpoise: ", "purpose: ")
	b.wait(`!` + note)
	d.edit("models.yaml", "title: Damson", "titel: Damson")
	b.wait(`document.querySelector(".desk-list code")?.textContent.startsWith("models.yaml:")`)
	if eval[bool](b, `!!`+note) || !eval[bool](b, `!!document.querySelector("select[name=model] option[value=medlar-245]")`) {
		t.Error("what is wrong with another file shows in the page")
	}
	if !eval[bool](b, `self.marked === true`) {
		t.Error("the page was loaded anew")
	}
	d.edit("models.yaml", "titel: Damson", "title: Damson")
	b.wait(`document.querySelector(".desk summary").textContent === "Nothing wrong"`)
}

// TestDeskGone takes a page away, and gives it another name; then the desk itself goes,
// and comes back.
func TestDeskGone(t *testing.T) {
	t.Parallel()
	d := onDesk(t, false)
	b := d.open("en/bench/wires.html")
	says := func(text string) {
		b.Helper()
		b.wait(`document.querySelector(".desk-said").textContent.includes(` + quoted(text) + `)`)
	}
	data, err := os.ReadFile(d.path("en/bench/wires.md"))
	d.do(err)
	d.do(os.Remove(d.path("en/bench/wires.md")))
	says("no longer in the handbook. To the finder")
	d.do(os.WriteFile(d.path("en/bench/wires.md"), data, 0o666))
	b.wait(`!document.querySelector(".desk-said").textContent`)
	d.do(os.Rename(d.path("en/bench/wires.md"), d.path("en/bench/cables.md")))
	says("It is here now: Bench: wires")
	b.tap(`document.querySelector(".desk-said a")`)
	b.wait(`location.pathname === "/en/bench/cables.html" && document.querySelector(".desk summary")?.textContent`)

	on := strings.TrimSuffix(strings.TrimPrefix(d.address, "http://"), "/")
	d.stop()
	b.wait(`!document.querySelector(".desk-lost").hidden`)
	b.forget() // the browser says that nobody answers
	again, err := net.Listen("tcp", on)
	for end := time.Now().Add(patience); err != nil && time.Now().Before(end); again, err = net.Listen("tcp", on) {
		time.Sleep(50 * time.Millisecond) // another desk that is tested meanwhile may have the port
	}
	d.do(err)
	d.edit("en/bench/cables.md", "# Bench", "The desk was away.\n\n# Bench")
	d.serve(desk.Listeners{Own: []net.Listener{again}})
	b.wait(`document.querySelector(".desk-lost").hidden && document.querySelector("main").textContent.includes("The desk was away.")`)
	b.forget()
}

// TestDeskPhone lets a phone in with the code of the card.
func TestDeskPhone(t *testing.T) {
	t.Parallel()
	d := onDesk(t, true)
	b := d.open(smokePage)
	b.tap(`document.querySelector(".desk-phone button")`)
	b.wait(`document.querySelector(".desk-card[open] img").naturalWidth > 100`)
	if got, want := eval[string](b, `document.querySelector(".desk-address").textContent`), d.phone+smokePage; got != want {
		t.Errorf("the card says %q, want %q", got, want)
	}
	code := eval[string](b, `document.querySelector(".desk-code").textContent`)

	phone := open(t, d.phone)
	phone.goTo(d.phone + smokePage)
	phone.forget() // a page that asks for a code is an error to the browser's console
	phone.wait(`document.querySelector("form input[name=code]")`)
	eval[bool](phone, `document.querySelector("form input[name=code]").focus() === undefined`)
	phone.keys(code + "\r")
	phone.wait(`document.querySelector(".desk summary")?.textContent && location.pathname === "/` + smokePage + `"`)
	phone.forget()
	if eval[bool](phone, `!!document.querySelector(".desk-card, .desk-phone button")`) || strings.Contains(eval[string](phone, `document.cookie`), "benchleaf") {
		t.Error("the phone is shown the card, or its own name")
	}
	d.edit(smoke, "Begin with the engine cold.", "Begin with the phone in hand.")
	phone.wait(`document.querySelector(".intro").textContent.includes("the phone in hand")`)
	b.wait(`document.querySelector(".desk-code").textContent !== ` + quoted(code))
	if phone.workers() > 0 || b.workers() > 0 {
		t.Error("a worker keeps a page of the desk")
	}
}

// workers returns how many workers keep pages of the tab's host.
func (b *tab) workers() int {
	b.Helper()
	return eval[int](b, `navigator.serviceWorker?.getRegistrations().then((r) => r.length) ?? 0`)
}

// TestDeskElsewhere has a page of another place try to read the desk and to make it act.
func TestDeskElsewhere(t *testing.T) {
	t.Parallel()
	d := onDesk(t, true)
	evil := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprint(w, "<!DOCTYPE html><title>Elsewhere</title>")
	}))
	t.Cleanup(evil.Close)
	b := open(t, "http://127.0.0.1:")
	b.goTo(evil.URL)
	for _, address := range []string{d.address, d.phone} {
		for what, script := range map[string]string{
			"fetch":        `fetch(A).then((r) => r.text(), () => "")`,
			"opaque fetch": `fetch(A + "assets/edition.js", {mode: "no-cors"}).then((r) => r.text(), () => "")`,
			"script":       `new Promise((done) => { self.benchleafEdition = (e) => done(JSON.stringify(e)); const s = document.createElement("script"); s.src = A + "assets/edition.js"; s.onerror = s.onload = () => done(""); document.head.append(s); })`,
			"picture":      `new Promise((done) => { const i = new Image(); i.src = A + "icons/180.png"; i.onload = () => done("seen"); i.onerror = () => done(""); })`,
			"stream":       `new Promise((done) => { const s = new EventSource(A + "_desk/events?page=index.html"); s.onmessage = (e) => done(e.data); s.onerror = () => { s.close(); done(""); }; })`,
			"code":         `fetch(A + "_desk/code", {method: "POST", mode: "no-cors", body: new URLSearchParams({code: "123456"})}).then((r) => r.text(), () => "")`,
			"frame":        `new Promise((done) => { const f = document.createElement("iframe"); f.src = A; f.onload = () => { try { done(f.contentDocument?.body.textContent ?? ""); } catch { done("") } }; document.body.append(f); })`,
			"window":       `new Promise((done) => { const w = open(A); setTimeout(() => { try { done(w?.document.title ?? ""); } catch { done("") } w?.close(); }, 300); })`,
		} {
			got := eval[string](b, `((A) => `+script+`)(`+quoted(address)+`)`)
			if got != "" {
				t.Errorf("%s: %s gives %.100s", address, what, got)
			}
		}
	}
	b.forget()
}

// BenchmarkDesk measures from saving a file until the browser has drawn what it says: the
// median and the 95th percentile of edits, each of which changes a word of the open page. One
// handbook is the demo, the other has copies of its procedures besides, 2,000 pages in all.
func BenchmarkDesk(b *testing.B) {
	for _, pages := range []int{0, 2000} {
		b.Run(fmt.Sprintf("copies=%d", pages), func(b *testing.B) {
			d := copied(b)
			names, err := filepath.Glob(d.path("en/procedures/*.md"))
			d.do(err)
			var texts []string
			for _, name := range names {
				text, err := os.ReadFile(name)
				d.do(err)
				if !bytes.Contains(text, []byte("\nat: [")) { // a circuit is one procedure's
					texts = append(texts, string(text))
				}
			}
			for i := range pages {
				text := texts[i%len(texts)]
				for _, key := range []string{"\ntitle: ", "\nsymptom: "} {
					text = strings.Replace(text, key, fmt.Sprintf("%sCopy %d of ", key, i), 1)
				}
				d.do(os.WriteFile(d.path(fmt.Sprintf("en/procedures/copy-%d.md", i)), []byte(text), 0o666))
			}
			d.listen(false)
			d.edits(b)
		})
	}
}

func (d *deskOf) edits(b *testing.B) {
	t := d.open(smokePage)
	// The page notes when the text that it waits for is laid out for the next frame.
	eval[bool](t, `(() => {
		self.drawn = {};
		new MutationObserver(() => {
			const word = document.querySelector(".intro").textContent.match(/Word(\d+)/)?.[1];
			if (word && !(word in drawn)) { drawn[word] = 0; requestAnimationFrame(() => setTimeout(() => (drawn[word] = Date.now()))); }
		}).observe(document.body, {subtree: true, childList: true, characterData: true});
		return true;
	})()`)
	var took []float64
	word := "Begin with the engine cold."
	for i := 0; b.Loop(); i++ {
		next := fmt.Sprintf("Word%d begins.", i)
		saved := float64(time.Now().UnixMicro()) / 1000
		d.edit(smoke, word, next)
		word = next
		t.wait(fmt.Sprintf(`drawn[%d]`, i))
		took = append(took, eval[float64](t, fmt.Sprintf(`drawn[%d]`, i))-saved)
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "ms-median")
	b.ReportMetric(took[len(took)*95/100], "ms-95th")
	b.ReportMetric(0, "ns/op")
}
