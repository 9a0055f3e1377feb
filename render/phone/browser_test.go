package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Where Debian's packages put the browser, and the same without windows. To keep the
// title and the address above a page up to date takes longer than most that the page
// does: where the second is installed, tests run in it.
const (
	chromium   = "/usr/bin/chromium"
	windowless = "/usr/lib/chromium/chromium-headless-shell" // itself: to kill the script in /usr/bin would leave it running
)

// patience is how long a condition may take to hold on a busy machine.
const patience = 40 * time.Second

// The phone: CSS pixels of a common one.
const phoneWidth, phoneHeight = 390, 844

var (
	closeBrowser = func() {}
	browserOnce  = sync.OnceValues(func() (context.Context, error) {
		if _, err := os.Stat(chromium); err != nil {
			return nil, err
		}
		ctx, stop := launch(browserProgram(), filepath.Join(scratch, "profile"))
		closeBrowser = stop
		return ctx, chromedp.Do(ctx)
	})
)

// browserProgram is the browser that tests run in.
func browserProgram() string {
	if _, err := os.Stat(windowless); err == nil {
		return windowless
	}
	return chromium
}

// launch is a browser on a profile; it starts with what is done in its context.
func launch(program, profile string) (browser context.Context, stop func()) {
	ctx, stopAll := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(program), chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-background-timer-throttling", true), chromedp.Flag("disable-renderer-backgrounding", true),
		chromedp.Flag("hide-scrollbars", true), chromedp.Flag("mute-audio", true),
		// A walk through every path follows more links a second than a hand does.
		chromedp.Flag("disable-ipc-flooding-protection", true),
		// No name resolves, whatever the browser itself would like to ask.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"),
	)
	ctx, cancel := chromedp.NewContext(ctx)
	return ctx, func() {
		_ = chromedp.Cancel(ctx)
		cancel()
		stopAll()
	}
}

// tab is a phone with a store of its own. Whatever it asks of another place,
// and whatever its console has to complain of, fails the test.
type tab struct {
	testing.TB
	ctx    context.Context
	origin string // what requests may begin with, besides files and data
	inert  bool   // the pages' scripts are off
	unkept bool   // the job at hand has a name, and no record

	mu     sync.Mutex
	faults []string
}

// open opens a phone that may ask for files only, or for what begins with
// origin. There the network is on.
func open(t testing.TB, origin string) *tab {
	t.Helper()
	browser, err := browserOnce()
	if err != nil {
		if os.Getenv("BENCHLEAF_BROWSER") == "required" || !errors.Is(err, os.ErrNotExist) {
			t.Fatal(err)
		}
		t.Skipf("no Chromium: %v", err)
	}
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	return newTab(t, ctx, origin)
}

// another opens a second tab of the same phone, which shares its store.
func (b *tab) another() *tab {
	b.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.Cleanup(cancel)
	return newTab(b.TB, ctx, b.origin)
}

// close closes the tab, as who swipes it away.
func (b *tab) close() {
	b.Helper()
	b.noFaults()
	b.check(chromedp.Cancel(b.ctx))
}

func newTab(t testing.TB, ctx context.Context, origin string) *tab {
	t.Helper()
	b := &tab{TB: t, ctx: ctx, origin: origin}
	t.Cleanup(b.noFaults)
	b.check(chromedp.Listen(ctx, b.hear))
	call(b, network.Enable, network.EnableParams{})
	call(b, log.Enable, cdp.Empty{})
	call(b, audits.Enable, cdp.Empty{})
	if origin == "" {
		call(b, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}},
		})
	}
	b.size(phoneWidth, phoneHeight)
	call(b, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 1})
	return b
}

// hear judges an event of the browser.
func (b *tab) hear(event any) {
	fault := ""
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		place, _, _ := strings.Cut(e.Request.URL, ":")
		allowed := place == "file" || place == "data" || place == "blob"
		if b.origin != "" {
			allowed = place == "data" || strings.HasPrefix(e.Request.URL, b.origin)
		}
		if !allowed {
			fault = "a request left: " + e.Request.URL
		}
	case *runtime.EventExceptionThrown:
		text, _ := json.Marshal(e.ExceptionDetails)
		fault = "exception: " + string(text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning || e.Type == runtime.ConsoleAPICalledTypeAssert {
			text, _ := json.Marshal(e.Args)
			fault = fmt.Sprintf("console %s: %s", e.Type, text)
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			fault = fmt.Sprintf("log %s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL)
		}
	case *audits.EventIssueAdded:
		// The other issues are advice, on entries without a name, say.
		if e.Issue.Code != audits.InspectorIssueCodeContentSecurityPolicyIssue {
			break
		}
		details, _ := json.Marshal(e.Issue.Details)
		fault = fmt.Sprintf("issue %s: %s", e.Issue.Code, details)
	}
	if fault != "" {
		b.mu.Lock()
		b.faults = append(b.faults, fault)
		b.mu.Unlock()
	}
}

// noFaults reports what was heard so far.
func (b *tab) noFaults() {
	b.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, f := range b.faults {
		b.Error(f)
	}
	b.faults = nil
}

func (b *tab) check(err error) {
	b.Helper()
	if err != nil {
		b.Fatal(err)
	}
}

// call gives the browser a command of its protocol.
func call[P, R any](b *tab, cmd cdp.Command[P, R], params P) R {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	r, err := chromedp.Call(ctx, cmd, params)
	if err != nil {
		b.Fatalf("%s: %v", cmd.Method, err)
	}
	return r
}

func (b *tab) size(width, height int64) {
	b.Helper()
	call(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: width, Height: height, DeviceScaleFactor: 1, Mobile: true,
	})
}

// script switches the page's own scripts; the tests' still run.
func (b *tab) script(on bool) {
	b.Helper()
	b.inert = !on
	call(b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
}

// prefer sets a media feature, such as the colour scheme.
func (b *tab) prefer(name, value string) {
	b.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
}

// goTo opens a page and waits until its script has run.
func (b *tab) goTo(address string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate(address)); err != nil {
		b.Fatalf("%s: %v", address, err)
	}
}

// goLive opens a page and waits until it is live, calculators included.
// goLive opens a page afresh: entries last as long as their tab.
func (b *tab) goLive(address string) {
	b.Helper()
	eval[bool](b, `(() => { try { sessionStorage.clear(); } catch {} return true; })()`)
	b.goTo(address)
	b.waitLive()
}

// loaded says that all of a page is there, and the stopwatch of each timing, which what stands beneath it waits for.
const loaded = `document.readyState === "complete" &&
	[...document.querySelectorAll(".timing")].every((timing) => timing.querySelector(".watch"))`

// waitLive waits until a page can be used: what waits for the record of the job at hand shows, and so do stopwatches.
func (b *tab) waitLive() {
	b.Helper()
	b.wait(loaded + ` && document.documentElement.classList.contains("live") &&
		!document.querySelector("fieldset:disabled, .reading input:disabled") &&
		[...document.querySelectorAll("[data-head] .bar")].every((bar) => bar.checkVisibility({visibilityProperty: true}))`)
}

// address is that of a page's file.
func (d *demo) address(path string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(d.dir, path))}).String()
}

// eval evaluates an expression in the page.
func eval[T any](b *tab, expression string) T {
	b.Helper()
	v, err := try[T](b, expression)
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

func try[T any](b *tab, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// wait waits until a condition holds. While a page gives way to the next, an
// evaluation may fail; that counts as not yet.
func (b *tab) wait(condition string) {
	b.Helper()
	var err error
	pause := time.Millisecond
	for end := time.Now().Add(patience); time.Now().Before(end); {
		var ok bool
		if ok, err = try[bool](b, "!!("+condition+")"); err == nil && ok {
			return
		}
		pause = min(2*pause, 32*time.Millisecond) // who asks without a pause takes the time of who works
		select {
		case <-time.After(pause):
		case <-b.ctx.Done():
			b.Fatal(b.ctx.Err())
		}
	}
	place, _ := try[string](b, "location.href")
	shown, _ := try[string](b, `document.body.innerText.replace(/\s+/g, " ").slice(0, 600)`)
	b.Fatalf("%s: never came true: %s (%v)\nshown at %.0f px: %s", place, condition, err, eval[float64](b, "scrollY"), shown)
}

// leave does what may end the page, after the answer that it will.
func (b *tab) leave(how string) {
	b.Helper()
	eval[bool](b, "setTimeout(() => { "+how+"; }) > 0")
}

// settled waits until a sheet is drawn from the record of its job, which comes late
// and moves what lies below.
func (b *tab) settled() {
	b.Helper()
	if !b.inert && !b.unkept {
		b.wait(`!document.querySelector(".current") || !document.body.dataset.job || document.querySelector(".bar .job").hash.length > 32`)
	}
}

// finger is where a finger would come down.
type finger struct {
	X, Y float64
	Top  string // what lies there, if not what is looked for
}

// middle brings an element into sight, and is its middle.
func (b *tab) middle(element string) finger {
	b.Helper()
	return eval[finger](b, fmt.Sprintf(`(() => {
		const e = %s;
		if (!e) return {Top: "nothing: there is no such element"};
		e.scrollIntoView({block: "center", behavior: "instant"});
		const r = e.getBoundingClientRect(), X = r.x + r.width / 2, Y = r.y + r.height / 2;
		const top = document.elementFromPoint(X, Y);
		window.tapped = "";
		window.tapping?.abort();
		addEventListener("click", (event) => {
			window.tapped = e.contains(event.target) ? "it" : event.target.outerHTML.slice(0, 200);
		}, {capture: true, once: true, signal: (window.tapping = new AbortController()).signal});
		return {X, Y, Top: top && e.contains(top) ? "" : top ? top.outerHTML.slice(0, 200) : "nothing"};
	})()`, element))
}

// tap puts a finger on the middle of an element, which must be what lies on
// top there, once it lies where it stays. It ends when the page was told of it.
func (b *tab) tap(element string) {
	b.Helper()
	b.settled()
	at := b.middle(element)
	for range 20 {
		before := at
		if at = b.middle(element); at == before {
			break
		}
		time.Sleep(16 * time.Millisecond)
	}
	if at.Top != "" {
		b.Fatalf("%s cannot be tapped; what lies there is %s", element, at.Top)
	}
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	b.check(chromedp.Do(ctx, chromedp.TapXY(at.X, at.Y)))
	if b.inert {
		return // nobody is told
	}
	b.wait(`window.tapped !== ""`) // a page that came of it knows of no finger
	// Where that cannot be asked, the page is giving way to one that came of it.
	if met, err := try[string](b, `window.tapped ?? "it"`); err == nil && met != "it" {
		b.Fatalf("%s was to be tapped; the finger met %s", element, met)
	}
}

// all shows all cards of a procedure, where a page is one.
func (b *tab) all() bool {
	b.Helper()
	if !eval[bool](b, `document.querySelector("[data-do=all]") !== null`) {
		return false
	}
	b.tap(`document.querySelector("[data-do=all]")`)
	b.wait(`!document.body.hasAttribute("data-guided")`)
	return true
}

// keys types on the keyboard.
func (b *tab) keys(text string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	b.check(chromedp.Do(ctx, chromedp.KeyEvent(text)))
}

// choose chooses a model, as the select in the bar does.
func (b *tab) choose(model string) {
	b.Helper()
	eval[bool](b, fmt.Sprintf(`(() => {
		const s = document.querySelector("select[name=model]");
		s.value = %s;
		s.dispatchEvent(new Event("change", {bubbles: true}));
		return true;
	})()`, quoted(model)))
}

// quoted is a value as JSON, which is an expression of the script too.
func quoted(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(text)
}
