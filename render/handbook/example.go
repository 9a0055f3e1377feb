package handbook

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// exampleYAML is a worked example: values of inputs, and what they must give.
type exampleYAML struct {
	Given source.Map[source.Text] `yaml:"given"`
	Gives source.Map[source.Text] `yaml:"gives,needed"`
}

// examples are checked once the chains of the page are known.
type examples struct {
	form *Calculator
	list []exampleYAML
}

func (r *pageResolver) keepExamples(form *Calculator, list []exampleYAML) {
	if len(list) > 0 {
		r.examples = append(r.examples, examples{form, list})
	}
}

// checkExamples runs the worked examples of the page.
func (r *pageResolver) checkExamples() {
	for _, e := range r.examples {
		if e.form.restsOnGuess() {
			continue
		}
		for _, example := range e.list {
			r.example(e.form, example)
		}
	}
}

// example runs one. Inputs that it does not name have the value that the page
// shows.
func (r *pageResolver) example(form *Calculator, y exampleYAML) {
	in := r.page.Inputs(form)
	whole := true
	kept := calc.Example{}
	for _, e := range y.Given {
		q, ok := quantity(form.Calc.Inputs, e.ID.Value)
		if !ok {
			unknownHere(&r.remarks, "input of "+form.Calc.Name, names(form.Calc.Inputs), e.ID)
			whole = false
			continue
		}
		v, _, ok := r.exampleValue(q, e.Value)
		if ok && q.Kind == calc.Number {
			if !q.Takes(v) {
				r.remarks.Add(remark.QuantityWrong, e.Value.Place, e.Value.Value, q.Name, rangeText(q), example(q))
				ok = false
			}
		}
		whole = whole && ok
		for i := range form.Calc.Inputs {
			if form.Calc.Inputs[i].Name == q.Name || form.Calc.Inputs[i].Follows == q.Name && !hasEntry(y.Given, form.Calc.Inputs[i].Name) {
				in[i] = v
			}
		}
		kept.Inputs = append(kept.Inputs, calc.Assignment{Name: q.Name, Value: e.Value.Value})
	}
	if !whole {
		return
	}
	out, err := form.Module.Run(in)
	for _, e := range y.Gives {
		q, ok := quantity(form.Calc.Results, e.ID.Value)
		if !ok {
			unknownHere(&r.remarks, "result of "+form.Calc.Name, names(form.Calc.Results), e.ID)
			continue
		}
		want, used, ok := r.exampleValue(q, e.Value)
		if !ok {
			continue
		}
		got := math.NaN()
		for i := range form.Calc.Results {
			if err == nil && form.Calc.Results[i].Name == q.Name {
				got = out[i]
			}
		}
		if q.Kind == calc.Choice {
			if got != want {
				r.exampleWrong(form, e.Value, q.Name, optionText(q, got))
			}
			continue
		}
		places := lastPlace(e.Value.Value)
		if !(math.Abs(used.FromSI(got)-used.FromSI(want)) <= places/2*(1+1e-9)) {
			r.exampleWrong(form, e.Value, q.Name, resultText(used, used.FromSI(got), places))
			continue
		}
		kept.Results = append(kept.Results, calc.Assignment{Name: q.Name, Value: e.Value.Value})
	}
	form.Examples = append(form.Examples, kept)
}

// exampleWrong remarks on a result; where several of a calculator are wrong, its formula
// or one of its figures is, most likely.
func (r *pageResolver) exampleWrong(form *Calculator, said source.Text, name, gives string) {
	r.remarks = append(r.remarks, remark.ExampleWrong.At(said.Place, name, said.Value, gives).
		About(remark.Subject{Name: "examples of " + r.page.Source.Path + "#" + form.ID}))
}

func hasEntry(m source.Map[source.Text], name string) bool {
	for _, e := range m {
		if e.ID.Value == name {
			return true
		}
	}
	return false
}

// resultText prints what a calculator gives in place of an example's figure:
// as far as the figure goes, at least three digits.
func resultText(u unit.Unit, v, places float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "no result"
	}
	digits := 3.0
	if v != 0 && places > 0 {
		digits = 1 + math.Floor(math.Log10(math.Abs(v))) - math.Round(math.Log10(places))
	}
	return strings.TrimSpace(unit.Format(v, int(min(max(digits, 3), 12))) + " " + u.Symbol)
}

func optionText(q calc.Quantity, v float64) string {
	if i := int(v); i >= 0 && i < len(q.Options) {
		return q.Options[i]
	}
	return "no option"
}

// figurePattern is a number as unit.Parse reads it in English: thousands may be
// grouped, and a comma that groups none is a decimal sign.
var figurePattern = regexp.MustCompile(`^\s*[+\-−]?\s*(?:[1-9]\d{0,2}(?:[ ,]\d{3})+|\d*)(?:[.,](\d*))?(?:[eE]([+-]?\d+))?`)

// lastPlace is the worth of the last digit of a number as it is written.
func lastPlace(text string) float64 {
	parts := figurePattern.FindStringSubmatch(text)
	power, _ := strconv.Atoi(parts[2])
	return math.Pow10(power - len(parts[1]))
}

// exampleValue reads a value of an example: SI and the unit it is written in,
// or an option's index.
func (r *pageResolver) exampleValue(q calc.Quantity, t source.Text) (si float64, used unit.Unit, ok bool) {
	wrong := func(why string) (float64, unit.Unit, bool) {
		r.noValue(q, t, why)
		return 0, q.Unit, false
	}
	if q.Kind == calc.Choice {
		for i, o := range q.Options {
			if o == t.Value {
				return float64(i), q.Unit, true
			}
		}
		return wrong("it is none of " + strings.Join(q.Options, ", "))
	}
	si, used, err := unit.Parse(t.Value, q.Unit, "en")
	var bad *unit.Error
	if errors.As(err, &bad) {
		return wrong(bad.Error())
	}
	return si, used, true
}

// Nominal is the figure of a preset specification, its nominal value or its
// tolerance: that of the first of the page's models that has one. The model is
// nil where they all have the same.
func (p *Page) Nominal(preset Preset) (*Number, *Model) {
	if len(p.Applicability) == 0 {
		return preset.figure(preset.Spec.General), nil
	}
	var first *Number
	var of *Model
	differ := false
	for _, m := range p.Applicability {
		n := preset.figure(preset.Spec.For(m))
		switch {
		case n == nil:
		case first == nil:
			first, of = n, m
		case n.Text != first.Text:
			differ = true
		}
	}
	if !differ {
		of = nil
	}
	return first, of
}

// figure is what is preset of a limit; nil where it lacks that.
func (preset Preset) figure(l *Limit) *Number {
	switch {
	case l == nil:
		return nil
	case preset.Within:
		return l.Tolerance
	}
	return l.Nominal
}

// FieldUnit is a unit as a field of another reads it: in a field for a
// temperature difference, degrees are degrees of difference.
func FieldUnit(u, field unit.Unit) unit.Unit {
	if field.Kind == unit.TemperatureDifference && u.Kind == unit.Temperature {
		return difference(u)
	}
	return u
}
