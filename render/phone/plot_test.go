package phone

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// plotScript returns what every plot of the page shows.
const plotScript = `[...document.querySelectorAll("figure.plotted")].map((figure) => {
	const svg = figure.querySelector("svg.plot"), r = svg.getBoundingClientRect();
	const seen = (e) => getComputedStyle(e).display !== "none";
	return {
		ID: figure.id, Box: svg.dataset.box, Range: svg.dataset.range,
		Line: svg.querySelector(".plot-line").getAttribute("d"),
		Marks: [...svg.querySelectorAll(".plot-mark")].map((m) => seen(m) ? m.getAttribute("transform") : ""),
		Bands: [...svg.querySelectorAll(".plot-band")].map((e) => ({Models: e.dataset.model ?? "", Seen: seen(e)})),
		Labels: [...svg.querySelectorAll(".plot-label")].map((e) => ({Models: e.dataset.model ?? "", Seen: seen(e)})),
		Ticks: [...svg.querySelectorAll("g.ticks")].map((e) => ({Axis: e.dataset.axis, System: e.dataset.system ?? "", Seen: seen(e)})),
		Rows: [...figure.querySelectorAll("tbody tr")].map((r) => [...r.cells].map((c) => c.textContent)),
		Heads: [...figure.querySelectorAll("thead th")].map((c) => c.textContent),
		Left: r.left, Right: r.right,
		Wrong: (svg.outerHTML.match(/[^<>]*(NaN|Infinity|undefined|null)[^<>]*/) ?? [""])[0],
	};
})`

// drawnScript does so once pictures are drawn: the figures are painted first.
const drawnScript = painted + `.then(() => ` + plotScript + `)`

type shownPlot struct {
	ID, Box, Range, Line, Wrong string
	Marks                       []string
	Bands, Labels               []shownBand
	Ticks                       []struct {
		Axis, System string
		Seen         bool
	}
	Rows        [][]string
	Heads       []string
	Left, Right float64
}

type shownBand struct {
	Models string
	Seen   bool
}

// spot is a place in a picture.
type spot struct{ x, y float64 }

// scale maps values of a plot to places in its picture.
type scale struct {
	left, top, width, height, x0, x1, y0, y1 float64
	x, y                                     unit.Unit
}

func scaleOf(b *tab, d *demo, p *handbook.Plot, shown shownPlot) scale {
	b.Helper()
	numbers := func(text string) []float64 {
		var list []float64
		for _, word := range strings.Fields(text) {
			v, err := strconv.ParseFloat(word, 64)
			b.check(err)
			list = append(list, v)
		}
		if len(list) != 4 {
			b.Fatalf("%s: %q are not four numbers", shown.ID, text)
		}
		return list
	}
	box, ends := numbers(shown.Box), numbers(shown.Range)
	own := func(u unit.Unit) unit.Unit {
		if u = u.In(d.book.System); u.IsGauge() {
			return u.In(unit.Metric) // sizes are no scale
		}
		return u
	}
	c := p.Calculator.Calc
	return scale{box[0], box[1], box[2], box[3], ends[0], ends[1], ends[2], ends[3], own(c.Inputs[p.Over].Unit), own(c.Results[p.Show].Unit)}
}

// at is where a value in SI stands, by what the picture says of its box.
func (s scale) at(x, y float64) spot {
	return spot{
		s.left + (s.x.FromSI(x)-s.x0)/(s.x1-s.x0)*s.width,
		max(-1e4, min(1e4, s.top+(s.y1-s.y.FromSI(y))/(s.y1-s.y0)*s.height)),
	}
}

func (s scale) holds(p spot) bool {
	return p.x >= s.left && p.x <= s.left+s.width && p.y >= s.top && p.y <= s.top+s.height
}

// value is the drawn result at one value of the input, all others as they stand;
// ok is false where one of them has no value.
func (r *reckoning) value(p *handbook.Plot, si float64) (v float64, ok bool) {
	r.Helper()
	in, usable := r.values(p.Calculator, moved{})
	for i := range in {
		if i == p.Over || r.leader(p.Calculator, i) == p.Over {
			in[i] = si
		} else if !usable[i] {
			return 0, false
		}
	}
	out, err := p.Calculator.Module.Run(in)
	r.check(err)
	return out[p.Show], true
}

var pathPart = regexp.MustCompile(`([ML])(-?[\d.]+) (-?[\d.]+)`)

// drawn holds the live picture: the line through 97 values, the mark where the
// entries are.
func (r *reckoning) drawn(name string, p *handbook.Plot, shown shownPlot) (marked bool) {
	r.Helper()
	s := scaleOf(r.tab, r.d, p, shown)
	if shown.Wrong != "" {
		r.Errorf("%s: %s has %s", name, p.ID, shown.Wrong)
	}
	var line []spot
	starts := 0
	pieces := pathPart.FindAllStringSubmatch(shown.Line, -1)
	last, broken := spot{}, true
	for i := range 97 {
		si := p.Min + (p.Max-p.Min)*float64(i)/96
		v, ok := r.value(p, si)
		if !ok || math.IsNaN(v) {
			broken = true
			continue
		}
		at := s.at(si, v)
		side := func(y float64) int {
			switch {
			case y < s.top:
				return -1
			case y > s.top+s.height:
				return 1
			}
			return 0
		}
		// No stroke leads over a pole.
		if broken || side(at.y)*side(last.y) < 0 {
			starts++
		}
		line, last, broken = append(line, at), at, false
	}
	if len(pieces) != len(line) || strings.Count(shown.Line, "M") != starts {
		r.Errorf("%s: the line of %s has %d places in %d pieces, want %d in %d", name, p.ID, len(pieces), strings.Count(shown.Line, "M"), len(line), starts)
	} else {
		for i, m := range pieces {
			x, _ := strconv.ParseFloat(m[2], 64)
			y, _ := strconv.ParseFloat(m[3], 64)
			if math.Abs(x-line[i].x) > 0.051 || math.Abs(y-line[i].y) > 0.051 {
				r.Errorf("%s: place %d of %s is %s %s, want %v", name, i, p.ID, m[2], m[3], line[i])
			}
		}
	}
	in, usable := r.values(p.Calculator, moved{})
	want := ""
	if v, ok := r.value(p, in[p.Over]); ok && usable[p.Over] && !math.IsNaN(v) {
		if at := s.at(in[p.Over], v); s.holds(at) {
			want = fmt.Sprintf("translate(%.1f %.1f)", at.x, at.y)
		}
	}
	for _, m := range shown.Marks {
		if m != want && !nearby(m, want) {
			r.Errorf("%s: the mark of %s is at %q, want %q", name, p.ID, m, want)
		}
	}
	return want != ""
}

var places = regexp.MustCompile(`-?[\d.]+`)

// nearby forgives the rounding of a half.
func nearby(a, b string) bool {
	x, y := places.FindAllString(a, -1), places.FindAllString(b, -1)
	if len(x) != 2 || len(y) != 2 {
		return false
	}
	for i := range x {
		v, _ := strconv.ParseFloat(x[i], 64)
		w, _ := strconv.ParseFloat(y[i], 64)
		if math.Abs(v-w) > 0.11 {
			return false
		}
	}
	return true
}

// still holds the picture and its table as they are without script.
func (r *reckoning) still(p *handbook.Plot, shown shownPlot) {
	r.Helper()
	s := scaleOf(r.tab, r.d, p, shown)
	if shown.Wrong != "" {
		r.Errorf("%s has %s", p.ID, shown.Wrong)
	}
	var curve []spot
	for i := range 97 {
		si := p.Min + (p.Max-p.Min)*float64(i)/96
		if v, ok := r.value(p, si); ok && !math.IsNaN(v) {
			curve = append(curve, s.at(si, v))
		}
	}
	for _, m := range places.FindAllString(shown.Line, -1) {
		if _, err := strconv.ParseFloat(m, 64); err != nil {
			r.Errorf("%s: %q in its line", p.ID, m)
		}
	}
	numbers := places.FindAllString(shown.Line, -1)
	for i := 0; i+1 < len(numbers); i += 2 {
		x, _ := strconv.ParseFloat(numbers[i], 64)
		y, _ := strconv.ParseFloat(numbers[i+1], 64)
		least := math.Inf(1)
		for j := range curve[1:] {
			least = min(least, apart(spot{x, y}, curve[j], curve[j+1]))
		}
		if least > 0.3 {
			r.Errorf("%s: %v %v of its line is %v from what Go gives", p.ID, x, y, least)
		}
	}
	if len(numbers) < 4 || len(shown.Rows) < 3 {
		r.Errorf("%s has a line of %d numbers and %d rows", p.ID, len(numbers), len(shown.Rows))
	}
	sign := string(rune(unit.DecimalSign(r.page.Lang)))
	for _, row := range shown.Rows {
		x, err := strconv.ParseFloat(strings.Replace(row[0], sign, ".", 1), 64)
		r.check(err)
		v, _ := r.value(p, s.x.ToSI(x))
		if want := unit.FormatIn(s.y.FromSI(v), 3, r.page.Lang); row[1] != want {
			r.Errorf("%s: at %s %s the table says %s, want %s", p.ID, row[0], s.x.Symbol, row[1], want)
		}
	}
	for i, u := range []unit.Unit{s.x, s.y} {
		if !strings.HasSuffix(shown.Heads[i], "\u00a0"+u.Symbol) {
			r.Errorf("%s: the table's head is %q, the unit %s", p.ID, shown.Heads[i], u.Symbol)
		}
	}
}

// apart is how far a place is from a stroke.
func apart(p, from, to spot) float64 {
	dx, dy := to.x-from.x, to.y-from.y
	t := 0.0
	if length := dx*dx + dy*dy; length > 0 {
		t = max(0, min(1, ((p.x-from.x)*dx+(p.y-from.y)*dy)/length))
	}
	return math.Hypot(p.x-from.x-t*dx, p.y-from.y-t*dy)
}

// plots are those of a page, in its order.
func plots(p *handbook.Page) map[string]*handbook.Plot {
	found := map[string]*handbook.Plot{}
	for _, block := range p.Blocks {
		switch block := block.(type) {
		case *handbook.Plot:
			found[block.ID] = block
		case *handbook.Reading:
			if block.Timing != nil && block.Timing.Curve != nil {
				found[block.Timing.Curve.ID] = block.Timing.Curve
			}
		}
	}
	return found
}

// TestPlot holds the pictures of calculators against Go: the line, the mark, the
// bands, the ticks and the table of values.
func TestPlot(t *testing.T) {
	for _, d := range benches(t) {
		t.Run(d.book.Languages[0], func(t *testing.T) {
			t.Parallel()
			p := d.page(t, "bench")
			all := plots(p)
			number := func(text string) string {
				return strings.Replace(text, ".", string(rune(unit.DecimalSign(p.Lang))), 1)
			}
			b := open(t, "")
			b.script(false)
			b.goTo(d.address(p.Path))
			r := reckon(b, d, p)
			for _, shown := range eval[[]shownPlot](b, plotScript) {
				r.still(all[shown.ID], shown)
			}
			b.script(true)
			b.goLive(d.address(p.Path))

			marked, hidden := map[string]int{}, map[string]int{}
			look := func(name string, set ...entry) {
				t.Helper()
				r := reckonOf(b, d, p, b.enter(set)[0])
				list := eval[[]shownPlot](b, drawnScript)
				if len(list) != len(all) || len(all) < 5 {
					t.Fatalf("%d pictures of %d plots", len(list), len(all))
				}
				for _, shown := range list {
					if r.drawn(name, all[shown.ID], shown) {
						marked[shown.ID]++
					} else {
						hidden[shown.ID]++
					}
				}
			}
			const joint, power, warming, opening, fit, cable = "calculator-joint", "calculator-coil-power", "calculator-warming", "calculator-time-to-open", "calculator-fit", "calculator-cable"
			look("as it opens")
			look("a joint", entry{joint, "joint", "600"})
			look("a chain out of range", entry{joint, "joint", "5000"})
			look("not readable", entry{joint, "joint", "x"})
			look("good", entry{joint, "joint", "100"})
			look("typed over", entry{power, "voltage", number("12.25")}, entry{opening, "voltage", "13"})
			look("out of range", entry{power, "voltage", "17"}, entry{opening, "voltage", "61"})
			look("nothing entered", entry{warming, "ambient", ""}, entry{cable, "area", ""})
			look("another input", entry{power, "coil", "4"}, entry{fit, "bore", number("12.10")}, entry{cable, "current", "150"})
			look("off the picture", entry{fit, "shaft", number("11.5")}, entry{power, "coil", "1"})
			look("another not readable", entry{fit, "bore", "?"}, entry{cable, "length", "-1"}, entry{warming, "thermal", ""})
			look("back", entry{fit, "bore", "12"}, entry{fit, "shaft", number("11.95")}, entry{cable, "length", "1"}, entry{cable, "area", "4"}, entry{warming, "thermal", "5"}, entry{warming, "ambient", number("-12.5")})
			look("joined again", entry{power, "voltage", ""}, entry{power, "coil", "9"}, entry{opening, "voltage", ""}, entry{opening, "open-at", "70"})
			for id := range all {
				if marked[id] < 3 || hidden[id] == 0 {
					t.Errorf("the mark of %s was seen %d times and hidden %d times", id, marked[id], hidden[id])
				}
			}
			for _, s := range []unit.System{unit.Inch, unit.Metric} {
				b.chooseSystem(s)
				for _, shown := range eval[[]shownPlot](b, drawnScript) {
					seen := map[string]int{}
					for _, ticks := range shown.Ticks {
						if ticks.Seen {
							seen[ticks.Axis]++
						}
						if want := ticks.System == "" || ticks.System == string(s); ticks.Seen != want {
							t.Errorf("%s: ticks of %q along %s in %s: seen %t", shown.ID, ticks.System, ticks.Axis, s, ticks.Seen)
						}
					}
					if seen["x"] != 1 || seen["y"] != 1 {
						t.Errorf("%s has ticks %v in %s", shown.ID, seen, s)
					}
				}
				look("in the system " + string(s))
			}
			b.bands(p)
			for _, width := range []int64{320, 390, 1200} {
				b.size(width, 700)
				if over := eval[float64](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
					t.Errorf("at %d px the page is %v px too wide", width, over)
				}
				for _, shown := range eval[[]shownPlot](b, drawnScript) {
					if shown.Left < 0 || shown.Right > float64(width) || shown.Right-shown.Left < 200 {
						t.Errorf("at %d px the picture of %s is from %v to %v", width, shown.ID, shown.Left, shown.Right)
					}
				}
			}
			b.contrast()
		})
	}
}

// bands asks that bands of models that are not chosen are not seen.
func (b *tab) bands(p *handbook.Page) {
	b.Helper()
	some, gone := false, false
	for _, model := range []string{"", "a10", "b20", "c30", ""} {
		b.choose(model)
		for _, shown := range eval[[]shownPlot](b, drawnScript) {
			for _, band := range append(shown.Bands, shown.Labels...) {
				holds := model == "" || band.Models == ""
				for id := range strings.FieldsSeq(band.Models) {
					holds = holds || id == model
				}
				if band.Seen != holds {
					b.Errorf("model %q: a band of %q in %s: seen %t", model, band.Models, shown.ID, band.Seen)
				}
				some, gone = some || band.Seen && model != "" && band.Models != "", gone || !band.Seen
			}
		}
	}
	if !some || !gone {
		b.Errorf("no band of a model was seen or none was hidden")
	}
}

// contrast asks for the contrast of letters (WCAG 2.2, 1.4.3: 4.5 to 1) and of
// what a picture needs to be understood (1.4.11: 3 to 1), in light and dark.
func (b *tab) contrast() {
	b.Helper()
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		for _, fault := range eval[[]string](b, `(() => {
			const parts = (colour) => {
				const c = document.createElement("canvas").getContext("2d");
				c.fillStyle = colour;
				c.fillRect(0, 0, 1, 1);
				return [...c.getImageData(0, 0, 1, 1).data].slice(0, 3);
			};
			const luminance = (colour) => {
				const [r, g, b] = parts(colour).map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
				return 0.2126 * r + 0.7152 * g + 0.0722 * b;
			};
			const ground = (e) => {
				for (; e; e = e.parentElement) {
					const c = getComputedStyle(e).backgroundColor;
					if (!/, 0\)$|transparent/.test(c)) return c;
				}
				return "white";
			};
			const faults = [];
			for (const svg of document.querySelectorAll("svg.plot")) {
				const under = luminance(ground(svg));
				for (const [selector, property, least] of [["text", "fill", 4.5], [".plot-line", "stroke", 3], ["circle", "stroke", 3]]) {
					for (const e of svg.querySelectorAll(selector)) {
						if (getComputedStyle(e).display === "none" || getComputedStyle(e)[property] === "none") continue;
						const over = luminance(getComputedStyle(e)[property]);
						const ratio = (Math.max(over, under) + 0.05) / (Math.min(over, under) + 0.05);
						if (ratio < least) faults.push(selector + " " + getComputedStyle(e)[property] + " has " + ratio.toFixed(2));
					}
				}
			}
			return [...new Set(faults)];
		})()`) {
			b.Errorf("%s: %s", scheme, fault)
		}
	}
}
