package phone

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// judge is the decision rule of ISO 14253-1:2017 for a meter's bound a, which
// counts as a uniform distribution (JCGM 100:2008, 4.3.7): conformity is proved
// where the reading lies inside the limit by 1.65 u, nonconformity where it
// lies outside by as much, u = a/√3; 1.65/√3 is 0.95. side is low or high for
// a reading that is outside.
func judge(v float64, l *handbook.Limit, bound float64) (verdict, side string) {
	if l == nil || v != v || math.IsInf(v, 0) {
		return "", ""
	}
	guard := 0.95 * bound
	verdict = "within"
	for side, end := range map[string]*handbook.Number{"low": l.Min, "high": l.Max} {
		if end == nil {
			continue
		}
		excess := end.Value - v
		if side == "high" {
			excess = -excess
		}
		// A reading on the border may differ by what its decimal form costs.
		spare := 1e-9 * math.Abs(end.Value)
		if excess > guard+spare {
			return "outside", side
		}
		if excess > -guard+spare {
			verdict = "close"
		}
	}
	return verdict, ""
}

type shownReading struct {
	Verdict, Says, Follows string
	Hidden, Invalid        bool
}

// readingScript types into a step one text after the other, and returns what is said of each. Nothing is kept of those
// before the last: that takes long, and is another test's.
const readingScript = `((id, texts) => {
	const section = document.querySelector("#" + id + " .reading"), input = section.querySelector("input"), output = section.querySelector("output");
	const keep = Storage.prototype.setItem;
	return texts.map((text, i) => {
		Storage.prototype.setItem = i < texts.length - 1 ? () => {} : keep;
		input.value = text;
		input.dispatchEvent(new Event("input", {bubbles: true}));
		return {
			Verdict: output.dataset.verdict, Says: output.textContent, Hidden: output.hidden,
			Follows: [...section.querySelectorAll("[data-follows]")].map((a) => a.dataset.outcome).join(),
			Invalid: input.getAttribute("aria-invalid") === "true",
		};
	});
})`

// shifted tells whether a reading that is outside would lie within its two limits with its decimal sign one
// place along.
func shifted(v float64, l *handbook.Limit) bool {
	if l.Min == nil || l.Max == nil || l.Min.Value == 0 || l.Max.Value == 0 {
		return false
	}
	within := func(v float64) bool { return v >= l.Min.Value-1e-9*math.Abs(v) && v <= l.Max.Value+1e-9*math.Abs(v) }
	return within(10*v) || within(v/10)
}

// around lists readings at a limit and near it, on both sides of what the
// meter leaves open.
func around(l *handbook.Limit, meter handbook.Accuracy) []string {
	var list []string
	for _, bound := range []*handbook.Number{l.Min, l.Max} {
		if bound == nil {
			continue
		}
		guard := 0.95 * meter.Bound(bound.Value)
		list = append(list, bound.Text, strconv.FormatFloat(10*bound.Value, 'f', -1, 64)) // as it is, and with its decimal sign lost
		for _, k := range []float64{0.5, 0.97, 1.03, 2, 5} {
			for _, sign := range []float64{-1, 1} {
				list = append(list, strconv.FormatFloat(bound.Value+sign*k*math.Max(guard, 1e-6), 'f', 9, 64))
			}
		}
	}
	return append(list, "0", "-1", "1000000", "1e8")
}

// edges lists the readings next to a limit, on both sides of what the meter leaves open: another limit judges one of them otherwise.
func edges(l *handbook.Limit, meter handbook.Accuracy) (list []string) {
	for _, bound := range []*handbook.Number{l.Min, l.Max} {
		if bound == nil {
			continue
		}
		for _, k := range []float64{-1.03, -0.97, 0.97, 1.03} {
			list = append(list, strconv.FormatFloat(bound.Value+k*math.Max(0.95*meter.Bound(bound.Value), 1e-6), 'f', 9, 64))
		}
	}
	return list
}

// TestDecimalSign: where a limit is on one side only, or no fault can show ten times what is good, as of a
// length, a speed or a frequency, the demo says what can be read at all; a decimal sign that was forgotten in
// the least value that is good leads beyond that.
func TestDecimalSign(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	seen := map[*handbook.Spec]bool{}
	for _, p := range d.procedures() {
		for _, s := range p.Procedure.Steps {
			if !metered(s) || seen[s.Reading.Spec] {
				continue
			}
			spec := s.Reading.Spec
			seen[spec] = true
			_, most := d.book.Readable(spec)
			for _, m := range append([]*handbook.Model{nil}, p.Applicability...) {
				l := spec.For(m)
				bounded := slices.Contains([]unit.Kind{unit.Length, unit.RotationalFrequency, unit.Frequency}, spec.Unit.Kind)
				if l == nil || !bounded && (l.Min == nil) == (l.Max == nil) {
					continue
				}
				if math.IsInf(spec.Possible[1], 1) {
					t.Errorf("%s does not say what is possible", spec.ID)
				}
				if l.Min != nil && 10*l.Min.Value <= most {
					t.Errorf("%s: ten times %s is possible, up to %g", spec.ID, l.Min.Text, most)
				}
			}
		}
	}
	if len(seen) < 20 {
		t.Errorf("the demo has %d quantities that are measured", len(seen))
	}
}

// TestRestDraw: what a relay that welded shut draws is taken as the meter's 10 A range shows it, with its
// unit or in milliamperes, and condemns: 12.6 V across the 9.4 Ω of a Quince 150 are 1.34 A. What blows the
// meter's fuse is no reading.
func TestRestDraw(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("en/procedures/battery-flat.html"))
	texts := []string{"1.34 A", "1340", "1340 mA", "9.9 A", "12 A"}
	for _, step := range []string{"draw", "relay", "prove-draw"} {
		shown := eval[[]shownReading](b, fmt.Sprintf("%s(%s, %s)", readingScript, quoted(step), quoted(texts)))
		for i, got := range shown {
			want := shownReading{Verdict: "outside", Follows: "high"}
			if texts[i] == "12 A" {
				want = shownReading{Invalid: true}
			}
			if want.Says = got.Says; got != want {
				t.Errorf("%s, %s: %+v, want %+v", step, texts[i], got, want)
			}
		}
	}
}

// TestDecimalSignShifted: a figure that would be good with its decimal sign one place along is asked about where
// both limits are given, and keeps its verdict, since it may be true: a bad joint of a 9.4 Ω heater reads 94 Ω too.
func TestDecimalSignShifted(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, c := range []struct {
		page, step, model string
		asked, plain      []string
	}{
		{"choke-opens-late", "coil", "quince-150", []string{"94", "940 mΩ"}, []string{"20", "9.0", "9.4", "5"}},
		{"generator-dead", "winding", "damson-175", []string{"24", "0.24"}, []string{"2.4", "12", "0"}},
		{"idle-wrong", "prove-top", "quince-150", []string{"375"}, []string{"3750", "3000", "600"}},
	} {
		b := open(t, "")
		b.goLive(d.address("en/procedures/" + c.page + ".html"))
		b.choose(c.model)
		look := func(texts []string, asked bool) {
			for i, got := range eval[[]shownReading](b, fmt.Sprintf("%s(%s, %s)", readingScript, quoted(c.step), quoted(texts))) {
				if asks := strings.HasSuffix(got.Says, " Is the decimal sign missing, or the unit another?"); asks != asked || got.Invalid || got.Verdict == "" || asked && got.Verdict != "outside" {
					t.Errorf("%s, %s, %s: %+v", c.page, c.step, texts[i], got)
				}
			}
		}
		look(c.asked, true)
		look(c.plain, false)
	}
}

// TestReadings enters readings at and around each limit, for every model and
// for none, in every step that takes one, of a spread of procedures.
func TestReadings(t *testing.T) {
	d := compiled(t)
	list := slices.DeleteFunc(d.procedures(), func(p *handbook.Page) bool { return !slices.ContainsFunc(p.Procedure.Steps, metered) })
	for _, p := range spread(list) {
		t.Run(strings.TrimPrefix(p.Key, "procedures/"), func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.goLive(d.address(p.Path))
			verdicts, tried := map[string]int{}, map[string]bool{}
			for _, m := range append([]*handbook.Model{nil}, p.Applicability...) {
				model := ""
				if m != nil {
					model = m.ID
				}
				b.choose(model)
				for _, s := range p.Procedure.Steps {
					if metered(s) {
						d.readings(b, p, s, m, verdicts, tried)
					}
				}
			}
			for _, v := range []string{"within", "outside", "close", "beyond"} {
				if verdicts[v] == 0 {
					t.Errorf("no reading was %s", v)
				}
			}
			t.Log(verdicts)
		})
	}
}

// metered tells whether a step takes a reading with a meter, not with a stopwatch.
func metered(s *handbook.Step) bool { return s.Reading != nil && s.Reading.Timing == nil }

// readings enters readings in a step. Where another model had the same limits there, a few tell that these are the model's.
func (d *demo) readings(b *tab, p *handbook.Page, s *handbook.Step, m *handbook.Model, verdicts map[string]int, tried map[string]bool) {
	b.Helper()
	spec := s.Reading.Spec
	limit, differ := spec.For(m), spec.Ranges(m) != nil // by a serial number that nobody has typed
	if m == nil && len(p.Applicability) > 0 {
		limit = spec.For(p.Applicability[0])
		for _, other := range p.Applicability {
			differ = differ || bounds(spec.For(other)) != bounds(limit) || spec.Ranges(other) != nil
		}
	}
	meter, _ := d.book.Accuracy(spec.Unit)
	least, most := d.book.Readable(spec)
	reversed := func(v float64) bool { return !differ && v < -meter.Bound(v) && limitsArePositive(limit) }
	texts := append(around(limit, meter), "", "abc", "3 bananas", "12,34.5", "OL", "∞", "Open")
	if same := fmt.Sprint(s.ID, bounds(limit), differ); tried[same] && !*every {
		texts = edges(limit, meter)
	} else {
		tried[same] = true
	}
	shown := eval[[]shownReading](b, fmt.Sprintf("%s(%s, %s)", readingScript, quoted(s.ID), quoted(texts)))
	for i, got := range shown {
		v, err := strconv.ParseFloat(texts[i], 64)
		want := shownReading{Invalid: err != nil && texts[i] != "", Hidden: texts[i] == ""}
		switch {
		case slices.Contains([]string{"OL", "∞", "Open"}, texts[i]): // what a meter shows over its range, or who reads it writes
			want.Invalid, want.Says = false, d.words.Word("verdict.nothing")+" "+d.words.Word("verdict.outsideOnly")
			if has(s, "none") {
				want.Verdict, want.Follows = "outside", "none"
				want.Says = d.words.Word("verdict.nothing") + " " + d.words.Word("verdict.outsideNext")
			}
		case err != nil:
			want.Says = got.Says // held by the calculators, whose messages they are
		case reversed(v):
			want.Says = d.words.Word("verdict.negative")
		case v < least-meter.Bound(v) || v > most+meter.Bound(v):
			want.Invalid, want.Says = true, got.Says
			verdicts["beyond"]++
			if asked := d.words.Fill("verdict.beyond", "range", "\x00"); !strings.HasPrefix(got.Says, strings.Split(asked, "\x00")[0]) {
				b.Errorf("%s: %q cannot be, and the page says %q", s.ID, texts[i], got.Says)
			}
		case differ:
			want.Says = d.words.Word("verdict.model")
		default:
			var side string
			want.Verdict, side = judge(v, limit, meter.Bound(v))
			verdicts[want.Verdict]++
			outcome := side
			if want.Verdict == "within" {
				outcome = "within"
			}
			if side == "low" && has(s, "none") && nothing(spec.Unit, v, meter) {
				outcome = "none"
			}
			has := has(s, outcome)
			if has {
				want.Follows = outcome
			}
			key := want.Verdict
			if side != "" {
				key = side
			}
			if outcome == "none" {
				key = "nothing"
			}
			next := map[string]string{"within": "withinNext", "outside": "outsideNext", "close": "closeNext"}[want.Verdict]
			if want.Verdict == "outside" && !has {
				next = "outsideOnly"
			}
			want.Says = d.words.Word("verdict."+key) + " "
			if has || want.Verdict != "within" {
				bound := unit.FormatIn(0.95*meter.Bound(v), 2, p.Lang) + "\u00a0" + strings.TrimPrefix(spec.Unit.Symbol, "Δ")
				want.Says += d.words.Fill("verdict."+next, "bound", bound)
			}
			if want.Verdict == "outside" && outcome == side && shifted(v, limit) {
				want.Says += " " + d.words.Word("verdict.shifted")
				verdicts["shifted"]++
			}
		}
		if got.Says = strings.TrimSpace(got.Says); got.Says == "" && want.Invalid {
			b.Errorf("%s: %q is refused without a word", s.ID, texts[i])
		}
		if want.Says = strings.TrimSpace(want.Says); got != want {
			b.Errorf("%s, model %v, %q: shown %+v, want %+v", s.ID, m, texts[i], got, want)
		}
	}
}

func has(s *handbook.Step, outcome string) bool {
	return slices.ContainsFunc(s.Reading.Outcomes, func(o handbook.Outcome) bool { return o.Kind == outcome })
}

// nothing tells whether a voltage or a current is none at all: no more than the
// meter's own doubt.
func nothing(u unit.Unit, v float64, meter handbook.Accuracy) bool {
	return (u.Kind == unit.Voltage || u.Kind == unit.Current) && math.Abs(v) <= meter.Bound(v)
}

func limitsArePositive(l *handbook.Limit) bool {
	return (l.Min == nil || l.Min.Value >= 0) && (l.Max == nil || l.Max.Value >= 0)
}

// bounds is a limit as a text that can be compared.
func bounds(l *handbook.Limit) string {
	text := ""
	for _, n := range []*handbook.Number{l.Nominal, l.Min, l.Max, l.Tolerance} {
		if n == nil {
			text += "none "
		} else {
			text += strconv.FormatFloat(n.Value, 'g', -1, 64) + " "
		}
	}
	return text
}
