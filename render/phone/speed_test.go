package phone

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	pages "github.com/chromedp/cdproto/page"

	"benchleaf/calc"
	"benchleaf/render/handbook"
)

// slow makes the browser as slow as an old phone: six times slower.
func (b *tab) slow() {
	b.Helper()
	call(b, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 6})
}

// keystrokeScript times what an entry sets off, in ms: from the event to the
// last changed text of the document, and then with the layout that follows. The
// first element is a handler that writes one text, the baseline. A batch is
// timed as a whole, since the clock of a page is coarse.
const keystrokeScript = `(async () => {
	const input = document.createElement("input"), output = document.createElement("output");
	document.body.append(input, output);
	input.addEventListener("input", () => (output.textContent = input.value));
	const fields = [...document.querySelectorAll("form.calculator")].map((form) => form.querySelector(".field input"));
	const median = (list) => list.sort((a, b) => a - b)[list.length >> 1];
	const times = [];
	for (const e of [input, ...fields]) {
		const own = e.value || "1", batches = [], laidOut = [];
		for (let i = 0; i < 15; i++) {
			for (const [list, layout] of [[batches, false], [laidOut, true]]) {
				await new Promise((done) => setTimeout(done));
				const count = e === input ? 50 : 5, start = performance.now();
				for (let j = 0; j < count; j++) {
					e.value = j === count - 1 ? own : own + (j % 2 ? "1" : "2");
					e.dispatchEvent(new Event("input", {bubbles: true}));
					if (layout) document.body.offsetHeight;
				}
				list.push((performance.now() - start) / count);
			}
		}
		times.push({Field: e.form ? e.form.id + " " + e.name : "", Text: median(batches), Layout: median(laidOut)});
	}
	return times;
})()`

// BenchmarkKeystroke times an entry on sheets with several calculators and a
// plot, on a phone six times slower: at most 4 ms from the key to the changed
// text. ratio is to a handler that writes one text.
func BenchmarkKeystroke(b *testing.B) {
	content, bench := compiled(b), benches(b)[0]
	for _, page := range []struct {
		d   *demo
		key string
	}{{content, "bench/joints"}, {content, "bench/generator"}, {content, "bench/air"}, {bench, "bench"}} {
		b.Run(page.key[strings.LastIndex(page.key, "/")+1:], func(b *testing.B) {
			tab := open(b, "")
			tab.goLive(page.d.address(page.d.page(b, page.key).Path))
			tab.slow()
			for b.Loop() {
				times := eval[[]struct {
					Field        string
					Text, Layout float64
				}](tab, keystrokeScript)
				worst := times[1]
				for _, one := range times[1:] {
					b.Logf("%-40s %6.2f ms, with layout %6.2f ms", one.Field, one.Text, one.Layout)
					if one.Text > worst.Text {
						worst = one
					}
				}
				b.ReportMetric(worst.Text, "ms")
				b.ReportMetric(worst.Layout, "layout-ms")
				b.ReportMetric(worst.Text/times[0].Text, "ratio")
			}
		})
	}
}

// firstScript times, in ms, the way from a module's text in the page to its
// first result. Each time the module has another section that says nothing, so
// that the browser compiles it anew.
const firstScript = `(async (text, inputs, count) => {
	// What the toolchain's runtime asks of WASI: the time, and folders, of which
	// there are none (8 is EBADF of wasi_snapshot_preview1).
	const answers = {
		clock_time_get: (id, precision, at) => (new DataView(memory.buffer).setBigUint64(at, BigInt(Date.now()) * 1000000n, true), 0),
		fd_prestat_get: () => 8,
	};
	const wasi = new Proxy({}, {get: (_, name) => answers[name] ?? (() => 0)});
	let memory, result;
	const times = [];
	for (let i = 0; i < 9; i++) {
		const texts = [];
		for (let j = 0; j < count; j++) {
			const tail = crypto.getRandomValues(new Uint8Array(8));
			// A section of id 0: its size, the length of its name, the name.
			texts.push(btoa(atob(text) + String.fromCharCode(0, 9, 8, ...tail.map((v) => 97 + v % 26))));
		}
		await new Promise((done) => setTimeout(done));
		const start = performance.now();
		for (const text of texts) {
			const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
			const {instance} = await WebAssembly.instantiate(bytes, {wasi_snapshot_preview1: wasi});
			memory = instance.exports.memory;
			instance.exports._initialize?.();
			result = [instance.exports.run(...inputs)].flat()[0];
		}
		times.push((performance.now() - start) / count);
	}
	return {Time: times.sort((a, b) => a - b)[times.length >> 1], Result: String(result)};
})`

// liveScript notes when the last form of a page can be filled in.
const liveScript = `new MutationObserver(() => {
	if (document.readyState !== "loading" && !document.querySelector("fieldset:disabled")) self.liveAt ??= performance.now();
}).observe(document, {subtree: true, attributeFilter: ["disabled"]})`

// BenchmarkFirstResult times the first result of calculators against modules
// that the standard toolchain makes of the same functions: in the middle of all
// at least eight times faster, four times at the least. live-ms is a sheet's
// time from its opening until its calculators are live, on a phone six times
// slower.
func BenchmarkFirstResult(b *testing.B) {
	d := compiled(b)
	page := open(b, "")
	call(page, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: liveScript})
	blank := open(b, "")
	blank.goTo(d.address("index.html"))
	for b.Loop() {
		var ratios []float64
		for _, c := range calc.All() {
			if slices.ContainsFunc(c.Inputs, func(q calc.Quantity) bool { return q.Kind == calc.Choice || q.Start != q.Start }) {
				continue // no number, which its function takes in the program below
			}
			toolchain := toolchainModule(b, c)
			type timed struct {
				Time   float64
				Result string
			}
			run := func(module []byte, count int) timed {
				return eval[timed](blank, fmt.Sprintf("%s(%s, %s, %d)", firstScript, quoted(base64.StdEncoding.EncodeToString(module)), quoted(c.Starts()), count))
			}
			own := run(handbook.BuiltinModule(c).Bytes, 20)
			theirs := run(toolchain, 1)
			if own.Result != theirs.Result {
				b.Errorf("%s: the first result is %s, with the toolchain %s", c.Name, own.Result, theirs.Result)
			}
			ratios = append(ratios, theirs.Time/own.Time)
			b.Logf("%-20s %7.3f ms of %d bytes, the toolchain's %8.2f ms of %d bytes: %6.1f", c.Name, own.Time, len(handbook.BuiltinModule(c).Bytes), theirs.Time, len(toolchain), theirs.Time/own.Time)
		}
		slices.Sort(ratios)
		b.ReportMetric(ratios[len(ratios)/2], "ratio")
		b.ReportMetric(ratios[0], "worst-ratio")

		page.slow()
		page.goLive(d.address("en/bench/joints.html"))
		b.ReportMetric(eval[float64](page, "liveAt"), "live-ms")
	}
}

var resultField = regexp.MustCompile(`Results struct \{\n\t(\w+)`)

// toolchainModule compiles a calculator with the standard toolchain, its file
// and what it imports alone, to a module with one export.
func toolchainModule(b *testing.B, c *calc.Calculator) []byte {
	b.Helper()
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		b.Fatal(err)
	}
	scratch, overlay := b.TempDir(), map[string]string{}
	write := func(name, text string) {
		file := filepath.Join(scratch, name)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			b.Fatal(err)
		}
		overlay[filepath.Join(root, "render", "phone", "toolchain", name)] = file
	}
	var first string
	for name, text := range calc.Subset().Files {
		write(name, strings.Replace(string(text), "package calc", "package main", 1))
		if _, rest, ok := strings.Cut(string(text), "type "+c.Func); ok && strings.Contains(rest, "func "+c.Func+"(") {
			first = resultField.FindStringSubmatch(string(text))[1]
		}
	}
	var parameters []string
	for i := range c.Inputs {
		parameters = append(parameters, fmt.Sprintf("a%d", i))
	}
	list := strings.Join(parameters, ", ")
	write("main.go", fmt.Sprintf("package main\n\n//go:wasmexport run\nfunc run(%s float64) float64 { return float64(%s(%sInputs{%s}).%s) }\n\nfunc main() {}\n", list, c.Func, c.Func, list, first))
	table, err := json.Marshal(map[string]any{"Replace": overlay})
	if err != nil {
		b.Fatal(err)
	}
	overlayFile, module := filepath.Join(scratch, "overlay.json"), filepath.Join(scratch, "toolchain.wasm")
	if err := os.WriteFile(overlayFile, table, 0o600); err != nil {
		b.Fatal(err)
	}
	build := exec.Command("go", "build", "-buildmode=c-shared", "-ldflags=-s -w", "-overlay", overlayFile, "-o", module, "benchleaf/render/phone/toolchain")
	build.Dir, build.Env = root, append(os.Environ(), "GOOS=wasip1", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("%s: %v\n%s", c.Name, err, out)
	}
	data, err := os.ReadFile(module)
	if err != nil {
		b.Fatal(err)
	}
	return data
}
