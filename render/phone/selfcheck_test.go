package phone

import (
	"fmt"
	"strings"
	"testing"
)

// TestSelfCheck answers the questions of a page by touch: what is said, the
// explanation that opens, and the score, in which the first answer counts and
// which the phone keeps.
func TestSelfCheck(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.page(t, "theory/choke")
	b := open(t, "")
	b.goLive(d.address(p.Path))
	say := func(check int) string {
		return eval[string](b, fmt.Sprintf(`document.querySelector("#self-check-%d [role=status]").textContent`, check))
	}
	button := func(check, answer int) string {
		return fmt.Sprintf(`document.querySelectorAll("#self-check-%d button")[%d]`, check, answer)
	}
	score := func(right, all string) string {
		return d.words.Fill("check.score", "right", right, "all", all)
	}
	if n := eval[int](b, `document.querySelectorAll(".self-check").length`); n < 2 {
		t.Fatalf("%d self-checks on the page, want 2", n)
	}
	if eval[bool](b, `document.querySelector(".self-check details").open`) {
		t.Error("the explanation is open before an answer")
	}
	b.tap(button(1, 0)) // not the right one
	if got, want := say(1), d.words.Word("check.no")+" "+score("0", "1"); got != want {
		t.Errorf("a wrong answer is told %q, want %q", got, want)
	}
	if !eval[bool](b, `document.querySelector("#self-check-1 details").open`) {
		t.Error("the explanation stays shut")
	}
	b.tap(button(1, 1)) // right, but the second
	if got, want := say(1), d.words.Word("check.yes")+" "+score("0", "1"); got != want {
		t.Errorf("a right second answer is told %q, want %q", got, want)
	}
	b.goLive(d.address(p.Path))
	if got, want := say(1), d.words.Word("check.no")+" "+score("0", "1"); got != want {
		t.Errorf("after the page was opened anew the answered question says %q, want %q", got, want)
	}
	if got := eval[string](b, `[...document.querySelectorAll("#self-check-1 button")].map((e) => e.getAttribute("aria-pressed")).join()`); !strings.HasPrefix(got, "true,,") {
		t.Errorf("after the page was opened anew the answers are pressed so: %s, want the first", got)
	}
	if eval[bool](b, `document.querySelector("#self-check-2 details").open`) {
		t.Error("the explanation of a question that nobody answered is open")
	}
	b.tap(button(2, 1))
	if got, want := say(2), d.words.Word("check.yes")+" "+score("1", "2"); got != want {
		t.Errorf("after the page was opened anew it says %q, want %q", got, want)
	}
}

// TestSelfCheckTitle: under a heading of the author's that says what a self-check's own title says it has none, and is named by it.
func TestSelfCheckTitle(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, name := range []string{"en/theory/meter.html", "es/theory/meter.html"} {
		b.goLive(d.address(name))
		for what, holds := range map[string]string{
			"each heading says something of its own": `((texts) => new Set(texts).size === texts.length)([...document.querySelectorAll("main :is(h2, h3)")].map((h) => h.textContent))`,
			"all have a name":                        `[...document.querySelectorAll(".self-check")].every((c) => document.getElementById(c.getAttribute("aria-labelledby"))?.matches("h2, h3"))`,
			"there are two":                          `document.querySelectorAll(".self-check").length === 2`,
		} {
			if !eval[bool](b, holds) {
				t.Errorf("%s: not so: %s", name, what)
			}
		}
	}
}
