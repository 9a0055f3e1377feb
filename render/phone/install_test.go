package phone

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/hosting"
)

// foot is what stands at the foot of a page about what is kept, or of a finder at its bar.
const foot = `[...document.querySelectorAll(".held, .bar .offer")].map((e) => e.textContent).join(" ")`

// says waits until the foot of the page says something.
func (b *tab) says(text string) {
	b.Helper()
	b.wait(foot + ".includes(" + quoted(text) + ")")
}

// tells gives the worker a message, as the page's script does.
func (b *tab) tells(message string) {
	b.Helper()
	eval[bool](b, `navigator.serviceWorker.ready.then((r) => { r.active.postMessage(`+message+`); return true; })`)
}

// killWorker ends the worker, as a phone does whenever it likes.
func (b *tab) killWorker() {
	b.Helper()
	call(b, serviceworker.Enable, cdp.Empty{})
	call(b, serviceworker.StopAllWorkers, cdp.Empty{})
}

// probe is an address of the host that is no page of the handbook, from which the
// worker can be asked for anything. The page has no policy.
const probe = "probe.html"

// next makes an edition with changed files, under another name; "" for none, as the first has none.
func next(t *testing.T, dir, name string, change func(path string, data []byte) []byte) string {
	t.Helper()
	m, err := edition.ReadManifest(dir)
	if err != nil {
		t.Fatal(err)
	}
	var shell map[string]map[string]string
	text, err := os.ReadFile(filepath.Join(dir, edition.ShellPart))
	if err == nil {
		err = json.Unmarshal(text, &shell)
	}
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "edition")
	w, err := edition.Begin(out, edition.Manifest{Title: m.Title, Edition: name, Date: m.Date})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	err = filepath.WalkDir(dir, func(file string, e fs.DirEntry, err error) error {
		rel, _ := filepath.Rel(dir, file)
		rel = filepath.ToSlash(rel)
		if err != nil || e.IsDir() || rel == edition.ManifestName || strings.HasPrefix(rel, "manifest/") || strings.HasPrefix(rel, "packs/") || strings.HasPrefix(rel, "facts/") {
			return err
		}
		data, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		if rel == "assets/edition.js" && name != "" {
			data = fmt.Appendf(nil, "self.benchleafEdition&&benchleafEdition({\"title\": %q, \"edition\": %q, \"date\": %q})\n", m.Title, name, m.Date)
		}
		data = change(rel, data)
		folder, name := path.Split(rel)
		return w.Add(edition.File{Name: rel, Digest: edition.Digest(data), Size: len(data), Shell: shell[folder][name] != "",
			Load: func() ([]byte, error) { return data, nil }})
	})
	if err == nil {
		err = w.Commit()
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestInstall installs the demo from a folder of a host, takes the host away, and
// works on: a procedure, the search, a calculator, a practice. Then there is a new edition,
// which is shown when somebody says so; the record stays.
func TestInstall(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "books/orchard/")
	b := open(t, h.address)
	b.goTo(h.address)
	b.says(fmt.Sprintf("Edition %s, all %d pages on this phone, checked just now", d.book.Edition, len(d.pages)))
	paths, size := h.asked()
	for name, times := range paths {
		// The worker reads what the page had before it.
		if times > 2 || times > 1 && !strings.HasPrefix(name, "manifest.") {
			t.Errorf("%s was asked for %d times", name, times)
		}
	}
	t.Logf("%d pages came in %d requests and %d bytes", len(d.pages), len(paths), size)

	h.stop()
	all := d.procedures()
	for i, p := range all {
		if p.Key == "procedures/black-smoke" {
			all = all[i : i+1]
			break
		}
	}
	p := all[0]
	b.goLive(h.address + p.Path)
	r := d.richest(p)
	for _, l := range r {
		b.tap(fmt.Sprintf(`[...document.querySelectorAll("#%s .answers a")].find((a) => a.firstChild.textContent.trim() === %s)`, l.step.ID, quoted(l.out.said)))
		b.wait(`document.querySelector(".current").id === ` + quoted(l.out.target))
		if l.check != nil {
			break
		}
	}
	end := eval[string](b, `document.querySelector(".current").id`)
	b.wait(`!` + pendingScript)

	b.goTo(h.address + "search.html?q=choke")
	b.wait(`document.querySelectorAll(".found li").length > 2`)
	b.wait(`document.querySelector(".found mark")`) // the texts are there

	b.goLive(h.address + "en/bench/wires.html")
	b.wait(`document.querySelector("output, .result")`)
	before := eval[string](b, `document.querySelector(".calculator").textContent`)
	eval[bool](b, `(() => {
		const e = document.querySelector(".calculator input");
		e.value = String(Number(e.value) * 2);
		e.dispatchEvent(new Event("input", {bubbles: true}));
		return true;
	})()`)
	b.wait(`document.querySelector(".calculator").textContent !== ` + quoted(before))

	practised := d.heaterPractice(t)
	fault := practised.Circuit.Planted()[0]
	b.goLive(h.address + practised.Path + "?practice=" + fault.Code)
	b.wait(`document.querySelector(".current .practice")`)
	b.choose(practised.Applicability[0].ID)
	b.followSteps(fault.Code)
	if at := eval[string](b, `document.querySelector(".current").id`); at != handbook.CauseAnchor(fault.Cause) {
		t.Errorf("the practice of %s leads to %s", fault.Cause, at)
	}

	b.tells(`{do: "check"}`)
	b.says("The host did not answer when last asked.")

	b.goTo(h.address + "en/no-such-page.html")
	b.wait(`document.querySelector("[role=alert]")?.textContent.includes("en/no-such-page.html is not on this phone")`)

	h.again()
	h.set(func() { h.dir = next(t, d.dir, "99", func(_ string, data []byte) []byte { return data }) })
	b.goLive(h.address + p.Path)
	b.wait(`document.querySelector(".current").id === ` + quoted(end))
	b.settled()
	height := eval[float64](b, `document.documentElement.scrollHeight`)
	h.asked()
	b.tells(`{do: "check"}`)
	b.says("The new edition 99 is on this phone.")
	paths, size = h.asked()
	delete(paths, "worker.js") // the browser looks for a new one when it likes to
	if len(paths) > 5 || size > 20000 {
		t.Errorf("an edition that has nothing but a new name costs %d bytes: %v", size, paths)
	}
	if got := eval[float64](b, `document.documentElement.scrollHeight`); got != height {
		t.Errorf("the page was %v high and is %v", height, got)
	}
	if got := eval[string](b, `document.querySelector("[data-edition]").textContent`); !strings.Contains(got, "edition "+d.book.Edition) {
		t.Errorf("unasked, the page shows %q", got)
	}
	if high := eval[bool](b, `document.querySelector(".bar .offer") !== null`); high {
		t.Error("who is in a procedure has the offer before the eyes")
	}
	const small = `[...document.querySelectorAll(".held :is(summary, button)")].filter((e) => e.getBoundingClientRect().height < 44).map((e) => e.textContent).join()`
	c := b.another()
	c.goLive(h.address)
	c.says("The new edition 99 is on this phone.")
	if !eval[bool](c, `((r) => r.height >= 44 && r.top >= 0 && r.bottom <= innerHeight && scrollY === 0)(document.querySelector(".offer button").getBoundingClientRect())`) {
		t.Error("on the finder the offer is not in sight")
	}
	eval[bool](c, axeScript(t))
	for _, scheme := range []string{"light", "dark"} {
		c.prefer("prefers-color-scheme", scheme)
		c.axe("the offer on the finder, " + scheme)
	}
	for _, page := range []string{"labels.html", p.FlowPath()} {
		c.goLive(h.address + page)
		c.wait(`document.querySelector(".held summary")`)
		if small := eval[string](c, small); small != "" {
			t.Errorf("on %s too small for a finger: %s", page, small)
		}
	}
	c.close()
	eval[bool](b, axeScript(t))
	b.tap(`document.querySelector(".held summary")`)
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		b.axe("what is kept, " + scheme)
	}
	if small := eval[string](b, small); small != "" {
		t.Errorf("too small for a finger: %s", small)
	}
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`document.querySelector("[data-edition]")?.textContent.includes("edition 99")`)
	b.waitLive()
	b.wait(`document.querySelector(".current").id === ` + quoted(end))
	if jobs := eval[map[string]string](b, storedScript); len(jobs) != 1 {
		t.Errorf("after the update there are %d records", len(jobs))
	}
	b.says("Edition 99, all")
}

// TestInstallable: the browser with windows offers to put the handbook on the screen.
func TestInstallable(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "book/")
	open(t, "") // skips where there is no browser
	browser, stop := launch(chromium, filepath.Join(scratch, "installable"))
	t.Cleanup(stop)
	if err := chromedp.Do(browser); err != nil {
		t.Fatal(err)
	}
	ctx, _ := chromedp.NewContext(browser)
	b := newTab(t, ctx, h.address)
	b.goTo(h.address + "en/bench/wires.html")
	b.wait(`document.querySelector("link[rel=manifest]")`)
	// The browser hears of a link that a script has put in a moment later.
	m := call(b, page.GetAppManifest, page.GetAppManifestParams{})
	for range 200 {
		if m.URL != "" {
			break
		}
		time.Sleep(50 * time.Millisecond)
		m = call(b, page.GetAppManifest, page.GetAppManifestParams{})
	}
	for _, e := range call(b, page.GetInstallabilityErrors, cdp.Empty{}).InstallabilityErrors {
		t.Errorf("%s %v", e.ErrorID, e.ErrorArguments)
	}
	for _, e := range m.Errors {
		t.Errorf("the app manifest: %s", e.Message)
	}
	if m.URL != h.address+"app.webmanifest" {
		t.Errorf("the app manifest is %q", m.URL)
	}
}

// TestInstallBroken: the line is cut in the middle of a pack, and the worker ends; what
// came stays. The next visit to the host goes on, and takes nothing anew but what was under way.
func TestInstallBroken(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "")
	m, err := edition.ReadManifest(d.dir)
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, h.address)
	h.set(func() { h.cut = edition.PackName(len(m.Packs) - 1) })
	b.goTo(h.address)
	b.says("Taking it onto this phone stopped: the host does not answer. It goes on at the next visit.")
	b.says(fmt.Sprintf("of %d pages on this phone", len(d.pages)))
	came := h.came()
	_, size := h.asked()
	here := eval[string](b, `document.querySelector(".held summary").textContent`)
	b.killWorker()
	// The host stays away, and what came is here.
	b.goTo(h.address)
	b.says(here)
	h.set(func() { h.cut, h.dead = "", false })
	b.goTo(h.address)
	b.says(fmt.Sprintf("Edition %s, all %d pages on this phone", d.book.Edition, len(d.pages)))
	paths, rest := h.asked()
	for name := range paths {
		// The page, and what tells whether there is something new, is asked for each time.
		if came[name] && name != "index.html" && name != edition.ManifestName && name != "worker.js" {
			t.Errorf("%s was taken again", name)
		}
	}
	t.Logf("%d bytes came before the cut, %d after it: %v", size, rest, paths)
}

// TestInstallMeagre: on a host that compresses nothing each visit's lines break after some hundred kilobytes, a third of which is for what
// the page itself takes. No visit loses what is there, and a few bring all.
func TestInstallMeagre(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "")
	b := open(t, h.address)
	whole := fmt.Sprintf("all %d pages on this phone", len(d.pages))
	const held = `Number(/(\d+)( of)? \d* ?pages on this phone/.exec(document.querySelector(".held summary")?.textContent)?.[1] ?? 0)`
	const most = 14 // ten are usual
	last := 0
	for visit := 1; ; visit++ {
		h.set(func() { h.fund, h.dead = 300_000, false })
		b.goTo(h.address)
		b.wait(foot + `.includes("the host does not answer") || ` + foot + `.includes(` + quoted(whole) + `)`)
		h.set(func() { h.fund = 0 })
		now := eval[int](b, held)
		t.Logf("visit %d: %d pages", visit, now)
		if eval[bool](b, foot+".includes("+quoted(whole)+")") {
			break
		}
		if now < last || visit == most {
			t.Fatalf("after visit %d %d pages are here, %d before", visit, now, last)
		}
		last = now
		b.killWorker()
	}
}

// TestInstallStalls: a host falls silent in the midst of a file and keeps the line, once. The phone gives that line up and
// goes on, with nobody doing anything; how long it waits is shorter here. What comes slowly, but comes, is taken at once.
func TestInstallStalls(t *testing.T) {
	t.Parallel()
	impatient := func(dir, name string) string {
		return next(t, dir, name, func(path string, data []byte) []byte {
			if path != "worker.js" {
				return data
			}
			if bytes.Count(data, []byte("25e3")) != 1 {
				t.Error("the worker waits for a silent host in another way")
			}
			return bytes.Replace(data, []byte("25e3"), []byte("3e3"), 1)
		})
	}
	small, d := impatient(editionOf(t, "1", nil, 0), "1"), compiled(t)
	large := impatient(d.dir, "1")
	for name, dir := range map[string]string{edition.ManifestName: small, "packs/shell.gz": small, edition.PackName(1): large} {
		t.Run(path.Base(name), func(t *testing.T) {
			t.Parallel()
			h := serve(t, dir, "")
			b := open(t, h.address)
			h.set(func() { h.stalls = name })
			b.goTo(h.address)
			b.says("Edition 1, all ")
			if paths, _ := h.asked(); dir == large && (paths[name] != 2 || len(paths) > 50) {
				t.Errorf("%s was asked for %d times, and in all %d files", name, paths[name], len(paths))
			}
		})
	}
	t.Run("trickle", func(t *testing.T) {
		t.Parallel()
		h := serve(t, small, "")
		b := open(t, h.address)
		h.set(func() { h.trickle = edition.PackName(0) })
		b.goTo(h.address)
		b.says("Edition 1, all ")
		if paths, _ := h.asked(); paths[edition.PackName(0)] != 1 || paths["en/a.html"] > 0 {
			t.Errorf("what came slowly was asked for again: %v", paths)
		}
	})
	t.Run("silent", func(t *testing.T) {
		t.Parallel()
		h := serve(t, small, "")
		b := open(t, h.address)
		h.set(func() { h.silent = edition.ManifestName })
		b.goTo(h.address)
		b.says("the host does not answer")
		h.set(func() { h.silent = "" })
		b.tap(`document.querySelector(".held summary")`)
		b.tap(`[...document.querySelectorAll(".held button")].find((e) => e.textContent === "Check now")`)
		b.says("Edition 1, all ")
	})
}

// TestInstallSpoilt: of a file that does not arrive whole nothing is kept, and it is
// named; once it does, the handbook is whole. Of a new edition with such a file the
// phone shows nothing.
func TestInstallSpoilt(t *testing.T) {
	t.Parallel()
	first := editionOf(t, "1", nil, 0)
	h := serve(t, first, "a b/")
	b := open(t, h.address)
	h.set(func() { h.corrupt, h.gone = "en/a.html", edition.PackName(0) })
	b.goTo(h.address)
	b.says("The host's edition 1 did not arrive whole")
	h.set(func() { h.corrupt, h.gone = "", "" })
	b.goTo(h.address)
	b.says("Edition 1, all ")
	h.set(func() { h.dir, h.corrupt = editionOf(t, "2", nil, 0), "en/a.html" })
	b.tells(`{do: "check"}`)
	b.says("The host's edition 2 did not arrive whole")
	b.says("en/a.html")
	b.goTo(h.address + "en/a.html")
	b.wait(`document.querySelector("h1").textContent === "Page of edition 1"`)
	b.says("Edition 1, all ")
	h.set(func() { h.corrupt = "" })
	b.tells(`{do: "check"}`)
	b.says("The new edition 2 is on this phone.")

	// Whatever happens to what the worker keeps, nobody is locked out.
	b.goTo(h.address + probe)
	eval[bool](b, `caches.keys().then(async ([name]) => {
		const c = await caches.open(name);
		for (const r of await c.keys()) if (!r.url.includes("=f-")) await c.put(r, new Response("{"));
		return true;
	})`)
	b.killWorker()
	b.goTo(h.address + "en/a.html")
	b.wait(`document.querySelector("h1").textContent === "Page of edition 2"`)
	b.says("Edition 2, all ")
}

// TestInstallSlow: while not all is held, the host is asked for each page; where it
// says nothing, a page that is here shows.
func TestInstallSlow(t *testing.T) {
	t.Parallel()
	h := serve(t, editionOf(t, "1", nil, 0), "")
	b := open(t, h.address)
	h.set(func() { h.corrupt, h.gone = "en/a.html", edition.PackName(0) })
	b.goTo(h.address)
	b.says("The host's edition 1 did not arrive whole")
	h.asked()
	h.set(func() { h.silent = "search.html" })
	b.goTo(h.address + "search.html")
	b.wait(`document.body.dataset.sheet === "search"`)
	if paths, _ := h.asked(); paths["search.html"] == 0 {
		t.Error("the host was not asked")
	}
}

// TestInstallStops says why an edition was not taken: for want of room, or because it
// cannot be read. What is held stays.
func TestInstallStops(t *testing.T) {
	t.Parallel()
	first, second := editionOf(t, "1", nil, 0), editionOf(t, "2", nil, 0)
	h := serve(t, first, "")
	b := open(t, h.address)
	room := func(size float64) {
		call(b, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: strings.TrimSuffix(h.address, "/"), QuotaSize: &size})
	}
	room(100)
	b.goTo(h.address)
	b.says("Taking it onto this phone stopped: the phone has no room left. It goes on at the next visit.")
	room(1e9)
	b.goTo(h.address)
	b.says("Edition 1, all ")
	h.set(func() { h.dir = second })
	room(100)
	b.tells(`{do: "check"}`)
	b.says("There is a newer edition; taking it stopped: the phone has no room left.")
	room(1e9)

	// It names no packs, which the worker relies on.
	name := filepath.Join(second, edition.ManifestName)
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, bytes.Replace(text, []byte(`"packs"`), []byte(`"sacks"`), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	b.tells(`{do: "check"}`)
	b.says("There is a newer edition; taking it stopped: the edition on the host cannot be read.")
	b.goTo(h.address + "en/a.html")
	b.wait(`document.querySelector("h1").textContent === "Page of edition 1"`)
	b.says("Edition 1, all ")
}

// TestTwoEditions: of two tabs one goes on to a new edition. Neither gets anything of
// the other's, also when the worker was ended in between.
func TestTwoEditions(t *testing.T) {
	t.Parallel()
	// What is loaded late tells which edition it is of: its width.
	picture := func(width int) func(string, []byte) []byte {
		return func(path string, data []byte) []byte {
			if path != "icons/192.png" && path != "icons/512.png" {
				return data
			}
			var b bytes.Buffer
			if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, width, 1))); err != nil {
				t.Error(err)
			}
			return b.Bytes()
		}
	}
	one := editionOf(t, "1", nil, 0)
	h := serve(t, next(t, one, "1", picture(1)), "")
	a := open(t, h.address)
	a.goTo(h.address + "en/a.html")
	a.says("Edition 1, all ")
	a.goTo(h.address + "en/a.html")
	a.says("Edition 1, all ")
	h.set(func() { h.dir = next(t, editionOf(t, "2", nil, 0), "2", picture(2)) })
	b := a.another()
	b.goTo(h.address + "index.html")
	b.tells(`{do: "check"}`)
	b.says("The new edition 2 is on this phone.")
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`document.querySelector("[data-edition]")?.textContent.includes("edition 2")`)
	a.says("The new edition 2 is on this phone.") // of which a has nothing yet
	width := func(b *tab, name string) int {
		b.Helper()
		return eval[int](b, `new Promise((done) => {
			const e = new Image();
			e.onload = () => done(e.naturalWidth);
			e.onerror = () => done(-1);
			e.src = `+quoted(h.address+name)+`;
		})`)
	}
	if got, other := width(a, "icons/192.png"), width(b, "icons/192.png"); got != 1 || other != 2 {
		t.Errorf("the tab of edition 1 has a file of %d, that of edition 2 of %d", got, other)
	}
	b.tells(`{do: "check"}`) // clears away what nobody has open
	b.killWorker()
	h.stop()
	if got, other := width(a, "icons/512.png"), width(b, "icons/512.png"); got != 1 || other != 2 {
		t.Errorf("with another worker, the tab of edition 1 has a file of %d, that of edition 2 of %d", got, other)
	}
	if got := eval[string](a, `document.querySelector("h1").textContent`); got != "Page of edition 1" {
		t.Errorf("the tab of edition 1 shows %q", got)
	}
	a.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	a.wait(`document.querySelector("h1")?.textContent === "Page of edition 2"`)
}

// TestInstallHosts: some hosts compress, and take packs for compressed texts; some
// lead from each page to an address without its ending.
func TestInstallHosts(t *testing.T) {
	t.Parallel()
	for name, set := range map[string]func(h *host){
		"compressed": func(h *host) { h.zips = true },
		"clean":      func(h *host) { h.clean = true },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := serve(t, editionOf(t, "1", nil, 0), "book/")
			h.set(func() { set(h) })
			b := open(t, h.address)
			b.goTo(h.address)
			b.says("Edition 1, all ")
			paths, _ := h.asked()
			if paths["en/a.html"] != 0 || paths[edition.PackName(0)] != 1 {
				t.Errorf("the pack was not used: %v", paths)
			}
			h.stop()
			for _, address := range []string{"en/a.html", "en/a", "en/a.html?q=1"} {
				b.goTo(h.address + address)
				b.wait(`document.querySelector("h1").textContent === "Page of edition 1"`)
			}
			b.goTo(h.address)
			b.says("Edition 1, all ")
		})
	}
}

// TestInstallPublished: where the host has files by their digests, a phone asks for those, as
// hosting.Phone says; to go back to the edition before costs next to nothing; a file that is missing by
// its digest is taken by its name.
func TestInstallPublished(t *testing.T) {
	t.Parallel()
	one, two, three := editionOf(t, "1", nil, 0), editionOf(t, "2", nil, 0), editionOf(t, "3", nil, 0)
	to := filepath.Join(t.TempDir(), "host")
	publish := func(dir string) {
		t.Helper()
		if _, err := edition.Publish(dir, to); err != nil {
			t.Fatal(err)
		}
	}
	publish(one)
	h := serve(t, to, "book/")
	b := open(t, h.address)
	var played hosting.Phone
	asks := func(what string, wantManifest bool) {
		t.Helper()
		requests, err := played.Visit(to)
		if err != nil {
			t.Fatal(err)
		}
		want, got := map[string]int{}, map[string]int{}
		for _, r := range requests {
			want[r.Path]++
		}
		paths, _ := h.asked()
		for path, n := range paths {
			if strings.HasPrefix(path, edition.DigestFolder) || wantManifest && strings.HasPrefix(path, "manifest") {
				got[path] = n
			}
		}
		if !wantManifest {
			delete(want, edition.ManifestName)
			delete(want, edition.SignatureName)
		}
		if !maps.Equal(got, want) {
			t.Errorf("%s: the phone asked for %v, want %v", what, got, want)
		}
	}
	b.goTo(h.address)
	b.says("Edition 1, all ")
	asks("it installs", false) // the page may ask once more how things stand
	check := func(edition string) {
		t.Helper()
		b.tells(`{do: "check"}`)
		b.says("The new edition " + edition + " is on this phone.")
	}
	publish(two)
	check("2")
	asks("there is another edition", true)
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`document.querySelector("[data-edition]")?.textContent.includes("edition 2")`)
	b.says("Edition 2, all ")
	publish(one)
	h.asked()
	check("1")
	if paths, _ := h.asked(); len(paths) > 3 {
		t.Errorf("to go back to what is still here, the phone asked for %v", paths)
	}
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`document.querySelector("[data-edition]")?.textContent.includes("edition 1")`)

	publish(three)
	page, err := os.ReadFile(filepath.Join(three, "en", "a.html"))
	if err != nil {
		t.Fatal(err)
	}
	gone := edition.DigestFolder + edition.Digest(page)
	h.set(func() { h.gone = gone })
	check("3")
	if paths, _ := h.asked(); paths[gone] != 1 || paths["en/a.html"] != 1 {
		t.Errorf("what is missing by its digest was asked for %d times, and %d times by its name: %v", paths[gone], paths["en/a.html"], paths)
	}
}

// TestTwoHandbooks: of two handbooks on one host, one in a folder of the other, each
// is kept for itself.
func TestTwoHandbooks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for folder, name := range map[string]string{"": "1", "b": "2"} {
		if err := os.CopyFS(filepath.Join(dir, folder), os.DirFS(editionOf(t, name, nil, 0))); err != nil {
			t.Fatal(err)
		}
	}
	h := serve(t, dir, "")
	b := open(t, h.address)
	for _, folder := range []string{"", "b/", ""} {
		b.goTo(h.address + folder)
		b.says(map[string]string{"": "Edition 1, all ", "b/": "Edition 2, all "}[folder])
	}
	h.stop()
	for folder, name := range map[string]string{"": "1", "b/": "2"} {
		b.goTo(h.address + folder + "en/a.html")
		b.wait(`document.querySelector("h1").textContent === "Page of edition ` + name + `"`)
	}
}

// TestInstallNameless: of a handbook that is a folder of pages and nothing else, whose
// editions have no names, the phone tells what it holds as of any other, and offers what is new.
func TestInstallNameless(t *testing.T) {
	t.Parallel()
	source := filepath.Join(t.TempDir(), "pages")
	if err := os.MkdirAll(filepath.Join(source, "en"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"a.md": "# Grease points\n", "b.md": "# Belts\n"} {
		if err := os.WriteFile(filepath.Join(source, "en", name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	d, err := compile(source, "nameless")
	if err != nil {
		t.Fatal(err)
	}
	held := func(b *tab, have string) {
		t.Helper()
		b.wait(`document.querySelector(".held summary")?.textContent === ` + quoted(fmt.Sprintf(have, len(d.pages))))
	}
	h := serve(t, d.dir, "")
	b := open(t, h.address)
	h.set(func() { h.gone, h.corrupt = edition.PackName(0), "en/b.html" })
	b.goTo(h.address)
	b.says("The host's edition  did not arrive whole")
	h.set(func() { h.gone, h.corrupt = "", "" })
	b.goTo(h.address)
	held(b, "all %d pages on this phone, checked just now")

	h.set(func() {
		h.dir = next(t, d.dir, "", func(_ string, data []byte) []byte { return bytes.ReplaceAll(data, []byte("Grease"), []byte("Oil")) })
	})
	for _, page := range []string{"", "en/a.html"} {
		b.goTo(h.address + page)
		b.tells(`{do: "check"}`)
		b.says("The new edition   is on this phone.")
		held(b, "all %d pages on this phone, checked just now")
	}
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`document.querySelector("h1")?.textContent === "Oil points"`)
	held(b, "all %d pages on this phone, checked just now")
	if offered := eval[bool](b, `[...document.querySelectorAll(".offer button")].some((e) => e.checkVisibility())`); offered {
		t.Error("what is shown is offered")
	}
}

// TestColdStart: a new edition that is here whole is shown to who opens the handbook
// anew at its beginning; not to who comes back to a page, as a phone does that has
// put the tab away.
func TestColdStart(t *testing.T) {
	t.Parallel()
	h := serve(t, editionOf(t, "1", nil, 0), "")
	phone := open(t, h.address)
	b := phone.another()
	b.goTo(h.address)
	b.says("Edition 1, all ")
	h.set(func() { h.dir = editionOf(t, "2", nil, 0) })
	b.tells(`{do: "check"}`)
	b.says("The new edition 2 is on this phone.")
	for _, c := range []struct{ page, shows string }{{"en/a.html", "edition 1"}, {"", "edition 2"}, {"en/a.html", "edition 2"}} {
		b.close()
		b = phone.another()
		b.goTo(h.address + c.page)
		b.wait(`document.querySelector("[data-edition]").textContent.includes(` + quoted(c.shows) + `)`)
	}
}

// TestColdStartAtWork: with a job at hand a new edition waits until somebody asks for it, or the job is left, also when
// the phone ends the browser right after the answer that begins the job.
func TestColdStartAtWork(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "")
	phone := open(t, h.address)
	b := phone.another()
	b.goTo(h.address)
	b.says("Edition " + d.book.Edition + ", all ")
	h.set(func() { h.dir = next(t, d.dir, "99", func(_ string, data []byte) []byte { return data }) })
	b.tells(`{do: "check"}`)
	b.says("The new edition 99 is on this phone.")
	anew := func(page, edition string) {
		t.Helper()
		b.close()
		b = phone.another()
		b.goLive(h.address + page)
		b.wait(`document.querySelector("[data-edition]").textContent.includes(` + quoted("edition "+edition) + `)`)
	}
	p := d.procedures()[0]
	l := d.richest(p)[0]
	anew(p.Path, d.book.Edition)
	b.says("The new edition 99 is on this phone.")
	b.tap(fmt.Sprintf(`[...document.querySelectorAll("#%s .answers a")].find((a) => a.firstChild.textContent.trim() === %s)`, l.step.ID, quoted(l.out.said)))
	b.wait(`document.querySelector(".current").id === ` + quoted(l.out.target))
	anew("", d.book.Edition)
	b.says("The new edition 99 is on this phone.")
	b.killWorker()
	anew("", d.book.Edition)
	b.wait(`document.querySelector(".bar .offer button").checkVisibility()`)

	// Somebody else's machine comes first.
	anew(p.Path, d.book.Edition)
	b.settled()
	b.tap(`document.querySelector("[data-do=other]")`)
	b.wait(`!JSON.parse(Object.entries(localStorage).find(([key]) => key.endsWith(" job"))[1])`)
	anew("", "99")
}

// TestInstallForeign: of a page that the edition on the phone lacks, and of one that came past the worker, the foot says that
// it came from the host; it calls nothing new that is older than the page. What the host has gone on to is taken.
func TestInstallForeign(t *testing.T) {
	t.Parallel()
	more := func(dir string) string {
		t.Helper()
		page, err := os.ReadFile(filepath.Join(dir, "en", "a.html"))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, "en", "more.html"), page, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
		return dir
	}
	h := serve(t, editionOf(t, "1", madeKey(t, nil), 9), "")
	b := open(t, h.address)
	b.goTo(h.address)
	b.says("Edition 1, all ")
	foot := func() string { return eval[string](b, foot) }

	// Another edition, which this phone must not take.
	h.set(func() { h.dir = more(editionOf(t, "3", nil, 0)) })
	b.goTo(h.address + "en/more.html")
	b.wait(`document.querySelector("h1").textContent === "Page of edition 3"`)
	b.says("This page came from the host unchecked; this phone has edition 1.")
	b.says("The host's edition 3 is not signed")
	if got := foot(); strings.Contains(got, "The new edition") || eval[bool](b, `document.querySelector(".offer button").checkVisibility()`) {
		t.Errorf("what is older than the page is offered: %s", got)
	}

	// A page that somebody put beside those of the edition.
	h.set(func() { h.dir = more(editionOf(t, "1", nil, 0)) })
	b.goTo(h.address + "en/more.html")
	b.says("This page came from the host unchecked; this phone has edition 1.")

	// A page that the phone has, loaded past what keeps it.
	b.goTo(h.address + "en/a.html")
	b.says("Edition 1, all ")
	if got := foot(); strings.Contains(got, "unchecked") {
		t.Errorf("of a page that the phone has it says: %s", got)
	}
	past := true
	call(b, page.Reload, page.ReloadParams{IgnoreCache: &past})
	b.says("This page came from the host unchecked; this phone has edition 1.")
	b.tap(`[...document.querySelectorAll(".offer button")].find((e) => e.textContent === "Show it")`)
	b.wait(`!!navigator.serviceWorker.controller`)
	b.says("Edition 1, all ")
	if got := foot(); strings.Contains(got, "unchecked") {
		t.Errorf("after that it says: %s", got)
	}

	// Where nobody signs, the edition that has the page is taken.
	b = open(t, h.address)
	h.set(func() { h.dir = editionOf(t, "1", nil, 0) })
	b.goTo(h.address)
	b.says("Edition 1, all ")
	fresh := editionOf(t, "2", nil, 0)
	h.set(func() { h.dir = more(fresh) })
	b.goTo(h.address + "en/more.html")
	b.says("This page came from the host unchecked; this phone has edition 1. The new edition 2 is on this phone.")
}

// TestInstallUnheard: what a page says to a worker whose place another one takes is lost; it asks once more.
func TestInstallUnheard(t *testing.T) {
	t.Parallel()
	h := serve(t, editionOf(t, "1", nil, 0), "")
	b := open(t, h.address)
	b.goTo(h.address)
	b.says("Edition 1, all ")
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `(() => {
			const say = ServiceWorker.prototype.postMessage;
			ServiceWorker.prototype.postMessage = function () {
				ServiceWorker.prototype.postMessage = say;
			};
		})()`,
	})
	b.goTo(h.address + "en/a.html")
	b.says("Edition 1, all ")
}

// TestInstallRange: media are played in pieces (RFC 9110, 14.2).
func TestInstallRange(t *testing.T) {
	t.Parallel()
	dir := editionOf(t, "1", nil, 0)
	h := serve(t, dir, "")
	b := open(t, h.address)
	b.goTo(h.address)
	b.says("Edition 1, all ")
	b.goTo(h.address + probe)
	m, err := edition.ReadManifest(dir)
	if err != nil {
		t.Fatal(err)
	}
	b.tells(fmt.Sprintf(`{do: "hello", edition: %q}`, m.Edition+" "+m.Date))
	icon, err := os.ReadFile(filepath.Join(dir, "icons/192.png"))
	if err != nil {
		t.Fatal(err)
	}
	h.stop()
	for asked, want := range map[string]string{
		"":              fmt.Sprintf("200  %d", len(icon)),
		"bytes=0-9":     fmt.Sprintf("206 bytes 0-9/%d 10", len(icon)),
		"bytes=100-":    fmt.Sprintf("206 bytes 100-%d/%d %d", len(icon)-1, len(icon), len(icon)-100),
		"bytes=-7":      fmt.Sprintf("206 bytes %d-%d/%d 7", len(icon)-7, len(icon)-1, len(icon)),
		"bytes=50-9999": fmt.Sprintf("206 bytes 50-%d/%d %d", len(icon)-1, len(icon), len(icon)-50),
	} {
		got := eval[string](b, fmt.Sprintf(`fetch("icons/192.png", {headers: %q ? {Range: %q} : {}}).then(async (r) =>
			[r.status, r.headers.get("Content-Range"), (await r.arrayBuffer()).byteLength].join(" "))`, asked, asked))
		if got != want {
			t.Errorf("%q: %s, want %s", asked, got, want)
		}
	}
}

// TestNotSecure: a browser keeps nothing that came over plain http from another
// machine, and the page says so.
func TestNotSecure(t *testing.T) {
	t.Parallel()
	h := serve(t, editionOf(t, "1", nil, 0), "")
	b := open(t, h.address)
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `Object.defineProperty(window, "isSecureContext", {value: false})`,
	})
	b.goTo(h.address)
	b.wait(`document.querySelector(".foot").textContent.includes("Over plain http")`)
	if paths, _ := h.asked(); paths["worker.js"] != 0 {
		t.Error("the worker was asked for")
	}
}

// TestUpdate: a handbook of 1,000 pages of text, some 2,000 files, is installed from a
// host that compresses nothing, with less than 6 MB. Then three pages change.
func TestUpdate(t *testing.T) {
	t.Parallel()
	d, err := largeOnce()
	if err != nil {
		t.Fatal(err)
	}
	h := serve(t, d.dir, "")
	b := open(t, h.address)
	begin := time.Now()
	b.goTo(h.address)
	b.says("pages on this phone, checked")
	paths, size := h.asked()
	t.Logf("%d pages came in %d requests and %d bytes, in %v", len(d.pages), len(paths), size, time.Since(begin))
	if size > 6_000_000 {
		t.Errorf("%d bytes", size)
	}
	var changed []*handbook.Page
	for _, p := range d.book.Pages {
		if !p.Index {
			changed = append(changed, p)
		}
	}
	changed = []*handbook.Page{changed[1], changed[len(changed)/2], changed[len(changed)-1]}
	want := 0
	files := map[string]bool{}
	for _, p := range changed {
		files[p.Path], files["assets/search/"+p.Path+".js"] = true, true
	}
	for name := range files {
		info, err := os.Stat(filepath.Join(d.dir, name))
		if err != nil {
			t.Fatal(err)
		}
		want += int(info.Size())
	}
	segments := 0
	h.set(func() {
		h.dir = next(t, d.dir, "next", func(path string, data []byte) []byte {
			if segment := strings.HasPrefix(path, "assets/search/en-") && segments < 3; segment || files[path] {
				if segment {
					segments++
					want += len(data)
				}
				data = append(data, ' ')
			}
			return data
		})
	})
	b.tells(`{do: "check"}`)
	b.says("The new edition next is on this phone.")
	paths, size = h.asked()
	for name := range files {
		if paths[name] != 1 {
			t.Errorf("%s was asked for %d times", name, paths[name])
		}
	}
	if size -= want; size > 20_000 || len(paths) > 22 {
		t.Errorf("three changed pages cost %d requests, and %d bytes besides them and the index", len(paths), size)
	}
	t.Logf("three changed pages cost %d requests, and %d bytes besides them and the index", len(paths), size)
}
