package phone

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
)

// TestWhole holds every sheet of the demo that has calculators as a whole: chains,
// verdicts and pictures, as it opens, for each model, and while entries are made
// in all forms in turn.
func TestWhole(t *testing.T) {
	everyone := compiled(t)
	for _, p := range everyone.openedPages() {
		if len(p.Calculators) == 0 {
			continue
		}
		d := everyone.in(p.Lang)
		t.Run(p.Lang+"/"+p.Key[strings.LastIndex(p.Key, "/")+1:], func(t *testing.T) {
			t.Parallel()
			b := open(t, "")
			b.goLive(d.address(p.Path))
			all := plots(p)
			look := func(name string, r *reckoning) (computed int) {
				t.Helper()
				computed, _ = r.hold(name)
				for _, shown := range eval[[]shownPlot](b, drawnScript) {
					r.drawn(name, all[shown.ID], shown)
				}
				return computed
			}
			look("as it opens", reckon(b, d, p))
			random := rand.New(rand.NewPCG(9, uint64(len(p.Key))))
			computed := 0
			for i, m := range p.Applicability {
				if i > 0 {
					b.goLive(d.address(p.Path)) // without the entries made for another model
				}
				b.choose(m.ID)
				r := reckon(b, d, p)
				r.model = m
				look("model "+m.ID, r)
				for range 6 {
					var set []entry
					for _, c := range p.Calculators {
						for i, q := range c.Calc.Inputs {
							if q.Kind == calc.Choice || r.taken(c, i) || random.IntN(3) == 0 {
								continue
							}
							// Near what stands there, now and then anywhere.
							v := q.FromSI(r.inputs[c][i]) * (0.9 + 0.2*random.Float64())
							if v != v || random.IntN(8) == 0 {
								v = q.Min + (q.Max-q.Min)*random.Float64()
							}
							text := strings.Replace(strconv.FormatFloat(v, 'g', 2+random.IntN(3), 64), ".", string(rune(unit.DecimalSign(p.Lang))), 1)
							set = append(set, entry{c.ID, q.Name, strings.TrimSpace(text + " " + strings.TrimPrefix(q.Unit.Symbol, "Δ"))})
						}
					}
					r = reckonOf(b, d, p, b.enter(set)[0])
					r.model = m
					computed += look(fmt.Sprint("model ", m.ID, set), r)
				}
			}
			if computed == 0 {
				t.Error("no calculator had results")
			}
		})
	}
}
