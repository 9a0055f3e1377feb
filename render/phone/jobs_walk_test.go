package phone

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"

	"benchleaf/render/record"
)

// cardScript is the card that is shown: its id, whether something is to be read there, and the answers that stay on the page.
const cardScript = `(() => {
	const card = document.querySelector(".step.current, .end.current");
	const input = card.querySelector(".reading input");
	return {
		ID: card.id, End: card.dataset.end ?? "", Check: card.querySelector(".verify a") ? true : false,
		Ask: input ? input.closest(".reading").dataset.reading : "",
		Ways: card.matches(".step") ? [...card.querySelectorAll(".answers a")].map((a) => a.getAttribute("href")) : [],
	};
})()`

type card struct {
	ID, End, Ask string
	Check        bool
	Ways         []string
}

// TestWalkedRecords walks a spread of the demo's procedures to an end, at random and
// with readings, mends what was found, checks it, and saves the record on the
// jobs page. The reader in Go takes each, and each says what was done.
func TestWalkedRecords(t *testing.T) {
	d := compiled(t)
	for n, p := range spread(d.procedures()) {
		t.Run(strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			random := rand.New(rand.NewPCG(7, uint64(n)))
			b := open(t, "")
			b.goLive(d.address(p.Path))
			if len(p.Applicability) > 0 {
				b.choose(p.Applicability[random.IntN(len(p.Applicability))].ID)
			}
			steps, mended := b.walkAtRandom(random)
			b.toJobs()
			eval[bool](b, `(() => {
				window.files = [];
				const real = URL.createObjectURL;
				URL.createObjectURL = (blob) => { window.blob = blob; return real(blob); };
				HTMLAnchorElement.prototype.click = function () { blob.text().then((text) => files.push(text)); };
				return true;
			})()`)
			b.tap(`document.querySelector("[data-do=file]")`)
			b.wait("files.length")
			text := eval[string](b, "files[0]")
			r, err := record.Decode(strings.NewReader(text))
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			var got []string
			for _, e := range r.Entries {
				if e.Page != p.Key {
					t.Errorf("an entry of %s", e.Page)
				}
				got = append(got, e.Step+" "+e.To)
			}
			if !slices.Equal(got, steps) {
				t.Errorf("the record says %q, the walk was %q", got, steps)
			}
			if mended && (len(r.Findings) == 0 || r.Findings[0].Remedy == nil || r.Findings[0].Remedy.Text != "a new one") {
				t.Errorf("the finding is %+v", r.Findings)
			}
			if len(r.Findings) == 0 {
				t.Errorf("nothing was found: %s", text)
			}
			if _, err := record.EncodeShort(r); err != nil {
				t.Error(err)
			}

			// The job goes on where it was left.
			b.goTo("about:blank")
			b.goTo(d.address("jobs.html"))
			b.wait(`document.querySelector(".jobs-list:not([hidden]) .jobs .big")`)
			b.tap(`document.querySelector(".jobs .big")`)
			b.wait("document.body.dataset.page === " + quoted(p.Key))
			b.waitLive()
			_, last, _ := strings.Cut(steps[len(steps)-1], "#")
			b.wait(cardScript + ".ID === " + quoted(last))
		})
	}
}

// follow takes the first ways on from step to step, without an end.
func (b *tab) follow(steps int) {
	b.Helper()
	for range steps {
		at := eval[card](b, cardScript)
		i := slices.IndexFunc(at.Ways, func(href string) bool {
			return href[0] == '#' && !strings.HasPrefix(href, "#cause-") && !strings.HasPrefix(href, "#end-")
		})
		if i < 0 {
			b.Fatalf("%s leads to no step", at.ID)
		}
		b.tap(fmt.Sprintf(`document.querySelector('.step.current .answers a[href="%s"]')`, at.Ways[i]))
		b.insists(at.ID)
		b.wait(cardScript + ".ID === " + quoted(at.Ways[i][1:]))
	}
}

// toJobs goes from a procedure to its job on the jobs page.
func (b *tab) toJobs() {
	b.Helper()
	b.tap(`document.querySelector(".bar .job")`)
	b.wait(`document.body.dataset.page === "jobs" && document.querySelector(".job:not([hidden]) .record h3")`)
}

// TestJobGoesOnElsewhere takes a job that was begun on one phone in on another
// one: there it goes on at its step, with its way, and nothing of it is lost.
func TestJobGoesOnElsewhere(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	const sheet = "en/procedures/choke-opens-late.html"
	first := open(t, "")
	first.goLive(d.address(sheet))
	first.follow(2)
	at := eval[card](first, cardScript).ID
	first.toJobs()
	id := eval[string](first, "location.hash.slice(1)")
	begun := first.stored(id)

	second := open(t, "")
	second.jobs(d, "")
	second.take(encoded(t, begun))
	second.jobs(d, "#"+id)
	second.tap(`document.querySelector(".stands .big")`)
	second.wait(`document.body.dataset.sheet === "procedure"`)
	second.waitLive()
	second.wait(cardScript + ".ID === " + quoted(at) + ` && document.querySelectorAll(".way li").length === 2`)
	second.follow(1)
	second.toJobs()
	got := second.stored(id)
	if len(got.Entries) != 3 || encoded(t, &record.Record{Record: 1, ID: id, Begun: begun.Begun, Changed: begun.Changed, Entries: got.Entries[:2]}) !=
		encoded(t, &record.Record{Record: 1, ID: id, Begun: begun.Begun, Changed: begun.Changed, Entries: begun.Entries}) {
		t.Errorf("the job went on as %s\nfrom %s", encoded(t, got), encoded(t, begun))
	}
}

// TestBrowserThatRefusesToStore still shows, copies and saves; it says how long the
// records last.
func TestBrowserThatRefusesToStore(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	call(b, page.Enable, page.EnableParams{})
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `for (const store of ["indexedDB", "localStorage"]) Object.defineProperty(window, store, {get() { throw new Error("refused"); }});`,
	})
	b.jobs(d, "")
	b.wait(`document.querySelector(".kept").textContent.includes("until this page is closed")`)
	if got := b.take(encoded(t, usual(jobID)))[0]; !got.Taken {
		t.Fatal(got.Told)
	}
	b.tap(`document.querySelector(".taken-in a")`)
	b.wait(`document.querySelector(".job:not([hidden]) .record").textContent.includes("Burnt contacts")`)
	b.typeIn("note", "typed")
	b.wait(`document.querySelector(".record").textContent.includes("typed")`)

	// A link that carries the record carries it for the next loading too, and promises no more.
	b.jobs(d, carried(t, usual(jobID)))
	eval[bool](b, "window.old = true")
	b.leave("location.reload()")
	b.wait(`!window.old && document.querySelector(".job:not([hidden]) .record")?.textContent.includes("Burnt contacts")`)
	b.wait(`document.querySelector(".said").textContent.includes("until this page is closed")`)
	b.typeIn("note", "typed")
	b.wait(`document.querySelector(".unsaved").textContent.includes("until this page is closed")`)
}

// walkAtRandom goes from the first step to an end. It returns each step with where
// its answer led, and whether a cause was found and mended.
func (b *tab) walkAtRandom(random *rand.Rand) (steps []string, mended bool) {
	b.Helper()
	for range 60 {
		at := eval[card](b, cardScript)
		if at.End == "cause" {
			b.wait(`document.querySelector(".end.current .mended input")`)
			eval[bool](b, `(() => { document.querySelector(".end.current .mended input").value = "a new one"; return true; })()`)
			b.tap(`document.querySelector(".end.current .mended button")`)
			b.wait(`!document.querySelector(".end.current .mended input")`)
			mended = true
			if !at.Check || random.IntN(3) == 0 {
				return steps, mended
			}
			b.tap(`document.querySelector(".end.current .verify a")`)
			b.wait(cardScript + ".ID !== " + quoted(at.ID))
			continue
		}
		if at.End != "" {
			return steps, mended
		}
		if at.Ask != "" {
			text := []string{"OL", "0.01", "9.3", "12.6", "13.9", "1750", "240", ""}[random.IntN(8)]
			eval[bool](b, fmt.Sprintf(`(() => {
				const e = document.querySelector(".step.current .reading input");
				e.value = %s;
				e.dispatchEvent(new Event("input", {bubbles: true}));
				return %s;
			})()`, quoted(text), painted))
		}
		ways := slices.DeleteFunc(slices.Clone(at.Ways), func(href string) bool { return href[0] != '#' })
		if len(ways) == 0 {
			b.Fatalf("%s has no way on the page", at.ID)
		}
		// Now and then an answer leads back; not for ever.
		way := ways[random.IntN(len(ways))]
		if slices.ContainsFunc(steps, func(s string) bool { return strings.HasPrefix(s, way[1:]+" ") }) {
			way = ways[random.IntN(len(ways))]
		}
		steps = append(steps, at.ID+" "+way)
		b.tap(fmt.Sprintf(`document.querySelector('.step.current .answers a[href="%s"]')`, way))
		b.insists(at.ID)
		b.wait(cardScript + ".ID === " + quoted(way[1:]))
	}
	b.Fatalf("no end after %q", steps)
	return nil, false
}

// TestNewJobHasNoModel begins a job after another machine's: the sheets show no
// limits of that one's model, and do again once its job goes on.
func TestNewJobHasNoModel(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	const sheet = "en/procedures/choke-opens-late.html"
	b := open(t, "")
	b.goLive(d.address(sheet))
	b.choose("medlar-245")
	b.follow(1)
	b.toJobs()
	first := eval[string](b, "location.hash.slice(1)")
	b.tap(`document.querySelector(".job .keys a")`)
	b.wait(`document.querySelector(".jobs-list:not([hidden]) .jobs li")`)
	b.tap(`document.querySelector("[data-do=new]")`)
	b.wait(`document.querySelector(".job:not([hidden]) .record h3") && location.hash !== ` + quoted("#"+first))
	second := eval[string](b, "location.hash.slice(1)")
	b.goLive(d.address(sheet))
	if model := eval[string](b, `document.querySelector("select[name=model]").value`); model != "" {
		t.Errorf("the new job's sheet shows %q", model)
	}
	b.follow(1)
	b.toJobs()
	if r := b.stored(second); r.Machine.Model != "" || len(r.Entries) != 1 {
		t.Errorf("the new job is %s", encoded(t, r))
	}
	b.jobs(d, "#"+first)
	b.tap(`document.querySelector(".stands .big")`)
	b.wait(`document.body.dataset.sheet === "procedure" && document.querySelector("select[name=model]").value === "medlar-245"`)
}
