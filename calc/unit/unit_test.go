package unit

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// lines returns the fields of each line of a file under testdata, comments
// left out.
func lines(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all [][]string
	for s := bufio.NewScanner(f); s.Scan(); {
		if !strings.HasPrefix(s.Text(), "#") {
			all = append(all, strings.Fields(s.Text()))
		}
	}
	if len(all) == 0 {
		t.Fatalf("testdata/%s is empty", name)
	}
	return all
}

func bits(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(hex, 16, 64)
	if err != nil {
		t.Fatal(err)
	}
	return math.Float64frombits(n)
}

func mustLookup(t *testing.T, symbol string) Unit {
	t.Helper()
	u, ok := Lookup(symbol)
	if !ok {
		t.Fatalf("no unit %q", symbol)
	}
	return u
}

func TestTable(t *testing.T) {
	seen := map[string]string{}
	for _, r := range table {
		if _, ok := dimensions[r.Kind]; !ok {
			t.Errorf("%s: kind %q has no dimension", r.Symbol, r.Kind)
		}
		if r.source == "" {
			t.Errorf("%s: no source", r.Symbol)
		}
		if r.IsGauge() != (r.Factor == 0) {
			t.Errorf("%s: factor %v", r.Symbol, r.Factor)
		}
		for _, s := range append([]string{r.Symbol}, r.spellings...) {
			if other, twice := seen[s]; twice {
				t.Errorf("%q is both %s and %s", s, other, r.Symbol)
			}
			seen[s] = r.Symbol
			if u, ok := Lookup(" " + s + " "); !ok || u != r.Unit {
				t.Errorf("Lookup(%q) = %v, %v, want %s", s, u, ok, r.Symbol)
			}
		}
	}
	for _, s := range []string{"x", "MOHM", "KPA"} {
		if u, ok := Lookup(s); ok {
			t.Errorf("Lookup(%q) = %s, want none", s, u.Symbol)
		}
	}
}

// What a technician types.
func TestLookupSpoken(t *testing.T) {
	for symbol, written := range map[string][]string{
		"PS": {"PS", "cv", "CV", "ch"}, "hp": {"bhp", "BHP"}, "kW": {"KW"}, "V·A": {"VA"}, "kV·A": {"kVA"}, "kW·h": {"KWH"},
		"Torr": {"torr"}, "atm": {"atm"}, "kcmil": {"kcmil", "MCM"}, "A·h": {"AH", "A h", "Ah"}, "N·m": {"NM", "Nm", "N m"},
		"lbf·ft": {"ft lb", "ft lbs", "ft.lbs", "ft-lbs", "lb ft", "lbft"}, "lbf·in": {"in lb", "in lbs", "in.lbs", "lb in"},
		"ozf·in": {"ozf·in", "oz-in"}, "kgf·cm": {"kg·cm", "kgf·cm", "kg*cm"}, "kgf·m": {"kg-m"}, "yd": {"yards"}, "rps": {"r/s", "rev/s"}, "rpm": {"U/min"},
		"ft³/min": {"cfm", "ft3/min"}, "gal/min": {"gpm"}, "ppm": {"ppm"}, "d": {"day", "days"}, "°F": {"°f"}, "°C": {"°c"}, "rev": {"revs"},
	} {
		for _, s := range written {
			if u, ok := Lookup(s); !ok || u.Symbol != symbol {
				t.Errorf("Lookup(%q) = %q, %v, want %s", s, u.Symbol, ok, symbol)
			}
		}
	}
	// Turns, angles and pulses stay apart.
	kinds := map[Kind]string{}
	for _, s := range []string{"rad/s", "rps", "Hz", "rev"} {
		k := mustLookup(t, s).Kind
		if kinds[k] != "" {
			t.Errorf("%s and %s are both of %s", kinds[k], s, k)
		}
		kinds[k] = s
	}
}

// What a keyboard gives in place of the right sign is the right sign.
func TestLookupTyped(t *testing.T) {
	for written, symbol := range map[string]string{"\u2126": "Ω", "m\u2126": "mΩ", "ºC": "°C", "˚F": "°F", "N⋅m": "N·m", "in\u00a0Hg": "inHg", "∆K": "ΔK", "\u03bcΩ": "µΩ"} {
		if u, ok := Lookup(written); !ok || u.Symbol != symbol {
			t.Errorf("Lookup(%q) = %q, %v, want %s", written, u.Symbol, ok, symbol)
		}
	}
}

func TestDimensions(t *testing.T) {
	for _, c := range []struct {
		name      string
		want, got Dimension
	}{
		{"W = V·A", Power.Dimension(), Voltage.Dimension().Times(Current.Dimension())},
		{"V = Ω·A", Voltage.Dimension(), Resistance.Dimension().Times(Current.Dimension())},
		{"K/W", ThermalResistance.Dimension(), TemperatureDifference.Dimension().Over(Power.Dimension())},
		{"Pa = N/m²", Pressure.Dimension(), Force.Dimension().Over(Area.Dimension())},
		{"N·m", Torque.Dimension(), Force.Dimension().Times(Length.Dimension())},
		{"m³ = m²·m", Volume.Dimension(), Area.Dimension().Times(Length.Dimension())},
		{"W = N·m/s", Power.Dimension(), Torque.Dimension().Over(Time.Dimension())},
		{"number", Number.Dimension(), Kind("no such kind").Dimension()},
	} {
		if c.want != c.got {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if Temperature == TemperatureDifference || Temperature.Dimension() != TemperatureDifference.Dimension() {
		t.Error("a temperature and a difference have one dimension and two kinds")
	}
}

// The bits are those that ECMAScript computed from the JSON form of the unit.
func TestConversionBits(t *testing.T) {
	for _, f := range lines(t, "conversion.txt") {
		u := mustLookup(t, f[0])
		v, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		si := u.ToSI(v)
		if want := bits(t, f[2]); si != want {
			t.Errorf("%v %s = %v in SI, want %v", v, u.Symbol, si, want)
		}
		if got, want := u.FromSI(si), bits(t, f[3]); got != want {
			t.Errorf("back to %s: %v, want %v", u.Symbol, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	for written, want := range map[string]string{
		"vlts": "V", "ohmz": "Ω", "degrC": "°C", "inHG": "inHg", "rpms": "rpm", "mm²²": "mm²", "pis": "psi", "Kpa": "kPa", "AGW": "AWG",
		"kcmill": "kcmil", "kpsi": "", "khp": "", "psia": "", "psig": "", "barg": "", "mAmp": "", "KPSI": "",
		"": "", "x": "", "furlong": "", strings.Repeat("m", 1000): "",
	} {
		if got := Nearest(written); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", written, got, want)
		}
	}
}

// The table holds the geometry of ASTM B258: d = 0.127 mm * 92^((36-n)/39).
func TestGaugeGeometry(t *testing.T) {
	awg := mustLookup(t, "AWG")
	for i, s := range Sizes() {
		n := float64(i + thickest)
		d := 0.127e-3 * math.Pow(92, (36-n)/39)
		if area := math.Pi / 4 * d * d; math.Abs(s.Area-area) > 4e-15*area {
			t.Errorf("AWG %s: %v m², geometry gives %v", s.Name, s.Area, area)
		}
		if SizeName(n) != s.Name || awg.ToSI(n) != s.Area || awg.FromSI(s.Area) != n {
			t.Errorf("AWG %s: name %q, area %v, number %v", s.Name, SizeName(n), awg.ToSI(n), awg.FromSI(s.Area))
		}
		if r, ok := parseSize(s.Name); !ok || r != n {
			t.Errorf("parseSize(%q) = %v, %v", s.Name, r, ok)
		}
	}
}

func TestGaugeNearest(t *testing.T) {
	awg := mustLookup(t, "AWG")
	for mm2, want := range map[float64]string{1.5: "15", 2.5: "13", 1.3087: "16", 107: "4/0", 53: "1/0", 0.005: "40"} {
		if got := SizeName(awg.FromSI(mm2 * 1e-6)); got != want {
			t.Errorf("%v mm² is nearest to AWG %s, want %s", mm2, got, want)
		}
	}
	// The border between neighbours is their geometric mean.
	for i := range len(sizes) - 1 {
		mean := math.Sqrt(sizes[i].Area * sizes[i+1].Area)
		if up, down := awg.FromSI(mean*1.0001), awg.FromSI(mean*0.9999); up != float64(i+thickest) || down != up+1 {
			t.Errorf("about the border below AWG %s: %v and %v", sizes[i].Name, up, down)
		}
	}
	for _, none := range []float64{0, -1, 200e-6, 1e-9, math.NaN(), math.Inf(1)} {
		if n := awg.FromSI(none); !math.IsNaN(n) {
			t.Errorf("%v m² is AWG %v, want none", none, n)
		}
	}
	for _, none := range []float64{-4, 41, 15.5, math.NaN(), math.Inf(1), 1e300} {
		if a := awg.ToSI(none); !math.IsNaN(a) || SizeName(none) != "" {
			t.Errorf("AWG %v has area %v and name %q", none, a, SizeName(none))
		}
	}
}

func ExampleParse() {
	mm2, _ := Lookup("mm²")
	si, used, err := Parse("16 AWG", mm2, "en")
	fmt.Println(Format(mm2.FromSI(si), 3), mm2.Symbol, used.Symbol, err)
	// Output: 1.31 mm² AWG <nil>
}
