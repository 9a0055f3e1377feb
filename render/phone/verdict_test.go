package phone

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// TestVerdict turns one input of a chain so that the last result comes to lie
// around each limit of each model: within, outside or too close to call by what
// all meters of the chain leave open together, and which of them to better.
func TestVerdict(t *testing.T) {
	for _, d := range benches(t) {
		p := d.page(t, "bench")
		t.Run(p.Lang, func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			counts, bettered := map[string]int{}, map[string]int{}
			for _, m := range append([]*handbook.Model{nil}, p.Applicability...) {
				id := ""
				if m != nil {
					id = m.ID
				}
				b.goLive(d.address(p.Path))
				b.choose(id)
				sets := verdictSets(p, m)
				for i, forms := range b.enter(sets...) {
					r := reckonOf(b, d, p, forms)
					r.model = m
					r.hold(fmt.Sprintf("model %q, %v", id, sets[i]))
					for _, c := range []string{"calculator-coil-power", "calculator-warming", "calculator-time-to-open", "calculator-fit"} {
						counts[c+" "+forms[c].Verdicts["verdict"]]++
						for _, label := range []string{"Supply", "Current", "Joint", "Coil", "Bore", "Shaft"} {
							if forms[c].Verdicts["verdict"] == "close" && strings.Contains(forms[c].Next, label) {
								bettered[label]++
							}
						}
					}
				}
			}
			for _, c := range []string{"calculator-coil-power", "calculator-warming", "calculator-time-to-open", "calculator-fit"} {
				for _, v := range []string{"within", "close", "outside"} {
					if counts[c+" "+v] < 3 {
						t.Errorf("%s was %s only %d times", c, v, counts[c+" "+v])
					}
				}
			}
			for _, label := range []string{"Supply", "Current", "Bore"} { // the power goes with the square of the voltage: never the coil
				if bettered[label] == 0 {
					t.Errorf("%s was never the reading to better: %v", label, bettered)
				}
			}
			t.Log(counts, bettered)
		})
	}
}

// verdictSets leads results to their limits and past them, by steps as small as
// what the meters leave open.
func verdictSets(p *handbook.Page, m *handbook.Model) [][]entry {
	number := func(v float64, digits int) string {
		return strings.Replace(strconv.FormatFloat(v, 'f', digits, 64), ".", string(rune(unit.DecimalSign(p.Lang))), 1)
	}
	sets := [][]entry{{{"calculator-joint", "supply", number(13.8, 1)}, {"calculator-joint", "current", number(1.5, 1)}, {"calculator-joint", "joint", "200"}, {"calculator-coil-power", "coil", number(9.4, 1)}}}
	ends := func(form, result string) (list []float64) {
		i := slices.IndexFunc(p.Calculators, func(c *handbook.Calculator) bool { return c.ID == form })
		s := p.Calculators[i].Limits[result]
		if m == nil {
			m = p.Applicability[0]
		}
		for _, n := range []*handbook.Number{s.For(m).Min, s.For(m).Max} {
			if n != nil {
				list = append(list, n.Value)
			}
		}
		return list
	}
	for step := -6.0; step <= 6; step++ {
		// At 13.5 V the coil that gives a power is U²/P.
		for _, watts := range ends("calculator-coil-power", "power") {
			sets = append(sets, []entry{{"calculator-coil-power", "coil", number(13.5*13.5/(watts*(1+0.007*step)), 2)}})
		}
		for _, celsius := range ends("calculator-warming", "final") {
			watts := (celsius*(1+0.007*step) - 20) / 5
			sets = append(sets, []entry{{"calculator-coil-power", "coil", number(13.5*13.5/watts, 2)}})
		}
		for _, mm := range ends("calculator-fit", "clearance") {
			sets = append(sets, []entry{{"calculator-fit", "bore.unit", "mm"}, {"calculator-fit", "shaft.unit", "mm"}, {"calculator-fit", "bore", number(12.5, 3)}, {"calculator-fit", "shaft", number(12.5-mm-0.003*step, 3)}})
		}
		// It takes 180 s at 8.5 Ω: 20 °C + 13.5² / 8.5 · 5 K are 127.2 °C, and
		// 170 s · ln((127.2 - 20) / (127.2 - 90)) are 180 s. Beyond 13 Ω it never opens.
		sets = append(sets,
			[]entry{{"calculator-time-to-open", "resistance", number(8.5+step/12, 2)}},
			[]entry{{"calculator-time-to-open", "resistance", number(13+step/4, 2)}})
	}
	// With a joint of great resistance it is the current that leaves most open, and
	// once the supply is read, with a good joint, the supply.
	for _, set := range [][]entry{
		{{"calculator-joint", "joint", "3000"}}, {{"calculator-joint", "joint", "4000"}},
		{{"calculator-joint", "joint", "200"}, {"calculator-joint", "supply", number(13.8, 1)}},
	} {
		ohms, _ := strconv.ParseFloat(set[0][2], 64)
		volts := 13.8 - 1.5*ohms/1000
		for step := -6.0; step <= 6; step++ {
			for _, watts := range ends("calculator-coil-power", "power") {
				sets = append(sets, append(slices.Clone(set), entry{"calculator-coil-power", "coil", number(volts*volts/(watts*(1+0.01*step)), 2)}))
			}
		}
	}
	return sets
}

// TestPresetFollowsTheModel: a figure of a specification is the chosen model's,
// until it is typed over.
func TestPresetFollowsTheModel(t *testing.T) {
	t.Parallel()
	d := benches(t)[0]
	p := d.page(t, "bench")
	b := open(t, "")
	b.goLive(d.address(p.Path))
	b.choose("b20")
	b.enter([]entry{{"calculator-joint", "supply", "14.2"}})
	// A typed figure stays, whatever model is chosen; the others follow theirs.
	b.choose("a10")
	form := reckon(b, d, p).forms["calculator-joint"]
	if form.Fields[0].Text != "14.2" {
		t.Errorf("the typed supply became %q", form.Fields[0].Text)
	}
	b.goLive(d.address(p.Path))
	for model, want := range map[string]string{"a10": "13.8", "b20": "14.2", "c30": "13.8"} {
		b.choose(model)
		if form := reckon(b, d, p).forms["calculator-joint"]; form.Fields[0].Text != want {
			t.Errorf("model %s: the supply is preset to %q, want %s", model, form.Fields[0].Text, want)
		}
	}
}
