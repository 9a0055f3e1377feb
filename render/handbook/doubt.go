package handbook

import (
	"fmt"
	"math"

	"benchleaf/calc"
)

// shift moves one input of the page, to see what follows from it.
type shift struct {
	form  *Calculator
	input int
	by    float64 // in SI
}

// evaluation computes calculators in their chains, each once.
type evaluation struct {
	page   *Page
	model  *Model // whose nominal values are taken; nil for the first model that has one
	shift  shift
	inputs map[*Calculator][]float64
	known  map[*Calculator][]float64 // results; nil where there are none
	err    error                     // the last that a module gave
}

func (p *Page) evaluation(s shift) *evaluation {
	return &evaluation{page: p, shift: s, inputs: map[*Calculator][]float64{}, known: map[*Calculator][]float64{}}
}

// Inputs returns the values of a calculator's inputs as the page shows them
// without script, in SI: presets, nominal values of the first model that has
// one, results of other calculators, else the start values.
func (p *Page) Inputs(c *Calculator) []float64 { return p.evaluation(shift{}).in(c) }

// Results returns what a calculator makes of the page's values.
func (p *Page) Results(c *Calculator) ([]float64, error) {
	e := p.evaluation(shift{})
	return e.results(c), e.err
}

func (e *evaluation) in(c *Calculator) []float64 {
	if in, ok := e.inputs[c]; ok {
		return in
	}
	in := make([]float64, len(c.Calc.Inputs))
	for i, q := range c.Calc.Inputs {
		in[i] = q.ToSI(q.Start)
		preset, ok := c.Presets[q.Name]
		switch {
		case !ok && q.Follows != "":
			for j, other := range c.Calc.Inputs[:i] {
				if other.Name == q.Follows {
					in[i] = in[j]
				}
			}
		case !ok:
		case preset.From != nil:
			in[i] = math.NaN()
			if out := e.results(preset.From.Calculator); out != nil {
				in[i] = out[preset.From.Result]
			}
		case preset.Spec != nil:
			in[i] = math.NaN()
			if n := e.nominal(preset); n != nil {
				in[i] = FieldUnit(preset.Spec.Unit, q.Unit).ToSI(n.Value)
			}
		default:
			in[i] = preset.SI
		}
		if e.shift.form == c && e.shift.input == i {
			in[i] += e.shift.by
		}
	}
	e.inputs[c] = in
	return in
}

// nominal is the value that a specification presets.
func (e *evaluation) nominal(preset Preset) *Number {
	if e.model == nil {
		n, _ := e.page.Nominal(preset)
		return n
	}
	return preset.figure(preset.Spec.For(e.model))
}

func (e *evaluation) results(c *Calculator) []float64 {
	if out, ok := e.known[c]; ok {
		return out
	}
	out, err := c.Module.Run(e.in(c))
	if err == nil && len(out) != len(c.Calc.Results) {
		err = fmt.Errorf("the module of %s gives %d results instead of %d", c.Calc.Name, len(out), len(c.Calc.Results))
	}
	if err != nil {
		out, e.err = nil, err
	}
	e.known[c] = out
	return out
}

// Accuracy returns how far to trust what is entered for an input, stated for
// its unit; metered is false where no meter is read. A meter that the handbook
// does not know counts as exact.
func (c *Calculator) Accuracy(q calc.Quantity, book *Handbook) (a Accuracy, metered bool) {
	if a, own := c.Meters[q.Name]; own {
		return a, a != Accuracy{}
	}
	if q.Metered {
		a, _ = book.Accuracy(q.Unit)
	}
	return a, q.Metered
}

// Spread is how far a result moves with the inputs that it rests on.
type Spread struct {
	// By is the root of the sum of the squares of the parts, in SI; infinite where
	// a value within an input's width gives no result.
	By float64
	// Of, and Input there, is what most of it comes from; nil where nothing moves.
	Of    *Calculator
	Input int
}

// Spread moves every input that a calculator's results rest on, those of the
// calculators that it is chained to included, by a width in SI to both sides,
// and takes half the difference of the results as its part: first-order
// propagation of independent inputs. width is 0 for an input that is exact.
//
// Source: JCGM 100:2008, 5.1.2 and the note 2 of 5.1.3.
func (p *Page) Spread(c *Calculator, width func(form *Calculator, input int, si float64) float64) []Spread {
	spreads := make([]Spread, len(c.Calc.Results))
	most := make([]float64, len(spreads))
	still := p.evaluation(shift{})
	for _, form := range c.upstream(map[*Calculator]bool{}) {
		for i, q := range form.Calc.Inputs {
			if q.Kind == calc.Choice || form.Presets[q.Name].From != nil {
				continue
			}
			by := width(form, i, still.in(form)[i])
			if !(by > 0) {
				continue
			}
			up := p.evaluation(shift{form, i, by}).results(c)
			down := p.evaluation(shift{form, i, -by}).results(c)
			for r := range spreads {
				part := math.Inf(1)
				if up != nil && down != nil {
					if half := math.Abs(up[r]-down[r]) / 2; !math.IsNaN(half) {
						part = half
					}
				}
				spreads[r].By += part * part
				if part > most[r] {
					most[r], spreads[r].Of, spreads[r].Input = part, form, i
				}
			}
		}
	}
	for r := range spreads {
		spreads[r].By = math.Sqrt(spreads[r].By)
	}
	return spreads
}

// upstream lists a calculator and those that it takes results from, each once.
func (c *Calculator) upstream(seen map[*Calculator]bool) []*Calculator {
	if seen[c] {
		return nil
	}
	seen[c] = true
	list := []*Calculator{c}
	for _, q := range c.Calc.Inputs {
		if from := c.Presets[q.Name].From; from != nil {
			list = append(list, from.Calculator.upstream(seen)...)
		}
	}
	return list
}
