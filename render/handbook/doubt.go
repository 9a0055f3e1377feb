package handbook

import (
	"math"

	"benchleaf/calc"
)

// Shift moves one input of the page, to see what follows from it.
type Shift struct {
	Calculator *Calculator
	Input      int
	By         float64 // in SI
}

// Inputs returns the values of a calculator's inputs as the page shows them
// without script, in SI: presets, nominal values of the first model that has
// one, results of other calculators, else the start values. A shift moves one
// of them, be it in a calculator that a result is taken from.
func (p *Page) Inputs(c *Calculator, shift *Shift) []float64 {
	in := make([]float64, len(c.Calc.Inputs))
	for i, q := range c.Calc.Inputs {
		preset, ok := c.Presets[q.Name]
		switch {
		case !ok && q.Follows != "":
			for j, other := range c.Calc.Inputs[:i] {
				if other.Name == q.Follows {
					in[i] = in[j]
				}
			}
		case !ok:
			in[i] = q.ToSI(q.Start)
		case preset.From != nil:
			in[i] = math.NaN()
			if out, err := p.Results(preset.From.Calculator, shift); err == nil {
				in[i] = out[preset.From.Result]
			}
		case preset.Spec != nil:
			in[i] = math.NaN()
			if n, _ := p.Nominal(preset); n != nil {
				in[i] = FieldUnit(preset.Spec.Unit, q.Unit).ToSI(n.Value)
			}
		default:
			in[i] = preset.SI
		}
		if shift != nil && shift.Calculator == c && shift.Input == i {
			in[i] += shift.By
		}
	}
	return in
}

// Results returns what a calculator makes of the page's values.
func (p *Page) Results(c *Calculator, shift *Shift) ([]float64, error) {
	return c.Module.Run(p.Inputs(c, shift))
}

// Accuracy returns how far to trust what is entered for an input, stated for
// its unit; ok is false where no meter is read.
func (c *Calculator) Accuracy(q calc.Quantity, book *Handbook) (a Accuracy, ok bool) {
	if a, ok = c.Meters[q.Name]; ok {
		return a, a != Accuracy{}
	}
	if !q.Metered {
		return a, false
	}
	return book.Accuracy(q.Unit)
}

// Doubt is what the accuracies of the meters leave open of a result.
type Doubt struct {
	// Bound is to the result what a meter's accuracy is to its reading; infinite
	// where a value within the meters' accuracies gives no result. In SI.
	Bound float64
	// Of, and Input there, is the reading that most of it comes from; nil where
	// nothing is read.
	Of    *Calculator
	Input int
}

// Doubt combines the accuracies of all readings that go into a result, those of
// the calculators that it is chained to included, by first-order propagation:
// the standard uncertainty of a reading is its bound over √3, the sensitivity
// half the difference of the results for the reading plus and minus it, and
// the readings are independent.
//
// Source: JCGM 100:2008, 4.3.7, 5.1.2 and the note 2 of 5.1.3.
func (p *Page) Doubt(c *Calculator, result int, book *Handbook) Doubt {
	var d Doubt
	sum, most := 0.0, 0.0
	for _, form := range c.upstream(nil) {
		in := p.Inputs(form, nil)
		for i, q := range form.Calc.Inputs {
			preset, preseted := form.Presets[q.Name]
			a, ok := form.Accuracy(q, book)
			if !ok || preseted && (preset.Spec != nil || preset.From != nil) {
				continue // nobody has read it
			}
			u := a.Bound(q.FromSI(in[i])) * q.Unit.Factor / math.Sqrt(3)
			part := math.Inf(1)
			up, err1 := p.Results(c, &Shift{form, i, u})
			down, err2 := p.Results(c, &Shift{form, i, -u})
			if err1 == nil && err2 == nil {
				if half := math.Abs(up[result]-down[result]) / 2; !math.IsNaN(half) {
					part = half
				}
			}
			sum += part * part
			if part > most {
				most, d.Of, d.Input = part, form, i
			}
		}
	}
	d.Bound = math.Sqrt(3 * sum)
	return d
}

// upstream lists a calculator and those that it takes results from, each once.
func (c *Calculator) upstream(list []*Calculator) []*Calculator {
	for _, known := range list {
		if known == c {
			return list
		}
	}
	list = append(list, c)
	for _, q := range c.Calc.Inputs {
		if from := c.Presets[q.Name].From; from != nil {
			list = from.Calculator.upstream(list)
		}
	}
	return list
}
