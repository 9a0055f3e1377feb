package phone

import (
	"strings"
	"testing"
)

// TestBack does to a page that is left what WebKit does on the way back to it, which brings the page as it stood: fields
// that no browser is to complete get the value that they had in the file. What was typed stands all the same, and in the
// record of a job, too.
func TestBack(t *testing.T) {
	t.Parallel()
	d, b := compiled(t), open(t, "")
	for _, at := range []struct{ page, field string }{
		{"models.html", "#_serial"},
		{"search.html", "#q"},
		{"jobs.html", "[name=serial]"},
		{"en/procedures/choke-opens-early.html", "#ohms .reading input"},
		{"en/bench/joints.html", "form.calculator input"},
	} {
		if at.page == "jobs.html" {
			b.one(d, usual(strings.Repeat("5e", 16)))
		} else {
			b.goTo(d.address(at.page))
			b.waitLive()
		}
		field := "document.querySelector(" + quoted(at.field) + ")"
		eval[bool](b, `(() => {
			const field = `+field+`;
			field.value = "12";
			return field.dispatchEvent(new Event("input", {bubbles: true}));
		})()`)
		if at.page == "search.html" { // a place is followed
			b.wait(`document.querySelector(".found a")`)
			eval[bool](b, `document.querySelector(".found").dispatchEvent(new Event("click"))`)
		}
		if got := eval[string](b, `(async () => {
			dispatchEvent(new PageTransitionEvent("pagehide", {persisted: true}));
			const off = [...document.querySelectorAll("form[autocomplete=off], input[autocomplete=off]")];
			setTimeout(() => {
				for (const e of off) if (e.reset) e.reset(); else e.value = e.defaultValue;
			});
			dispatchEvent(new PageTransitionEvent("pageshow", {persisted: true}));
			await new Promise((done) => setTimeout(() => setTimeout(done)));
			return `+field+`.value;
		})()`); got != "12" {
			t.Errorf("%s: what was typed is %q on the way back", at.page, got)
		}
		b.wait(`[...document.querySelectorAll("[autocomplete]")].every((e) => e.autocomplete === "off")`)
	}
}

// TestBackShowsTheJob: what a page that stands as it was left says of the job at hand is what stands since then.
func TestBackShowsTheJob(t *testing.T) {
	t.Parallel()
	d, b := compiled(t), open(t, "")
	b.goTo(d.address("index.html"))
	b.waitLive()
	b.choose("quince-150")
	for _, bar := range []string{`["Job: 1","To put back: a lead"]`, `["Job: 1","To put back: a fuse, a lead"]`, `["Job: 2",""]`} {
		if got := eval[string](b, `(() => {
			const place = Object.keys(localStorage).find((key) => key.endsWith(" model")).slice(0, -5);
			localStorage[place + "job"] = '"5e"';
			localStorage[place + "bar 5e"] = `+quoted(bar)+`;
			dispatchEvent(new PageTransitionEvent("pageshow", {persisted: true}));
			return JSON.stringify([document.querySelector(".bar .job").textContent, [...document.querySelectorAll(".bar > p")].map((p) => p.textContent).join()]);
		})()`); got != bar {
			t.Errorf("the bar has %s, want %s", got, bar)
		}
	}
}
