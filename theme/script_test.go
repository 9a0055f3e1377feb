package theme

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

// The build prints a number as the phone does, to the letter.
func TestFormatIsThatOfTheBuild(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	values := []float64{0, math.Copysign(0, -1), 0.5, 1.5, 2.5, 0.125, 1e-6, 9.999995e-7, 1e9, 999999999, 999999999.5, 1e21, 0.1 + 0.2, 123456, 0.045, 1.005, math.MaxFloat64, math.SmallestNonzeroFloat64}
	for range 3000 {
		values = append(values, math.Float64frombits(random.Uint64()), (random.Float64()-0.5)*math.Pow(10, float64(random.IntN(30)-14)), float64(random.IntN(4000))/8)
	}
	type call struct {
		V      float64
		Digits int
	}
	var calls []call
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) { // JSON has neither
			calls = append(calls, call{v, 1 + random.IntN(17)})
		}
	}
	var got []string
	run(t, `import { format } from "./number";
console.log(JSON.stringify(input.map((c) => format(c.V, c.Digits))));`, calls, &got)
	if len(got) != len(calls) {
		t.Fatalf("%d texts for %d numbers", len(got), len(calls))
	}
	for i, c := range calls {
		if want := unit.FormatIn(c.V, c.Digits, "en"); got[i] != want {
			t.Errorf("%v with %d digits: the phone prints %q, the build %q", c.V, c.Digits, got[i], want)
		}
	}
}

func TestFormatOfNoNumber(t *testing.T) {
	var got []string
	run(t, `import { format } from "./number";
console.log(JSON.stringify([NaN, Infinity, -Infinity].map((v) => format(v, 3))));`, map[string]any{"Page": map[string]string{"decimal": ","}}, &got)
	for i, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if want := unit.FormatIn(v, 3, "es"); got[i] != want {
			t.Errorf("the phone prints %q, the build %q", got[i], want)
		}
	}
}

// What a reader writes is read alike, and refused for the same reason.
func TestQuantityIsReadAsInTheBuild(t *testing.T) {
	texts := []string{
		"2.4", "2,4", "2.4 A", "2,4 A", "2 MΩ", "2 mΩ", "2 Mohm", "5 MV", "5 mV", "2400 mA", "1,750", "1.750", "1 750", "1.750,5", "1,750.5", "12,34,567", "1,75", ",5", ".5", "5.", "-3", "−3", "+3", "- 3",
		"1e3", "1e-3 A", "1e3 mA", "", " ", "A", "2 x", "2 xyz", "16 AWG", "awg 16", "AWG16", "2/0", "4/0 AWG", "5/0 AWG", "0", "00", "0000", "41 AWG", "16", "16.5", "70 °F", "70 F", "70 ºF", "70degF",
		"21 °C", "21 C", "294 K", "300 mm2", "1.5 mm²", "1.5mm2", "6 ft", "2\u00a0m", "3 m", "12 V", "12 mV", "0.5 ohm", "0.5 Ω", "0.5 Ohm", "5 mohm", "1..2", "1,2,3", "1 2", "12 3456", "0.001.000",
		"000 000", "0 500", "1234 567", "1,000,000", "1.000.000", "0.123", "0,123", "--3", "3-", "1e", "1e999", "∞", "NaN", "0x10", "1_000", "１２", "９.４",
		"٩٫٣", "٩٫٣ A", "٩٫٣٠٠", "٩،٣", "٩.٣", "۹٫۳", "−٣", "١٬٧٥٠", "٩٫٣٫١", "٫٥",
	}
	// A meter leaves its unit's symbol out behind a prefix; what the prefix alone is in another field is not asked here.
	prefixed := []string{"9.40k", "9.40 K", "2.2M", "2.2m", "250 m", "40u", "9.4 kk", "k", "9.4 g"}
	fields := []string{"A", "mm²", "AWG", "°C", "m", "V", "Ω", "kΩ", "rpm", "s"}
	type field struct {
		Units []any
		Texts []string
	}
	for _, lang := range []string{"en", "es"} {
		var input struct {
			Page   map[string]any
			Fields []field
		}
		var sizes []any
		for _, s := range unit.Sizes() {
			sizes = append(sizes, s.Name, s.Area)
		}
		input.Page = map[string]any{"decimal": string(rune(unit.DecimalSign(lang))), "sizes": sizes}
		for _, symbol := range fields {
			own, _ := unit.Lookup(symbol)
			texts := texts
			if strings.HasSuffix(symbol, "Ω") || symbol == "V" {
				texts = slices.Concat(texts, prefixed)
			}
			f := field{Texts: texts, Units: []any{[]any{own.Symbol, own.Factor, own.Offset}}}
			for _, u := range own.Alternatives() {
				if u != own {
					f.Units = append(f.Units, []any{u.Symbol, u.Factor, u.Offset})
				}
			}
			input.Fields = append(input.Fields, f)
		}
		var got [][]json.RawMessage
		run(t, `import { typedIn } from "./number";
import { quantity } from "./unit";
console.log(JSON.stringify(input.Fields.map((f) => f.Texts.map((text) => {
  const q = quantity(typedIn({ value: text }), f.Units[0], f.Units);
  return typeof q === "string" ? q : q.si;
}))));`, input, &got)
		for i, symbol := range fields {
			own, _ := unit.Lookup(symbol)
			for j, text := range input.Fields[i].Texts {
				want := expected(text, own, lang)
				if string(got[i][j]) != want {
					t.Errorf("%s, field in %s: %q is %s on the phone, %s in the build", lang, symbol, text, got[i][j], want)
				}
			}
		}
	}
}

// sizeName is a size of the wire gauge as the phone takes it: by its name. The
// build takes the gauge number too, -3 for 4/0.
var sizeName = regexp.MustCompile(`^(?i:awg)? *\d+(/0)? *(?i:awg)?$`)

// expected is the build's reading as the phone tells it. A phone knows only the
// units of the field, so a unit of another kind is an unknown one.
func expected(text string, own unit.Unit, lang string) string {
	si, used, err := unit.Parse(text, own, lang)
	var bad *unit.Error
	result := any(si)
	if own.IsGauge() && used.IsGauge() && !sizeName.MatchString(strings.TrimSpace(unit.Western(text, unit.DecimalSign(lang)))) {
		var bad *unit.Error
		if err == nil || errors.As(err, &bad) && bad.Reason == unit.TooLarge {
			return `"size"`
		}
	}
	if errors.As(err, &bad) {
		switch bad.Reason {
		case unit.Ambiguous:
			result = "ambiguous"
		case unit.UnknownUnit, unit.WrongKind:
			result = "unit"
		case unit.NoSize:
			result = "size"
			if own.Kind != unit.Area {
				result = "unit"
			}
		default:
			result = "number"
		}
	} else if used != own {
		known := false
		for _, u := range own.Alternatives() {
			known = known || u == used
		}
		if !known {
			result = "unit"
		}
	}
	data, _ := json.Marshal(result)
	return string(data)
}

// The phone's verdict is that of ISO 14253-1 as the build has it; here against
// the rule written out: the distance to the nearer limit, held against the guard.
func TestVerdictKeepsTheGuard(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	type reading struct {
		V, Min, Max, Share, Added float64
	}
	var readings []reading
	for range 2000 {
		min := math.Round(random.Float64()*100) / 10
		readings = append(readings, reading{math.Round(random.Float64()*200) / 10, min, min + math.Round(random.Float64()*50)/10, random.Float64() / 50, random.Float64() / 10})
	}
	var got []string
	run(t, `import { judge } from "./verdict";
console.log(JSON.stringify(input.map((r) => judge(r.V, [r.Min, r.Max, null, null], r.Share * r.V + r.Added))));`, readings, &got)
	seen := map[string]int{}
	for i, r := range readings {
		guard := 0.95 * (r.Share*r.V + r.Added)
		want := "close"
		switch {
		case r.V >= r.Min+guard-1e-7 && r.V <= r.Max-guard+1e-7:
			want = "within"
		case r.V < r.Min-guard-1e-7 && r.V < r.Max+guard:
			want = "low"
		case r.V > r.Max+guard+1e-7:
			want = "high"
		}
		seen[want]++
		if got[i] != want {
			t.Errorf("%+v is %q, want %q", r, got[i], want)
		}
	}
	if len(seen) != 4 {
		t.Errorf("only %v came up", seen)
	}
}
