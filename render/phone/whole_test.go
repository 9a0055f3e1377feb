package phone

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// TestWhole holds every sheet of the demo that has calculators as a whole: chains,
// verdicts and pictures, as it opens, for each model, and while entries are made in
// all forms and models are changed in turn.
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
			look := func(name string, m *handbook.Model, forms map[string]shownForm) (computed int) {
				t.Helper()
				r := reckonOf(b, d, p, forms)
				r.model = m
				computed, _ = r.hold(name)
				for _, shown := range eval[[]shownPlot](b, drawnScript) {
					r.drawn(name, all[shown.ID], shown)
				}
				return computed
			}
			forms := func() map[string]shownForm { return eval[map[string]shownForm](b, allScript) }
			look("as it opens", nil, forms())
			for _, m := range p.Applicability { // before anything is entered
				b.choose(m.ID)
				shown := forms()
				look("model "+m.ID, m, shown)
				for _, c := range p.Calculators {
					(&bench{tab: b, d: d, page: p, c: c, model: m}).presets(shown[c.ID])
				}
			}
			random := rand.New(rand.NewPCG(9, uint64(len(p.Key))))
			computed := 0
			for i := range 6 * len(p.Applicability) {
				m := p.Applicability[i%len(p.Applicability)]
				b.choose(m.ID)
				r := reckon(b, d, p)
				r.model = m
				r.hold("changed to model " + m.ID)
				set := r.entriesAtRandom(random)
				computed += look(fmt.Sprint("model ", m.ID, set), m, b.enter(set)[0])
			}
			if computed == 0 {
				t.Error("no calculator had results")
			}
		})
	}
}

// entriesAtRandom are entries for two fields of three, near what stands there, now and then anywhere.
func (r *reckoning) entriesAtRandom(random *rand.Rand) (set []entry) {
	for _, c := range r.page.Calculators {
		for i, q := range c.Calc.Inputs {
			if q.Kind == calc.Choice || r.taken(c, i) || random.IntN(3) == 0 {
				continue
			}
			v := q.FromSI(r.inputs[c][i]) * (0.9 + 0.2*random.Float64())
			if v != v || random.IntN(8) == 0 {
				v = q.Min + (q.Max-q.Min)*random.Float64()
			}
			text := strings.Replace(strconv.FormatFloat(v, 'g', 2+random.IntN(3), 64), ".", string(rune(unit.DecimalSign(r.page.Lang))), 1)
			set = append(set, entry{c.ID, q.Name, strings.TrimSpace(text + " " + strings.TrimPrefix(q.Unit.Symbol, "Δ"))})
		}
	}
	return set
}
